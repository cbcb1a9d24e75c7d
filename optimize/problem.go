package optimize

import "time"

// Problem is a heat plant over N equal steps as plain series and numbers.
//
// Power is in kW (mean over a step), heat in kWh, money in any one currency. Every series has one
// value a step. A Problem is written by hand or by a room that knows the plant; Check says whether
// it is whole. Headers stand in order of pressure, highest first.
type Problem struct {
	Start   time.Time `json:"start"`  // of the first step; only for names and messages
	StepH   float64   `json:"step_h"` // length of a step, hours
	Headers []Header  `json:"headers"`
	Fields  []Field   `json:"fields,omitempty"`
	Boilers []Boiler  `json:"boilers,omitempty"`
	Valves  []Valve   `json:"valves,omitempty"`
	Stores  []Store   `json:"stores,omitempty"`
	Moves   []Move    `json:"moves,omitempty"`
	Limits  []Limit   `json:"limits,omitempty"`
	Takes   []Take    `json:"takes,omitempty"`

	FixedCost float64 `json:"fixed_cost,omitempty"` // standing charges and the like, that of fields apart
}

// Header is a pipe that must get the heat its loads ask for, step by step.
type Header struct {
	Name       string    `json:"name"`
	DemandKW   []float64 `json:"demand_kW"`
	UnmetPrice float64   `json:"unmet_price"` // per kWh not delivered; 0 means that none may be missing
}

// Field is one group of collectors. Its area is shared among its uses within a step; a use's yield
// says what one m² gives if all the step is spent on that use.
type Field struct {
	Name       string      `json:"name"`
	AreaM2     float64     `json:"area_m2"`
	HeaderKWM2 [][]float64 `json:"header_kW_m2,omitempty"` // yield by header; nil: does not feed it
	StoreKWM2  [][]float64 `json:"store_kW_m2,omitempty"`  // yield by store; nil: does not charge it
	HeatCost   float64     `json:"heat_cost,omitempty"`    // pump power and the like, per kWh delivered
	FixedCost  float64     `json:"fixed_cost,omitempty"`   // drives and the like, for the whole period
	MostKW     []float64   `json:"most_kW,omitempty"`      // most heat to its header, by step; of a field with that one use; nil: no limit

	whole [][]float64 // HeaderKWM2 before MostKW cut it; nil where nothing was cut
}

// Boiler feeds one header. Its fuel use is a convex curve, given as pieces.
type Boiler struct {
	Name      string    `json:"name"`
	Header    int       `json:"header"`
	Pieces    []Piece   `json:"pieces"`
	FuelPrice []float64 `json:"fuel_price"`          // per kWh of fuel, by step; may be negative
	Available []float64 `json:"available,omitempty"` // share of each piece that can run, 0 to 1; nil: all of it
	RampKW    float64   `json:"ramp_kW,omitempty"`   // largest rise or fall from one step to the next; 0: no limit
}

// Piece is a stretch of a boiler's load over which each further kWh of heat takes the same fuel.
// Pieces stand in order of FuelPerHeat: a boiler whose dear piece came first would not be convex.
type Piece struct {
	CapacityKW  float64 `json:"capacity_kW"`
	FuelPerHeat float64 `json:"fuel_per_heat"` // kWh of fuel for a kWh of heat
}

// Valve lets heat down from a header to one of lower pressure.
type Valve struct {
	From       int     `json:"from"`
	To         int     `json:"to"`
	CapacityKW float64 `json:"capacity_kW"`
}

// Store holds heat for one header. Its loss in a step is the share 1 - Keep of what it held at the
// step's start, and StandingKW besides, which a boiler replaces when nothing else does. A store of
// capacity 0 does nothing but lose StandingKW. ChargedFrom is the header that charges it and keeps it
// warm where that is another than it serves: an accumulator between two pressures.
type Store struct {
	Name           string    `json:"name"`
	Header         int       `json:"header"`
	VolumeM3       float64   `json:"volume_m3"`
	CapacityKWh    float64   `json:"capacity_kWh"`
	Keep           []float64 `json:"keep"`
	StandingKW     []float64 `json:"standing_kW"`
	ChargeKW       float64   `json:"charge_kW"`
	DischargeKW    float64   `json:"discharge_kW"`
	HeaderChargeKW float64   `json:"header_charge_kW,omitempty"` // charging from the header; 0: none
	ChargedFrom    *int      `json:"charged_from,omitempty"`     // header that HeaderChargeKW and KeepWarmKW come from; nil: Header
}

