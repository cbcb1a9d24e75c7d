package scenarios

import (
	"fmt"
	"slices"

	"noonkeep/plant"
)

// fields sets the collector fields, without their yields.
func (b *builder) fields() {
	b.names("field", len(b.f.Fields), func(i int) text { return b.f.Fields[i].Name })
	b.c.Horizon = b.horizon()
	for _, f := range b.f.Fields {
		field := Field{Header: b.header(f.Header, f.At)}
		field.Field = plant.Field{
			Name: f.Name.s, Collector: b.collector(f.Collector), Count: int(f.Count.base()), ApertureM2: f.Aperture.base(),
			Cleanliness: f.Cleanliness.base(), Availability: f.Availability.base(),
			PipeUAWM2K: f.PipeUA.base(), PipeLossFrac: f.PipeLoss.base(), ApproachK: f.Approach.base(), PumpKWhPerKWh: f.PumpPower.base(),
		}
		b.care(f, &field.Field)
		b.feeds(f, &field)
		b.surround(f, &field)
		if f.Collector.Kind.set && f.Collector.Slope.set && field.Collector.Tracking != plant.Fixed {
			b.add(f.Collector.Slope.at, "is for a fixed collector; a %v one has none", field.Collector.Tracking)
		}
		if len(b.storeFiles()) == 0 {
			b.unassume(f.ChargesStore.key)
		}
		if len(b.faults.list) == 0 {
			b.wrapAny(f.At, field.Check())
		}
		b.c.Fields = append(b.c.Fields, field)
	}
}

// collector gives the generic collector of a kind, changed by what is written beside it; or an own one.
func (b *builder) collector(f collectorFile) plant.Collector {
	if f.At.line == 0 {
		return plant.Collector{} // left out, a fault that is noted already
	}
	c := plant.Collector{Name: "own coefficients"}
	if f.Kind.set {
		c = b.kindOf(f)
	} else {
		b.own(f)
	}
	if f.Tracking.set {
		tracking, err := plant.ParseTracking(f.Tracking.s)
		if err == nil { // else it is noted already
			c.Tracking = tracking
		}
	}
	for _, v := range []struct {
		from amount
		to   *float64
	}{
		{f.Slope, &c.SlopeDeg}, {f.Azimuth, &c.AzimuthDeg}, {f.Eta0b, &c.Eta0b}, {f.Kd, &c.Kd},
		{f.A1, &c.A1}, {f.A2, &c.A2}, {f.A3, &c.A3}, {f.A4, &c.A4}, {f.A6, &c.A6}, {f.A7, &c.A7}, {f.A8, &c.A8},
		{f.B0, &c.B0}, {f.Share, &c.ApertureShare}, {f.Capacity, &c.HeatCapacityKJM2K}, {f.Drive, &c.DriveWM2},
		{f.LeastDNI, &c.LeastDNIWM2}, {f.StowWind, &c.StowWindMS}, {f.Cooling, &c.CoolingTimeH},
	} {
		if v.from.set {
			*v.to = v.from.base()
		}
	}
	if f.A5.set {
		c.A5 = f.A5.base() * 1000 // kJ to the equation's J
	}
	b.modifier(f, &c)
	b.testSet(f, &c)
	return c
}

// modifier replaces a kind's incidence modifier by a written one.
func (b *builder) modifier(f collectorFile, c *plant.Collector) {
	if f.B0.set || len(f.IAM) > 0 || len(f.Poly) > 0 {
		c.IAM, c.IAMT, c.IAMPoly = nil, nil, [2]float64{}
	}
	if f.B0.set && len(f.IAM) > 0 {
		b.add(f.B0.at, "stands beside iam; write one of them")
	}
	c.IAM = append(c.IAM, tableOf(f.IAM)...)
	if len(f.Across) > 0 {
		c.IAMT = tableOf(f.Across)
	}
	if len(f.Poly) == 0 {
		return
	}
	if f.B0.set || len(f.IAM)+len(f.Across) > 0 {
		b.add(f.Poly[0].at, "stands beside b0, iam or iam_across; write one of them")
	}
	c.IAMPoly = [2]float64{f.Poly[0].base(), f.Poly[1].base()}
}

func tableOf(rows []iamFile) []plant.IAMPoint {
	var table []plant.IAMPoint
	for _, p := range rows {
		table = append(table, plant.IAMPoint{ThetaDeg: p.Angle.base(), K: p.Factor.base()})
	}
	return table
}

