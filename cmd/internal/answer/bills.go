package answer

import (
	"fmt"

	"noonkeep/scenarios"
)

// mostPoints is how many bills a fit shows one by one.
const mostPoints = 24

// fitsOf shows how well bills follow the weather.
func fitsOf(c scenarios.Case) []Section {
	var all []Section
	for _, l := range c.Loads {
		if l.Billed == nil || l.Billed.Fit == nil {
			continue
		}
		f := l.Billed.Fit
		s := Section{Title: "bills of load " + l.Name + " against degree days"}
		s.add("fit", "%s", f)
		if f.Used && len(f.Points) <= mostPoints {
			for _, p := range f.Points {
				s.add(fmt.Sprintf("bill of line %d", p.Line), "%.1f K d a day: %.0f kWh/d of heat, by the fit %.0f (%+.0f)", p.DegreeDays, p.KWh, p.Fit, p.KWh-p.Fit)
			}
		}
		all = append(all, s)
	}
	return all
}
