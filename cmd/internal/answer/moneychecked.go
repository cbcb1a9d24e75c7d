package answer

import (
	"fmt"
	"strings"

	"noonkeep/optimize/worth"
	"noonkeep/scenarios"
)

// moneySection says what was understood of money.
func moneySection(c scenarios.Case) Section {
	s := Section{Title: "money"}
	m := moneyOf(c)
	if c.Business.Has {
		s.add("terms", "%s", strings.Join(m.Words, "; "))
	}
	if c.Store != nil && c.Store.Cost.Known {
		s.add("the tank", "%s", vesselWords(c.Store.Cost, c.Currency))
		if price, err := c.Store.Cost.Price.At(c.Store.VolumeM3); err == nil {
			s.add("of "+fmt.Sprintf("%.4g m³", c.Store.VolumeM3), "%s %s, one more m³ %s", thousands(price), c.Currency, thousands(c.Store.Cost.Price.NextM3(c.Store.VolumeM3)))
		}
	}
	for _, f := range c.Fields {
		if f.Cost.Known {
			s.add("field "+f.Name, "%s %s, upkeep %.3g %% a year", thousands(f.Cost.Of(f.AreaM2())), c.Currency, 100*f.Cost.UpkeepFrac)
		}
	}
	if m.plant && c.Store != nil {
		if _, p, err := c.PlantProject(c.Store.VolumeM3, scenarios.Saved{}); err == nil {
			s.add("sun and tank", "%s", outlayWords(p, c.Currency))
		}
	}
	for _, l := range []struct {
		what string
		keys []string
	}{{"the tank alone", m.TankLacks}, {"sun and tank", m.PlantLacks}} {
		if len(l.keys) > 0 && len(c.Fields) > 0 {
			s.add(l.what, "not counted: %s missing", listWords(l.keys))
		}
	}
	return s
}

// vesselWords is a vessel's price in words.
func vesselWords(v scenarios.VesselCost, currency string) string {
	var all []string
	say := func(is bool, format string, args ...any) {
		if is {
			all = append(all, fmt.Sprintf(format, args...))
		}
	}
	p := v.Price
	say(p.Fixed > 0, "%s %s for any", thousands(p.Fixed), currency)
	say(p.PerM3 > 0, "%s %s a m³", thousands(p.PerM3), currency)
	say(p.ReferenceM3 > 0, "%s %s at %g m³, growing with the volume to the power of %g", thousands(p.ReferencePrice), currency, p.ReferenceM3, p.Exponent)
	if n := len(p.Table); n > 0 {
		say(true, "a list of %d from %g m³ at %s to %g m³ at %s %s", n, p.Table[0].M3, thousands(p.Table[0].Price), p.Table[n-1].M3, thousands(p.Table[n-1].Price), currency)
	}
	say(v.Integration > 0, "integration %s", thousands(v.Integration))
	say(v.UpkeepFrac > 0, "upkeep %.3g %% a year", 100*v.UpkeepFrac)
	say(len(v.SizesM3) > 0, "%d sizes to be had", len(v.SizesM3))
	return strings.Join(all, ", ")
}

// outlayWords lists what is bought.
func outlayWords(p worth.Project, currency string) string {
	var all []string
	total := 0.0
	for _, o := range p.Outlays {
		all = append(all, o.Name+" "+thousands(o.Sum))
		total += o.Sum
	}
	return fmt.Sprintf("%s %s: %s", thousands(total), currency, strings.Join(all, ", "))
}
