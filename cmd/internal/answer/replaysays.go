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
	out.order()
}

func (r *Replay) anyUnmet() bool {
	for _, w := range r.Ways {
		if w.UnmetKWh > 0 {
			return true
		}
	}
	return r.Baseline.BoilersOnlyUnmetKWh > 0 || r.Baseline.NoStorageUnmetKWh > 0
}

// order says where a way costs more than one that knows less, or than no store.
func (r *Replay) order() {
	cost := map[string]float64{}
	for _, w := range r.Ways {
		cost[w.Name] = w.AnnualCost
	}
	add := func(a, b string, ca, cb float64, why string) {
		if ca > cb+orderFrac*math.Abs(cb) {
			r.Order = append(r.Order, fmt.Sprintf("%s costs %.0f %s more than %s: %s", a, ca-cb, r.Currency, b, why))
		}
	}
	for _, name := range []string{WayPlan, WayRule, WayGuide, WayRolling} {
		add(name, "no store", cost[name], r.Baseline.NoStorageCost, "the vessel's loss, and the boilers' starts round it, cost more than its heat spares")
	}
	add(WayRolling, WayRule, cost[WayRolling], cost[WayRule], "where heat need not be held back, a forecast that errs does harm, and the rule has nothing to lose")
	add(WayRolling, WayGuide, cost[WayRolling], cost[WayGuide], "the usual level errs less than the forecast")
	add(WayGuide, WayRule, cost[WayGuide], cost[WayRule], "heat was held back for hours that came otherwise than usual")
	add(WayPlan, WayRule, cost[WayPlan], cost[WayRule], "set-points by the hour keep to the program's cautious store, while the rule takes what the machine has at the moment")
	add(WayPlan, WayRolling, cost[WayPlan], cost[WayRolling], "set-points by the hour keep to the program's cautious store, while the rolling plan sees what the vessel holds")
	add(WaySight, "the cheapest way", cost[WaySight], min(cost[WayPlan], cost[WayRule], cost[WayGuide], cost[WayRolling]), "a fault: the bound does not hold; please report the scenario")
}
