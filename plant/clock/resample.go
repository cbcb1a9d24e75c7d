package clock

import (
	"fmt"
	"time"
)

// Resample turns step means on one axis into step means on another over the same span, with the
// same energy: each new step takes of each old one the share that overlaps it. Axes here may have any step
// above 0 and any zone; what counts is the instants. NaN and Inf pass through.
func Resample(v []float64, from, to Axis) ([]float64, error) {
	if err := resampleFits(v, from, to); err != nil {
		return nil, err
	}
	if !from.Start.Equal(to.Start) || !from.End().Equal(to.End()) {
		return nil, fmt.Errorf("resample: values run %s; want %s, the same span", from.span(), to.span())
	}
	return overlap(v, from, to), nil
}

// ResampleWithin is [Resample] where the values may begin earlier and end later than wanted. The
// energy inside the wanted span is kept.
func ResampleWithin(v []float64, from, to Axis) ([]float64, error) {
	if err := resampleFits(v, from, to); err != nil {
		return nil, err
	}
	if from.Start.After(to.Start) || from.End().Before(to.End()) {
		return nil, fmt.Errorf("resample: values run %s; want all of %s", from.span(), to.span())
	}
	return overlap(v, from, to), nil
}

func resampleFits(v []float64, from, to Axis) error {
	for _, a := range []Axis{from, to} {
		if err := a.countable(); err != nil {
			return fmt.Errorf("resample: %w", err)
		}
	}
	if len(v) != from.N {
		return fmt.Errorf("resample: %d values; want %d, one a step", len(v), from.N)
	}
	return nil
}

// overlap walks both axes once. Overlaps are whole nanoseconds, so their sum over each new step is
// exactly the step; only the weighted sum rounds.
func overlap(v []float64, from, to Axis) []float64 {
	out := make([]float64, to.N)
	lead := to.Start.Sub(from.Start) // from the old axis' start to the new one's
	i := int(lead / from.Step)
	for j := range out {
		start := lead + time.Duration(j)*to.Step
		end := start + to.Step
		for at := start; at < end; {
			oldEnd := time.Duration(i+1) * from.Step
			until := min(oldEnd, end)
			if at == start && until == end {
				out[j] = v[i] // one old step covers it: no rounding at all
			} else {
				out[j] += v[i] * (float64(until-at) / float64(to.Step))
			}
			if until == oldEnd {
				i++
			}
			at = until
		}
	}
	return out
}

func (a Axis) span() string {
	const form = "2006-01-02 15:04 -07:00"
	return a.Start.Format(form) + " to " + a.End().Format(form)
}
