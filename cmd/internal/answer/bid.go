package answer

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"noonkeep/optimize"
	"noonkeep/scenarios"
)

// Bid is what a consultant's document says of one volume. A part that the scenario gives no ground for is nil.
type Bid struct {
	Curve  Answer      `json:"curve"`
	Chosen Point       `json:"chosen"` // the volume that is bid for; it is a point of Curve too
	Months []MonthHeat `json:"months"`
	Summer PickedWeek  `json:"summer_week"`
	Winter PickedWeek  `json:"winter_week"`
	Plant  Understood  `json:"plant"`
	Inputs []Input     `json:"inputs"`
	Bases  []Basis     `json:"bases"` // what each kind of input rests on
	Place  BidPlace    `json:"place"`
	Years  *Years      `json:"years,omitempty"`

	Doubt  *Doubt  `json:"doubt,omitempty"`  // what is not known for sure
	Played *Replay `json:"played,omitempty"` // the plan, a plain rule and a rolling plan through minute physics

	Size       *SizeMoney      `json:"size_by_npv,omitempty"` // the volume that is worth most; nil without the store's money
	TankMoney  *MoneySheet     `json:"tank_money,omitempty"`  // the store's own case, as a table
	PlantMoney *MoneySheet     `json:"plant_money,omitempty"` // that of sun and store together
	NoPart     map[Part]string `json:"missing"`               // why a part is not there

	Plan Plan `json:"-"`
}

// BidPlace is where the plant stands and what year is studied.
type BidPlace struct {
	File         string  `json:"file"`
	LatitudeDeg  float64 `json:"latitude_deg"`
	LongitudeDeg float64 `json:"longitude_deg"`
	ElevationM   float64 `json:"elevation_m"`
	Year         int     `json:"year"`
	Weather      string  `json:"weather"`
	DNIKWhM2     float64 `json:"dni_kWh_m2"`
	GHIKWhM2     float64 `json:"ghi_kWh_m2"`
	AreaM2       float64 `json:"aperture_m2"`
}

// Part is a part of a bid that not every scenario gives ground for.
type Part string

// The parts that may be missing.
const (
	PartMoney  Part = "money"
	PartSize   Part = "size"
	PartYears  Part = "years"
	PartDoubt  Part = "doubt"
	PartPlayed Part = "played"
)

// MonthHeat is where a month's heat comes from.
type MonthHeat struct {
	Month       int     `json:"month"` // 1 is January
	DemandKWh   float64 `json:"demand_kWh"`
	SunKWh      float64 `json:"sun_to_header_kWh"`
	StoreOutKWh float64 `json:"store_out_kWh"`
	BoilerKWh   float64 `json:"boiler_kWh"`
	UnmetKWh    float64 `json:"unmet_kWh"`
	SpilledKWh  float64 `json:"spilled_sun_kWh"`
	FuelKWh     float64 `json:"fuel_kWh"`
}

// PickedWeek is a week that stands for a season: of its months, the one whose sun and demand lie nearest to the season's
// mean, so that it is neither the best nor the worst.
type PickedWeek struct {
	Week
	FromDay      string  `json:"from"`
	SunKWhM2Day  float64 `json:"dni_kWh_m2_day"` // mean day
	SeasonKWhM2D float64 `json:"season_dni_kWh_m2_day"`
}

// Input is a value of the scenario as it was written, or filled in.
type Input struct {
	Key     string `json:"key"`
	Value   string `json:"value"`
	Line    int    `json:"line"`              // 0: it was left out
	Assumed string `json:"assumed,omitempty"` // why this value was filled in
}

// Ground is how a kind of figure is known.
type Ground string

// The grounds.
const (
	Measured   Ground = "measured"  // read by an instrument or a meter
	FromFile   Ground = "file"      // read from a file; measured or modelled, as its source says
	Given      Ground = "given"     // written into the scenario by its author
	Generated  Ground = "generated" // drawn at random to fit given means
	Assumption Ground = "assumed"   // filled in by the program
)

