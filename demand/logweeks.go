package demand

import (
	"cmp"
	"math"
	"slices"
	"time"

	"noonkeep/plant/clock"
)

// dayKind sorts days by what a plant does on them: the weekdays from Monday on, holidays, and shutdowns.
type dayKind int

const (
	sunday dayKind = iota + 6
	holiday
	shutdown
	dayKinds
)

const (
	donorWeeks  = 4 // days of the same kind whose mean fills a step
	levelDays   = 7 // before and after a day, by which the fill's level is set
	leastLevelH = 48
	yearDays    = 365.2425
)

// weeks knows what a log says of a day of a kind at an hour. Days count from 1970 in local standard time; hours of
// people are compared by the clock on the wall.
type weeks struct {
	bins     *bins
	calendar clock.Calendar
	summer   summerTable
	kinds    map[int64]dayKind
	days     [dayKinds][]int64 // with rows for half of the day at least, by kind
	rows     int               // how many such days

	day    int64 // that donors holds for
	donors []donor

	measured, guessed []float64 // day by day, summed up from the first page on: over the steps that have both
	hours             []float64
	missHour, missDay float64 // mean of |guessed - measured| over the mean of measured
}

func newWeeks(l *Log, calendar clock.Calendar) *weeks {
	w := &weeks{bins: l.bins, calendar: calendar, summer: summerTable{rule: calendar.Summer}, kinds: map[int64]dayKind{}, day: math.MinInt64}
	for i := range l.bins.pages {
		day := l.bins.day0 + int64(i)
		if 2*l.bins.coveredNS(day) >= dayNS {
			k := w.kind(day)
			w.days[k] = append(w.days[k], day)
			w.rows++
		}
	}
	w.weigh()
	return w
}

// kind gives what kind of day it is.
func (w *weeks) kind(day int64) dayKind {
	k, ok := w.kinds[day]
	if ok {
		return k
	}
	t := time.Unix(day*daySeconds, 0).UTC().Add(12 * time.Hour)
	k = dayKind((int(t.Weekday()) + 6) % 7)
	free, shut := clock.Calendar{Holidays: w.calendar.Holidays, Shutdowns: w.calendar.Shutdowns}.Closed(t)
	if free {
		k = holiday
	}
	if shut {
		k = shutdown
	}
	w.kinds[day] = k
	return k
}

// donor is a day that may lend its steps to another.
type donor struct {
	day  int64
	kind int // place of its kind among those that may stand in, the other day's own first
}

// candidates gives the days that may lend a step to a day: those of its own kind first, and of a kind the nearest in
// the season first.
func (w *weeks) candidates(day int64) []donor {
	if day == w.day {
		return w.donors
	}
	w.day, w.donors = day, w.donors[:0]
	for i, k := range kin(w.kind(day)) {
		for _, u := range w.days[k] {
			if u != day {
				w.donors = append(w.donors, donor{u, i})
			}
		}
	}
	slices.SortFunc(w.donors, func(a, b donor) int {
		return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(seasonDays(a.day, day), seasonDays(b.day, day)),
			cmp.Compare(abs(a.day-day), abs(b.day-day)), cmp.Compare(a.day, b.day))
	})
	return w.donors
}

// kin lists the kinds that may stand in for one, itself first: for a holiday or a shutdown that was never measured
// Sundays, for a weekday those next to it, at last any.
func kin(k dayKind) []dayKind {
	all := []dayKind{k}
	add := func(kinds ...dayKind) {
		for _, x := range kinds {
			if x >= 0 && x < dayKinds && !slices.Contains(all, x) {
				all = append(all, x)
			}
		}
	}
	switch {
	case k >= sunday:
		add(sunday, sunday-1)
	case k == sunday-1:
		add(sunday)
	}
	for far := dayKind(1); far < 5 && k < sunday-1; far++ {
		for _, x := range []dayKind{k - far, k + far} {
			if x < sunday-1 {
				add(x)
			}
		}
	}
	for x := range dayKinds {
		add(x)
	}
	return all
}

// seasonDays is how far apart two days lie on the circle of the year.
func seasonDays(a, b int64) float64 {
	d := math.Mod(float64(abs(a-b)), yearDays)
	return min(d, yearDays-d)
}

func abs(n int64) int64 {
	if n < 0 {
		return -n
	}
	return n
}

// ahead is by how many steps the wall's clock is ahead in a step.
func (w *weeks) ahead(k int64) int64 {
	if w.summer.at(k * w.bins.stepNS) {
		return summerNS / w.bins.stepNS
	}
	return 0
}

// guess is the mean of a step, counted from 1970 on, on the nearest days of its day's kind, 0, or of the first kind that has it;
// kind is below 0 where no day has it.
func (w *weeks) guess(k int64) (rate float64, kind int) {
	day := floorDiv(k, w.bins.perDay)
	wall := k - day*w.bins.perDay + w.ahead(k)
	n := 0
	kind = -1
	for _, u := range w.candidates(day) {
		if n > 0 && u.kind != kind {
			break
		}
		at := u.day*w.bins.perDay + wall
		at -= w.ahead(at - w.ahead(at))
		if m, _ := w.bins.at(at); 2*m.ns >= w.bins.stepNS {
			rate, kind = rate+m.sum/float64(m.ns), u.kind
			if n++; n == donorWeeks {
				break
			}
		}
	}
	return rate / max(1, float64(n)), kind
}

// weigh tries the guess on all that was measured: the level of each day, and how far off it is.
func (w *weeks) weigh() {
	offHour, offDay, sum, days := 0.0, 0.0, 0.0, 0.0
	stepH := float64(w.bins.stepNS) / float64(hourNS)
	m, g, h := 0.0, 0.0, 0.0
	for i := range w.bins.pages {
		was, wasG := m, g
		for s := range w.bins.perDay {
			k := (w.bins.day0+int64(i))*w.bins.perDay + s
			b, _ := w.bins.at(k)
			if 2*b.ns < w.bins.stepNS {
				continue
			}
			if guess, kind := w.guess(k); kind == 0 {
				rate := b.sum / float64(b.ns)
				m, g, h = m+rate, g+guess, h+stepH
				offHour += math.Abs(guess - rate)
				sum += rate
			}
		}
		if g != wasG || m != was {
			offDay += math.Abs((m - was) - (g - wasG))
			days++
		}
		w.measured, w.guessed, w.hours = append(w.measured, m), append(w.guessed, g), append(w.hours, h)
	}
	if sum > 0 {
		w.missHour, w.missDay = offHour/sum, offDay/sum
	}
}

// level is how much more was measured in the days around one than guessed; 1 where little was measured.
func (w *weeks) level(day int64) float64 {
	around := func(sums []float64) float64 {
		n := int64(len(sums))
		at := func(i int64) float64 {
			if i < 0 || n == 0 {
				return 0
			}
			return sums[min(i, n-1)]
		}
		i := day - w.bins.day0
		return at(i+levelDays) - at(i-levelDays-1)
	}
	if g := around(w.guessed); g > 0 && around(w.hours) >= leastLevelH {
		return min(max(around(w.measured)/g, 0.5), 2)
	}
	return 1
}