// own asks for what a collector without a kind needs.
func (b *builder) own(f collectorFile) {
	if !f.Tracking.set && !f.Tracking.bad() {
		b.add(f.At, "has neither a kind nor a tracking; write kind, such as dish, or tracking and eta0b of a test report")
		return
	}
	if !f.Eta0b.set && f.Set.s != "steady state" {
		b.add(f.At, "has no kind; its own coefficients need eta0b")
	}
	if f.Tracking.s == plant.Fixed.String() {
		for _, need := range []amount{f.Slope, f.Azimuth} {
			if !need.set {
				b.add(need.at, "is missing; a fixed collector needs it")
			}
		}
	}
	if (f.A5.set || f.Capacity.set) && !f.Cooling.set {
		b.add(f.Cooling.at, "is missing; with a heat capacity the night's cooling needs it")
	}
}

// kindOf gives a generic collector and says what it assumes.
func (b *builder) kindOf(f collectorFile) plant.Collector {
	kind, err := plant.KindByName(f.Kind.s)
	if err != nil {
		return plant.Collector{} // a word outside the list is noted already
	}
	c := kind.Collector
	say := kind.Words
	for _, why := range kind.Why {
		say += "; " + why.What + ": " + why.Source
	}
	b.note(f.At.key, fmt.Sprintf("generic %s, eta0b %g, per m2 %s", kind.Name, c.Eta0b, kind.Area), say)
	if tracking, err := plant.ParseTracking(f.Tracking.s); err == nil && tracking != c.Tracking {
		if tracking == plant.Fixed && (!f.Slope.set || !f.Azimuth.set) {
			b.add(f.Tracking.at, "makes a fixed collector of a %v one; want its slope and azimuth too", c.Tracking)
		}
		return c
	}
	if c.Tracking == plant.Fixed && !f.Azimuth.set {
		if b.c.Place.LatDeg < 0 {
			c.AzimuthDeg = 0
		}
		b.note(f.Azimuth.key, fmt.Sprintf("%g deg", c.AzimuthDeg), "towards the equator")
	}
	if c.Tracking == plant.Fixed && !f.Slope.set {
		b.note(f.Slope.key, fmt.Sprintf("%g deg", c.SlopeDeg), "from level")
	}
	return c
}

// bad tells whether a text was written but refused.
func (t text) bad() bool { return t.s != "" }

// chargesOf tells of each store whether a field charges it.
func (b *builder) chargesOf(f fieldFile) []bool {
	all := make([]bool, len(b.c.Stores))
	var names []string
	for k, s := range b.c.Stores {
		all[k] = f.ChargesStore.yes && len(f.Charges) == 0
		names = append(names, s.Name)
	}
	for _, name := range f.Charges {
		if k := b.pick("store", name, f.At, names); k >= 0 {
			all[k] = true
		}
	}
	return all
}

// yields works out each field's heat at its header and at the stores.
func (b *builder) yields() {
	for i := range b.c.Fields {
		field, from := &b.c.Fields[i], b.f.Fields[i]
		var err error
		if field.AtC = b.c.Headers[field.Header].FieldC(); field.Preheat != nil {
			field.AtC = field.Preheat.MeanC()
		}
		if field.Feeds != ToStoreAlone {
			if field.ToHeader, err = b.yield(field.Field, field.AtC); err != nil {
				b.wrap(from.At, err)
				continue
			}
		}
		if field.Feeds == ToStoreAlone {
			field.ToHeader.KWM2 = b.noHeat()
		}
		notes := slices.Clone(field.ToHeader.Notes)
		field.ToStores = make([]plant.YieldYear, len(b.c.Stores))
		for k, charges := range b.chargesOf(from) {
			if !charges || field.Feeds == ToFeedwater {
				continue
			}
			if field.ToStores[k], err = b.yield(field.Field, b.c.Stores[k].HotC()); err != nil {
				b.wrap(from.At, err)
				break
			}
			if b.c.Stores[k] == b.c.Store {
				field.ToStore = field.ToStores[k]
			}
			notes = append(notes, field.ToStores[k].Notes...)
		}
		b.guarantee(from, field)
		for j, note := range notes {
			if !slices.Contains(notes[:j], note) {
				b.doubtAt(from.At, "%s", note)
			}
		}
	}
}
