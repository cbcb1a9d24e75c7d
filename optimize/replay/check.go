package replay

import (
	"errors"
	"fmt"
	"math"
)

// faults collects what is wrong.
type faults []error

func (f *faults) require(ok bool, format string, args ...any) {
	if !ok {
		*f = append(*f, fmt.Errorf(format, args...))
	}
}

// Check returns everything that is wrong with a plant, but what package storage finds in its vessels.
func (p *Plant) Check() error {
	var f faults
	perHour := secondsPerHour / p.StepS
	whole := p.StepS > 0 && perHour == math.Round(perHour)
	f.require(whole, "step: is %g s; want a whole fraction of an hour", p.StepS)
	f.require(p.Steps > 0 && whole && p.Steps%int(math.Max(perHour, 1)) == 0, "steps: are %d; want whole hours of them", p.Steps)
	f.require(len(p.Headers) > 0, "headers: there is none; want at least one")
	if len(f) > 0 {
		return errors.Join(f...)
	}
	for l := range p.Headers {
		p.checkHeader(&f, l)
	}
	for n := range p.Fields {
		p.checkField(&f, &p.Fields[n])
	}
	for j := range p.Boilers {
		b := &p.Boilers[j]
		what := "boiler " + b.Name
		f.require(p.isHeader(b.Header), "%s: header: is %d; there are %d", what, b.Header, len(p.Headers))
		p.series(&f, what+": available", b.Available, 0, 1)
		if err := b.Boiler.Check(); err != nil {
			f = append(f, err)
		}
	}
	for _, l := range p.Limits {
		f.require(l.MostKW >= 0, "limit %s: is %g kW; want 0 or more", l.Name, l.MostKW)
		for _, j := range l.Boilers {
			f.require(j >= 0 && j < len(p.Boilers), "limit %s: has boiler %d; there are %d", l.Name, j, len(p.Boilers))
		}
	}
	for k := range p.Stores {
		p.checkStore(&f, &p.Stores[k])
	}
	return errors.Join(f...)
}

func (p *Plant) isHeader(l int) bool { return l >= 0 && l < len(p.Headers) }

func (p *Plant) checkHeader(f *faults, l int) {
	h := &p.Headers[l]
	what := "header " + h.Name
	p.series(f, what+": demand", h.DemandKW, 0, math.Inf(1))
	f.require(h.SlackKWh >= 0 && h.SlackKWh < math.Inf(1), "%s: slack: is %g kWh; want 0 or more", what, h.SlackKWh)
	f.require(h.Above < l && h.Above >= -1, "%s: above: is header %d; want one that stands before it, or -1", what, h.Above)
	f.require(h.ValveKW >= 0, "%s: valve: is %g kW; want 0 or more", what, h.ValveKW)
	f.require(h.SteamC == 0 || h.SteamC > h.FeedwaterC && h.FeedwaterC > 0, "%s: steam: is %g °C from feedwater of %g °C; want it hotter than that, and that above 0", what, h.SteamC, h.FeedwaterC)
	f.require(h.Above < 0 || h.SteamC == 0 || p.Headers[h.Above].SteamC > 0, "%s: above: is a medium; want steam over steam", what)
}

func (p *Plant) checkField(f *faults, x *Field) {
	what := "field " + x.Name
	f.require(x.AreaM2 >= 0 && x.AreaM2 < math.Inf(1), "%s: area: is %g m²; want 0 or more", what, x.AreaM2)
	f.require(p.isHeader(x.Header), "%s: header: is %d; there are %d", what, x.Header, len(p.Headers))
	f.require(x.LagS >= 0 && x.CoolH >= 0 && x.LagS < math.Inf(1), "%s: lag: is %g s, cooling %g h; want both 0 or more", what, x.LagS, x.CoolH)
	f.require(len(x.Stores) <= len(p.Stores), "%s: charges %d stores; there are %d", what, len(x.Stores), len(p.Stores))
	p.series(f, what+": yield", x.HeaderKWM2, 0, math.Inf(1))
	p.series(f, what+": most", x.MostKW, 0, math.Inf(1))
	for _, y := range x.Stores {
		p.series(f, what+": yield at the store's floor", y.FloorKWM2, 0, math.Inf(1))
		p.series(f, what+": yield at the store's hottest", y.HotKWM2, 0, math.Inf(1))
		f.require((y.FloorKWM2 == nil) == (y.HotKWM2 == nil), "%s: has one of a store's two yields; want both or neither", what)
	}
}

func (p *Plant) checkStore(f *faults, s *Store) {
	what := "store " + s.Name
	f.require(p.isHeader(s.Header) && p.isHeader(s.From), "%s: serves header %d, charged from %d; there are %d", what, s.Header, s.From, len(p.Headers))
	f.require(s.VolumeM3 >= 0 && s.VolumeM3 < math.Inf(1), "%s: volume: is %g m³; want 0 or more", what, s.VolumeM3)
	f.require(s.ChargeKW >= 0 && s.HeaderChargeKW >= 0, "%s: charging: is %g kW and %g kW; want both 0 or more", what, s.ChargeKW, s.HeaderChargeKW)
	p.series(f, what+": ambient", s.AmbientC, -80, 80)
}

// series looks for a length that does not fit and for values out of bounds; none is allowed.
func (p *Plant) series(f *faults, what string, v []float64, least, most float64) {
	if len(v) == 0 {
		return
	}
	if p.Steps%len(v) != 0 {
		f.require(false, "%s: has %d values for %d steps; want as many, or a whole fraction", what, len(v), p.Steps)
		return
	}
	for i, x := range v {
		if !(x >= least && x <= most) || math.IsInf(x, 1) {
			f.require(false, "%s: value %d is %g; want %g to %g", what, i, x, least, most)
			return
		}
	}
}
