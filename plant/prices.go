package plant

import (
	"fmt"
	"time"

	"noonkeep/plant/clock"
)

// Prices is a series of prices of energy over equal steps, as a market publishes them. [ReadPrices] makes it.
type Prices struct {
	Source   string // where it was read, for messages
	Currency string // as its header writes it

	rows  []priceRow
	zoned bool // its times carry their offset from UTC
}

// priceRow is a price from a time on.
type priceRow struct {
	at     time.Time // by the clock of the file; an instant where the file is zoned
	perKWh float64
	line   int
}

// Mean is the mean of all prices, per kWh.
func (p Prices) Mean() float64 {
	sum := 0.0
	for _, r := range p.rows {
		sum += r.perKWh / float64(len(p.rows))
	}
	return sum
}

// On is the mean price in each step of the study, per kWh. Times without an offset are local standard time; if they
// do not run on evenly by that, and the calendar has summer time, they are taken for those of the clock on the wall:
// an hour less on a night in spring, an hour twice in autumn. The prices must cover the study.
func (p Prices) On(a clock.Axis, c clock.Calendar) ([]float64, error) {
	own, values, err := p.even(a, clock.Calendar{})
	if err != nil && !p.zoned && !c.Summer.IsZero() {
		if o, v, wallErr := p.even(a, c); wallErr == nil {
			own, values, err = o, v, nil
		}
	}
	if err != nil {
		return nil, err
	}
	if own.Start.After(a.Start) || own.End().Before(a.End()) {
		return nil, p.tooShort(own, a)
	}
	return clock.ResampleWithin(values, own, a)
}

// even puts the rows on an axis of their own by a calendar's clock, and refuses rows that do not run on evenly.
func (p Prices) even(study clock.Axis, c clock.Calendar) (clock.Axis, []float64, error) {
	zone := study.Start.Location()
	own := clock.Axis{N: len(p.rows)}
	values := make([]float64, len(p.rows))
	var last time.Time
	for i, r := range p.rows {
		at := r.at.In(zone)
		if !p.zoned {
			at = c.At(clock.DateOf(r.at), r.at.Hour()*60+r.at.Minute(), zone)
			if i > 0 && !at.After(last) && c.IsSummer(at) { // the autumn night's hour for the second time
				at = at.Add(clock.SummerShift)
			}
		}
		switch {
		case i == 0:
			own.Start = at
		case i == 1:
			if own.Step = at.Sub(last); own.Step < time.Minute || own.Step > 24*time.Hour {
				return own, nil, p.fault(r.line, "is %v after the row before it; want steps of 1 min to 24 h", own.Step)
			}
		case at.Sub(last) != own.Step:
			return own, nil, p.uneven(r, at.Sub(last), own.Step)
		}
		values[i], last = r.perKWh, at
	}
	return own, values, nil
}

func (p Prices) uneven(r priceRow, saw, step time.Duration) error {
	text := fmt.Sprintf("%s is %v after the row before it; want %v, as before", r.at.Format("2006-01-02 15:04"), saw, step)
	if d := saw - step; d == time.Hour || d == -time.Hour {
		text += "; if the file follows the clock on the wall, write time.summer_time"
	}
	return p.fault(r.line, "%s", text)
}

func (p Prices) fault(line int, format string, args ...any) error {
	return fmt.Errorf("%s:%d: %s", p.Source, line, fmt.Sprintf(format, args...))
}

// tooShort says what the rows cover and what is wanted.
func (p Prices) tooShort(own, study clock.Axis) error {
	const form = "2006-01-02 15:04"
	row := p.rows[len(p.rows)-1]
	if own.Start.After(study.Start) {
		row = p.rows[0]
	}
	text := fmt.Sprintf("%d rows of %.4g min run %s to %s, standard time; want %s to %s", own.N, own.Step.Minutes(),
		own.Start.Format(form), own.End().Format(form), study.Start.Format(form), study.End().Format(form))
	if !own.End().After(study.Start) || !own.Start.Before(study.End()) {
		text += fmt.Sprintf("; set the study's year to %d, or give prices of %d", own.Start.Year(), study.Start.Year())
	}
	return p.fault(row.line, "%s", text)
}

// enough refuses too few rows.
func (p Prices) enough() error {
	if n := len(p.rows); n < 2 {
		return p.fault(max(1, n), "has %d rows after the header; want 2 at least, to know the step", n)
	}
	return nil
}
