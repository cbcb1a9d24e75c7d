package scenarios

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"noonkeep/plant"
)

// money sets the currency and the prices that are no fuel's.
func (b *builder) money() {
	f := b.f.Money
	b.c.Currency = f.Currency.s
	if f.Currency.set && !currency.MatchString(f.Currency.s) {
		b.add(f.Currency.at, "%s is no currency; want letters such as \"EUR\"", quoted(f.Currency.s))
		return
	}
	slices.SortStableFunc(b.prices, func(a, b amount) int { return cmp.Compare(a.line, b.line) })
	for _, p := range b.prices {
		switch {
		case b.c.Currency == "":
			b.c.Currency = p.cur
			b.note("money.currency", p.cur, "that of the first price")
		case p.cur != b.c.Currency:
			b.add(p.at, "%s is not in %s, in which the scenario counts; want one currency", quoted(p.String()), b.c.Currency)
		}
	}
	b.c.CarbonPerKg = f.Carbon.base()
	if len(f.CarbonPath) > 0 {
		b.c.CarbonPerKg = f.CarbonPath[0].base()
	}
	b.c.Money = Money{LifeH: f.Life.base(), DiscountFrac: f.Discount.base()}
	if i := b.varied(); i >= 0 {
		b.c.Money = b.c.Money.of(priceOfVessel(b.storeFiles()[i].Cost))
	}
}

// fuelList sets the fuels, on net heat.
func (b *builder) fuelList() {
	b.names("fuel", len(b.f.Fuels), func(i int) text { return b.f.Fuels[i].Name })
	for _, f := range b.f.Fuels {
		b.c.Fuels = append(b.c.Fuels, b.fuel(f))
	}
}

// burnt is a fuel on its way to net heat: what is known of it, written or generic.
type burnt struct {
	fuelFile
	like    plant.FuelKind
	generic bool // like holds a generic fuel
	gross   float64
}

func (b *builder) fuel(f fuelFile) plant.Fuel {
	u, ok := b.burnt(f)
	if !ok {
		return plant.Fuel{}
	}
	out := plant.Fuel{Name: f.Name.s, GrossPerNet: u.gross}
	out.PricePerKWh, out.PriceByStep = b.priceOf(f.pricing(), func(p amount) float64 { return b.fuelPrice(u, p) }, func(x float64) float64 { return b.filePrice(u, x) })
	out.CO2KgPerKWh = b.fuelCO2(u)
	b.charge(f.Name.s, f.Standing)
	b.take(u, out)
	if len(b.faults.list) == 0 {
		b.wrapAny(f.At, out.Check())
	}
	return out
}

// burnt gathers what is known of a fuel; false for a fault.
func (b *builder) burnt(f fuelFile) (burnt, bool) {
	u := burnt{fuelFile: f, gross: f.Gross.base()}
	var err error
	if f.Like.set {
		if u.like, err = plant.FuelKindByName(f.Like.s); err != nil {
			var names []string
			for _, k := range plant.FuelKinds() {
				names = append(names, k.Name)
			}
			tail, near := wantOneOf(f.Like.s, names)
			b.add(f.Like.at, "%s is no generic fuel; %s", quoted(f.Like.s), tail).Near = near
			return u, false
		}
		u.generic = true
	} else if u.like, err = plant.FuelKindByName(f.Name.s); err == nil {
		u.generic = true
	}
	if u.gross == 0 && u.generic {
		u.gross = u.like.GrossPerNet
		if f.Basis.s == "gross" || b.grossBoiler(f.Name.s) {
			b.noteOnce(f.At.key+".gross_per_net", fmt.Sprintf("%g", u.gross), "that of "+u.like.Name+", "+u.like.RatioSource)
		}
	}
	return u, true
}

// grossBoiler tells whether a boiler's efficiency on this fuel counts gross.
func (b *builder) grossBoiler(fuel string) bool {
	for i, boiler := range b.f.Boilers {
		named := boiler.Fuel.s
		if named == "" && len(b.f.Fuels) > 0 {
			named = b.f.Fuels[0].Name.s
		}
		if named == fuel && b.f.Boilers[i].Basis.s == "gross" {
			return true
		}
	}
	return false
}

