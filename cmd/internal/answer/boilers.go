package answer

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"noonkeep/plant"
	"noonkeep/scenarios"
)

// boilers describes the boilers, in what order they cost, and what they share.
func (s *Section) boilers(c scenarios.Case) {
	for _, b := range c.Boilers {
		text := fmt.Sprintf("%.0f kW of steam heat on %s, %.1f %% of net calorific value; a kWh of steam costs %.4f %s and gives off %.3f kg CO2",
			b.CapacityKW, b.Fuel.Name, 100*b.NetEfficiency(), heatPrice(c, b), c.Currency, b.CO2KgPerHeat())
		if b.Fuel.PriceByStep != nil {
			text += ", at the year's mean price"
		}
		s.add("boiler "+b.Name, "%s", text)
		s.loads(b)
		s.cycle(b)
	}
	s.order(c)
	for _, m := range c.Limits {
		var names []string
		for _, i := range m.Boilers {
			names = append(names, c.Boilers[i].Name)
		}
		of := "heat"
		if m.OfFuel {
			of = "fuel"
		}
		s.add("limit "+m.Name, "%s together at most %.0f kW of %s", strings.Join(names, ", "), m.MostKW, of)
	}
	s.prices(c)
}

// heatPrice is the mean price of a kWh of heat at full load, with that of carbon.
func heatPrice(c scenarios.Case, b scenarios.Boiler) float64 {
	if b.Fuel.Power {
		return b.PricePerHeat()
	}
	return b.PricePerHeat() + b.CO2KgPerHeat()*c.CarbonPerKg
}

// loads says how a boiler's efficiency follows its load, and how far the program's is off.
func (s *Section) loads(b scenarios.Boiler) {
	if l := b.Losses; l.List != nil {
		basis := "net"
		if l.Gross {
			basis = "gross"
		}
		var all []string
		for _, x := range l.List {
			all = append(all, fmt.Sprintf("%s %.2f", x.Name, 100*x.Frac))
		}
		s.add("", "losses at full load in %% of %s heat: %s; leaves %.2f", basis, strings.Join(all, ", "), 100*l.Efficiency())
	}
	if b.Table == nil && b.StandingFrac == 0 {
		return
	}
	var all []string
	for _, p := range b.Curve() {
		if p.HeatKW > 0 {
			all = append(all, fmt.Sprintf("%.1f %% at %.0f kW", 100*p.HeatKW/p.FuelKW, p.HeatKW))
		}
	}
	s.add("", "efficiency by load, net: %s", strings.Join(all, ", "))
	h := b.Hull()
	if h.UnderKW == 0 {
		s.add("", "the program has this fuel as it is")
		return
	}
	at := fmt.Sprintf("at %.0f kW", h.AtKW)
	if h.AtKW == 0 {
		at = "just above no load"
	}
	s.add("", "the program's fuel, its convex hull, lies at most %.1f kW under it, %s", h.UnderKW, at)
}

// cycle says what keeps a boiler from burning as it likes.
func (s *Section) cycle(b scenarios.Boiler) {
	var says []string
	if b.MinFireFrac > 0 {
		says = append(says, fmt.Sprintf("fires at %.0f kW or more", b.LeastKW()))
	}
	if b.StartKWh > 0 || b.StartH > 0 {
		start := fmt.Sprintf("starts from cold with %.0f kWh of fuel", b.StartKWh)
		if b.StartH > 0 {
			start += fmt.Sprintf(" in %.0f min", 60*b.StartH)
		}
		says = append(says, start)
	}
	if b.StandbyFrac > 0 {
		says = append(says, fmt.Sprintf("stands by hot with %.1f kW of fuel", b.StandbyFrac*b.FuelKW(b.CapacityKW)))
	}
	if b.RampKWH > 0 {
		says = append(says, fmt.Sprintf("changes its heat by at most %.0f kW in an hour", b.RampKWH))
	}
	for _, span := range b.Out {
		says = append(says, "is out of service "+span.String())
	}
	if says != nil {
		s.add("", "%s", strings.Join(says, "; "))
	}
}

// order is the boilers by what a kWh of their heat costs at full load; where prices follow the clock, also in what share
// of the steps each is the cheapest.
func (s *Section) order(c scenarios.Case) {
	if len(c.Boilers) < 2 {
		return
	}
	list, moves := slices.Clone(c.Boilers), false
	slices.SortStableFunc(list, func(x, y scenarios.Boiler) int { return cmp.Compare(heatPrice(c, x), heatPrice(c, y)) })
	var says []string
	for _, b := range list {
		says = append(says, fmt.Sprintf("%s %.4f", b.Name, heatPrice(c, b)))
		moves = moves || b.Fuel.PriceByStep != nil
	}
	s.add("order by cost", "%s %s a kWh at full load", strings.Join(says, ", "), c.Currency)
	if !moves {
		return
	}
	first := make([]int, len(list))
	for t := range c.Axis.N {
		best, least := 0, math.Inf(1)
		for i, b := range list {
			if price := stepPrice(c, b, t); price < least {
				best, least = i, price
			}
		}
		first[best]++
	}
	says = nil
	for i, b := range list {
		if first[i] > 0 {
			says = append(says, fmt.Sprintf("%s in %.0f %%", b.Name, 100*float64(first[i])/float64(c.Axis.N)))
		}
	}
	s.add("", "by the clock the cheapest is %s of the steps", strings.Join(says, ", "))
}

func stepPrice(c scenarios.Case, b scenarios.Boiler, t int) float64 {
	price := b.Fuel.PriceAt(t)
	if !b.Fuel.Power {
		price += b.Fuel.CO2KgPerKWh * c.CarbonPerKg
	}
	return price * b.FuelPerHeat()
}

// prices says what follows the clock, and what is paid whatever is burnt.
func (s *Section) prices(c scenarios.Case) {
	fuels := slices.Clone(c.Fuels)
	if c.Power.Name != "" {
		fuels = append(fuels, c.Power)
	}
	for _, f := range fuels {
		if f.PriceByStep != nil {
			s.add("price of "+f.Name, "%s", priceSays(f, c.Currency))
		}
	}
	if c.Power.PriceByStep != nil && len(c.Fields) > 0 {
		s.add("", "drives and pumps pay %.4f, its mean over the sun's hours", c.PowerPerKWh)
	}
	for _, x := range c.Charges {
		s.add("standing charge", "%.0f %s a year for %s", x.PerYear, c.Currency, x.Of)
	}
	for _, x := range c.Takes {
		s.add("least take", "%.0f MWh of %s a year (net) are paid for, burnt or not, at %.4f %s a kWh", x.LeastKWh/1000, x.Fuel, x.PricePerKWh, c.Currency)
	}
}

func priceSays(f plant.Fuel, currency string) string {
	below := 0
	for _, x := range f.PriceByStep {
		if x < 0 {
			below++
		}
	}
	text := fmt.Sprintf("%.4f to %.4f %s a kWh, net, %.4f in the mean of the year", slices.Min(f.PriceByStep), slices.Max(f.PriceByStep), currency, f.PricePerKWh)
	if below > 0 {
		text += fmt.Sprintf("; below 0 in %d steps", below)
	}
	return text
}
