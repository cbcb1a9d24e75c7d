package demand

import (
	"errors"
	"fmt"
	"time"

	"noonkeep/plant/clock"
)

// Load is one consumer of heat: either KW in the hours of When, in Seasons if there are any, or Series.
type Load struct {
	Name    string
	KW      float64      // heat while on, 0 to 1e9; steam in kg/h becomes kW by [SteamKW]
	When    clock.When   // hours of the week; must be set unless there is a Series
	Seasons []clock.Span // days on which a stretch of When may begin; none is all year

	Breaks    clock.When    // hours in which work has only BreakFrac of KW; the zero value is none
	BreakFrac float64       // 0 to 1
	Ramp      time.Duration // straight rise at the start of a run, from the start-up's KW or from 0; 0 to 24 h
	StartUp   Extra         // before each run; see [Load.Runs]
	CleanUp   Extra         // after each run

	Series *Series // measured heat in kW, instead of all above; see [Series.Heat]
}

// mostKW is far above any plant; it keeps sums over a year finite.
const mostKW = 1e9

// Check reports all that is wrong with the load, each fault with the load's name.
func (l Load) Check() error {
	var faults []error
	require := func(holds bool, format string, args ...any) {
		if !holds {
			faults = append(faults, l.fault(fmt.Errorf(format, args...)))
		}
	}
	if l.Series != nil {
		require(l.KW == 0, "kW: is %g beside a series; want one of the two", l.KW)
		require(l.When.IsZero(), "when: is %q beside a series, which is taken as measured; want one of the two", l.When)
		require(len(l.Seasons) == 0, "season: stands beside a series, which is taken as measured; want one of the two")
		require(l.Breaks.IsZero() && l.BreakFrac == 0 && l.Ramp == 0 && l.StartUp == Extra{} && l.CleanUp == Extra{},
			"breaks, ramp, start-up or cleaning: stand beside a series, which is taken as measured; want one of the two")
		if err := l.Series.check(); err != nil {
			faults = append(faults, l.fault(err))
		}
		return errors.Join(faults...)
	}
	require(l.KW >= 0 && l.KW <= mostKW, "kW: is %g; want 0 to %g", l.KW, mostKW)
	require(!l.When.IsZero(), `when: is missing; want hours such as "Mon-Fri 06:00-14:00", or "always"`)
	for _, s := range l.Seasons {
		if err := s.Check(); err != nil {
			faults = append(faults, l.fault(fmt.Errorf("season: %w", err)))
		}
	}
	l.checkWork(require)
	return errors.Join(faults...)
}

// On is the load's heat on the study's axis, mean kW over each step: the first that [Load.Heat] gives. The
// calendar takes out holidays and shutdowns by the rules of [clock.When], and its summer time moves the
// hours; a Series it leaves as measured. A season or a series that does not reach the study is an error.
func (l Load) On(a clock.Axis, c clock.Calendar) (clock.KW, error) {
	kW, _, err := l.Heat(a, c)
	return kW, err
}

// fits reports what keeps the load from the axis.
func (l Load) fits(a clock.Axis) error {
	if err := a.Check(); err != nil {
		return l.fault(err)
	}
	if err := l.Check(); err != nil {
		return err
	}
	for _, s := range l.Seasons {
		if !anyDay(a, s) {
			return l.fault(fmt.Errorf("season: %s has no day from %s to %s; want days of the study", s, a.Date(0), a.Date(a.N-1)))
		}
	}
	return nil
}

func (l Load) fault(err error) error { return fmt.Errorf("load %q: %w", l.Name, err) }

func anyDay(a clock.Axis, s clock.Span) bool { return s.Meets(a) }
