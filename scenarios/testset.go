package scenarios

import (
	"fmt"

	"noonkeep/plant"
)

// testSet brings a collector's coefficients to the quasi-dynamic form per m2 of aperture, by the test they are from.
func (b *builder) testSet(f collectorFile, c *plant.Collector) {
	b.refersTo(f, c)
	if f.Along.set {
		c.IAMAtIncidence = f.Along.s == "incidence"
	}
	if f.Cosine.set {
		c.IAMWithCosine = f.Cosine.yes
	}
	if own := len(f.IAM)+len(f.Across) > 0; own && !f.Along.set && !f.Cosine.set {
		c.IAMAtIncidence, c.IAMWithCosine = false, false // they were those of the kind's tables
	}
	if f.Set.s != "steady state" {
		if f.Eta0.set {
			b.add(f.Eta0.at, "is of a steady-state set; write set: steady state beside it, or eta0b for the beam")
		}
		return
	}
	b.steadySet(f, c)
}

// steadySet turns a steady-state set into a quasi-dynamic one.
func (b *builder) steadySet(f collectorFile, c *plant.Collector) {
	if c.Tracking != plant.Fixed && c.Tracking != 0 {
		b.add(f.Set.at, "is for fixed collectors; a %v one is tested on the beam: write its eta0b", c.Tracking)
		return
	}
	for _, v := range []amount{f.Eta0b, f.A3, f.A4, f.A6, f.A7} {
		if v.set {
			b.add(v.at, "is not of a steady-state set, which has eta0, a1, a2 and perhaps kd, a5 and a8")
		}
	}
	if !f.Eta0.set {
		if !b.faulty(f.Eta0.key) {
			b.add(f.Set.at, "needs eta0, the peak efficiency on global light")
		}
		return
	}
	if known := f.Kind.set && len(f.IAM)+len(f.Across) == 0 && !f.B0.set; !f.Kd.set && !known && !b.faulty(f.Kd.key) {
		c.Kd = c.DiffuseModifier()
		b.note(f.Kd.key, fmt.Sprintf("%.3f", c.Kd), "of light from the whole half space, from the modifiers of the beam")
	}
	c.FromSteadyState(f.Eta0.base())
	b.note(f.Eta0b.key, fmt.Sprintf("%.4f", c.Eta0b), fmt.Sprintf("from eta0 %g on global light, 15 %% of it diffuse (ISO 9806:2017, from memory)", f.Eta0.base()))
}

// refersTo sets the area of the coefficients.
func (b *builder) refersTo(f collectorFile, c *plant.Collector) {
	switch {
	case !f.Area.set:
	case f.Area.s == "aperture" && f.Share.set:
		b.add(f.Share.at, "stands beside area: aperture; it is for coefficients per gross area")
	case f.Area.s == "aperture":
		c.ApertureShare = 1
	case !f.Share.set && !b.faulty(f.Share.key):
		c.ApertureShare = 1
		b.note(f.Share.key, "1", "the field's aperture is taken as gross area, as the coefficients are")
	}
}
