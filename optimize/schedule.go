package optimize

// Schedule is a plan, step by step. Every series in kW is a mean over the step; every list is in the
// problem's order and always whole, with zeros where a use is not there.
type Schedule struct {
	SunHeaderKW    [][][]float64 // [field][header] heat from the sun to the header
	SunStoreKW     [][][]float64 // [field][store] heat from the sun into the store
	SpilledKW      [][]float64   // [field] what the area left unused would have given its best header, or store if it feeds none
	BoilerKW       [][]float64   // [boiler] heat
	PieceKW        [][][]float64 // [boiler][piece] the same, by piece
	FuelKW         [][]float64   // [boiler] fuel
	ValveKW        [][]float64   // [valve] heat let down
	DischargeKW    [][]float64   // [store] heat out to its header
	KeepWarmKW     [][]float64   // [store] heat from the header that heats it, in place of standing loss
	HeaderChargeKW [][]float64   // [store] heat from that header that charges it
	StoredKWh      [][]float64   // [store] at the step's start, one more than there are steps
	UnmetKW        [][]float64   // [header] heat asked for and not delivered
	VentKW         [][]float64   // [header] heat let go; only with ramp limits or negative prices
	MovedKW        [][]float64   // [move] heat it takes; not in its header's DemandKW
	StepCost       []float64     // of each step; with FixedCost and TakeCost they add up to Cost
	FixedCost      float64
	NotTakenKWh    []float64 // [take] paid for and not burnt
	TakeCost       float64   // of that
	Cost           float64
	HeatPrice      [][]float64 // [header] what one more kWh of demand in the step would cost
	WindowPrice    [][]float64 // [move][window] what one more kWh of its heat would cost
	StorePrice     [][]float64 // [store] what one more kWh in the store at the step's end would save
}

func newSchedule(p *Problem) *Schedule {
	n := p.N()
	s := &Schedule{
		SpilledKW: grid(len(p.Fields), n), BoilerKW: grid(len(p.Boilers), n), FuelKW: grid(len(p.Boilers), n),
		ValveKW: grid(len(p.Valves), n), DischargeKW: grid(len(p.Stores), n), KeepWarmKW: grid(len(p.Stores), n),
		HeaderChargeKW: grid(len(p.Stores), n), StoredKWh: grid(len(p.Stores), n+1),
		UnmetKW: grid(len(p.Headers), n), VentKW: grid(len(p.Headers), n), MovedKW: grid(len(p.Moves), n), StepCost: make([]float64, n),
		HeatPrice: grid(len(p.Headers), n), StorePrice: grid(len(p.Stores), n), NotTakenKWh: make([]float64, len(p.Takes)),
	}
	for range p.Fields {
		s.SunHeaderKW = append(s.SunHeaderKW, grid(len(p.Headers), n))
		s.SunStoreKW = append(s.SunStoreKW, grid(len(p.Stores), n))
	}
	for _, b := range p.Boilers {
		s.PieceKW = append(s.PieceKW, grid(len(b.Pieces), n))
	}
	return s
}

// finish works out, from the flows an engine found, all that follows from them.
func (s *Schedule) finish(w *work, q *prices) {
	for k := range s.StoredKWh {
		s.StoredKWh[k][w.n] = s.StoredKWh[k][0]
	}
	s.tidy(w)
	s.boilers(w)
	for i := range w.p.Fields {
		s.spill(w, i)
	}
	s.cost(w)
	for l, price := range q.header {
		per := 1 / w.dt
		for t, x := range price {
			s.HeatPrice[l][t] = x * per
		}
	}
	for k, price := range q.store {
		copy(s.StorePrice[k], price)
	}
	for _, price := range q.window {
		s.WindowPrice = append(s.WindowPrice, append([]float64(nil), price...))
	}
}

// tidyFrac of the peak demand is the size of flow that is a solver's rounding and not a plan.
const tidyFrac = 1e-10

