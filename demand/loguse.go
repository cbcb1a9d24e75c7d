package demand

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"time"

	"noonkeep/plant/clock"
)

// GapRule says what becomes of hours that a log has no rows for.
type GapRule int

const (
	FillGaps   GapRule = iota // from other weeks, if the log has four
	RefuseGaps                // any is an error
	FillAnyway                // from however little there is
)

// LogUse is how a log becomes a load of a year.
type LogUse struct {
	KWhPer float64 // heat in a kg, kWh or m3 of what the meter counts
	Move   bool    // days may come from another year, moved by whole weeks
	Gaps   GapRule
}

// leastDays of rows from which a year is filled unasked.
const leastDays = 28

// LogYear is a log on a study's axis.
type LogYear struct {
	KW      clock.KW
	Parts   []Part
	Notes   []string
	FilledH float64 // hours for which nothing was measured
	Filled  []bool  // steps of which a part was filled
}

// On puts the log on the study's axis, mean kW over each step. All that was measured within the study is kept to
// rounding; what a counter counted over a gap is kept too, drawn like other weeks; and hours of which nothing is known
// are filled with the mean of the same weekday and hour of the four nearest weeks of the season, at the level of
// the days around. Each of the three is a part of its own.
func (l *Log) On(a clock.Axis, use LogUse) (LogYear, error) {
	if err := l.fits(a, use); err != nil {
		return LogYear{}, err
	}
	y := logYear{l: l, a: a, use: use, weeks: newWeeks(l, l.form.Calendar), moves: map[int64]float64{}}
	y.out.KW, y.out.Filled = make(clock.KW, a.N), make([]bool, a.N)
	y.spreadLumps()
	for day := range int64(a.N) / l.bins.perDay {
		y.day(day)
	}
	return y.out, y.close()
}

func (l *Log) fits(a clock.Axis, use LogUse) error {
	if err := a.Check(); err != nil {
		return err
	}
	_, zone := a.Start.Zone()
	_, own := time.Unix(0, 0).In(l.form.Zone).Zone()
	switch {
	case a.Step != l.form.Step || zone != own || wallNS(a.Start)%dayNS != 0 || int64(a.N)%l.bins.perDay != 0:
		return fmt.Errorf("%s: was folded for steps of %s; want whole days of the same", l.Source, agoText(l.form.Step))
	case !(use.KWhPer > 0 && use.KWhPer < 1e6):
		return fmt.Errorf("%s: heat per unit is %g kWh; want more than 0", l.Source, use.KWhPer)
	}
	return nil
}

// wallNS is what a time's own clock shows, ns since 1970.
func wallNS(t time.Time) int64 {
	_, offset := t.Zone()
	return t.UnixNano() + int64(offset)*int64(time.Second)
}

// logYear is a year in the making. Energies are in the log's units times ns per hour, as in its bins.
type logYear struct {
	l     *Log
	a     clock.Axis
	use   LogUse
	weeks *weeks
	out   LogYear

	measured, lumped, filled float64
	moves                    map[int64]float64 // what was measured, by weeks moved
	filledNS, otherNS        int64             // in all, and from another kind of day
	gaps                     int
	firstGap                 [2]int64
	inGap                    bool
	lost                     int   // steps that no day could fill
	back                     int64 // weeks by which the day before came from
}

// spreadLumps draws what a counter counted over a gap like other weeks, or flat where they say nothing.
func (y *logYear) spreadLumps() {
	b := y.l.bins
	type share struct {
		k, ns  int64
		weight float64
	}
	for _, x := range y.l.lumps {
		var shares []share
		total := 0.0
		for k := floorDiv(x.from, b.stepNS); k*b.stepNS < x.to; k++ {
			ns := min(x.to, (k+1)*b.stepNS) - max(x.from, k*b.stepNS)
			guess, _ := y.weeks.guess(k)
			shares = append(shares, share{k, ns, guess * float64(ns)})
			total += guess * float64(ns)
		}
		for _, s := range shares {
			part := float64(s.ns) / float64(x.to-x.from)
			if total > 0 {
				part = s.weight / total
			}
			b.lump(s.k, x.quantity*part, s.ns)
		}
	}
	y.l.lumps = nil // they are in the bins now
}

// day fills one day of the study.
func (y *logYear) day(i int64) {
	b := y.l.bins
	first := i * b.perDay
	day := floorDiv(wallNS(y.a.Start), dayNS) + i
	back, ok := y.source(day)
	if ok {
		y.back = back
	}
	level := y.weeks.level(day - 7*y.back)
	for s := range b.perDay {
		k := day*b.perDay + s
		var m, c bin
		if ok {
			from := k - 7*back*b.perDay
			if back != 0 {
				from += y.weeks.ahead(k) - y.weeks.ahead(from)
			}
			m, c = b.at(from)
		}
		y.step(first+s, k, m, c, back, level)
	}
}

// step puts one step together: what was measured, what was counted, and what is missing.
func (y *logYear) step(i, k int64, m, c bin, back int64, level float64) {
	stepNS := y.l.bins.stepNS
	known := m.ns + c.ns
	missing := max(stepNS-known, 0)
	fill := 0.0
	switch {
	case missing == 0:
		y.inGap = false
	case 2*known >= stepNS:
		fill = (m.sum + c.sum) / float64(known) * float64(missing)
	default:
		guess, kind := y.weeks.guess(k)
		if kind < 0 {
			y.lost++
		}
		if kind > 0 {
			y.otherNS += missing
		}
		fill = guess * level * float64(missing)
	}
	if missing > 0 {
		y.gap(k, missing)
		y.out.Filled[i] = true
	}
	y.measured, y.lumped, y.filled = y.measured+m.sum, y.lumped+c.sum, y.filled+fill
	y.moves[back] += m.sum
	y.out.KW[i] = (m.sum + c.sum + fill) / float64(stepNS) * y.kWhPer()
}

