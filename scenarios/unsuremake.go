package scenarios

import (
	"fmt"
	"slices"

	"noonkeep/demand"
	"noonkeep/plant"
)

// With gives the case with each of the unsure inputs multiplied by its share, one for each of the list. Weather is the
// caller's: see [Case.WithSeed] and [Case.WithWeather]. What is not turned is shared with c and not worked out again; what
// is turned is not what is written, so the result has no variants. Several goroutines may ask at once.
func (c Case) With(list []Unsure, times []float64) (Case, error) {
	if len(list) != len(times) {
		return Case{}, fmt.Errorf("%s: %d unsure inputs have %d shares; want one for each", c.File, len(list), len(times))
	}
	out := c
	turn := func(output bool) {
		for i, u := range list {
			if (u.What == UnsureOutput) == output && times[i] != 1 {
				unsureKindOf(u.What).turn(&out, func(name string) bool { return u.Of == "" || u.Of == name }, times[i])
			}
		}
	}
	for i, u := range list {
		if !(times[i] > 0 && times[i] <= 2*mostTimes) {
			return Case{}, fmt.Errorf("%s: %v: times %g; want more than 0 and at most %d", c.File, u, times[i], 2*mostTimes)
		}
	}
	turn(false)
	if err := out.yieldsAgain(c.Fields); err != nil {
		return Case{}, err
	}
	turn(true)
	out.Variants = nil
	return out, nil
}

func loadNames(c *Case) []string { return namesOf(c.Loads, func(x Consumer) string { return x.Name }) }
func boilerNames(c *Case) []string {
	return namesOf(c.Boilers, func(x Boiler) string { return x.Name })
}
func fieldNames(c *Case) []string { return namesOf(c.Fields, func(x Field) string { return x.Name }) }

func namesOf[T any](list []T, name func(T) string) []string {
	var all []string
	for _, x := range list {
		all = append(all, name(x))
	}
	return all
}

func fuelsOf(c *Case) []string { return namesOf(c.Fuels, func(x plant.Fuel) string { return x.Name }) }

func soiledFields(c *Case) []string {
	return fieldNames(&Case{Fields: slices.DeleteFunc(slices.Clone(c.Fields), func(f Field) bool { return f.Soiling.PerDay == 0 })})
}

// turnLoads multiplies the heat of loads, and what becomes of it on the headers. A vessel's or valve's size stays.
func turnLoads(c *Case, this func(string) bool, x float64) {
	c.Loads = slices.Clone(c.Loads)
	for i := range c.Loads {
		load := &c.Loads[i]
		if !this(load.Name) {
			continue
		}
		load.KW = timesSeries(load.KW, x)
		if load.Moved == nil {
			continue
		}
		moved := *load.Moved // a tenth more work on a tenth more machines
		moved.HeatKWh, moved.MostKW, moved.LeastKW = x*moved.HeatKWh, x*moved.MostKW, x*moved.LeastKW
		moved.Windows = append([]demand.Window(nil), moved.Windows...)
		for w := range moved.Windows {
			moved.Windows[w].HeatKWh *= x
		}
		load.Moved = &moved
	}
	b := builder{decoder: &decoder{}, c: *c, f: c.made.f}
	b.c.Headers = slices.Clone(c.Headers)
	for i := range b.c.Headers {
		b.c.Headers[i].FlashKW, b.c.Headers[i].FlashVentedKWh = nil, 0
	}
	for _, f := range b.f.Headers {
		b.swap = append(b.swap, slices.IndexFunc(b.c.Headers, func(h Header) bool { return h.Name == f.Name.s }))
	}
	b.demands()
	c.Headers = b.c.Headers
}

func timesSeries[S ~[]float64](v S, x float64) S {
	if v == nil {
		return nil
	}
	out := make(S, len(v))
	for t := range v {
		out[t] = x * v[t]
	}
	return out
}

// turnBoilers multiplies the efficiency of boilers, at every load.
func turnBoilers(c *Case, this func(string) bool, x float64) {
	c.Boilers = slices.Clone(c.Boilers)
	for i := range c.Boilers {
		b := &c.Boilers[i]
		if !this(b.Name) {
			continue
		}
		b.Efficiency *= x
		b.Table = slices.Clone(b.Table)
		for j := range b.Table {
			b.Table[j].Efficiency *= x
		}
	}
}

// turnFuels multiplies the prices of fuels, in the boilers' copies and in contracts too.
func turnFuels(c *Case, this func(string) bool, x float64) {
	c.Fuels, c.Boilers, c.Takes = slices.Clone(c.Fuels), slices.Clone(c.Boilers), slices.Clone(c.Takes)
	for i := range c.Fuels {
		turnPrice(&c.Fuels[i], this, x)
	}
	for i := range c.Boilers {
		if !c.Boilers[i].Fuel.Power {
			turnPrice(&c.Boilers[i].Fuel, this, x)
		}
	}
	for i := range c.Takes {
		if this(c.Takes[i].Fuel) {
			c.Takes[i].PricePerKWh *= x
		}
	}
}

