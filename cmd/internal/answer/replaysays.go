package answer

import (
	"fmt"
	"math"
)

// orderFrac of the cost is a difference between ways that is told.
const orderFrac = 1e-5

// says explains in words: the ways, the year that is usual, and where the order of the ways is not as one would think.
func (s *stage) says(x *set, out *Replay) {
	out.UsualYear = "the same file's own year: means of the same weekday and hour over three months, so that no single day is known beforehand"
	if seed, generated := s.usual.Seed(); generated {
		out.UsualYear = fmt.Sprintf("another generated year, of seed %d: means of the same weekday and hour over three months", seed)
	}
	out.Method = map[string]string{
		WayPlan:  "the hours' set-points of the proven plan, which knew the whole year, mended until the physics accepts them",
		WayRule:  "sun to the header, the rest to the store; the store gives before any boiler",
		WayGuide: "as the plain rule, but the store gives in a boiler's place only down to the guide line of the usual year",
		WayRolling: fmt.Sprintf("every %g h a new plan of the next %g h with a forecast: the clear-sky index of the last %g h fades to the "+
			"month's mean (Yang, Solar Energy 193, 2019), load by the calendar or as last week, heat left as it is usually worth", everyH, forecastH, lookBackH),
		WaySight: "no way of running costs less: a program that knows the sun of every minute and whose boilers, store and fields are bound by less than the plant's",
	}
	if x.usual.hold == nil && x.usual.noWhy != "" {
		out.Method[WayGuide] = "as the plain rule: there is no guide line, since " + x.usual.noWhy
	}
	if x.on != nil {
		out.Method[WayPlan] += "; it keeps to the boilers' lowest fires and pays for their starts"
	}
	out.Notes = append([]string{}, s.m.notes...)
	for l, h := range s.c.Headers {
		if h.UnmetPerKWh == 0 && out.anyUnmet() {
			out.Unmet = fmt.Sprintf("heat missing at header %s is counted at the dearest heat, %.4f %s a kWh", h.Name, s.t.unmet[l], s.c.Currency)
		}
	}
	out.order(s.c.Cycles() != nil)
}

func (r *Replay) anyUnmet() bool {
	for _, w := range r.Ways {
		if w.UnmetKWh > 0 {
			return true
		}
	}
	return r.Baseline.BoilersOnlyUnmetKWh > 0 || r.Baseline.NoStorageUnmetKWh > 0
}

// order says where a way costs more than one that knows less, or than no store, and why.
func (r *Replay) order(onOff bool) {
	way := map[string]Way{"no store": {Name: "no store", AnnualCost: r.Baseline.NoStorageCost, UnmetKWh: r.Baseline.NoStorageUnmetKWh,
		BoilerStarts: r.Baseline.NoStorageStarts}}
	cheapest := math.Inf(1)
	for _, w := range r.Ways {
		if way[w.Name] = w; w.Name != WaySight {
			cheapest = min(cheapest, w.AnnualCost)
		}
	}
	add := func(a, b, why string) {
		x, y := way[a], way[b]
		if over := x.AnnualCost - y.AnnualCost; over > orderFrac*math.Abs(y.AnnualCost) {
			r.Order = append(r.Order, fmt.Sprintf("%s costs %.0f %s more than %s: %s%s", a, over, r.Currency, b, why, x.besides(y)))
		}
	}
	for _, name := range []string{WayPlan, WayRule, WayGuide, WayRolling} {
		add(name, "no store", fmt.Sprintf("the vessel loses %.1f MWh and is kept warm with %.1f MWh, and its %.1f MWh spare less than that",
			way[name].LossKWh/1000, way[name].KeepWarmKWh/1000, way[name].StoreOutKWh/1000))
	}
	program := "its set-points come from a program that is more careful with the store than the machine has to be"
	if onOff {
		program = "its program lets boilers start at once and burn as little as they like, and this plant's do not"
	}
	add(WayRolling, WayRule, program+", and its forecast errs")
	add(WayRolling, WayGuide, program+", and its forecast errs")
	add(WayGuide, WayRule, "it holds heat back for hours that then come otherwise than usual")
	add(WayPlan, WayRule, program)
	add(WayPlan, WayGuide, program)
	add(WayPlan, WayRolling, program+"; the rolling plan sees what the vessel holds")
	if bound := way[WaySight].AnnualCost; bound > cheapest+orderFrac*math.Abs(cheapest) {
		r.Order = append(r.Order, fmt.Sprintf("%s costs %.0f %s more than the cheapest way: a fault of this program, whose bound does not hold", WaySight, bound-cheapest, r.Currency))
	}
}

// besides says what else a way has more of than another.
func (w Way) besides(other Way) string {
	says := ""
	if more := w.UnmetKWh - other.UnmetKWh; more > 1 {
		says += fmt.Sprintf("; %.0f kWh more are missing while boilers come up", more)
	}
	if more := w.BoilerStarts - other.BoilerStarts; more > 0 && w.StartFuelKWh > 0 {
		says += fmt.Sprintf("; boilers start %d times more", more)
	}
	return says
}