// Basis says on what ground a kind of input stands.
type Basis struct {
	Of     string `json:"of"` // "weather", "load NAME", "prices", "collectors", "store"
	Name   string `json:"name,omitempty"`
	Ground Ground `json:"ground"`
	Text   string `json:"text"` // what is known of it, quoted from the scenario's check
}

// BidOptions say how a bid is made. The zero value is good.
type BidOptions struct {
	Options
	Seeds int  // years of weather to solve for P50 and P90; 0: [bidSeeds], below 0: none
	Cases int  // of what is not known for sure; 0: [bidCases], below 0: none
	Play  bool // whether ways of running are played by the minute
}

// bidCases is how many cases of what is not known for sure a bid draws.
const bidCases = 100

// bidSeeds is how many years a bid generates: enough for a P90 as a quantile.
const bidSeeds = 20

// MakeBid gathers a bid for the volume of the case's varied store ([scenarios.Case.WithVolume] gives it another). The error is as that of [Make].
func MakeBid(ctx context.Context, c scenarios.Case, opt BidOptions) (Bid, error) {
	if c.Store == nil {
		return Bid{}, fmt.Errorf("%s: has no store, so there is none to bid for; add a section `store`", c.File)
	}
	opt.OnOff = true
	opt.ToM3 = math.Max(opt.filled(c).ToM3, c.Store.VolumeM3)
	b := Bid{NoPart: map[Part]string{}}
	var err error
	if b.Curve, err = Make(ctx, c, opt.Options); err != nil {
		return Bid{}, err
	}
	if b.Curve.Money == nil {
		if b.Curve, err = b.Curve.WithMoney(c); err != nil {
			return Bid{}, err
		}
	}
	if err := b.choose(ctx, c, opt.Engine); err != nil {
		return Bid{}, err
	}
	if err := b.money(ctx, c, opt.Options); err != nil {
		return Bid{}, err
	}
	if b.Plan, err = PlanAt(ctx, c, -1, opt.Engine); err != nil {
		return Bid{}, err
	}
	if b.Plant, err = Understand(c); err != nil {
		return Bid{}, err
	}
	b.months()
	b.weeks(c)
	b.Inputs, b.Bases, b.Place = inputsOf(c), basesOf(c), placeOf(c)
	for _, part := range []func(context.Context, scenarios.Case, BidOptions) error{b.years, b.doubt, b.play} {
		if err := part(ctx, c, opt); err != nil {
			return Bid{}, err
		}
	}
	return b, nil
}

// doubt draws cases of what is not known for sure.
func (b *Bid) doubt(ctx context.Context, c scenarios.Case, opt BidOptions) error {
	if opt.Cases < 0 {
		b.NoPart[PartDoubt] = notAsked
		return nil
	}
	d, err := Doubtful(ctx, c, DoubtOptions{Cases: cmp.Or(opt.Cases, bidCases), ToM3: opt.ToM3, Engine: opt.Engine})
	return b.part(ctx, PartDoubt, err, func() { b.Doubt = &d })
}

// play plays the ways of running at the chosen volume.
func (b *Bid) play(ctx context.Context, c scenarios.Case, opt BidOptions) error {
	if !opt.Play {
		b.NoPart[PartPlayed] = notAsked
		return nil
	}
	r, err := PlayYear(ctx, c, ReplayOptions{Volumes: -1})
	return b.part(ctx, PartPlayed, err, func() { b.Played = &r })
}

const notAsked = "not asked for"

// part keeps a part that was to be had, and else why it was not.
func (b *Bid) part(ctx context.Context, name Part, err error, keep func()) error {
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case err != nil:
		b.NoPart[name] = err.Error()
	default:
		keep()
	}
	return nil
}

