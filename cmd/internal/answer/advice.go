package answer

import "math"

// Advice is a stretch of the day, alike in some months on end, in which heat is held back.
type Advice struct {
	FromMonth, ToMonth int     // 0 is January; both inside
	FromH, ToH         int     // 0 to 24; may run over midnight
	HoldKWh, HoldFrac  float64 // mean
	Hold               Gauge   // the same as the store's gauges show it
	BoilerPrice        float64 // mean, per kWh
	Weight             float64 // kWh held back, summed over the table's cells: what the advice matters
	Later              *Later  // why; nil if no hour of the day tells
}

// Later is the stretch of the day for which heat is held back.
type Later struct {
	FromH, ToH  int
	BoilerPrice float64 // mean, per kWh
	Short       bool    // boilers alone cannot carry it
}

const (
	leastHold   = 0.05  // share of full; less is not spoken of
	levelsApart = 0.15  // share of full: months nearer than that are told as one
	leastDearer = 0.005 // share of the price
	leastShort  = 0.005 // share of the steps
	edgesApartH = 1     // months whose stretches begin and end within an hour are told as one
	hoursInADay = 24
)

// stretch is hours of the day from one up to, but without, another; to may pass 24.
type stretch struct{ from, to int }

// stretches finds the longest runs of hours, round the clock, that fulfil a condition.
func stretches(is func(hour int) bool) []stretch {
	start := -1
	for h := range hoursInADay {
		if !is(h) {
			start = h
			break
		}
	}
	if start < 0 {
		return []stretch{{0, hoursInADay}}
	}
	var out []stretch
	for h := start; h < start+hoursInADay; h++ {
		if !is(h % hoursInADay) {
			continue
		}
		if n := len(out); n > 0 && out[n-1].to == h {
			out[n-1].to++
		} else {
			out = append(out, stretch{h, h + 1})
		}
	}
	for i := range out {
		if out[i].from >= hoursInADay {
			out[i].from, out[i].to = out[i].from-hoursInADay, out[i].to-hoursInADay
		}
	}
	return out
}

// near says that two stretches begin and end within an hour of each other.
func (s stretch) near(o stretch) bool {
	apart := func(a, b int) int {
		d := (a - b + 10*hoursInADay) % hoursInADay
		return min(d, hoursInADay-d)
	}
	whole := s.to-s.from == hoursInADay
	return whole == (o.to-o.from == hoursInADay) && apart(s.from, o.from) <= edgesApartH && apart(s.to, o.to) <= edgesApartH
}

// advise gathers the hours whose level is at least half of the highest of their month into stretches,
// and months on end that are alike into one advice.
func (g *Guide) advise(gauge func(frac float64) Gauge) []Advice {
	type group struct {
		from, to int
		parts    []stretch
	}
	var groups []*group
	for m := range g.Hours {
		least := leastHold
		for _, h := range g.Hours[m] {
			least = math.Max(least, h.HoldFrac/2)
		}
	next:
		for _, s := range stretches(func(h int) bool { return g.Hours[m][h].HoldFrac >= least }) {
			for _, o := range groups {
				last := o.parts[len(o.parts)-1]
				if o.to == m-1 && last.near(s) && math.Abs(g.level(m-1, last)-g.level(m, s)) <= levelsApart {
					o.to, o.parts = m, append(o.parts, s)
					continue next
				}
			}
			groups = append(groups, &group{m, m, []stretch{s}})
		}
	}
	out := make([]Advice, 0, len(groups))
	for _, o := range groups {
		a := g.adviceOf(o.from, o.parts)
		a.Hold = gauge(a.HoldFrac)
		out = append(out, a)
	}
	return out
}

// level is the mean level of a month's stretch, as a share of full.
func (g *Guide) level(m int, s stretch) float64 {
	sum := 0.0
	for h := s.from; h < s.to; h++ {
		sum += g.Hours[m][h%hoursInADay].HoldFrac
	}
	return sum / float64(s.to-s.from)
}

// adviceOf is the advice of months on end from one, a stretch of the day for each.
func (g *Guide) adviceOf(from int, parts []stretch) Advice {
	a := Advice{FromMonth: from, ToMonth: from + len(parts) - 1}
	cells, first, long := 0.0, 0.0, 0.0
	for i, s := range parts {
		for h := s.from; h < s.to; h++ {
			c := g.Hours[from+i][h%hoursInADay]
			a.HoldKWh, a.BoilerPrice = a.HoldKWh+c.HoldKWh, a.BoilerPrice+c.BoilerPrice
			cells++
		}
		off := (s.from - parts[0].from + hoursInADay + hoursInADay/2) % hoursInADay
		first += float64(parts[0].from + off - hoursInADay/2)
		long += float64(s.to - s.from)
	}
	a.Weight = a.HoldKWh
	a.HoldKWh, a.BoilerPrice = a.HoldKWh/cells, a.BoilerPrice/cells
	a.HoldFrac = math.Min(a.HoldKWh/g.FullKWh, 1)
	n := float64(len(parts))
	a.FromH = (int(math.Round(first/n)) + hoursInADay) % hoursInADay
	a.ToH = a.FromH + int(math.Round(long/n))
	a.Later = g.later(a)
	if a.ToH > hoursInADay {
		a.ToH -= hoursInADay
	}
	return a
}

// later finds the hours, in the day from an advice's end on, for which the heat is held: those in which
// boilers fall short, else those in which their heat is dearest.
func (g *Guide) later(a Advice) *Later {
	var price, short [hoursInADay]float64
	months := float64(a.ToMonth - a.FromMonth + 1)
	for m := a.FromMonth; m <= a.ToMonth; m++ {
		for h, c := range g.Hours[m] {
			price[h] += c.BoilerPrice / months
			short[h] += c.ShortFrac / months
		}
	}
	if h := highest(short, a.ToH); short[h] >= leastShort {
		s := around(h, short, short[h]/2)
		return &Later{FromH: s.from, ToH: s.to, Short: true}
	}
	h := highest(price, a.ToH)
	if price[h] <= a.BoilerPrice*(1+leastDearer) {
		return nil
	}
	s := around(h, price, (a.BoilerPrice+price[h])/2)
	l := &Later{FromH: s.from, ToH: s.to}
	hours := (s.to-s.from+hoursInADay-1)%hoursInADay + 1
	for i := range hours {
		l.BoilerPrice += price[(s.from+i)%hoursInADay] / float64(hours)
	}
	return l
}

// highest is the first hour from one on, round the clock, at which a value is highest.
func highest(v [hoursInADay]float64, from int) int {
	best := from % hoursInADay
	for i := range hoursInADay {
		if h := (from + i) % hoursInADay; v[h] > v[best]*(1+1e-9) {
			best = h
		}
	}
	return best
}

// around is the stretch about an hour in which a value is at least so high; its end is at most 24.
func around(hour int, v [hoursInADay]float64, least float64) stretch {
	for _, s := range stretches(func(h int) bool { return v[h] >= least }) {
		if hour >= s.from && hour < s.to || hour+hoursInADay < s.to {
			if s.to > hoursInADay {
				s.to -= hoursInADay
			}
			return s
		}
	}
	return stretch{hour, hour + 1}
}