func (y *logYear) kWhPer() float64 { return y.l.form.perUnit() * y.use.KWhPer }

func (y *logYear) gap(k, missing int64) {
	y.filledNS += missing
	if !y.inGap {
		y.gaps++
		if y.gaps == 1 {
			y.firstGap[0] = k * y.l.bins.stepNS
		}
	}
	if y.gaps == 1 {
		y.firstGap[1] = (k + 1) * y.l.bins.stepNS
	}
	y.inGap = true
}

// source finds the day of the log that stands for a day of the study, so many weeks before it: the day itself, or, where
// days may move, the same weekday at the same time of another year, if that is a holiday or none just as well.
func (y *logYear) source(day int64) (back int64, ok bool) {
	most := int64(0)
	for j := range y.yearsOff(day) {
		years := (j + 1) / 2
		if j%2 == 0 {
			years = -years // itself, then a year back, a year on, two back
		}
		n := int64(math.Round(float64(years) * yearDays / 7))
		from := day - 7*n
		if y.weeks.kind(from) != y.weeks.kind(day) {
			continue
		}
		covered := y.l.bins.knownNS(from)
		if 10*covered >= 9*dayNS {
			return n, true
		}
		if covered > most {
			most, back, ok = covered, n, true
		}
	}
	return back, ok
}

// yearsOff is how many years to look at, the study's own and as many to both sides as reach the whole log.
func (y *logYear) yearsOff(day int64) int64 {
	if !y.use.Move {
		return 1
	}
	b := y.l.bins
	far := max(abs(day-b.day0), abs(day-b.day0-int64(len(b.pages))))
	return 2*(far/365+1) + 1
}

// close sums up, and refuses what the rule does not allow.
func (y *logYear) close() error {
	source := y.l.Source
	known := float64(y.a.N)*y.a.StepH() - float64(y.filledNS)/float64(hourNS)
	if !y.use.Move && y.use.Gaps != FillAnyway && known < 24*leastDays && known < y.l.CoveredH/2 {
		return fmt.Errorf("%s: runs from %s to %s, with %.4g h in the study's year %d; want year: shift to move it by whole weeks, or time.year: %d",
			source, y.l.First.Format(minuteForm), y.l.Last.Format(minuteForm), known, y.a.Start.Year(), y.l.First.Year())
	}
	filledH := float64(y.filledNS) / float64(hourNS)
	switch {
	case y.gaps > 0 && y.use.Gaps == RefuseGaps:
		return fmt.Errorf("%s: %.4g h of the study's year are missing in %d gaps, the first from %s to %s; want a whole log, or gaps: fill",
			source, filledH, y.gaps, textOf(y.firstGap[0]), textOf(y.firstGap[1]))
	case y.gaps > 0 && y.weeks.rows < leastDays && y.use.Gaps != FillAnyway:
		return fmt.Errorf("%s: has rows on %d days, and %.4g h are to be filled from them; want %d days at least, or gaps: fill anyway",
			source, y.weeks.rows, filledH, leastDays)
	case y.lost > 0:
		return fmt.Errorf("%s: %d steps, the first after %s, have no other day to be filled from; want a longer log", source, y.lost, textOf(y.firstGap[0]))
	}
	y.parts(filledH)
	y.out.FilledH = filledH
	return nil
}

// parts says where the heat came from.
func (y *logYear) parts(filledH float64) {
	kWh := func(sum float64) float64 { return sum / float64(hourNS) * y.kWhPer() }
	l := y.l
	text := fmt.Sprintf("%d rows, %s apart", l.Rows, agoText(l.Interval))
	for _, back := range slices.Sorted(maps.Keys(y.moves)) {
		if sum := y.moves[back]; back != 0 && sum > 0 {
			y.out.Notes = append(y.out.Notes, fmt.Sprintf("%.4g MWh were measured %s and are moved by whole weeks, so that weekdays match", kWh(sum)/1000, movedText(back)))
		}
	}
	y.out.Parts = append(y.out.Parts, Part{"measured in " + l.Source, kWh(y.measured), text})
	if y.lumped > 0 {
		y.out.Parts = append(y.out.Parts, Part{"counted in " + l.Source + " over gaps", kWh(y.lumped), "the counter's own difference, drawn over the gap like other weeks"})
	}
	if y.otherNS > 0 {
		y.out.Notes = append(y.out.Notes, fmt.Sprintf("%.4g h are filled from another kind of day, a holiday from Sundays or a weekday from the ones next to it, since their own was not measured", float64(y.otherNS)/float64(hourNS)))
	}
	if y.filledNS > 0 {
		y.out.Parts = append(y.out.Parts, Part{"filled from other weeks of " + l.Source, kWh(y.filled),
			fmt.Sprintf("%.4g h of %.4g: mean of the same weekday and hour of the %d nearest weeks of the season, at the level of the days around; tried on what was measured it misses an hour by %.2g %% and a day by %.2g %%",
				filledH, y.a.StepH()*float64(y.a.N), donorWeeks, 100*y.weeks.missHour, 100*y.weeks.missDay)})
	}
}

func movedText(back int64) string {
	if back < 0 {
		return fmt.Sprintf("%d weeks later", -back)
	}
	return fmt.Sprintf("%d weeks earlier", back)
}
