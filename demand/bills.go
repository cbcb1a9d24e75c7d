package demand

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"noonkeep/plant/clock"
)

// Bill is the heat of one fuel bill over its own days.
type Bill struct {
	From, To  clock.Date // the first day, and the day after the last: a reading on either morning
	KWh       float64    // heat, not fuel; below 0 only in the bill that puts an estimated one right
	Estimated bool       // the reading at its end was guessed, not read
	Line      int        // where the bill stands, for messages; 0 where it stands nowhere
}

// Bills is what is known of a load that only fuel bills tell of.
type Bills struct {
	Source string    // the file that the bills stand in, for messages; empty where they stand in the scenario
	List   []Bill    // in any order
	Hours  []float64 // share of each step in the hours of work; the heat that does not follow the weather runs by it

	BaseFrac float64 // of the heat that does not follow the weather: what runs at all hours, 0 to 1
	BaseKW   float64 // the same as a power, instead; 0 where BaseFrac says it

	AirC     []float64 // of the weather year, on the axis; nil where nothing follows the weather
	BalanceC *float64  // air under which heat follows the weather; nil searches it
}

// BilledHeat is what becomes of bills on the study's axis.
type BilledHeat struct {
	KW         clock.KW
	Parts      []Part
	Fit        *DegreeDayFit // nil where nothing was to follow the weather
	OutsideKWh float64       // billed heat on days that another bill stands for in the study's year
	Notes      []BillNote
}

// BillNote is something that whoever trusts the bills should know.
type BillNote struct {
	Line int // of the bill, 0 for none
	Text string
}

const (
	leastBilledDays = 180 // of the study's year, under which the rest cannot be filled in; common practice, no source
	mostBills       = 500
)

// On spreads the bills over the study's axis. Each bill keeps its heat to rounding (1e-9): its part without weather
// runs in the hours of work but for the base, its part with the weather by the hours' degrees under the balance
// temperature. A bill of another year stands on the same days of the study's year; of two for one day, the
// study's own year goes first, then the later year. Days without a bill are filled in by the fit, or by
// the heat per hour of work where there is none, and counted as a part of their own. An estimated bill is
// joined with the next, whose reading puts it right.
//
// Bills that overlap, stand twice or cover under 180 days of the study are errors, each a [*LineError].
func (b Bills) On(a clock.Axis) (BilledHeat, error) {
	if err := b.check(a); err != nil {
		return BilledHeat{}, err
	}
	s := billSpread{Bills: b, axis: a}
	s.order()
	if len(s.faults) == 0 {
		s.place()
	}
	if len(s.faults) > 0 {
		return BilledHeat{}, errors.Join(s.faults...)
	}
	s.fit()
	s.out.KW = make(clock.KW, a.N)
	for _, p := range s.periods {
		s.spread(p)
	}
	s.fill()
	s.parts()
	return s.out, nil
}

func (b Bills) check(a clock.Axis) error {
	var faults []error
	require := func(holds bool, format string, args ...any) {
		if !holds {
			faults = append(faults, fmt.Errorf(format, args...))
		}
	}
	if err := a.Check(); err != nil {
		return err
	}
	require(len(b.List) > 0, "bills: there is none; want twelve months of them")
	require(len(b.List) <= mostBills, "bills: are %d; want at most %d", len(b.List), mostBills)
	require(len(b.Hours) == a.N, "hours: are %d; want %d, one a step", len(b.Hours), a.N)
	require(b.AirC == nil || len(b.AirC) == a.N, "air: has %d values; want %d, one a step", len(b.AirC), a.N)
	require(b.BaseFrac >= 0 && b.BaseFrac <= 1, "base: is %g; want 0 to 1", b.BaseFrac)
	require(b.BaseKW >= 0 && b.BaseKW <= mostKW, "base: is %g kW; want 0 to %g", b.BaseKW, mostKW)
	require(b.BaseFrac == 0 || b.BaseKW == 0, "base: is both a share and a power; want one of the two")
	require(a.End().Sub(a.Start) <= 366*24*time.Hour, "axis: is longer than a year; want a year or less")
	return errors.Join(faults...)
}

