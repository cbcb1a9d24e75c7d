package scenarios

import (
	"io"

	"noonkeep/plant"
	"noonkeep/plant/clock"
)

// pricing is how a price of fuel or electricity is written.
type pricing struct {
	place  at // of the price, written or not
	eg     string
	one    amount
	months []amount
	tariff []tariffOf
	series text
}

// tariffOf is one window of a tariff.
type tariffOf struct {
	at           at
	when, season text
	price        amount
}

func (f fuelFile) pricing() pricing {
	p := pricing{f.Price.At, "0.045 EUR/kWh", f.Price.One, f.Price.Months, nil, f.Series}
	for _, w := range f.Tariff {
		p.tariff = append(p.tariff, tariffOf{w.At, w.When, w.Season, w.Price})
	}
	return p
}

func (f powerFile) pricing() pricing {
	p := pricing{f.Price.At, "0.12 EUR/kWh", f.Price.One, f.Price.Months, nil, f.Series}
	for _, w := range f.Tariff {
		p.tariff = append(p.tariff, tariffOf{w.At, w.When, w.Season, w.Price})
	}
	return p
}

// priceOf gives a fuel's price: one for all the year, or its mean and one for each step. net turns what is
// written into a price per kWh of net heat, per does the same for prices per kWh of a file.
func (b *builder) priceOf(p pricing, net func(amount) float64, per func(float64) float64) (mean float64, byStep []float64) {
	others := p.place.set || len(p.tariff) > 0
	switch {
	case p.series.set && others:
		b.add(p.series.at, "stands beside a price or a tariff; want one of the two")
	case p.series.set:
		byStep = b.seriesPrices(p.series, per)
	case !others:
		if !b.faulty(p.place.key) && !b.faulty(p.series.key) {
			b.add(p.place, "is missing; write for example %q", lastKey(p.place.key)+": "+p.eg)
		}
	case len(p.tariff) == 0 && p.months == nil:
		return net(p.one), nil
	case b.c.Axis.N > 0:
		byStep = b.clockPrices(p, net)
	}
	if byStep == nil {
		return 0, nil
	}
	for _, x := range byStep {
		mean += x / float64(len(byStep))
	}
	return mean, byStep
}

// clockPrices are prices by month and by the hours of a tariff, by the clock on the wall. Holidays are those of the
// study; its shutdowns, in which the works rest, are none of the supplier's. Nil for a fault.
func (b *builder) clockPrices(p pricing, net func(amount) float64) []float64 {
	a, before := b.c.Axis, len(b.faults.list)
	prices, covered := make([]float64, a.N), make([]float64, a.N)
	first := make([]int, a.N) // which window came first in a step, from 1
	calendar := b.c.Calendar
	calendar.Shutdowns = nil
	for i, w := range p.tariff {
		shares := b.windowShares(w, calendar)
		if shares == nil || !w.price.set {
			continue
		}
		price := net(w.price)
		for t, share := range shares {
			if share == 0 {
				continue
			}
			if covered[t]+share > 1+1e-9 {
				b.add(w.at, "holds on %s, and so does the window of line %d; want no hour twice", a.Label(t), p.tariff[first[t]-1].at.line)
				return nil
			}
			prices[t] += share * price
			covered[t] += share
			if first[t] == 0 {
				first[t] = i + 1
			}
		}
	}
	if len(b.faults.list) > before || p.place.set && !p.one.set && len(p.months) != 12 {
		return nil
	}
	var base [12]float64
	for m := range base {
		if p.months != nil {
			base[m] = net(p.months[m])
		} else if p.one.set {
			base[m] = net(p.one)
		}
	}
	for t := range prices {
		left := 1 - covered[t]
		if left <= 1e-9 {
			continue
		}
		if !p.place.set {
			b.add(p.tariff[0].at, "and the other windows leave out %s; cover it, on holidays by hours for holidays, or write a price for all other hours", a.Label(t))
			return nil
		}
		prices[t] += left * base[calendar.Wall(a.At(t)).Month()-1]
	}
	return prices
}

// windowShares is the part of each step in which a window of a tariff holds; nil for a fault.
func (b *builder) windowShares(w tariffOf, calendar clock.Calendar) []float64 {
	if !w.when.set || w.when.s == "" {
		return nil
	}
	when, err := clock.ParseWhen(w.when.s)
	if err != nil {
		b.wrap(w.when.at, err)
		return nil
	}
	if !w.season.set {
		return when.Shares(b.c.Axis, calendar)
	}
	season, err := clock.ParseSpan(w.season.s)
	if err != nil {
		b.wrap(w.season.at, err)
		return nil
	}
	return when.SharesIn(b.c.Axis, calendar, season)
}

