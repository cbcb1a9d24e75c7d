package answer

import (
	"context"

	"noonkeep/optimize"
	"noonkeep/plant/clock"
)

// roller plans two days anew every few hours from what the store holds and a forecast.
type roller struct {
	axis  clock.Axis
	p     optimize.Problem // of the year; its sun, and its load where it is not known, are not looked at
	f     *forecast
	ahead optimize.Ahead
	left  [][][]optimize.Worth // [store][every few hours]: what heat is usually worth there

	index [][]float64 // by field
}

// ring is a stretch of a series of a year that repeats.
func ring(v []float64, from, n int) []float64 {
	if v == nil {
		return nil
	}
	if from+n <= len(v) {
		return v[from : from+n]
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = v[(from+i)%len(v)]
	}
	return out
}

// plan is the plan made at the start of step t, with what each store holds.
func (r *roller) plan(ctx context.Context, t int, heldKWh []float64) (optimize.Course, error) {
	n := stepsOf(r.axis, forecastH)
	o := optimize.Outlook{Problem: r.expected(t, n), HeldKWh: heldKWh}
	next := (t + n) % r.axis.N / stepsOf(r.axis, everyH)
	for k := range r.p.Stores {
		o.Left = append(o.Left, r.left[k][next])
	}
	return r.ahead.Plan(ctx, o)
}

// expected is the problem of the n steps from t on as they are expected.
func (r *roller) expected(t, n int) optimize.Problem {
	p := optimize.Problem{Start: r.p.At(t), StepH: r.p.StepH, Valves: r.p.Valves}
	for l, h := range r.p.Headers {
		h.DemandKW = make([]float64, n)
		for i := range h.DemandKW {
			h.DemandKW[i] = r.f.loads[l].at(r.axis, t, i)
		}
		p.Headers = append(p.Headers, h)
	}
	if r.index == nil {
		r.index = grid(len(r.p.Fields), n)
	}
	for i, f := range r.p.Fields {
		x, index := &r.f.fields[i], r.index[i]
		x.index(r.axis, t, index)
		f.FixedCost = 0
		f.HeaderKWM2, f.StoreKWM2 = times(x.clearHeaders, index, t), times(x.clearStores, index, t)
		if f.MostKW != nil {
			f.MostKW = ring(f.MostKW, t, n)
		}
		p.Fields = append(p.Fields, f)
	}
	for _, b := range r.p.Boilers {
		b.FuelPrice, b.Available = ring(b.FuelPrice, t, n), ring(b.Available, t, n)
		p.Boilers = append(p.Boilers, b)
	}
	for _, s := range r.p.Stores {
		s.Keep, s.StandingKW = ring(s.Keep, t, n), ring(s.StandingKW, t, n)
		p.Stores = append(p.Stores, s)
	}
	for _, m := range r.p.Limits {
		m.MostKW = ring(m.MostKW, t, n)
		p.Limits = append(p.Limits, m)
	}
	return p
}

// times are clear yields from step t on, each times its index.
func times(clear [][]float64, index []float64, t int) [][]float64 {
	out := make([][]float64, len(clear))
	for l, v := range clear {
		if v == nil {
			continue
		}
		out[l] = make([]float64, len(index))
		for i := range index {
			out[l][i] = v[(t+i)%len(v)] * index[i]
		}
	}
	return out
}
