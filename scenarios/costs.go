package scenarios

import (
	"math"
	"slices"

	"noonkeep/optimize/worth"
)

// VesselCost is what a store costs, in the case's currency; 0 for what was not written.
type VesselCost struct {
	Price       worth.VesselPrice
	Known       bool    // a price was written
	UpkeepFrac  float64 // per year, of the vessel's price
	Integration float64
	Parts       []Part
	SizesM3     []float64 // those that can be had, rising; nil for any
}

// FieldCost is what a collector field costs.
type FieldCost struct {
	Known                      bool // a price was written
	PerM2, PerCollector, Fixed float64
	CollectorM2                float64 // of one collector
	UpkeepFrac                 float64 // per year, of the field's cost
	Parts                      []Part
}

// Of is the cost of a field of so much aperture; one of none costs nothing.
func (f FieldCost) Of(areaM2 float64) float64 {
	if areaM2 <= 0 {
		return 0
	}
	return f.Fixed + f.PerM2*areaM2 + f.PerCollector*areaM2/f.CollectorM2
}

// Part is what is replaced in a year of the life: for a sum, or a share of what the whole costs.
type Part struct {
	What      string
	Year      int
	Sum, Frac float64
}

// replaced are the parts of a thing that costs so much; of none there are none.
func replaced(list []Part, what string, cost float64) []worth.Part {
	if cost == 0 {
		return nil
	}
	var out []worth.Part
	for _, p := range list {
		out = append(out, worth.Part{Name: what + p.What, Year: p.Year, Sum: p.Sum + p.Frac*cost})
	}
	return out
}

// priceOfVessel is a vessel's price as it is written.
func priceOfVessel(f *storeMoney) VesselCost {
	if f == nil {
		return VesselCost{}
	}
	c := VesselCost{UpkeepFrac: f.Upkeep.base(), Integration: f.Integrate.base()}
	c.Price.Fixed, c.Price.PerM3 = f.Fixed.base(), f.PerM3.base()
	for _, row := range f.Table {
		c.Price.Table = append(c.Price.Table, worth.SizePrice{M3: row.Volume.base(), Price: row.Price.base()})
	}
	if r := f.Reference; r != nil {
		c.Price.ReferenceM3, c.Price.ReferencePrice, c.Price.Exponent = r.Volume.base(), r.Price.base(), r.Exponent.base()
	}
	c.Known = f.PerM3.set || f.Fixed.set || len(f.Table) > 0 || f.Reference != nil
	for _, v := range f.Sizes {
		c.SizesM3 = append(c.SizesM3, v.base())
	}
	return c
}

// vesselCost gives what a store costs, and notes the faults of it.
func (b *builder) vesselCost(s *storeFile) VesselCost {
	f := s.Cost
	c := priceOfVessel(f)
	if f == nil {
		return c
	}
	ways := []struct {
		at
		set bool
	}{{f.PerM3.at, f.PerM3.set}, {b.first(f.Table), len(f.Table) > 0}, {at{}, false}}
	if f.Reference != nil {
		ways[2].at, ways[2].set = f.Reference.At, true
	}
	for i, w := range ways {
		for _, other := range ways[:i] {
			if w.set && other.set {
				b.add(w.at, "stands beside %s; want one of per_m3, table and reference", lastKey(other.key))
			}
		}
	}
	for i, row := range f.Table {
		if i > 0 && row.Volume.set && f.Table[i-1].Volume.set && row.Volume.base() <= f.Table[i-1].Volume.base() {
			b.add(row.Volume.at, "%s comes after %s; want the volumes rising", quoted(row.Volume.String()), quoted(f.Table[i-1].Volume.String()))
		}
	}
	for i, v := range f.Sizes {
		if i > 0 && v.set && f.Sizes[i-1].set && v.base() <= f.Sizes[i-1].base() {
			b.add(v.at, "%s comes after %s; want the volumes rising", quoted(v.String()), quoted(f.Sizes[i-1].String()))
		}
	}
	c.Parts = b.parts(f.Replace)
	return c
}

// first is where a table stands.
func (b *builder) first(rows []vesselRow) at {
	if len(rows) == 0 {
		return at{}
	}
	p := rows[0].At
	p.key = p.key[:max(0, len(p.key)-len("[1]"))]
	return p
}

// fieldCost gives what a field costs: as written, or by money.field_cost.
func (b *builder) fieldCost(f fieldFile) FieldCost {
	c := FieldCost{CollectorM2: f.Aperture.base()}
	w := f.Cost
	if w == nil {
		c.PerM2, c.Known = b.f.Money.Field.base(), b.f.Money.Field.set
		return c
	}
	c.PerM2, c.PerCollector, c.Fixed, c.UpkeepFrac = w.PerM2.base(), w.PerCollector.base(), w.Fixed.base(), w.Upkeep.base()
	c.Known = w.PerM2.set || w.PerCollector.set || w.Fixed.set
	if !w.PerM2.set && !w.PerCollector.set && b.f.Money.Field.set {
		c.PerM2, c.Known = b.f.Money.Field.base(), true
	}
	c.Parts = b.parts(w.Replace)
	return c
}

// parts reads what is replaced; all of it within the life.
func (b *builder) parts(list []replaceFile) []Part {
	var out []Part
	life, has := b.lifeYears()
	for _, f := range list {
		p := Part{What: f.What.s, Year: int(f.Year.base())}
		if f.Cost.kind == "share" {
			p.Frac = f.Cost.base()
		} else {
			p.Sum = f.Cost.base()
		}
		if has && f.Year.set && p.Year > life {
			b.add(f.Year.at, "is %d, and the life of money has %d years; want a year within it", p.Year, life)
		}
		out = append(out, p)
	}
	return out
}

// lifeYears is the life of money in whole years; false without one.
func (b *builder) lifeYears() (years int, has bool) {
	life := b.f.Money.Life
	if !life.set {
		return 0, false
	}
	return max(1, int(math.Round(life.base()/hoursPerYear))), true
}

// vesselTimes makes the varied store's price so many times what it is, in this copy of the case alone.
func (c *Case) vesselTimes(x float64) {
	c.Money.VesselPerM3 *= x
	c.Money.VesselFixed *= x
	if c.Store == nil {
		return
	}
	k := c.StoreAt()
	own := *c.Store
	p := &own.Cost.Price
	p.Fixed, p.PerM3, p.ReferencePrice = p.Fixed*x, p.PerM3*x, p.ReferencePrice*x
	p.Table = slices.Clone(p.Table)
	for i := range p.Table {
		p.Table[i].Price *= x
	}
	c.Stores = slices.Clone(c.Stores)
	c.Stores[k], c.Store = &own, &own
}