// seriesPrices reads prices from a file; nil for a fault.
func (b *builder) seriesPrices(name text, per func(float64) float64) []float64 {
	if name.s == "" {
		return nil
	}
	r, err := b.opened(name)
	if err != nil {
		return nil
	}
	defer r.Close()
	file, err := plant.ReadPrices(io.LimitReader(r, mostFileBytes), name.s)
	if err != nil {
		b.wrap(name.at, err)
		return nil
	}
	if b.c.Currency == "" {
		b.c.Currency = file.Currency
		b.note("money.currency", file.Currency, "that of the prices in "+name.s)
	}
	if file.Currency != b.c.Currency {
		b.add(name.at, "%s counts in %s, and the scenario in %s; want one currency", name.s, file.Currency, b.c.Currency)
		return nil
	}
	if b.c.Axis.N == 0 {
		return nil
	}
	values, err := file.On(b.c.Axis, b.c.Calendar)
	if err != nil {
		b.wrap(name.at, err)
		return nil
	}
	for t, x := range values {
		values[t] = per(x)
	}
	return values
}

// power sets electricity as a fuel.
func (b *builder) power() {
	f := b.f.Electricity
	if f == nil {
		if len(b.f.Fields) > 0 {
			b.note("electricity.price", "0", "drives and pumps are counted as free")
		}
		return
	}
	b.c.Power = plant.Fuel{Name: powerName, GrossPerNet: 1, Power: true}
	b.c.Power.PricePerKWh, b.c.Power.PriceByStep = b.priceOf(f.pricing(), amount.base, func(x float64) float64 { return x })
	if f.CO2.set && f.CO2.unit.dim != byEnergy {
		b.add(f.CO2.at, "%s is not per energy; write for example \"400 g/kWh\"", quoted(f.CO2.String()))
	}
	b.c.Power.CO2KgPerKWh = f.CO2.base()
	b.c.PowerPerKWh = b.c.Power.PricePerKWh
	b.charge(powerName, f.Standing)
}

// charge notes a standing charge.
func (b *builder) charge(of string, perYear amount) {
	if perYear.set && perYear.base() > 0 {
		b.c.Charges = append(b.c.Charges, Charge{of, perYear.base()})
	}
}

// sunnyPower prices the power of pumps and drives by the hours in which the sun shines, where it follows the clock.
func (b *builder) sunnyPower() {
	prices := b.c.Power.PriceByStep
	if prices == nil || len(b.c.Fields) == 0 {
		return
	}
	sum, weight := 0.0, 0.0
	for t, light := range b.c.Weather.GHI {
		sum += light * prices[t]
		weight += light
	}
	if weight > 0 {
		b.c.PowerPerKWh = max(0, sum/weight)
	}
}

// take sets what of a fuel is paid for in a year, burnt or not.
func (b *builder) take(u burnt, fuel plant.Fuel) {
	least := u.LeastTake
	if !least.set {
		return
	}
	switch {
	case fuel.PriceByStep != nil:
		b.add(least.at, "needs one price all year, at which what is not burnt is paid for; take it out, or the prices by month, hour or file")
		return
	case u.Basis.s == "gross" && !(u.gross >= 1):
		if !b.faulty(u.Price.At.key) {
			b.add(least.at, "counts gross; write gross_per_net, the gross over the net calorific value")
		}
		return
	case u.Basis.s == "":
		b.noteOnce(u.Basis.key, "net", "the minimum take counts by net calorific value")
	}
	kWh := least.base()
	if u.Basis.s == "gross" {
		kWh /= u.gross
	}
	b.c.Takes = append(b.c.Takes, Take{Fuel: fuel.Name, LeastKWh: kWh, PricePerKWh: fuel.PricePerKWh})
}

// burners are the places of the boilers that burn a fuel.
func (c Case) burners(fuel string) []int {
	var list []int
	for i, x := range c.Boilers {
		if x.Fuel.Name == fuel {
			list = append(list, i)
		}
	}
	return list
}

// charges is what standing charges come to in a year; one of a fuel that no boiler burns is paid all the same.
func (c Case) charges() float64 {
	sum := 0.0
	for _, x := range c.Charges {
		sum += x.PerYear
	}
	return sum
}
