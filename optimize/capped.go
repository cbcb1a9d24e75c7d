package optimize

import "math"

// A field that may give a header only so much in a step (MostKW) has no other use, so that what its area could give beyond
// is lost to the plan whatever it does: the program sees the yield cut to the limit, min(y, MostKW/AreaM2), which is exact.
// What is spilled still counts from the whole yield.

func cappedFields(fields []Field) []Field {
	out := append([]Field(nil), fields...)
	for i, f := range out {
		out[i] = f.capped()
	}
	return out
}

// capped cuts the yield of a field to its limit, once.
func (f Field) capped() Field {
	if f.MostKW == nil || f.whole != nil || f.AreaM2 == 0 {
		return f
	}
	f.whole = f.HeaderKWM2
	f.HeaderKWM2 = make([][]float64, len(f.whole))
	for l, yields := range f.whole {
		if yields == nil {
			continue
		}
		f.HeaderKWM2[l] = make([]float64, len(yields))
		for t, y := range yields {
			f.HeaderKWM2[l][t] = min(y, f.MostKW[t]/f.AreaM2)
		}
	}
	return f
}

// spillCapped counts what a field with a limit leaves unused.
func (s *Schedule) spillCapped(w *work, i int) {
	f, spilled := w.p.Fields[i], s.SpilledKW[i]
	for t, y := range w.spillYield[i] {
		spilled[t] = f.AreaM2 * y
		for _, flow := range s.SunHeaderKW[i] {
			spilled[t] -= flow[t]
		}
		if spilled[t] <= dust*f.AreaM2*y {
			spilled[t] = 0
		}
	}
}

func (p Problem) checkMost(f *faults, what string, field Field) {
	if field.MostKW == nil {
		return
	}
	f.series(what+": most", field.MostKW, p.N(), 0, math.Inf(1))
	uses := 0
	for _, y := range field.HeaderKWM2 {
		if y != nil {
			uses++
		}
	}
	for _, y := range field.StoreKWM2 {
		if y != nil {
			uses += 2
		}
	}
	f.require(uses <= 1, "%s: has a limit and more uses than one header; want that header alone", what)
}
