package scenarios

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"slices"

	"noonkeep/optimize/worth"
)

// Saved is what a plant saves in a year against a baseline, in money and amounts; negative where it takes more.
type Saved struct {
	Fuel    []FuelSaved // in the order of the boilers' fuels
	Power   float64     // electricity of fields; mostly below nothing
	Other   float64     // heat not met, fuel paid for and not burnt
	CO2Kg   float64     // of what the carbon price is on
	AllCO2  float64     // kg, electricity's too
	HeatKWh float64     // that boilers need not give
}

// FuelSaved is one fuel's money, without its carbon price.
type FuelSaved struct {
	Name string
	Sum  float64
}

// Lacking are the keys without which a plant of so much store cannot be priced; tank asks for the store alone.
func (c Case) Lacking(tank bool) []string {
	var keys []string
	for _, s := range c.Stores {
		if !s.Cost.Known && (s == c.Store || !tank) {
			keys = append(keys, keyOfCost("store", s.Name, len(c.Stores) > 1))
		}
	}
	for _, f := range c.Fields {
		if !tank && !f.Cost.Known && f.AreaM2() > 0 {
			keys = append(keys, keyOfCost("fields", f.Name, true))
		}
	}
	return keys
}

func keyOfCost(list, name string, named bool) string {
	if !named {
		return list + ".cost"
	}
	if list == "store" {
		list = "stores"
	}
	return fmt.Sprintf("%s[%s].cost", list, name)
}

// TankProject is the varied store alone, against the same plant without it. Of a subsidy's cap it has what the field and
// the other stores leave; a subsidy that is a sum is the plant's. The error is that the volume has no price.
func (c Case) TankProject(m3 float64, s Saved) (worth.Terms, worth.Project, error) {
	m := c.Business
	t := c.terms()
	p := worth.Project{Name: "the tank", Against: "the same sun with no store"}
	if len(c.Stores) > 1 {
		p.Name, p.Against = c.Store.Name, "the same plant without "+c.Store.Name
	}
	if len(c.Fields) == 0 {
		p.Against = "boilers alone"
	}
	if err := c.addStore(&p, c.Store, m3); err != nil {
		return t, p, err
	}
	c.addShared(&p)
	c.addSaved(&p, s)
	t.Subsidy.Sum = 0
	if t.Subsidy.Cap > 0 {
		rest := c.withoutVaried()
		left := t.Subsidy.Cap - t.Subsidy.ShareFrac*(worthOf(rest)-m.Land)
		if t.Subsidy.Cap = left; left <= 0 {
			t.Subsidy = worth.Subsidy{}
		}
	}
	return t, p, nil
}

// terms are those of the money, their carbon price beginning with the case's own.
func (c Case) terms() worth.Terms {
	t := c.Business.Terms
	if len(t.CarbonPerT) == 0 || t.CarbonPerT[0] == 0 || c.CarbonPerKg*1000 == t.CarbonPerT[0] {
		return t
	}
	path := make([]float64, len(t.CarbonPerT))
	for i, x := range t.CarbonPerT {
		path[i] = x * c.CarbonPerKg * 1000 / t.CarbonPerT[0]
	}
	t.CarbonPerT = path
	return t
}

// worthOf is what a project costs at the start.
func worthOf(p worth.Project) float64 {
	sum := 0.0
	for _, o := range p.Outlays {
		sum += o.Sum
	}
	return sum
}

// withoutVaried is what the plant buys beside the varied store, as far as its cost is known.
func (c Case) withoutVaried() worth.Project {
	var p worth.Project
	_ = c.addPlant(&p, 0) // no store of no volume is without a price
	return p
}

// PlantProject is sun and stores together, against boilers alone.
func (c Case) PlantProject(m3 float64, s Saved) (worth.Terms, worth.Project, error) {
	p := worth.Project{Name: "sun and tank together", Against: "boilers alone"}
	if m3 == 0 && len(c.Stores) < 2 {
		p.Name = "the sun with no store"
	}
	var err error
	if m3 > 0 || len(c.Stores) > 1 || c.collectors() {
		err = c.addPlant(&p, m3) // nothing at all is no project, and costs nothing
	}
	c.addSaved(&p, s)
	return c.terms(), p, err
}

