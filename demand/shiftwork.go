package demand

import (
	"fmt"
	"strings"
	"time"

	"noonkeep/plant/clock"
)

// Extra is heat that a run of work needs besides the work: before it to warm up, or after it to clean.
type Extra struct {
	KW    float64       // 0 to 1e9
	Lasts time.Duration // 0 to 24 h; 0 is none
}

// longestExtra bounds start-up, cleaning and ramp.
const longestExtra = 24 * time.Hour

// checkWork reports what is wrong with breaks, ramp, start-up and cleaning.
func (l Load) checkWork(require func(holds bool, format string, args ...any)) {
	require(l.BreakFrac >= 0 && l.BreakFrac <= 1, "break load: is %g; want 0 to 1 of the load", l.BreakFrac)
	require(l.BreakFrac == 0 || !l.Breaks.IsZero(), "breaks: are missing beside a break load; want hours such as \"daily 12:00-12:30\"")
	require(l.Ramp >= 0 && l.Ramp <= longestExtra, "ramp: is %v; want 0 to 24 h", l.Ramp)
	for _, x := range []struct {
		name string
		e    Extra
	}{{"start-up", l.StartUp}, {"clean-up", l.CleanUp}} {
		require(x.e.KW >= 0 && x.e.KW <= mostKW, "%s: is %g kW; want 0 to %g", x.name, x.e.KW, mostKW)
		require(x.e.Lasts >= 0 && x.e.Lasts <= longestExtra, "%s: lasts %v; want 0 to 24 h", x.name, x.e.Lasts)
		require(x.e.KW == 0 || x.e.Lasts > 0, "%s: takes %g kW for no time; want how long it lasts", x.name, x.e.KW)
	}
}

// Runs are the stretches of work that lie on the axis or within four days of it, those in one that start-up and
// cleaning do not part: neighbours that touch, or whose gap has no room for both.
func (l Load) Runs(a clock.Axis, c clock.Calendar) []clock.Stretch {
	return l.joined(l.work(a, c))
}

func (l Load) joined(work []clock.Stretch) []clock.Stretch {
	return clock.Joined(work, l.StartUp.Lasts+l.CleanUp.Lasts)
}

// Turns counts the runs that begin on the axis, and those that end on it.
func (l Load) Turns(a clock.Axis, c clock.Calendar) (starts, stops int) {
	for _, r := range l.Runs(a, c) {
		if !r.From.Before(a.Start) && r.From.Before(a.End()) {
			starts++
		}
		if r.To.After(a.Start) && !r.To.After(a.End()) {
			stops++
		}
	}
	return starts, stops
}

// BreakH is how long breaks cut into work on the axis, h.
func (l Load) BreakH(a clock.Axis, c clock.Calendar) float64 {
	return hoursOn(a, common(l.work(a, c), l.breaks(a, c)))
}

// work is the stretches of When; those about the axis matter, since a start-up comes before its stretch.
func (l Load) work(a clock.Axis, c clock.Calendar) []clock.Stretch {
	return l.When.Stretches(a.Widened(4*longestExtra), c, l.Seasons...)
}

// Heat is the load's heat on the study's axis, mean kW over each step, and its parts: the work at full heat, its
// rise, its breaks, start-up and cleaning. See [Load.On] for the calendar.
func (l Load) Heat(a clock.Axis, c clock.Calendar) (clock.KW, []Part, error) {
	if err := l.fits(a); err != nil {
		return nil, nil, err
	}
	if l.Series != nil {
		kW, err := l.Series.On(a)
		if err != nil {
			return nil, nil, l.fault(err)
		}
		return kW, []Part{{Name: "as measured", KWh: kW.EnergyKWh(a.StepH())}}, nil
	}
	work := l.work(a, c)
	runs := l.joined(work)
	sum := heatSum{axis: a, kW: make(clock.KW, a.N)}
	rise := l.rises(runs, work)
	breaks := common(work, l.breaks(a, c))
	rising := make([]clock.Stretch, len(rise))
	for i, r := range rise {
		rising[i] = r.Stretch
	}
	sum.flat("by the shift pattern", without(without(work, breaks), rising), l.KW)
	sum.last().Text = oddText(l.When.OddNights(a, c, l.Seasons...))
	if l.Ramp > 0 {
		sum.part("ramp to full heat")
		for _, r := range rise {
			for _, s := range without([]clock.Stretch{r.Stretch}, breaks) {
				sum.line(s, r, 1)
			}
		}
		sum.last().Text = fmt.Sprintf("in %s from %.4g kW", brieflyFor(l.Ramp), l.StartUp.KW)
	}
	if !l.Breaks.IsZero() {
		sum.flat("breaks", without(breaks, rising), l.KW*l.BreakFrac)
		for _, r := range rise {
			for _, s := range common([]clock.Stretch{r.Stretch}, breaks) {
				sum.line(s, r, l.BreakFrac)
			}
		}
		sum.last().Text = fmt.Sprintf("%.4g h at %.3g %% of the load", hoursOn(a, breaks), 100*l.BreakFrac)
	}
	if l.StartUp.Lasts > 0 {
		sum.extra("start-up", l.StartUp, before(runs, l.StartUp.Lasts))
	}
	if l.CleanUp.Lasts > 0 {
		sum.extra("cleaning", l.CleanUp, after(runs, l.CleanUp.Lasts))
	}
	return sum.kW, sum.parts, nil
}

// breaks follow the clock on the wall and the weekday, on the holidays that have work too unless they have
// hours of their own there: a break needs no calendar, it only ever cuts into work.
func (l Load) breaks(a clock.Axis, c clock.Calendar) []clock.Stretch {
	own := clock.Calendar{Summer: c.Summer}
	if l.Breaks.HasHolidays() {
		own.Holidays = c.Holidays
	}
	return l.Breaks.Stretches(a.Widened(4*longestExtra), own)
}

// rises are the parts of the work in which a run's heat is on its way to full, from the start-up's or from nothing.
func (l Load) rises(runs, work []clock.Stretch) []slope {
	if l.Ramp == 0 {
		return nil
	}
	var all []slope
	for _, r := range runs {
		end := r.From.Add(l.Ramp)
		window := clock.Stretch{From: r.From, To: end}
		if r.To.Before(end) {
			window.To = r.To
		}
		for _, s := range common(work, []clock.Stretch{window}) {
			all = append(all, slope{s, r.From, end, l.StartUp.KW, l.KW})
		}
	}
	return all
}

// oddText says what the two odd nights make of a pattern's hours.
func oddText(nights []clock.OddNight) string {
	var said []string
	for _, n := range nights {
		switch day := n.At.Format("2 Jan"); {
		case n.H < 0:
			said = append(said, fmt.Sprintf("%.4g h fewer on %s", -n.H, day))
		case n.H > 0:
			said = append(said, fmt.Sprintf("%.4g h more on %s", n.H, day))
		}
	}
	if said == nil {
		return ""
	}
	return strings.Join(said, ", ") + ", when the clocks are changed"
}

// brieflyFor writes a time as people do: "45 min", "1.5 h".
func brieflyFor(d time.Duration) string {
	if d < time.Hour {
		return fmt.Sprintf("%.4g min", d.Minutes())
	}
	return fmt.Sprintf("%.4g h", d.Hours())
}
