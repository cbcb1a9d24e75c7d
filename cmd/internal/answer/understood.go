package answer

import (
	"fmt"
	"math"

	"noonkeep/scenarios"
)

// Understood is a scenario as the program understood it: what a person reads through before
// believing a curve.
type Understood struct {
	Scenario    string     `json:"scenario"`
	Sections    []Section  `json:"sections"`
	Assumptions []Assumed  `json:"assumptions"`
	Warnings    []Note     `json:"warnings"`
	Relaxations []Simplify `json:"simplifications"`

	Plant      Scheme      `json:"plant"`
	DesignDays []DesignDay `json:"design_days"`
	Light      SkyWay      `json:"light"`
}

// Section is one part of the plant in rows of name and finding.
type Section struct {
	Title string `json:"title"`
	Rows  []Row  `json:"rows"`
}

// Row is one named thing and what is known of it.
type Row struct {
	Name string `json:"name"`
	Text string `json:"text"`
}

// Assumed is a value that the scenario left out.
type Assumed struct {
	Key   string `json:"key"`
	Value string `json:"value"`
	Text  string `json:"text"`
}

// Simplify is one place where the program is simpler than the plant.
type Simplify struct {
	Name string `json:"name"`
	Text string `json:"text"`
}

// Understand describes a case. It solves nothing.
func Understand(c scenarios.Case) (Understood, error) {
	u := Understood{Scenario: c.Name, Assumptions: []Assumed{}, Warnings: notes(c)}
	u.Sections = append(u.Sections, siteOf(c), heatOf(c))
	u.Sections = append(append(u.Sections, housesOf(c)...), fitsOf(c)...)
	if len(c.Fields) > 0 {
		u.Sections = append(u.Sections, fieldsOf(c))
	}
	grounds, err := groundsOf(c)
	if err != nil {
		return Understood{}, err
	}
	u.Sections = append(u.Sections, grounds...)
	for _, st := range c.Stores {
		s, err := storeOf(c, st)
		if err != nil {
			return Understood{}, err
		}
		u.Sections = append(u.Sections, s)
	}
	if moneyOf(c) != nil {
		u.Sections = append(u.Sections, moneySection(c))
	}
	if len(c.Unsure) > 0 {
		u.Sections = append(u.Sections, unsureOf(c))
	}
	if len(c.Variants) > 0 {
		s, err := variantsOf(c)
		if err != nil {
			return Understood{}, err
		}
		u.Sections = append(u.Sections, s)
	}
	if u.Plant, err = SchemeOf(c); err != nil {
		return Understood{}, err
	}
	if u.DesignDays, err = DesignDays(c); err != nil {
		return Understood{}, err
	}
	u.Light = SkyWayOf(c)
	for _, a := range c.Assumptions {
		u.Assumptions = append(u.Assumptions, Assumed{a.Key, a.Value, a.Text})
	}
	for _, r := range scenarios.Relaxations() {
		u.Relaxations = append(u.Relaxations, Simplify{r.Name, r.Text})
	}
	return u, nil
}

func siteOf(c scenarios.Case) Section {
	h := c.Axis.StepH() / 1000
	s := Section{Title: "site and year"}
	s.add("place", "%s, %s, %.0f m up, air at %.3f bar(a)", bearing(c.Place.LatDeg, "north", "south"), bearing(c.Place.LonDeg, "east", "west"),
		c.Place.ElevationM, c.AirBarA)
	s.add("year", "%d steps of %.0f min from %s, local standard time", c.Axis.N, 60*c.Axis.StepH(), c.Axis.At(0).Format("2 Jan 2006 15:04"))
	s.clocks(c)
	s.add("weather", "%s", c.Weather.Source)
	s.add("sun", "%.0f kWh/m² direct normal, %.0f global horizontal in the year", sum(c.Weather.DNI)*h, sum(c.Weather.GHI)*h)
	return s
}

func heatOf(c scenarios.Case) Section {
	h := c.Axis.StepH()
	s := Section{Title: "heat and boilers"}
	for i := range c.Headers {
		s.header(c, i)
	}
	for _, l := range c.Loads {
		peak, _ := l.KW.Peak()
		s.add("load "+l.Name, "%.0f MWh/a, at most %.0f kW, %s", sum(l.KW)*h/1000, peak, l.Says)
	}
	s.boilers(c)
	return s
}

func fieldsOf(c scenarios.Case) Section {
	s := Section{Title: "collectors"}
	for _, f := range c.Fields {
		y := f.Yield()
		s.add("field "+f.Name, "%d of %.4g m², %.0f m² in all; at the %s %.0f kWh/m² a year (%.0f %% of the beam), at best %.0f kW",
			f.Count, f.ApertureM2, f.AreaM2(), useOf(f), y.DeliveredKWhM2, 100*y.DeliveredKWhM2/math.Max(y.BeamKWhM2, 1), y.PeakKWM2*f.AreaM2())
		s.add("", "%.0f h stowed by wind, %.0f h of too little sun; %.0f kWh/m² warm up receivers and pipes, %.0f are lost in pipes",
			y.StowedH, y.BelowDNIH, y.WarmupKWhM2, y.PipeLossKWhM2)
		s.care(f)
		s.shade(f)
		for k, y := range f.ToStores {
			if y.KWM2 != nil && f.Feeds != scenarios.ToStoreAlone {
				s.add("", "at the %s's hottest %.0f kWh/m² a year", calledOf(c, c.Stores[k]), y.DeliveredKWhM2)
			}
		}
		for _, note := range y.Notes {
			s.add("", "%s", note)
		}
	}
	return s
}

func (s *Section) add(name, format string, args ...any) {
	s.Rows = append(s.Rows, Row{name, fmt.Sprintf(format, args...)})
}

// bearing writes an angle by the side it lies on: "110.88° west".
func bearing(deg float64, above, below string) string {
	if deg < 0 {
		return fmt.Sprintf("%.2f° %s", -deg, below)
	}
	return fmt.Sprintf("%.2f° %s", deg, above)
}
