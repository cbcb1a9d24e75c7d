package answer

import (
	"math"
	"strings"
	"time"

	"noonkeep/scenarios"
)

// weeks picks a week of summer and one of winter, by the site's side of the equator.
func (b *Bid) weeks(c scenarios.Case) {
	summer := map[time.Month]bool{time.June: true, time.July: true, time.August: true}
	winter := map[time.Month]bool{time.December: true, time.January: true, time.February: true}
	if c.Place.LatDeg < 0 {
		summer, winter = winter, summer
	}
	b.Summer, b.Winter = b.pick(c, summer), b.pick(c, winter)
}

// pick finds the whole week of a season that lies nearest to the season's mean sun and to its working demand.
func (b *Bid) pick(c scenarios.Case, season map[time.Month]bool) PickedWeek {
	p := b.Plan
	var weeks []Week
	for i := 0; i < p.Axis.N; {
		w := p.WeekOf(i)
		i = w.To
		if season[p.Axis.At(w.From).Month()] && season[p.Axis.At(w.To-1).Month()] && p.Axis.At(w.To).Sub(p.Axis.At(w.From)) >= 7*24*time.Hour {
			weeks = append(weeks, w)
		}
	}
	if len(weeks) == 0 { // a season without a whole week
		return PickedWeek{Week: p.BusiestWeek(), FromDay: p.Axis.At(p.BusiestWeek().From).Format(time.DateOnly)}
	}
	sunOf := func(w Week) float64 { return sum(c.Weather.DNI[w.From:w.To]) }
	askOf := func(w Week) float64 { return sum(p.DemandKW[w.From:w.To]) }
	meanSun, mostAsk := 0.0, 0.0
	for _, w := range weeks {
		meanSun += sunOf(w) / float64(len(weeks))
		mostAsk = math.Max(mostAsk, askOf(w))
	}
	off := func(w Week) float64 {
		return math.Abs(sunOf(w)-meanSun)/math.Max(meanSun, 1) + math.Abs(askOf(w)-mostAsk)/math.Max(mostAsk, 1)
	}
	best := weeks[0]
	for _, w := range weeks {
		if off(w) < off(best) {
			best = w
		}
	}
	perDay := p.Axis.StepH() / 1000 / 7
	return PickedWeek{Week: best, FromDay: p.Axis.At(best.From).Format(time.DateOnly), SunKWhM2Day: sunOf(best) * perDay, SeasonKWhM2D: meanSun * perDay}
}

// inputsOf lists what was written and what was filled in.
func inputsOf(c scenarios.Case) []Input {
	list := []Input{}
	for _, e := range c.Written() {
		list = append(list, Input{Key: e.Key, Value: e.Value, Line: e.Line})
	}
	for _, a := range c.Assumptions {
		list = append(list, Input{Key: a.Key, Value: a.Value, Assumed: a.Text})
	}
	return list
}

// basesOf says what the weather, each load, the prices, the collectors and the store rest on.
func basesOf(c scenarios.Case) []Basis {
	written := c.Written()
	has := func(way string) bool {
		for _, e := range written {
			if e.Key == way || strings.HasPrefix(e.Key, way+".") || strings.HasPrefix(e.Key, way+"[") {
				return true
			}
		}
		return false
	}
	assumed := map[string]bool{}
	for _, a := range c.Assumptions {
		assumed[a.Key] = true
	}
	list := []Basis{{Of: BasisWeather, Ground: FromFile, Text: c.Weather.Source}}
	if _, generated := c.Seed(); generated {
		list[0].Ground = Generated
	}
	for _, l := range c.Loads {
		way, ground := "loads["+l.Name+"]", Given
		for _, key := range []string{"log", "bills", "series"} {
			if has(way + "." + key) {
				ground = Measured
			}
		}
		list = append(list, Basis{BasisLoad, l.Name, ground, l.Says})
	}
	for _, bo := range c.Boilers {
		ground := Given
		if assumed["boilers["+bo.Name+"].efficiency"] {
			ground = Assumption
		}
		list = append(list, Basis{BasisBoiler, bo.Name, ground, ""})
	}
	for _, f := range c.Fields {
		ground := Given
		if assumed["fields["+f.Name+"].collector"] {
			ground = Assumption
		}
		list = append(list, Basis{BasisField, f.Name, ground, ""})
	}
	return append(list, Basis{Of: BasisPrices, Ground: Given}, Basis{Of: BasisStore, Ground: Given})
}

// What a [Basis] is of.
const (
	BasisWeather = "weather"
	BasisLoad    = "load"
	BasisBoiler  = "boiler"
	BasisField   = "field"
	BasisPrices  = "prices"
	BasisStore   = "store"
)
