package optimize

// Outcome is what a proven schedule comes to over the whole period. Lists are by boiler.
type Outcome struct {
	Cost         float64   `json:"cost"`
	FuelKWh      []float64 `json:"fuel_kWh"`       // into each boiler
	FuelCost     []float64 `json:"-"`              // of FuelKWh, at each step's price
	HeatKWh      []float64 `json:"heat_kWh"`       // out of each boiler
	FieldKWh     []float64 `json:"field_kWh"`      // out of each field
	SunHeaderKWh float64   `json:"sun_header_kWh"` // from the fields straight to headers
	SunStoreKWh  float64   `json:"sun_store_kWh"`  // from the fields into stores
	StoreOutKWh  float64   `json:"store_out_kWh"`
	StoreInKWh   float64   `json:"store_in_kWh"` // from headers into stores, to charge them
	KeepWarmKWh  float64   `json:"keep_warm_kWh"`
	SpilledKWh   float64   `json:"spilled_kWh"`
	UnmetKWh     float64   `json:"unmet_kWh"`
	VentKWh      float64   `json:"vent_kWh"`
	DemandKWh    float64   `json:"demand_kWh"` // moves included
	MovedKWh     float64   `json:"moved_kWh"`
	LossKWh      float64   `json:"loss_kWh"` // of stores, standing loss included
	Proof        Proof     `json:"proof"`
}

// Outcome sums the schedule of problem p up. The proof is the one [Plan] gave with it.
func (s *Schedule) Outcome(p Problem, proof Proof) Outcome {
	dt := p.StepH
	o := Outcome{Cost: s.Cost, Proof: proof, FuelKWh: make([]float64, len(p.Boilers)), FuelCost: make([]float64, len(p.Boilers)), HeatKWh: make([]float64, len(p.Boilers)),
		FieldKWh: make([]float64, len(p.Fields))}
	for i, b := range p.Boilers {
		for t, kW := range s.FuelKW[i] {
			o.FuelCost[i] += dt * kW * b.FuelPrice[t]
		}
		o.FuelKWh[i], o.HeatKWh[i] = dt*sum(s.FuelKW[i]), dt*sum(s.BoilerKW[i])
	}
	for i := range p.Fields {
		o.FieldKWh[i] = dt * (sum(s.SunHeaderKW[i]...) + sum(s.SunStoreKW[i]...))
		o.SunHeaderKWh += dt * sum(s.SunHeaderKW[i]...)
		o.SunStoreKWh += dt * sum(s.SunStoreKW[i]...)
		o.SpilledKWh += dt * sum(s.SpilledKW[i])
	}
	for l, h := range p.Headers {
		o.DemandKWh += dt * sum(h.DemandKW)
		o.UnmetKWh += dt * sum(s.UnmetKW[l])
		o.VentKWh += dt * sum(s.VentKW[l])
	}
	o.MovedKWh = dt * sum(s.MovedKW...)
	o.DemandKWh += o.MovedKWh
	for k, store := range p.Stores {
		o.StoreOutKWh += dt * sum(s.DischargeKW[k])
		o.StoreInKWh += dt * sum(s.HeaderChargeKW[k])
		o.KeepWarmKWh += dt * sum(s.KeepWarmKW[k])
		for t, keep := range store.Keep {
			o.LossKWh += (1-keep)*s.StoredKWh[k][t] + dt*store.StandingKW[t]
		}
	}
	return o
}

// sum adds in four strands, which do not wait for one another.
func sum(series ...[]float64) float64 {
	var a, b, c, d float64
	for _, v := range series {
		for len(v) >= 4 {
			a, b, c, d = a+v[0], b+v[1], c+v[2], d+v[3]
			v = v[4:]
		}
		for _, x := range v {
			a += x
		}
	}
	return (a + b) + (c + d)
}
