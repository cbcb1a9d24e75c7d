package demand

import "fmt"

// Cycle is one batch worked through: its legs in time, and where its heat goes.
// KWh = LiquorKWh + SolidsKWh + LossKWh + BoilKWh + WaterKWh, to rounding.
type Cycle struct {
	Legs []Leg // in order of their start; waits and cooling are the gaps between them
	H    float64

	KWh       float64 // heat at the header
	PeakKW    float64
	LiquorKWh float64 // warms the liquor
	SolidsKWh float64 // warms goods and machine
	LossKWh   float64
	BoilKWh   float64 // evaporates
	WaterKWh  float64 // of live steam: what its water has in the bath over feedwater; below 0 where feedwater is warmer
	SteamKg   float64 // live steam
	BoiledKg  float64
	GainedKg  float64 // water that live steam left in the last bath
}

// Run works the batch through. Where the heat never brings a bath to its temperature, or cannot hold it, the
// error says so; errors are those of [Batch.Check] and more [*BatchFault].
func (b Batch) Run() (Cycle, error) {
	if err := b.Check(); err != nil {
		return Cycle{}, err
	}
	r := run{b: b, liquor: b.Liquor.Kg}
	r.tC = *b.Stages[0].FromC
	r.goodsC, r.machineC = r.tC, r.tC
	if b.Goods.StartC != nil {
		r.goodsC = *b.Goods.StartC
	}
	if b.Machine.StartC != nil {
		r.machineC = *b.Machine.StartC
	}
	for i, s := range b.Stages {
		if err := r.stage(i+1, s); err != nil {
			return Cycle{}, err
		}
	}
	c := &r.c
	c.GainedKg = r.water
	if !(c.H > 0) {
		return Cycle{}, &BatchFault{len(b.Stages), "to", "is reached at once and held for no time; want a batch that takes some"}
	}
	if c.H > mostBatchH {
		return Cycle{}, &BatchFault{0, "heat_up", fmt.Sprintf("makes a batch of %.4g h; want at most %d h", c.H, mostBatchH)}
	}
	return *c, nil
}

// run is the vessel on its way through the stages.
type run struct {
	b                  Batch
	c                  Cycle
	tC                 float64 // of the bath
	goodsC, machineC   float64 // before the first bath; after it they have the bath's
	liquor, water      float64 // kg in the bath; water is what live steam left
	cLiquor, cWater    float64 // kJ/kgK over the present stage
	solidsKJK, goodsKJ float64 // goods and machine together, and goods alone, kJ/K
}

func (r *run) stage(n int, s Stage) error {
	r.c.H += s.WaitH
	low := r.tC
	if s.FromC != nil {
		low = *s.FromC
	}
	if err := r.heats(low, s.ToC); err != nil {
		return &BatchFault{n, "to", err.Error()}
	}
	if s.FromC != nil {
		r.fill(n, *s.FromC)
	}
	switch {
	case s.ToC > r.tC:
		if err := r.heat(n, s); err != nil {
			return err
		}
	case s.ToC < r.tC && s.FromC == nil:
		if s.KPerMin == 0 {
			return &BatchFault{n, "to", fmt.Sprintf("is %g degC and the bath has %.4g degC; want a higher one, or a gradient of this stage to cool by", s.ToC, r.tC)}
		}
		r.c.H += (r.tC - s.ToC) / (s.KPerMin * minutesPerHour)
		r.tC = s.ToC
	}
	return r.hold(n, s)
}

const minutesPerHour = 60

// heats sets the specific heats of a stage.
func (r *run) heats(low, high float64) (err error) {
	mean := func(c Charge) float64 {
		if c.Kg == 0 || err != nil {
			return 0
		}
		var v float64
		v, err = c.Of.KJKgK(low, high)
		return v
	}
	r.cLiquor = mean(r.b.Liquor)
	r.goodsKJ = r.b.Goods.Kg * mean(r.b.Goods)
	r.solidsKJK = r.goodsKJ + r.b.Machine.Kg*mean(r.b.Machine)
	if err == nil && r.b.HeatUp.Way == ByLiveSteam {
		r.cWater, err = materials[0].KJKgK(low, high)
	}
	return err
}

// fill drops the bath and fills a new one: liquor of fromC mixes with warm goods and machine.
func (r *run) fill(n int, fromC float64) {
	if n > 1 {
		r.goodsC, r.machineC = r.tC, r.tC
	}
	r.liquor, r.water = r.b.Liquor.Kg, 0
	liquor := r.liquor * r.cLiquor
	machine := r.solidsKJK - r.goodsKJ
	r.tC = (liquor*fromC + r.goodsKJ*r.goodsC + machine*r.machineC) / (liquor + r.solidsKJK)
}

// bath is the lump as it is now.
func (r *run) bath() bath {
	return bath{(r.liquor*r.cLiquor + r.water*r.cWater + r.solidsKJK) / secondsPerHour, r.b.Loss}
}