// collectors tells whether there are any.
func (c Case) collectors() bool {
	return slices.ContainsFunc(c.Fields, func(f Field) bool { return f.AreaM2() > 0 })
}

// addPlant adds all that the plant buys and keeps up.
func (c Case) addPlant(p *worth.Project, m3 float64) error {
	for _, f := range c.Fields {
		cost := f.Cost.Of(f.AreaM2())
		p.Outlays = append(p.Outlays, worth.Outlay{Name: f.Name, Sum: cost})
		c.upkeep(p, f.Name, f.Cost.UpkeepFrac*cost)
		p.Parts = append(p.Parts, replaced(f.Cost.Parts, f.Name+", ", cost)...)
	}
	for _, s := range c.Stores {
		v := s.VolumeM3
		if s == c.Store {
			v = m3
		}
		if err := c.addStore(p, s, v); err != nil {
			return err
		}
	}
	m := c.Business
	add := func(name string, sum float64) {
		if sum > 0 {
			p.Outlays = append(p.Outlays, worth.Outlay{Name: name, Sum: sum})
		}
	}
	add("integration", m.Integration)
	add("engineering", m.EngineeringSum)
	c.addShared(p)
	if m.Land > 0 {
		p.Outlays = append(p.Outlays, worth.Outlay{Name: "land", Sum: m.Land, Land: true})
	}
	c.running(p, "rent of land", m.LandRent)
	c.running(p, "water treatment", m.Water)
	return nil
}

// addStore adds a store of a volume; one of none costs nothing.
func (c Case) addStore(p *worth.Project, s *Store, m3 float64) error {
	price, err := s.Cost.Price.At(m3)
	if err != nil || m3 <= 0 {
		return err
	}
	name := cmp.Or(s.Name, "store")
	p.Outlays = append(p.Outlays, worth.Outlay{Name: name, Sum: price})
	if s.Cost.Integration > 0 {
		p.Outlays = append(p.Outlays, worth.Outlay{Name: name + ", integration", Sum: s.Cost.Integration})
	}
	c.upkeep(p, name, s.Cost.UpkeepFrac*price)
	p.Parts = append(p.Parts, replaced(s.Cost.Parts, name+", ", price)...)
	return nil
}

// addShared adds engineering and insurance, shares of what is bought so far.
func (c Case) addShared(p *worth.Project) {
	m := c.Business
	if sum := m.EngineeringFrac * worthOf(*p); sum > 0 {
		p.Outlays = append(p.Outlays, worth.Outlay{Name: "engineering", Sum: sum})
	}
	c.running(p, "insurance", m.InsuranceFrac*worthOf(*p))
}

func (c Case) upkeep(p *worth.Project, what string, perYear float64) {
	c.running(p, "upkeep of "+what, perYear)
}

func (c Case) running(p *worth.Project, name string, perYear float64) {
	if perYear > 0 {
		p.Running = append(p.Running, worth.Running{Name: name, FirstYear: perYear, RiseFrac: c.Business.OtherRise})
	}
}

// addSaved adds what a year saves.
func (c Case) addSaved(p *worth.Project, s Saved) {
	m := c.Business
	for _, f := range s.Fuel {
		p.Savings = append(p.Savings, worth.Saving{Name: f.Name + " saved", FirstYear: f.Sum, RiseFrac: m.FuelRise[f.Name]})
	}
	if s.Power != 0 {
		p.Savings = append(p.Savings, worth.Saving{Name: "power of the fields", FirstYear: s.Power, RiseFrac: m.FuelRise[powerName], Operating: true})
	}
	if s.Other != 0 {
		p.Savings = append(p.Savings, worth.Saving{Name: "other: heat not met, fuel not taken", FirstYear: s.Other, RiseFrac: m.OtherRise})
	}
	p.HeatKWh, p.CO2Kg = s.HeatKWh, s.CO2Kg
	if other := s.AllCO2 - s.CO2Kg; math.Abs(other) > 1e-9*math.Abs(s.CO2Kg) {
		p.UnpricedCO2Kg = other
	}
}

