package replay

import "math"

// Follow are the hourly set-points of a plan. Series are by hour; nil leaves the thing to the controllers. What a header
// did not take early in an hour is made up later in it, so that an hour's heat is the plan's where minutes allow it.
// A Follow plays one run at a time.
type Follow struct {
	Stores  []FollowStore
	Boilers [][]float64 // [boiler] heat, kW
	LeadH   []float64   // [boiler] how long before its hour it is started, h; nil: at its hour

	hour, step int // of the last call
	begun      bool
}

// FollowStore are the set-points of one store.
type FollowStore struct {
	DrawKW       []float64 // heat to the header
	SunKW        []float64 // heat from the sun
	FromHeaderKW []float64 // heat from the header that charges it
	HeldKWh      []float64 // content at the hour's start; it is not drawn under that for a boiler's sake. Nil: no hold

	drawn, sun float64 // kW times steps in the hour
}

// Orders gives the set-points of the hour.
func (f *Follow) Orders(seen *Seen, o *Orders) {
	h := seen.Hour
	if !f.begun || h != f.hour || seen.Step < f.step {
		f.begun, f.hour = true, h
		for k := range f.Stores {
			f.Stores[k].drawn, f.Stores[k].sun = 0, 0
		}
	} else {
		for k := range f.Stores {
			f.Stores[k].drawn += seen.Stores[k].DrawKW
			f.Stores[k].sun += seen.Stores[k].SunKW
		}
	}
	f.step = seen.Step
	for k := range f.Stores {
		f.Stores[k].orders(&o.Stores[k], seen, k)
	}
	for i, heat := range f.Boilers {
		if heat == nil {
			continue
		}
		b := &o.Boilers[i]
		b.Want, b.BaseKW = Rest, heat[h]
		if ahead := f.ahead(i, seen, len(heat)); heat[h] > 0 || heat[ahead] > 0 {
			b.Want = KeepHot
		}
	}
}

func (s *FollowStore) orders(o *StoreOrder, seen *Seen, k int) {
	h, x := seen.Hour, &seen.Stores[k]
	perHour := math.Round(1 / seen.StepH)
	done := float64(seen.Step) - float64(h)*perHour
	// Made up as far as the store can, so that a refusal is one of the plan's own kW.
	catchUp := func(planKW, sum, mostKW float64) float64 {
		return math.Min((planKW*perHour-sum)/(perHour-done), math.Max(planKW, mostKW))
	}
	if s.DrawKW != nil {
		o.Prescribed, o.DrawKW = true, catchUp(s.DrawKW[h], s.drawn, x.MostDrawKW)
	}
	if s.SunKW != nil {
		o.SunKW = catchUp(s.SunKW[h], s.sun, math.Min(seen.SunStoreKW[k], x.MostChargeKW))
	}
	if s.FromHeaderKW != nil {
		o.FromHeaderKW, o.AsSpare = s.FromHeaderKW[h], false
	}
	if s.HeldKWh != nil {
		o.HoldKWh = s.HeldKWh[h]
	}
}

// ahead is the hour for which a boiler that starts now is hot.
func (f *Follow) ahead(i int, seen *Seen, hours int) int {
	if f.LeadH == nil {
		return seen.Hour
	}
	return int((float64(seen.Step)*seen.StepH + f.LeadH[i])) % hours
}
