package demand

import (
	"errors"
	"fmt"
	"time"

	"noonkeep/plant/clock"
)

// Movable is work that is wanted once in each stretch of a weekly pattern and may be done at any hour of it:
// so much heat, between a least and a most power.
type Movable struct {
	Name            string
	HeatKWh         float64 // in each stretch
	LeastKW, MostKW float64 // while a stretch lasts
	Within          clock.When
	Seasons         []clock.Span // days on which a stretch may begin; none is all year
}

// Window is one stretch of a [Movable] on a study's axis.
type Window struct {
	clock.Stretch
	First   int       // the first step that it has part of
	Shares  []float64 // 0 to 1, of that step and those after it: the part that lies in the stretch
	HeatKWh float64
	YearH   float64 // hours of the stretch within the study; less than H() if the study's ends cut it
}

// Cut tells whether the study has a part of the stretch alone.
func (w Window) Cut() bool { return w.YearH < w.H() }

// Steps is the first step of the window and the one after its last.
func (w Window) Steps() (from, to int) { return w.First, w.First + len(w.Shares) }

// fitTol is by how much, relatively, heat may pass what a power gives in a window's hours: 900 kg of steam
// an hour for 12 h is not quite 10800 kg once both are heat.
const fitTol = 1e-9

// Check reports all that is wrong with the work, each fault with its name.
func (m Movable) Check() error {
	var faults []error
	require := func(holds bool, format string, args ...any) {
		if !holds {
			faults = append(faults, m.fault(fmt.Errorf(format, args...)))
		}
	}
	require(m.HeatKWh > 0 && m.HeatKWh <= mostKW*8784, "heat: is %g kWh; want more than 0", m.HeatKWh)
	require(m.MostKW > 0 && m.MostKW <= mostKW, "most: is %g kW; want more than 0, up to %g", m.MostKW, mostKW)
	require(m.LeastKW >= 0 && m.LeastKW <= m.MostKW, "least: is %g kW; want 0 to the most, %g", m.LeastKW, m.MostKW)
	require(!m.Within.IsZero(), `within: is missing; want hours such as "Mon-Fri 06:00-18:00"`)
	for _, s := range m.Seasons {
		if err := s.Check(); err != nil {
			faults = append(faults, m.fault(fmt.Errorf("season: %w", err)))
		}
	}
	return errors.Join(faults...)
}

// Windows are the stretches in which the work is done, in order, each with its heat. One that the study's ends
// cut gets the share of heat that it has of the hours. A stretch in which the heat cannot be done between the
// least and the most power is an error, as is a season that does not reach the study.
func (m Movable) Windows(a clock.Axis, c clock.Calendar) ([]Window, error) {
	if err := a.Check(); err != nil {
		return nil, m.fault(err)
	}
	if err := m.Check(); err != nil {
		return nil, err
	}
	stretches := m.Within.Stretches(a, c, m.Seasons...)
	if len(stretches) == 0 {
		return nil, m.fault(fmt.Errorf("within: %s has no hour from %s to %s; want hours of the study", m.Within, a.Date(0), a.Date(a.N-1)))
	}
	var all []Window
	for _, s := range stretches {
		if err := m.fits(s); err != nil {
			return nil, m.fault(err)
		}
		all = append(all, m.window(a, s))
	}
	return all, nil
}

// fits compares a window's heat with what its hours allow.
func (m Movable) fits(s clock.Stretch) error {
	least, most := m.LeastKW*s.H(), m.MostKW*s.H()
	where := fmt.Sprintf("window of %s to %s", s.From.Format("2 Jan 15:04"), s.To.Format("2 Jan 15:04"))
	switch {
	case m.HeatKWh > most*(1+fitTol):
		return fmt.Errorf("%s: %.6g kWh do not fit in; %.4g h at %.4g kW are %.6g; raise the most or lengthen the window", where, m.HeatKWh, s.H(), m.MostKW, most)
	case m.HeatKWh < least*(1-fitTol):
		return fmt.Errorf("%s: takes %.6g kWh at its least, %.4g kW for %.4g h, and is to take %.6g; lower the least or shorten the window", where, least, m.LeastKW, s.H(), m.HeatKWh)
	}
	return nil
}

func (m Movable) window(a clock.Axis, s clock.Stretch) Window {
	from, to := max(s.From.Sub(a.Start), 0), min(s.To.Sub(a.Start), time.Duration(a.N)*a.Step)
	w := Window{Stretch: s, First: int(from / a.Step), YearH: (to - from).Hours()}
	for i := w.First; from < to; i++ {
		until := min(time.Duration(i+1)*a.Step, to)
		w.Shares = append(w.Shares, float64(until-from)/float64(a.Step))
		from = until
	}
	w.HeatKWh = min(max(m.HeatKWh, m.LeastKW*s.H()), m.MostKW*s.H())
	if w.Cut() {
		w.HeatKWh *= w.YearH / s.H()
	}
	return w
}

// Soonest is the work done as soon as it may be: in each window the most power from its start until only the
// least is left to do. It is mean kW over each step of the axis that the windows were made for.
func (m Movable) Soonest(a clock.Axis, windows []Window) clock.KW {
	kW := make(clock.KW, a.N)
	for _, w := range windows {
		left := w.HeatKWh - m.LeastKW*w.YearH
		for i, share := range w.Shares {
			more := max(0, min(left, share*(m.MostKW-m.LeastKW)*a.StepH()))
			kW[w.First+i] += share*m.LeastKW + more/a.StepH()
			left -= more
		}
	}
	return kW
}

func (m Movable) fault(err error) error { return fmt.Errorf("load %q: %w", m.Name, err) }