// fuelPrice gives a written price per kWh of net heat.
func (b *builder) fuelPrice(u burnt, p amount) float64 {
	if !p.set {
		return 0
	}
	if p.unit.dim != byEnergy {
		if u.Basis.set && !u.LeastTake.set {
			b.doubtOnce(u.Basis.at, "has no effect on a price per "+p.unit.text)
		}
		return p.base() / b.heatPer(u, p.unit.dim, p)
	}
	switch u.Basis.s {
	case "gross":
		if !(u.gross >= 1) {
			b.add(p.at, "counts gross; write gross_per_net, the gross over the net calorific value")
			return 0
		}
		return plant.PricePerGrossKWh(p.base(), u.gross)
	case "":
		b.noteOnce(u.Basis.key, "net", "the price counts by net calorific value; a gas bill mostly counts gross")
	}
	return p.base()
}

// filePrice gives a file's price, per kWh of net heat.
func (b *builder) filePrice(u burnt, perKWh float64) float64 {
	switch {
	case u.Basis.s == "gross" && u.gross >= 1:
		return plant.PricePerGrossKWh(perKWh, u.gross)
	case u.Basis.s == "gross" && !b.faulty(u.Series.key):
		b.add(u.Series.at, "counts gross; write gross_per_net, the gross over the net calorific value")
	case u.Basis.s == "":
		b.noteOnce(u.Basis.key, "net", "the price counts by net calorific value; a gas bill mostly counts gross")
	}
	return perKWh
}

// fuelCO2 gives the CO2 per kWh of net heat.
func (b *builder) fuelCO2(u burnt) float64 {
	c := u.CO2
	switch {
	case c.set && c.unit.dim == byEnergy:
		return c.base()
	case c.set:
		return c.base() / b.heatPer(u, c.unit.dim, c)
	case !u.generic && b.c.CarbonPerKg > 0:
		b.add(c.at, "is missing, and no generic fuel is called %s; with a carbon price write co2, or like with a generic fuel", quoted(u.Name.s))
	case !u.generic:
		b.doubtAt(u.Name.at, "no generic fuel is called %s and co2 is not written: its CO2 counts as nothing", quoted(u.Name.s))
	case u.like.Biogenic:
		b.note(c.key, "0 g/kWh", u.like.Name+" is biogenic, counted outside the fossil total")
	default:
		kg := plant.CO2KgPerKWh(u.like.CO2KgPerTJ)
		b.note(c.key, fmt.Sprintf("%.4g g/kWh", kg*1000), "that of "+u.like.Name+", net, "+u.like.Source)
		return kg
	}
	return 0
}

// heatPer gives the net kWh in a kg or m3 of fuel, NaN with a fault noted when it cannot be known.
func (b *builder) heatPer(u burnt, dim string, by amount) float64 {
	density := cmp.Or(u.Density.base(), u.like.KgPerM3)
	kWh, from := u.Calorific.base(), u.Calorific.unit.dim
	if kWh == 0 && u.generic {
		kWh, from = u.like.PerKg().NetKWh(), byMass
		b.noteOnce(u.Calorific.key, fmt.Sprintf("%.4g kWh/kg", kWh), "that of "+u.like.Name+", "+u.like.Source)
	}
	if kWh == 0 {
		b.add(by.at, "%s needs net_calorific_value, and no generic fuel is called %s", quoted(by.String()), quoted(u.Name.s))
		return math.NaN()
	}
	if from == dim {
		return kWh
	}
	if !(density > 0) {
		b.add(by.at, "%s is by %s and the calorific value by %s; write the density too", quoted(by.String()), dim, from)
		return math.NaN()
	}
	if !u.Density.set {
		b.noteOnce(u.Density.key, fmt.Sprintf("%g kg/m3", density), "that of "+u.like.Name+", "+u.like.RatioSource)
	}
	if dim == byVolume {
		return kWh * density // kWh/kg by kg/m3
	}
	return kWh / density
}

// noteOnce notes an assumption that two questions may both lead to.
func (b *builder) noteOnce(key, value, say string) {
	for _, a := range b.assumed {
		if a.Key == key {
			return
		}
	}
	b.note(key, value, say)
}
