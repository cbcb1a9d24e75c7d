package answer

import (
	"noonkeep/optimize"
	"noonkeep/optimize/replay"
)

// tariff prices what was played, and what a program plans, on one basis: that of the problem.
type tariff struct {
	p        optimize.Problem
	fuel     [][]float64 // [boiler][hour]
	unmet    []float64   // by header, per kWh
	powerPer float64     // electricity, per kWh
	dearest  float64     // heat of any boiler, per kWh
	perHour  int         // steps of the problem in an hour
}

func tariffOf(p optimize.Problem, powerPerKWh float64) tariff {
	t := tariff{p: p, powerPer: powerPerKWh, perHour: max(1, int(1/p.StepH+0.5))}
	for _, b := range p.Boilers {
		hours := hourly(b.FuelPrice, t.perHour)
		t.fuel = append(t.fuel, hours)
		for _, piece := range b.Pieces {
			t.dearest = max(t.dearest, most(hours)*piece.FuelPerHeat)
		}
	}
	for _, h := range p.Headers {
		price := h.UnmetPrice
		if price == 0 {
			price = t.dearest
		}
		t.unmet = append(t.unmet, price)
	}
	return t
}

// hourly are the means over hours of a series of so many steps each.
func hourly(v []float64, perHour int) []float64 {
	if perHour == 1 || v == nil {
		return v
	}
	out := make([]float64, len(v)/perHour)
	for i := range out {
		out[i] = sum(v[i*perHour:(i+1)*perHour]) / float64(perHour)
	}
	return out
}

// fixed is what no way of running changes.
func (t *tariff) fixed(fields bool) float64 {
	cost := t.p.FixedCost
	for _, f := range t.p.Fields {
		if fields {
			cost += f.FixedCost
		}
	}
	return cost
}

// cost is what a year that was played costs. merit is the problem's boiler of each of the machine's. What stores,
// headers and fields hold less at the end than at the beginning is paid for as the dearest heat; what they hold more counts for nothing.
func (t *tariff) cost(played *replay.Played, merit []int, fields bool) float64 {
	cost := t.fixed(fields) + t.powerPer*played.PumpKWh
	burnt := make([]float64, len(t.p.Boilers))
	for i, kW := range played.Series.FuelKW {
		price := t.fuel[merit[i]]
		for h, x := range kW {
			cost += price[h] * x
		}
		burnt[merit[i]] = sum(kW)
	}
	for l, kW := range played.Series.UnmetKW {
		cost += t.unmet[l] * sum(kW)
	}
	for _, take := range t.p.Takes {
		left := take.LeastKWh
		for _, i := range take.Boilers {
			left -= burnt[i]
		}
		cost += take.Price * max(left, 0)
	}
	return cost + max(-played.ContentKWh, 0)*t.dearest
}
