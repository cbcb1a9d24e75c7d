package demand

import (
	"fmt"
	"math"
)

// billLaw gives a step's heat: what runs always, by the share of the step in the hours of work, and by its cold.
type billLaw struct{ alwaysKW, perShareKW, perK float64 }

// piecesKWh is heat by where it comes from.
type piecesKWh struct{ always, shifts, weather float64 }

func (p piecesKWh) sum() float64 { return p.always + p.shifts + p.weather }

// pieces is a step's heat by a law.
func (s *billSpread) pieces(l billLaw, i int) piecesKWh {
	stepH := s.axis.StepH()
	return piecesKWh{l.alwaysKW * stepH, l.perShareKW * s.Hours[i] * stepH, l.perK * s.coldK(i) * stepH}
}

// coldK is how far a step's air lies under the fit's balance temperature; 0 where there is no fit.
func (s *billSpread) coldK(i int) float64 {
	if f := s.out.Fit; f != nil && f.Used {
		return max(f.BalanceC-s.AirC[i], 0)
	}
	return 0
}

// lawOf finds the law that gives a period's heat over its own dates.
func (s *billSpread) lawOf(p billPeriod) billLaw {
	stepH := s.axis.StepH()
	hours, workH, coldKH := float64(len(p.steps))*stepH, 0.0, 0.0
	for _, i := range p.steps {
		workH += s.Hours[i] * stepH
		coldKH += s.coldK(i) * stepH
	}
	var l billLaw
	rest := p.KWh
	if f := s.out.Fit; coldKH > 0 {
		// The fit's two parts, both stretched or shrunk to the bill.
		byCold, byDays := f.SlopeKWhKD*coldKH/hoursPerDay, f.BaseKWhD*hours/hoursPerDay
		weather := p.KWh * byCold / (byCold + byDays)
		l.perK, rest = weather/coldKH, p.KWh-weather
	}
	always := s.BaseFrac * rest
	if s.BaseKW > 0 {
		if always = s.BaseKW * hours; always > rest {
			s.note(p.Line, "has %.4g kW in the mean without weather, under the base of %.4g kW: all of that runs at all hours", rest/hours, s.BaseKW)
			always = rest
		}
	}
	if workH == 0 && rest > always {
		s.note(p.Line, "has no hour of work from %s to %s; its %.0f kWh run at all hours", p.From, p.To, rest-always)
		always = rest
	}
	l.alwaysKW = always / hours
	if workH > 0 {
		l.perShareKW = (rest - always) / workH
	}
	return l
}

// spread brings one bill's heat onto the study's steps.
func (s *billSpread) spread(p billPeriod) {
	if len(p.steps) == 0 {
		s.out.OutsideKWh += p.KWh
		s.note(p.Line, "has no day in the study's year; its %.0f kWh are left out", p.KWh)
		return
	}
	l := s.lawOf(p)
	got := s.add(l, p.own)
	s.known.add(got)
	if p.Estimated {
		s.guessed += got.sum()
	} else {
		s.read.add(got)
	}
	if n := len(p.steps); len(p.own) < n {
		out := p.KWh - got.sum()
		s.out.OutsideKWh += out
		s.note(p.Line, "stands for %.0f %% of its days, bills of other years for the rest; %.0f of its %.0f kWh are left out",
			100*float64(len(p.own))/float64(n), out, p.KWh)
	}
}

// add puts a law's heat onto steps and tells how much it is.
func (s *billSpread) add(l billLaw, steps []int) piecesKWh {
	var got piecesKWh
	for _, i := range steps {
		kWh := s.pieces(l, i)
		s.out.KW[i] = kWh.sum() / s.axis.StepH()
		got.add(kWh)
	}
	return got
}

func (p *piecesKWh) add(q piecesKWh) {
	p.always += q.always
	p.shifts += q.shifts
	p.weather += q.weather
}

// fill gives the days without a bill what the others have: heat per hour, per hour of work and per degree.
func (s *billSpread) fill() {
	if len(s.empty) == 0 {
		return
	}
	stepH := s.axis.StepH()
	billedH, workH := 0.0, 0.0
	for _, p := range s.periods {
		for _, i := range p.own {
			billedH += stepH
			workH += s.Hours[i] * stepH
		}
	}
	l := billLaw{alwaysKW: s.known.always / billedH}
	if workH > 0 {
		l.perShareKW = s.known.shifts / workH
	}
	if f := s.out.Fit; f != nil && f.Used {
		l.perK = f.SlopeKWhKD / hoursPerDay
	}
	for _, d := range s.empty {
		for i := d.lo; i < d.hi; i++ {
			s.filled += s.add(l, []int{i}).sum()
		}
	}
}

// parts lists where the heat comes from.
func (s *billSpread) parts() {
	part := func(name string, kWh float64, format string, args ...any) {
		if math.Abs(kWh) > 0 {
			s.out.Parts = append(s.out.Parts, Part{name, kWh, fmt.Sprintf(format, args...)})
		}
	}
	part("bills, at all hours", s.read.always, "the base, at all hours of a bill's dates")
	part("bills, in the hours of work", s.read.shifts, "%d bills, each over its own dates", len(s.List))
	if f := s.out.Fit; f != nil {
		part("bills, by the weather", s.read.weather, "%s", f)
	}
	part("estimated bills", s.guessed, "no later reading puts them right")
	part("filled, days without a bill", s.filled, "%d days, by what the billed days take", len(s.empty))
}