func turnPrice(f *plant.Fuel, this func(string) bool, x float64) {
	if this(f.Name) {
		f.PricePerKWh *= x
		f.PriceByStep = timesSeries(f.PriceByStep, x)
	}
}

// turnPower multiplies the price of electricity, for pumps, drives and electrode boilers.
func turnPower(c *Case, _ func(string) bool, x float64) {
	all := func(string) bool { return true }
	c.PowerPerKWh *= x
	c.Boilers = slices.Clone(c.Boilers)
	turnPrice(&c.Power, all, x)
	for i := range c.Boilers {
		if c.Boilers[i].Fuel.Power {
			turnPrice(&c.Boilers[i].Fuel, all, x)
		}
	}
}

func turnFields(c *Case, this func(string) bool, turn func(*Field)) {
	c.Fields = slices.Clone(c.Fields)
	for i := range c.Fields {
		if this(c.Fields[i].Name) {
			turn(&c.Fields[i])
		}
	}
}

func turnClean(c *Case, this func(string) bool, x float64) {
	turnFields(c, this, func(f *Field) { f.Cleanliness *= x })
}

func turnSoiling(c *Case, this func(string) bool, x float64) {
	turnFields(c, this, func(f *Field) { f.Soiling.PerDay *= x })
}

func turnAvailable(c *Case, this func(string) bool, x float64) {
	turnFields(c, this, func(f *Field) { f.Availability *= x })
}

// turnOutput multiplies what fields deliver, after all their losses.
func turnOutput(c *Case, this func(string) bool, x float64) {
	turnFields(c, this, func(f *Field) {
		f.ToHeader, f.ToStore, f.ToStores = timesYield(f.ToHeader, x), timesYield(f.ToStore, x), slices.Clone(f.ToStores)
		for k := range f.ToStores {
			f.ToStores[k] = timesYield(f.ToStores[k], x)
		}
	})
}

// timesYield multiplies the heat delivered; light, losses and power stay.
func timesYield(y plant.YieldYear, x float64) plant.YieldYear {
	y.KWM2 = timesSeries(y.KWM2, x)
	y.DeliveredKWhM2 *= x
	y.PeakKWM2 *= x
	return y
}

// yieldsAgain works out the fields whose collectors are not those of before.
func (c *Case) yieldsAgain(before []Field) error {
	for i := range c.Fields {
		f, was := &c.Fields[i], &before[i]
		if f.Cleanliness == was.Cleanliness && f.Soiling.PerDay == was.Soiling.PerDay && f.Availability == was.Availability {
			continue
		}
		var err error
		if f.Feeds != ToStoreAlone {
			if f.ToHeader, err = f.Field.Yield(c.Weather, f.AtC); err != nil {
				return err
			}
		}
		f.ToStores = slices.Clone(f.ToStores)
		for k, y := range f.ToStores {
			if y.KWM2 == nil {
				continue
			}
			if f.ToStores[k], err = f.Field.Yield(c.Weather, c.Stores[k].HotC()); err != nil {
				return err
			}
			if c.Stores[k] == c.Store {
				f.ToStore = f.ToStores[k]
			}
		}
	}
	return nil
}

// mostEfficient is how far the efficiency of boilers may rise: to 1, on net heat to gross over net.
func mostEfficient(c Case, of string) (float64, string) {
	most, what := float64(mostTimes), ""
	for _, x := range c.Boilers {
		limit := 1.0
		if !x.EfficiencyGross {
			limit = max(1, x.Fuel.GrossPerNet)
		}
		best := x.Efficiency
		for _, p := range x.Table {
			best = max(best, p.Efficiency)
		}
		if (of == "" || x.Name == of) && limit/best < most {
			most, what = limit/best, "boiler "+quoted(x.Name)
		}
	}
	return most, what
}

func mostClean(c Case, of string) (float64, string) {
	return mostShare(c, of, func(f Field) float64 { return f.Cleanliness })
}

func mostAvailable(c Case, of string) (float64, string) {
	return mostShare(c, of, func(f Field) float64 { return f.Availability })
}

func mostShare(c Case, of string, share func(Field) float64) (float64, string) {
	most, what := float64(mostTimes), ""
	for _, f := range c.Fields {
		if (of == "" || f.Name == of) && 1/share(f) < most {
			most, what = 1/share(f), "field "+quoted(f.Name)
		}
	}
	return most, what
}