// NextM3 is the most that one more m³ of the varied store may cost and still pay, where it saves so much: its upkeep,
// insurance, engineering, subsidy and tax counted, no cap and no fixed cost. +Inf where any price pays.
func (c Case) NextM3(s Saved) (float64, error) {
	t := c.terms()
	t.Subsidy.Sum, t.Subsidy.Cap = 0, 0
	return worth.BreakEven(t, func(price float64) worth.Project {
		p := worth.Project{Name: "one more m³", Outlays: []worth.Outlay{{Name: "vessel", Sum: price}}}
		c.upkeep(&p, "the vessel", c.Store.Cost.UpkeepFrac*price)
		for _, part := range c.Store.Cost.Parts {
			if part.Frac > 0 {
				p.Parts = append(p.Parts, worth.Part{Name: part.What, Year: part.Year, Sum: part.Frac * price})
			}
		}
		c.addShared(&p)
		c.addSaved(&p, s)
		return p
	})
}

// StoreYearly gives what the varied store, and what one more m³ of it, has to save in the first year to pay, by its price
// without the fixed part; nil where that cannot be said. Savings are taken to be made up as the first boiler's fuel is.
func (c Case) StoreYearly() func(m3 float64) (whole, next float64) {
	if !c.Business.Has || c.Store == nil || !c.Store.Cost.Known {
		return nil
	}
	price := c.Store.Cost.Price
	price.Fixed = 0
	like := c.unitSaved()
	total := like.Total(c)
	most, err := c.NextM3(like)
	if err != nil || !(most > 0 && total > 0) || math.IsInf(most, 1) {
		return nil
	}
	per := total / most
	if c.plainMoney() {
		per = worth.Recovery(c.Money.DiscountFrac, c.Money.LifeH/hoursPerYear) + c.Store.Cost.UpkeepFrac
	}
	return func(m3 float64) (whole, next float64) {
		if m3 > price.MostM3() {
			return math.Inf(1), math.Inf(1)
		}
		cost, err := price.At(m3)
		if err != nil {
			return math.Inf(1), math.Inf(1)
		}
		return cost * per, price.NextM3(m3) * per
	}
}

// plainMoney tells whether nothing but life, discount and upkeep counts: the annuity says it all then.
func (c Case) plainMoney() bool {
	m := c.Business
	t := m.Terms
	years, discount := t.Years, t.DiscountFrac
	t.Years, t.DiscountFrac, t.CarbonPerT, t.Tax.Depreciation = 0, 0, nil, worth.Depreciation{}
	return reflect.DeepEqual(t, worth.Terms{}) && years > 0 && discount == c.Money.DiscountFrac && m.InsuranceFrac == 0 && m.EngineeringFrac == 0 &&
		m.OtherRise == 0 && !rising(m.FuelRise) && flat(c.Business.Terms.CarbonPerT) && len(c.Store.Cost.Parts) == 0
}

func rising(rises map[string]float64) bool {
	for _, r := range rises {
		if r != 0 {
			return true
		}
	}
	return false
}

func flat(path []float64) bool {
	for _, p := range path {
		if p != path[0] {
			return false
		}
	}
	return true
}

// unitSaved is a kWh saved of the first boiler's fuel.
func (c Case) unitSaved() Saved {
	if len(c.Boilers) == 0 {
		return Saved{Other: 1}
	}
	f := c.Boilers[0].Fuel
	s := Saved{Fuel: []FuelSaved{{f.Name, f.PricePerKWh}}}
	if !f.Power {
		s.CO2Kg = f.CO2KgPerKWh
	}
	return s
}

// Total is all that a year saves, its carbon price included.
func (s Saved) Total(c Case) float64 {
	sum := s.Power + s.Other + s.CO2Kg*c.CarbonPerKg
	for _, f := range s.Fuel {
		sum += f.Sum
	}
	return sum
}
