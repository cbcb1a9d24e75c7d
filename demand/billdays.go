package demand

import (
	"time"

	"noonkeep/plant/clock"
)

// billDay is one day of the study and its steps.
type billDay struct {
	date   clock.Date
	lo, hi int // steps lo to hi-1
	owner  int // place in periods, -1 for none
	year   int // of the owner's bill on this day
}

// monthDay is a day of every year.
type monthDay struct {
	month time.Month
	day   int
}

// place finds for each day of the study the bill that stands for it.
func (s *billSpread) place() {
	place := map[monthDay]int{}
	for i := range s.axis.N {
		date := s.axis.Date(i)
		if n := len(s.days); n == 0 || s.days[n-1].date != date {
			place[monthDay{date.Month, date.Day}] = len(s.days)
			s.days = append(s.days, billDay{date: date, lo: i, owner: -1})
		}
		s.days[len(s.days)-1].hi = i + 1
	}
	for i := range s.periods {
		p := &s.periods[i]
		for t := noon(p.From); t.Before(noon(p.To)); t = t.AddDate(0, 0, 1) {
			k, ok := place[monthDay{t.Month(), t.Day()}]
			if !ok {
				continue // 29 February in a plain year, or outside a short study
			}
			p.cover(s.days[k])
			d := &s.days[k]
			// The study's own year goes first; else the later, which comes later here.
			if d.owner < 0 || d.year != d.date.Year {
				d.owner, d.year = i, t.Year()
			}
		}
	}
	s.leapDay(place)
	for _, d := range s.days {
		if d.owner < 0 {
			s.empty = append(s.empty, d)
			continue
		}
		p := &s.periods[d.owner]
		for i := d.lo; i < d.hi; i++ {
			p.own = append(p.own, i)
		}
	}
	s.say()
}

func noon(d clock.Date) time.Time { return time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC) }

func (p *billPeriod) cover(d billDay) {
	for i := d.lo; i < d.hi; i++ {
		p.steps = append(p.steps, i)
	}
}

// leapDay gives a leap study's 29 February to the bill of the day before, where the bills are of plain years.
func (s *billSpread) leapDay(place map[monthDay]int) {
	k, ok := place[monthDay{time.February, 29}]
	if !ok || k == 0 || s.days[k].owner >= 0 || s.days[k-1].owner < 0 {
		return
	}
	s.days[k].owner, s.days[k].year = s.days[k-1].owner, s.days[k-1].year
	s.periods[s.days[k].owner].cover(s.days[k])
}

// say tells which days come from other years and which have no bill, and refuses too few.
func (s *billSpread) say() {
	billed, other := 0, map[int]int{}
	for _, d := range s.days {
		if d.owner >= 0 {
			billed++
			if d.year != d.date.Year {
				other[d.year]++
			}
		}
	}
	if least := min(leastBilledDays, (len(s.days)+1)/2); billed < least {
		s.fault(s.List[0].Line, "and the other bills cover %d days of the study's year; want %d at least, and better all", billed, least)
		return
	}
	for _, p := range s.periods {
		if n, ok := other[p.From.Year]; ok {
			s.note(0, "%d days of the year %d stand for the same days of the study's", n, p.From.Year)
			delete(other, p.From.Year)
		}
		if n, ok := other[p.To.Year]; ok {
			s.note(0, "%d days of the year %d stand for the same days of the study's", n, p.To.Year)
			delete(other, p.To.Year)
		}
	}
	for i := 0; i < len(s.empty); {
		j := i + 1
		for j < len(s.empty) && s.empty[j].lo == s.empty[j-1].hi {
			j++
		}
		s.note(0, "%s to %s have no bill: %d days are filled in", s.empty[i].date, s.empty[j-1].date, j-i)
		i = j
	}
}

// fit parts weather from the rest by all bills that were read, of whatever year.
func (s *billSpread) fit() {
	if s.AirC == nil {
		return
	}
	var bills []coldBill
	var kWhD []float64
	var lines []int
	for _, p := range s.periods {
		if p.Estimated || len(p.steps) == 0 {
			continue
		}
		air := make([]float64, len(p.steps))
		for i, step := range p.steps {
			air[i] = s.AirC[step]
		}
		bills = append(bills, coldOf(air, s.axis.StepH()))
		kWhD = append(kWhD, p.KWh/float64(dayNumber(p.To)-dayNumber(p.From)))
		lines = append(lines, p.Line)
	}
	f := fitBills(bills, kWhD, s.BalanceC)
	for i := range f.Points {
		f.Points[i].Line = lines[i]
	}
	s.out.Fit = &f
	if !f.Used {
		s.note(0, "no part is taken to follow the weather: %s", f.Why)
	}
}