// billPeriod is one bill, or an estimated one with those that put it right.
type billPeriod struct {
	Bill
	steps []int // of the study on the days of the bill's dates, whatever year
	own   []int // of these, the steps that the bill stands for
}

// billSpread is the work of [Bills.On].
type billSpread struct {
	Bills
	axis    clock.Axis
	periods []billPeriod // by date
	days    []billDay
	empty   []billDay // days of the study without a bill
	faults  []error
	out     BilledHeat

	known           piecesKWh // of all bills
	read            piecesKWh // of those that were read, not estimated
	guessed, filled float64   // kWh
}

func (s *billSpread) fault(line int, format string, args ...any) {
	s.faults = append(s.faults, &LineError{Source: s.Source, Line: line, Text: fmt.Sprintf(format, args...)})
}

func (s *billSpread) note(line int, format string, args ...any) {
	s.out.Notes = append(s.out.Notes, BillNote{line, fmt.Sprintf(format, args...)})
}

// order sorts the bills by date, refuses what cannot be, and joins what was estimated.
func (s *billSpread) order() {
	list := slices.Clone(s.List)
	slices.SortStableFunc(list, func(x, y Bill) int { return int(dayNumber(x.From) - dayNumber(y.From)) })
	for i, x := range list {
		switch {
		case !x.From.Valid() || !x.To.Valid() || x.From.Year == 0 || x.To.Year == 0:
			s.fault(x.Line, "runs from %s to %s; want days with their year", x.From, x.To)
			return
		case dayNumber(x.To) <= dayNumber(x.From):
			s.fault(x.Line, "ends on %s and begins on %s; want a day at least", x.To, x.From)
		case dayNumber(x.To)-dayNumber(x.From) > 366 || dayNumber(x.To) > dayNumber(clock.Date{Year: x.From.Year + 1, Month: x.From.Month, Day: x.From.Day}):
			s.fault(x.Line, "runs from %s to %s, over a year; want a year at most", x.From, x.To)
		case !(x.KWh >= -mostKW && x.KWh <= mostKW):
			s.fault(x.Line, "is %g kWh of heat; want 0 to %g", x.KWh, mostKW)
		}
		if i == 0 {
			continue
		}
		before := list[i-1]
		switch {
		case x.From == before.From && x.To == before.To:
			s.fault(x.Line, "is a second bill from %s to %s%s; keep one", x.From, x.To, inLine(before.Line))
		case dayNumber(x.From) < dayNumber(before.To):
			s.fault(x.Line, "begins on %s, and the bill before it%s ends on %s; want no day twice", x.From, inLine(before.Line), before.To)
		case dayNumber(x.From) > dayNumber(before.To):
			s.note(x.Line, "begins on %s, and the bill before it%s ends on %s: the %d days between have none", x.From, inLine(before.Line), before.To, dayNumber(x.From)-dayNumber(before.To))
		}
	}
	s.join(list)
}

func inLine(line int) string {
	if line == 0 {
		return ""
	}
	return fmt.Sprintf(" in line %d", line)
}

// join makes periods of bills: an estimated one runs on into the next that touches it.
func (s *billSpread) join(list []Bill) {
	for i := 0; i < len(list); i++ {
		p, one := billPeriod{Bill: list[i]}, i
		for p.Estimated && i+1 < len(list) && list[i+1].From == p.To {
			i++
			p.To, p.KWh, p.Estimated = list[i].To, p.KWh+list[i].KWh, list[i].Estimated
			s.note(list[i].Line, "is taken as one with the estimated bill before it, from %s to %s", p.From, p.To)
		}
		if p.Estimated {
			s.note(p.Line, "is estimated, and no later bill puts it right; it is kept out of the fit")
		}
		if p.KWh < 0 && len(s.faults) == 0 {
			s.fault(p.Line, "is %g kWh of heat from %s to %s; want 0 or more, but in the bill after an estimated one", p.KWh, p.From, p.To)
		}
		if i > one && dayNumber(p.To)-dayNumber(p.From) > 366 {
			s.fault(p.Line, "is estimated until %s, over a year; want a year at most", p.To)
		}
		s.periods = append(s.periods, p)
	}
}

// dayNumber counts days, so that dates can be subtracted.
func dayNumber(d clock.Date) int64 {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC).Unix() / (hoursPerDay * secondsPerHour)
}
