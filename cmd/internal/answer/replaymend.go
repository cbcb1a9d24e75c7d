package answer

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"noonkeep/optimize"
	"noonkeep/optimize/replay"
)

// mostMending is how often a plan is tightened before it is left as it is; one that keeps to on and off, each of which
// takes many solves, less often.
const mostMending, mostMendingOnOff = 12, 2

// mendMore is by how much more than was refused is taken away in each round after the first.
const mendMore = 0.5

// faultFrac of the store's capacity is how much of an hour's order may be refused before the hour is at fault; as much as
// a step of the vessel's steam tables and its gauges leave unsure.
const faultFrac = 0.005

// refused tells whether a plan that keeps to on and off was not to be had for a reason of its own.
func refused(err error) bool {
	needs := (*optimize.NeedsClp)(nil)
	return errors.Is(err, optimize.ErrNoRepair) || errors.As(err, &needs)
}

// mend plays the plan to the letter, tightens the hours in which the store could not do as it was told, and solves again, until the
// physics accepts the plan. It leaves the last plan in x, and returns its play too.
func (s *stage) mend(ctx context.Context, x *set) (*played, Mending, error) {
	var m Mending
	x.p.Fields, x.p.Stores = slices.Clone(x.p.Fields), slices.Clone(x.p.Stores)
	rounds := mostMending
	if x.on != nil {
		rounds = mostMendingOnOff
	}
	for {
		out, err := s.play(ctx, toTheLetter, x)
		if err != nil {
			return nil, m, err
		}
		faults := s.faults(x, out)
		round := MendingRound{Cost: out.cost}
		hours := map[int]bool{}
		for _, f := range faults {
			hours[f.Hour] = true
			round.RefusedKWh += f.KWh
		}
		round.RefusedH = len(hours)
		if len(faults) == 0 {
			m.Rounds, m.Accepted = append(m.Rounds, round), true
			return out, m, nil
		}
		if len(m.Rounds) == rounds {
			m.Rounds = append(m.Rounds, round)
			m.Why = fmt.Sprintf("%d hours with %.0f kWh are still refused after %d rounds", round.RefusedH, round.RefusedKWh, rounds)
			return out, m, nil
		}
		for i := range faults { // each round by more, since what is tightened comes back at hours like it
			faults[i].KWh *= 1 + mendMore*float64(len(m.Rounds))
		}
		round.Tightened = s.tighten(x, faults)
		m.Rounds = append(m.Rounds, round)
		if err := s.solve(ctx, x, x.on != nil); err != nil {
			if short := (*optimize.NoPlan)(nil); errors.As(err, &short) {
				m.Why = "tightened, the plan leaves heat missing: " + short.Error()
				return out, m, nil
			}
			return nil, m, err
		}
	}
}

// faults are the hours in which a store did less than the plan says, and the physics was the reason: what is lacking of the
// hour's heat. That a header takes less than was ordered is none: the heat stays in the store. Nor is it one that a store is
// full which the plan has less full: it holds what it was to be given.
func (s *stage) faults(x *set, out *played) []replay.Refusal {
	var list []replay.Refusal
	plan := plannedOf(s.m, x.p, &x.plan, nil, true)
	for _, r := range out.Refusals {
		full := r.Why == replay.ByFull && out.Series.HeldKWh[r.Of][r.Hour] >= plan.held[r.Of][r.Hour]
		switch {
		case full:
			continue
		case r.What == "store" && r.Why != replay.ByHeader:
			r.KWh = min(r.KWh, plan.draw[r.Of][r.Hour]-out.Series.DrawKW[r.Of][r.Hour])
		case r.What == "charge" && r.Why != replay.ByHeader:
			r.KWh = min(r.KWh, plan.sun[r.Of][r.Hour]-out.Series.SunStoreKW[r.Of][r.Hour])
		default:
			continue
		}
		if r.KWh > faultFrac*x.p.Stores[r.Of].CapacityKWh {
			list = append(list, r)
		}
	}
	return list
}

// tighten takes from the hours at fault what the physics refused, and says so in words.
func (s *stage) tighten(x *set, faults []replay.Refusal) string {
	count := map[string]int{}
	for _, f := range faults {
		store := &x.p.Stores[f.Of]
		from, to := f.Hour*s.t.perHour, (f.Hour+1)*s.t.perHour
		switch f.Why {
		case replay.BySurface, replay.ByNozzle:
			count["less draw"]++
			most := x.plan.DischargeKW[f.Of][from] - f.KW
			store.DischargeKW = max(min(store.DischargeKW, most), 0.5*store.DischargeKW)
		case replay.BySun:
			count["less sun"]++
			s.dim(x, f, from, to, true)
		case replay.ByFull, replay.ByChargeKW:
			count["less charging"]++
			s.dim(x, f, from, to, false)
		default: // at its floor: the vessel has lost more than the program thinks
			count["more loss"]++
			s.leak(x, f, from)
		}
	}
	var says []string
	for _, what := range []string{"less sun", "less charging", "less draw", "more loss"} {
		switch n := count[what]; {
		case n == 1:
			says = append(says, "1 hour with "+what)
		case n > 1:
			says = append(says, fmt.Sprintf("%d hours with %s", n, what))
		}
	}
	return strings.Join(says, ", ")
}

// leak takes what was refused from the heat held at the hour's start, so that no boiler can make it good in the vessel; from
// its charging, where it held less than that.
func (s *stage) leak(x *set, f replay.Refusal, from int) {
	store, held := &x.p.Stores[f.Of], x.plan.StoredKWh[f.Of][from]
	charged := 0.0
	for i := range x.p.Fields {
		charged += x.plan.SunStoreKW[i][f.Of][from] * x.p.StepH
	}
	if held <= charged {
		s.dim(x, f, from, from+s.t.perHour, false)
		return
	}
	store.Keep = slices.Clone(store.Keep)
	store.Keep[from] = max(store.Keep[from]-f.KWh/held, 0)
}

// dim takes what was refused of a charge from the fields' yields to the store, or of all they give.
func (s *stage) dim(x *set, f replay.Refusal, from, to int, all bool) {
	ordered := 0.0
	for t := from; t < to; t++ {
		for i := range x.p.Fields {
			ordered += x.plan.SunStoreKW[i][f.Of][t] * x.p.StepH
			if all {
				for _, kW := range x.plan.SunHeaderKW[i] {
					ordered += kW[t] * x.p.StepH
				}
			}
		}
	}
	left := 1 - min(share(f.KWh, ordered), 1)
	less := func(yields [][]float64, only int) [][]float64 {
		yields = slices.Clone(yields)
		for k := range yields {
			if yields[k] != nil && (only < 0 || k == only) {
				yields[k] = slices.Clone(yields[k])
				for t := from; t < to; t++ {
					yields[k][t] *= left
				}
			}
		}
		return yields
	}
	for i := range x.p.Fields {
		field := &x.p.Fields[i]
		if all {
			field.HeaderKWM2, field.StoreKWM2 = less(field.HeaderKWM2, -1), less(field.StoreKWM2, -1)
			continue
		}
		field.StoreKWM2 = less(field.StoreKWM2, f.Of)
	}
}
