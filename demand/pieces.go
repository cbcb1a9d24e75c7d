package demand

import (
	"fmt"
	"time"

	"noonkeep/plant/clock"
)

// slope is a stretch in which heat goes straight from one level to another; the line reaches from start to
// end, of which the stretch may be a part.
type slope struct {
	clock.Stretch
	start, end   time.Time
	fromKW, toKW float64
}

// at is the line's height.
func (s slope) at(t time.Time) float64 {
	share := float64(t.Sub(s.start)) / float64(s.end.Sub(s.start))
	return s.fromKW + (s.toKW-s.fromKW)*share
}

// heatSum adds up pieces of heat, and keeps what each part of them came to.
type heatSum struct {
	axis  clock.Axis
	kW    clock.KW
	parts []Part
}

func (h *heatSum) part(name string) { h.parts = append(h.parts, Part{Name: name}) }

// last is the part that is being added to.
func (h *heatSum) last() *Part { return &h.parts[len(h.parts)-1] }

// flat adds a new part of one height.
func (h *heatSum) flat(name string, list []clock.Stretch, kW float64) {
	h.part(name)
	for i, share := range h.axis.Shares(list) {
		h.kW[i] += share * kW
		h.last().KWh += share * kW * h.axis.StepH()
	}
}

// line adds a piece of a slope, some share of its height; the mean over a step is the line's height in the middle
// of what the two share, so no energy is lost to the steps.
func (h *heatSum) line(s clock.Stretch, of slope, share float64) {
	from, to := s.From, s.To
	if from.Before(h.axis.Start) {
		from = h.axis.Start
	}
	if end := h.axis.End(); to.After(end) {
		to = end
	}
	for from.Before(to) {
		i, _ := h.axis.Index(from)
		until := h.axis.At(i + 1)
		if until.After(to) {
			until = to
		}
		inside := until.Sub(from)
		kW := share * of.at(from.Add(inside/2)) * float64(inside) / float64(h.axis.Step)
		h.kW[i] += kW
		h.last().KWh += kW * h.axis.StepH()
		from = until
	}
}

// extra adds start-up or cleaning as a part of its own.
func (h *heatSum) extra(name string, e Extra, list []clock.Stretch) {
	h.flat(name, list, e.KW)
	times := 0
	for _, s := range list {
		if s.To.After(h.axis.Start) && s.From.Before(h.axis.End()) {
			times++
		}
	}
	h.last().Text = fmt.Sprintf("%d times %s at %.4g kW", times, brieflyFor(e.Lasts), e.KW)
}

// before and after are the stretches of a length that end where runs begin, and begin where they end.
func before(runs []clock.Stretch, lasts time.Duration) []clock.Stretch {
	all := make([]clock.Stretch, len(runs))
	for i, r := range runs {
		all[i] = clock.Stretch{From: r.From.Add(-lasts), To: r.From}
	}
	return all
}

func after(runs []clock.Stretch, lasts time.Duration) []clock.Stretch {
	all := make([]clock.Stretch, len(runs))
	for i, r := range runs {
		all[i] = clock.Stretch{From: r.To, To: r.To.Add(lasts)}
	}
	return all
}

// common is what two lists share; both in order and without overlaps, as the answer is.
func common(a, b []clock.Stretch) (list []clock.Stretch) {
	for i, j := 0, 0; i < len(a) && j < len(b); {
		s := a[i]
		if b[j].From.After(s.From) {
			s.From = b[j].From
		}
		if b[j].To.Before(s.To) {
			s.To = b[j].To
		}
		if s.From.Before(s.To) {
			list = append(list, s)
		}
		if a[i].To.Before(b[j].To) {
			i++
		} else {
			j++
		}
	}
	return list
}

// without is what of a list lies outside another.
func without(a, b []clock.Stretch) (list []clock.Stretch) {
	j := 0
	for _, s := range a {
		for j < len(b) && !b[j].To.After(s.From) {
			j++
		}
		for k := j; k < len(b) && b[k].From.Before(s.To); k++ {
			if s.From.Before(b[k].From) {
				list = append(list, clock.Stretch{From: s.From, To: b[k].From})
			}
			s.From = b[k].To
		}
		if s.From.Before(s.To) {
			list = append(list, s)
		}
	}
	return list
}

// hoursOn is what stretches come to on the axis, h.
func hoursOn(a clock.Axis, list []clock.Stretch) float64 {
	return clock.KW(a.Shares(list)).EnergyKWh(a.StepH())
}
