package answer

import (
	"context"
	"fmt"

	"noonkeep/optimize"
	"noonkeep/plant/clock"
	"noonkeep/scenarios"
)

// Plan is the schedule of least cost at one volume. Series are by step: kW are means over
// the step, StoredKWh is one longer and holds the step's start.
type Plan struct {
	Scenario, Currency string
	Engine             string
	Store              string       // the varied one, where there are several: VolumeM3 and CapacityKWh are sums
	Kept               []KeptVolume // the others
	VolumeM3           float64
	CapacityKWh        float64
	Axis               clock.Axis
	AnnualCost         float64
	DriveCost          float64 // of AnnualCost, the fields' drives and standing charges, which no plan changes
	Proof              Proof

	DemandKW, SunToHeaderKW, SunToStoreKW, StoreOutKW, BoilerKW clock.KW
	KeepWarmKW, UnmetKW, SpilledSunKW, FuelKW, StoreLossKW      clock.KW
	BoilersToStoreKW, VentedKW                                  clock.KW
	StoredKWh                                                   clock.KWh
	StepCost                                                    []float64 // with the drives' cost, standing charges and fuel paid for and not burnt spread evenly, so that it adds up to AnnualCost
	StoredHeatPrice                                             []float64 // what one more kWh in the store, the varied one of several, at the step's end would save
	Units                                                       []Unit

	MovedKW clock.KW // of DemandKW, work whose hours the plan chose; nil if there is none
	Movable *Movable // what choosing them is worth; nil likewise

	Idle  []IdleField // fields with sun that nobody takes
	OnOff *OnOff      // of boilers with a lowest fire or a start, which the plan then keeps to; nil if there is none

	Guide Guide // how far the store may be drawn down
}

// Unit is one piece of equipment's own series.
type Unit struct {
	Name   string
	Column string // for a file: "boiler B1 kW"
	Values []float64
}

// PlanAt solves and proves the plan at a volume; below 0 the scenario's own volume is taken.
func PlanAt(ctx context.Context, c scenarios.Case, volumeM3 float64, engine string) (Plan, error) {
	p, err := ProblemAt(c, volumeM3)
	if err != nil {
		return Plan{}, err
	}
	s, proof, err := optimize.Plan(ctx, p, optimize.Options{Engine: engine})
	if err != nil {
		return Plan{}, err
	}
	free := s.Cost
	onOff, s, err := onOffOf(ctx, c, p, s, proof.LowerBound, engine)
	if err != nil {
		return Plan{}, err
	}
	a := planOf(c, p, s, proof)
	a.OnOff = onOff
	a.Units = append(a.Units, onOff.units()...)
	if a.Movable, err = movableOf(ctx, p, &free, engine); err != nil {
		return Plan{}, err
	}
	if err := guideOf(ctx, c, p, &a); err != nil {
		return Plan{}, err
	}
	return a, nil
}

// ProblemAt is the program of the plant with its varied store at a volume; below 0 the scenario's own.
func ProblemAt(c scenarios.Case, volumeM3 float64) (optimize.Problem, error) {
	p, err := c.Problem()
	if err != nil {
		return optimize.Problem{}, err
	}
	if volumeM3 < 0 {
		return p, nil
	}
	if c.Store == nil {
		return optimize.Problem{}, fmt.Errorf("%s: %w", c.File, ErrNoStore)
	}
	p.Stores[c.StoreAt()], err = c.StoreLaw()(volumeM3)
	return p, err
}

func planOf(c scenarios.Case, p optimize.Problem, s optimize.Schedule, proof optimize.Proof) Plan {
	n := p.N()
	a := Plan{
		Scenario: c.Name, Currency: c.Currency, Axis: c.Axis, AnnualCost: s.Cost, DriveCost: s.FixedCost,
		Proof:         Proof{PrimalResidual: proof.PrimalResidual, DualResidual: proof.DualResidual, DualityGap: proof.DualityGap},
		DemandKW:      make(clock.KW, n),
		SunToHeaderKW: make(clock.KW, n), SunToStoreKW: make(clock.KW, n),
		StoreOutKW: added(n, s.DischargeKW), BoilerKW: added(n, s.BoilerKW), KeepWarmKW: added(n, s.KeepWarmKW),
		UnmetKW: added(n, s.UnmetKW), SpilledSunKW: added(n, s.SpilledKW), FuelKW: added(n, s.FuelKW),
		BoilersToStoreKW: added(n, s.HeaderChargeKW), VentedKW: added(n, s.VentKW),
		StoreLossKW: make(clock.KW, n), StoredKWh: make(clock.KWh, n+1),
		StepCost: make([]float64, n), StoredHeatPrice: make([]float64, n),
	}
	for _, h := range p.Headers {
		addTo(a.DemandKW, h.DemandKW)
	}
	if a.MovedKW = moved(n, s.MovedKW); a.MovedKW != nil {
		addTo(a.DemandKW, a.MovedKW)
	}
	for f := range p.Fields {
		addTo(a.SunToHeaderKW, added(n, s.SunHeaderKW[f]))
		addTo(a.SunToStoreKW, added(n, s.SunStoreKW[f]))
	}
	for k, store := range p.Stores {
		a.VolumeM3 += store.VolumeM3
		a.CapacityKWh += store.CapacityKWh
		addTo(a.StoredKWh, s.StoredKWh[k])
		if k == c.StoreAt() {
			addTo(a.StoredHeatPrice, s.StorePrice[k])
		}
		for t := range a.StoreLossKW {
			a.StoreLossKW[t] += store.StandingKW[t] + (1-store.Keep[t])*s.StoredKWh[k][t]/p.StepH
		}
	}
	a.Idle = idleFields(c, p, s)
	for t := range a.StepCost {
		a.StepCost[t] = s.StepCost[t] + (s.FixedCost+s.TakeCost)/float64(n)
	}
	for b, boiler := range p.Boilers {
		a.Units = append(a.Units, Unit{boiler.Name, "boiler " + boiler.Name + " kW", s.BoilerKW[b]})
	}
	a.Store, a.Kept = keptOf(c)
	a.stores(p, s)
	if len(p.Fields) > 1 {
		for f, field := range p.Fields {
			kW := added(n, s.SunHeaderKW[f])
			addTo(kW, added(n, s.SunStoreKW[f]))
			a.Units = append(a.Units, Unit{field.Name, "field " + field.Name + " kW", kW})
		}
	}
	return a
}

// stores adds each store's own series, where there are several.
func (a *Plan) stores(p optimize.Problem, s optimize.Schedule) {
	if len(p.Stores) < 2 {
		return
	}
	for k, store := range p.Stores {
		in := append([]float64{}, s.HeaderChargeKW[k]...)
		for f := range p.Fields {
			addTo(in, s.SunStoreKW[f][k])
		}
		name := "store " + store.Name
		a.Units = append(a.Units,
			Unit{store.Name, name + " in kW", in}, Unit{store.Name, name + " out kW", s.DischargeKW[k]},
			Unit{store.Name, name + " keep warm kW", s.KeepWarmKW[k]}, Unit{store.Name, name + " stored kWh", s.StoredKWh[k][1:]},
			Unit{store.Name, name + " stored heat price per kWh", s.StorePrice[k]})
	}
}

// added sums lists of n values step by step.
func added(n int, lists [][]float64) clock.KW {
	out := make(clock.KW, n)
	for _, v := range lists {
		addTo(out, v)
	}
	return out
}

func addTo(sum, v []float64) {
	for i, x := range v {
		sum[i] += x
	}
}