// choose solves the chosen volume and puts it among the curve's points.
func (b *Bid) choose(ctx context.Context, c scenarios.Case, engine string) error {
	volumeM3 := c.Store.VolumeM3
	i, has := slices.BinarySearchFunc(b.Curve.Points, volumeM3, func(p Point, v float64) int {
		switch {
		case math.Abs(p.VolumeM3-v) < 1e-9:
			return 0
		case p.VolumeM3 < v:
			return -1
		}
		return 1
	})
	if has {
		b.Chosen = b.Curve.Points[i]
		return nil
	}
	p, err := c.Problem()
	if err != nil {
		return err
	}
	s, proof, err := optimize.Plan(ctx, p, optimize.Options{Engine: engine})
	if err != nil {
		return err
	}
	before := b.Curve.Points[i-1]
	b.Chosen = pointOf(c, b.Curve.Baseline, optimize.Point{
		VolumeM3: volumeM3, CapacityKWh: p.Stores[c.StoreAt()].CapacityKWh, MarginalPerM3: before.MarginalSavingsPerM3,
		UpperBound: before.UpperBound, Outcome: s.Outcome(p, proof),
	})
	b.Curve.Proof.worst(Proof{PrimalResidual: proof.PrimalResidual, DualResidual: proof.DualResidual, DualityGap: proof.DualityGap})
	b.Curve.Points = slices.Insert(b.Curve.Points, i, b.Chosen)
	return nil
}

// money works out what the chosen volume earns.
func (b *Bid) money(ctx context.Context, c scenarios.Case, opt Options) (err error) {
	if b.Chosen.Money == nil {
		if b.Chosen.Money, err = b.Curve.MoneyAt(c, b.Chosen); err != nil {
			return err
		}
	}
	size, err := pickByMoney(ctx, c, b.Curve, opt)
	if err := b.part(ctx, PartSize, err, func() { b.Size = size }); err != nil {
		return err
	}
	if m := b.Chosen.Money; m != nil {
		b.TankMoney, b.PlantMoney = sheetOf(c, b.Chosen.VolumeM3, m.Tank), sheetOf(c, b.Chosen.VolumeM3, m.Plant)
	}
	return nil
}

// worst keeps the larger of each figure.
func (p *Proof) worst(q Proof) {
	p.PrimalResidual, p.DualResidual, p.DualityGap = max(p.PrimalResidual, q.PrimalResidual), max(p.DualResidual, q.DualResidual), max(p.DualityGap, q.DualityGap)
}

// months sums the plan by calendar month.
func (b *Bid) months() {
	p := b.Plan
	h := p.Axis.StepH()
	b.Months = make([]MonthHeat, 12)
	for i := range b.Months {
		b.Months[i].Month = i + 1
	}
	for t := range p.Axis.N {
		m := &b.Months[p.Axis.Date(t).Month-1]
		m.DemandKWh += h * p.DemandKW[t]
		m.SunKWh += h * p.SunToHeaderKW[t]
		m.StoreOutKWh += h * p.StoreOutKW[t]
		m.BoilerKWh += h * p.BoilerKW[t]
		m.UnmetKWh += h * p.UnmetKW[t]
		m.SpilledKWh += h * p.SpilledSunKW[t]
		m.FuelKWh += h * p.FuelKW[t]
	}
}

// years solves other years of the site's weather, where there are any.
func (b *Bid) years(ctx context.Context, c scenarios.Case, opt BidOptions) error {
	if opt.Seeds < 0 {
		b.NoPart[PartYears] = notAsked
		return nil
	}
	yo := YearsOptions{ToM3: opt.ToM3, Engine: opt.Engine}
	if _, generated := c.Seed(); generated {
		yo.Seeds = cmp.Or(opt.Seeds, bidSeeds)
	}
	y, err := ManyYears(ctx, c, yo)
	return b.part(ctx, PartYears, err, func() { b.Years = &y })
}

// placeOf gathers what the head of the document says of site and weather.
func placeOf(c scenarios.Case) BidPlace {
	h := c.Axis.StepH() / 1000
	p := BidPlace{File: c.File, LatitudeDeg: c.Place.LatDeg, LongitudeDeg: c.Place.LonDeg, ElevationM: c.Place.ElevationM, Year: c.Axis.Start.Year(),
		Weather: c.Weather.Source, DNIKWhM2: sum(c.Weather.DNI) * h, GHIKWhM2: sum(c.Weather.GHI) * h}
	for _, f := range c.Fields {
		p.AreaM2 += f.AreaM2()
	}
	return p
}