// tidy sets flows that are rounding to 0, so that a plan does not show a boiler at 1e-12 kW.
func (s *Schedule) tidy(w *work) {
	small := tidyFrac * w.peakKW
	each := func(lists ...[][]float64) {
		for _, list := range lists {
			for _, v := range list {
				for t, x := range v {
					if x < small && x > -small {
						v[t] = 0
					}
				}
			}
		}
	}
	for i := range s.SunHeaderKW {
		each(s.SunHeaderKW[i], s.SunStoreKW[i])
	}
	for i := range s.PieceKW {
		each(s.PieceKW[i])
	}
	each(s.ValveKW, s.DischargeKW, s.KeepWarmKW, s.HeaderChargeKW, s.UnmetKW, s.VentKW, s.StoredKWh, s.MovedKW)
}

func (s *Schedule) boilers(w *work) {
	for i, b := range w.p.Boilers {
		heat, fuel := s.BoilerKW[i], s.FuelKW[i]
		clear(heat)
		clear(fuel)
		for j, piece := range b.Pieces {
			for t, kW := range s.PieceKW[i][j] {
				heat[t] += kW
				fuel[t] += kW * piece.FuelPerHeat
			}
		}
	}
}

func (s *Schedule) spill(w *work, i int) {
	if w.p.Fields[i].whole != nil {
		s.spillCapped(w, i)
		return
	}
	area, spilled := w.p.Fields[i].AreaM2, s.SpilledKW[i]
	for t, used := range s.areaUsed(w.p.Fields[i], i, w.scratch) {
		unused := area - used
		if unused <= dust*area {
			unused = 0
		}
		spilled[t] = unused * w.spillYield[i][t]
	}
}

// dust is the share of a whole under which a difference is rounding, which is other on another processor.
const dust = 1e-12

// spillYields is the yield by which unused area is counted: of the best header, or store if it feeds none.
func (f Field) spillYields(n int) []float64 {
	best := make([]float64, n)
	header := f.HeaderKWM2
	if f.whole != nil {
		header = f.whole
	}
	for _, yields := range [][][]float64{header, f.StoreKWM2} {
		feeds := false
		for _, y := range yields {
			for t, v := range y {
				best[t] = max(best[t], v)
				feeds = feeds || v > 0
			}
		}
		if feeds {
			break
		}
	}
	return best
}

// areaUsed is the area of field i that the plan uses, m² by step, in a series that is given. Flow of a
// use without yield is not counted here; the proof refuses it.
func (s *Schedule) areaUsed(f Field, i int, used []float64) []float64 {
	clear(used)
	add := func(flows, yields [][]float64) {
		for l, y := range yields {
			for t, v := range y {
				if v > 0 {
					used[t] += flows[l][t] / v
				}
			}
		}
	}
	add(s.SunHeaderKW[i], f.HeaderKWM2)
	add(s.SunStoreKW[i], f.StoreKWM2)
	return used
}

// cost adds up money from the flows and the problem's prices. Heat that may not be missing has none.
func (s *Schedule) cost(w *work) {
	clear(s.StepCost)
	pay := func(kW []float64, price float64) {
		if price != 0 {
			perKW := w.dt * price
			for t, x := range kW {
				s.StepCost[t] += perKW * x
			}
		}
	}
	for i, b := range w.p.Boilers {
		for t, x := range s.FuelKW[i] {
			s.StepCost[t] += w.dt * b.FuelPrice[t] * x
		}
	}
	for i, f := range w.p.Fields {
		for _, kW := range s.SunHeaderKW[i] {
			pay(kW, f.HeatCost)
		}
		for _, kW := range s.SunStoreKW[i] {
			pay(kW, f.HeatCost)
		}
	}
	for l, h := range w.p.Headers {
		pay(s.UnmetKW[l], h.UnmetPrice)
	}
	s.FixedCost = w.p.fixedCost()
	s.takes(w)
	s.Cost = s.FixedCost + s.TakeCost + sum(s.StepCost)
}