// source is the header that heats the store.
func (s *Store) source() int {
	if s.ChargedFrom != nil {
		return *s.ChargedFrom
	}
	return s.Header
}

// StoreLaw gives the store at a volume: [Trace] asks it again at each point, and from several goroutines at
// once. What Trace supposes of it stands at [Options].
type StoreLaw func(volumeM3 float64) (Store, error)

// N is the number of steps, taken from the first header; 0 if there is none.
func (p Problem) N() int {
	if len(p.Headers) == 0 {
		return 0
	}
	return len(p.Headers[0].DemandKW)
}

// At is the start of step t.
func (p Problem) At(t int) time.Time {
	return p.Start.Add(time.Duration(float64(t) * p.StepH * float64(time.Hour)))
}

// fixedCost is what the plan cannot change: standing charges, and the drives of the fields.
func (p Problem) fixedCost() float64 {
	sum := p.FixedCost
	for _, f := range p.Fields {
		sum += f.FixedCost
	}
	return sum
}

// at gives a series' value at t, and 0 for a series that is not there.
func at(series []float64, t int) float64 {
	if series == nil {
		return 0
	}
	return series[t]
}

// headerYield and storeYield are the field's yields for a use, kW/m²; 0 where the use is not there.
func (f Field) headerYield(l, t int) float64 { return use(f.HeaderKWM2, l, t) }
func (f Field) storeYield(k, t int) float64  { return use(f.StoreKWM2, k, t) }

func use(yields [][]float64, i, t int) float64 {
	if i >= len(yields) {
		return 0
	}
	return at(yields[i], t)
}

// capacity is what piece i can give in step t, kW.
func (b Boiler) capacity(i, t int) float64 {
	if b.Available == nil {
		return b.Pieces[i].CapacityKW
	}
	return b.Pieces[i].CapacityKW * b.Available[t]
}

// span is the problem over steps from to to-1 alone, as a period that repeats.
func (p Problem) span(from, to int) Problem {
	cut := func(v []float64) []float64 {
		if v == nil {
			return nil
		}
		return v[from:to]
	}
	cutAll := func(list [][]float64) [][]float64 {
		out := make([][]float64, len(list))
		for i, v := range list {
			out[i] = cut(v)
		}
		return out
	}
	n := p.N()
	p.Start = p.At(from)
	p.Headers = append([]Header(nil), p.Headers...)
	for i := range p.Headers {
		p.Headers[i].DemandKW = cut(p.Headers[i].DemandKW)
	}
	p.Fields = append([]Field(nil), p.Fields...)
	for i := range p.Fields {
		p.Fields[i].HeaderKWM2, p.Fields[i].StoreKWM2 = cutAll(p.Fields[i].HeaderKWM2), cutAll(p.Fields[i].StoreKWM2)
		p.Fields[i].MostKW = cut(p.Fields[i].MostKW)
		if p.Fields[i].whole != nil {
			p.Fields[i].whole = cutAll(p.Fields[i].whole)
		}
	}
	p.Boilers = append([]Boiler(nil), p.Boilers...)
	for i := range p.Boilers {
		p.Boilers[i].FuelPrice, p.Boilers[i].Available = cut(p.Boilers[i].FuelPrice), cut(p.Boilers[i].Available)
	}
	p.Stores = append([]Store(nil), p.Stores...)
	for i := range p.Stores {
		p.Stores[i].Keep, p.Stores[i].StandingKW = cut(p.Stores[i].Keep), cut(p.Stores[i].StandingKW)
	}
	p.Moves = append([]Move(nil), p.Moves...)
	for i, m := range p.Moves {
		p.Moves[i] = m.span(from, to, p.StepH)
	}
	p.Limits = append([]Limit(nil), p.Limits...)
	for i := range p.Limits {
		p.Limits[i].MostKW = cut(p.Limits[i].MostKW)
	}
	p.Takes = append([]Take(nil), p.Takes...)
	for i := range p.Takes {
		p.Takes[i].LeastKWh *= float64(to-from) / float64(n)
	}
	return p
}
