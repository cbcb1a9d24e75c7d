package answer

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"noonkeep/optimize"
	"noonkeep/optimize/worth"
	"noonkeep/scenarios"
)

// SizeBy says how a size is chosen. The zero value is by net present value where there is money, and by savings else.
type SizeBy struct {
	By         string  // one of SizeWays; empty: the first where the scenario has money
	HurdleFrac float64 // by irr: what each further m³ has to earn, nominal
	Years      float64 // by largest: in which the tank has to pay back
}

// SizeWays are the ways to choose a size by money.
var SizeWays = []string{"npv", "payback", "irr", "largest"}

// SizeMoney is the size that money chooses, solved by itself and proven.
type SizeMoney struct {
	By          string    `json:"by"`
	HurdleFrac  *float64  `json:"hurdle,omitempty"`
	Years       *float64  `json:"pays_back_within_a,omitempty"`
	VolumeM3    *float64  `json:"volume_m3"`      // null where none will do
	Why         string    `json:"none_because"`   // empty where there is one
	AtEdge      bool      `json:"at_largest"`     // a larger one may be better
	AsGood      *Range    `json:"as_good"`        // volumes within 1 % of the best, or what the curve's certainty cannot tell apart
	AsGoodBy    float64   `json:"as_good_within"` // of NPV; years by payback
	Unsure      bool      `json:"as_good_by_gap"` // the curve's certainty is the wider of the two
	Saves       *Volume   `json:"savings"`        // of a year
	Earns       *Earned   `json:"tank"`           // the tank alone
	Together    *Earned   `json:"sun_and_tank"`   // null where it cannot be counted
	NextCosts   *float64  `json:"next_m3_costs"`  // at the volume
	NextWorth   *float64  `json:"next_m3_worth_up_to"`
	YearlyPerM3 *float64  `json:"store_cost_per_m3_and_year"` // what a m³ has to save in the first year to pay, where all cost the same
	Sizes       []SizeRow `json:"sizes,omitempty"`            // of the scenario's list; all solved and proven
	Notes       []string  `json:"notes"`
	Point       Point     `json:"-"`
	Rows        []SizeRow `json:"-"` // all that were looked at
}

// SizeRow is one size that was looked at.
type SizeRow struct {
	VolumeM3 float64  `json:"volume_m3"`
	NPV      float64  `json:"npv"`
	PaybackA *float64 `json:"payback_a"`
	IRR      *float64 `json:"irr"`

	unsure float64
}

// spansOfRange is how finely volumes between the curve's points are looked at.
const spansOfRange = 240

// pickByMoney chooses the size by money; nil where the scenario has none and none is asked for.
func pickByMoney(ctx context.Context, c scenarios.Case, a Answer, opt Options) (*SizeMoney, error) {
	by := opt.By
	m := moneyOf(c)
	switch {
	case by.By == "" && (m == nil || !m.tank):
		return nil, nil
	case m == nil:
		return nil, fmt.Errorf("%s: a size by %s needs the money of the store; write store.cost and money.life", c.File, by.By)
	case !m.tank:
		return nil, fmt.Errorf("%s: a size by %s needs the money of the store; write %s", c.File, by.By, listWords(m.TankLacks))
	case by.By == "":
		by.By = SizeWays[0]
	}
	out := &SizeMoney{By: by.By, Notes: []string{}}
	switch by.By {
	case "irr":
		c.Business.Terms.DiscountFrac = by.HurdleFrac
		out.HurdleFrac = &by.HurdleFrac
	case "largest":
		out.Years = &by.Years
	}
	points, err := out.candidates(ctx, c, a, opt.Engine)
	if err != nil {
		return nil, err
	}
	ways := map[string]worth.By{"npv": worth.ByNPV, "payback": worth.ByPayback, "irr": worth.ByRate, "largest": worth.Largest}
	choice := worth.Pick(out.sizes(), ways[by.By], by.Years)
	if choice.At < 0 {
		out.Why = choice.Why
		return out, nil
	}
	out.AsGood, out.AsGoodBy, out.Unsure, out.AtEdge = &Range{choice.From, choice.To}, choice.Within, choice.Unsure, choice.AtEdge
	at := points[choice.At]
	if len(out.Sizes) == 0 {
		if at, err = out.refined(ctx, c, a, at, opt.Engine); err != nil {
			return nil, err
		}
	}
	return out, out.set(c, a, at)
}

func listWords(keys []string) string {
	switch n := len(keys); n {
	case 0:
		return ""
	case 1:
		return keys[0]
	default:
		return keys[0] + " and " + listWords(keys[1:])
	}
}

// candidates are the sizes that are looked at, with what each earns.
func (s *SizeMoney) candidates(ctx context.Context, c scenarios.Case, a Answer, engine string) ([]Point, error) {
	listed := len(c.Store.Cost.SizesM3) > 0
	points := a.fine()
	if listed {
		var err error
		if points, err = s.listed(ctx, c, a, engine); err != nil {
			return nil, err
		}
	}
	for i, p := range points {
		e, err := caseOf(c.TankProject(p.VolumeM3, a.Baseline.none.less(p.spend, a.Baseline.NoStorageCost)))
		if err != nil {
			s.Notes = append(s.Notes, err.Error())
			points = points[:i]
			break // larger ones have no price either
		}
		row := SizeRow{VolumeM3: p.VolumeM3, NPV: e.NPV, PaybackA: e.PaybackA, IRR: e.IRR}
		if !listed && a.placeOf(p.VolumeM3) < 0 {
			if row.unsure, err = a.unsureNPV(c, p, e.NPV); err != nil {
				return nil, err
			}
		}
		s.Rows = append(s.Rows, row)
	}
	if listed {
		s.Sizes = s.Rows
	}
	if len(points) == 0 {
		return nil, fmt.Errorf("%s: no size can be looked at: %s", c.File, listWords(s.Notes))
	}
	return points, nil
}

// listed are the sizes of the scenario's list, each solved.
func (s *SizeMoney) listed(ctx context.Context, c scenarios.Case, a Answer, engine string) ([]Point, error) {
	var points []Point
	last := a.Points[len(a.Points)-1].VolumeM3
	for _, v := range c.Store.Cost.SizesM3 {
		if v > last*(1+1e-9) {
			s.Notes = append(s.Notes, fmt.Sprintf("%g m³ of the list lies beyond the %g m³ that were looked at", v, last))
			continue
		}
		p, err := a.solvedAt(ctx, c, v, engine)
		if err != nil {
			return nil, err
		}
		points = append(points, p)
	}
	return points, nil
}

// fine are the curve's points and fine steps between them, read off its straight lines.
func (a Answer) fine() []Point {
	last := a.Points[len(a.Points)-1].VolumeM3
	points := slices.Clone(a.Points[1:])
	step := RoundStep(last / spansOfRange)
	for k := 1.0; k*step < last; k++ {
		if a.placeOf(k*step) < 0 {
			points = append(points, a.between(k*step))
		}
	}
	slices.SortFunc(points, func(p, q Point) int { return cmp.Compare(p.VolumeM3, q.VolumeM3) })
	return points
}

func (s *SizeMoney) sizes() []worth.Size {
	var out []worth.Size
	for _, r := range s.Rows {
		size := worth.Size{M3: r.VolumeM3, NPV: r.NPV, IRR: math.NaN(), PaybackA: math.Inf(1), UnsureNPV: r.unsure}
		if r.PaybackA != nil {
			size.PaybackA = *r.PaybackA
		}
		if r.IRR != nil {
			size.IRR = *r.IRR
		}
		out = append(out, size)
	}
	return out
}

// placeOf is the curve's point at a volume, -1 for none.
func (a Answer) placeOf(m3 float64) int {
	return slices.IndexFunc(a.Points, func(p Point) bool { return math.Abs(p.VolumeM3-m3) < 1e-9 })
}

// between is a volume on the curve's straight lines.
func (a Answer) between(m3 float64) Point {
	i := 1
	for a.Points[i].VolumeM3 < m3 {
		i++
	}
	p, q := a.Points[i-1], a.Points[i]
	x := (m3 - p.VolumeM3) / (q.VolumeM3 - p.VolumeM3)
	mix := func(u, v float64) float64 { return u + x*(v-u) }
	out := Point{VolumeM3: m3, AnnualCost: mix(p.AnnualCost, q.AnnualCost), SavingsVsBoilersOnly: mix(p.SavingsVsBoilersOnly, q.SavingsVsBoilersOnly),
		SavingsVsNoStorage: mix(p.SavingsVsNoStorage, q.SavingsVsNoStorage), MarginalSavingsPerM3: mix(p.MarginalSavingsPerM3, q.MarginalSavingsPerM3)}
	s, t := p.spend, q.spend
	out.spend = spend{power: mix(s.power, t.power), other: mix(s.other, t.other), co2Kg: mix(s.co2Kg, t.co2Kg), allCO2: mix(s.allCO2, t.allCO2), boilerKWh: mix(s.boilerKWh, t.boilerKWh)}
	for k, f := range s.fuel {
		out.spend.fuel = append(out.spend.fuel, scenarios.FuelSaved{Name: f.Name, Sum: mix(f.Sum, t.fuel[k].Sum)})
	}
	return out
}

// solvedAt solves a volume by itself; a point of the curve is taken as it is.
func (a Answer) solvedAt(ctx context.Context, c scenarios.Case, m3 float64, engine string) (Point, error) {
	if i := a.placeOf(m3); i >= 0 {
		return a.Points[i], nil
	}
	p, err := ProblemAt(c, m3)
	if err != nil {
		return Point{}, err
	}
	s, proof, err := optimize.Plan(ctx, p, optimize.Options{Engine: engine})
	if err != nil {
		return Point{}, err
	}
	i := 1
	for a.Points[i].VolumeM3 < m3 {
		i++
	}
	return pointOf(c, a.Baseline, optimize.Point{VolumeM3: m3, CapacityKWh: p.Stores[c.StoreAt()].CapacityKWh,
		MarginalPerM3: a.between(m3).MarginalSavingsPerM3, UpperBound: a.Points[i-1].UpperBound, Outcome: s.Outcome(p, proof)}), nil
}

// unsureNPV is how much NPV may lie beside a volume that is read off the curve.
func (a Answer) unsureNPV(c scenarios.Case, p Point, npv float64) (float64, error) {
	most, least := 0.0, 0.0
	for _, q := range a.Points {
		most, least = max(most, q.SavingsVsNoStorage), min(least, q.SavingsVsNoStorage)
	}
	saved := a.Baseline.none.less(p.spend, a.Baseline.NoStorageCost)
	total := saved.Total(c)
	if !(total > 0) {
		return 0, nil
	}
	more, err := caseOf(c.TankProject(p.VolumeM3, scaled(saved, 1+a.CertifiedGap*(most-least)/total)))
	if err != nil {
		return 0, err
	}
	return math.Abs(more.NPV - npv), nil
}

// refined takes the volume where the next m³ stops paying, where NPV chooses, to a round volume, and solves it.
func (s *SizeMoney) refined(ctx context.Context, c scenarios.Case, a Answer, at Point, engine string) (Point, error) {
	m3 := at.VolumeM3
	switch s.By {
	case "npv", "irr":
		paid, err := a.WithMoney(c)
		if err != nil {
			return at, err
		}
		if stops := paid.Money.NextStopsM3; stops != nil && *stops >= s.AsGood.FromM3 && *stops <= s.AsGood.ToM3 {
			m3 = *stops
		}
		m3 = roundM3(m3, math.Round)
	case "largest":
		m3 = roundM3(m3, math.Floor)
	}
	last := s.Rows[len(s.Rows)-1].VolumeM3
	if m3 <= 0 || m3 > last {
		return at, nil
	}
	return a.solvedAt(ctx, c, m3, engine)
}

// roundM3 makes whole m³ from 10 up, tenths below.
func roundM3(m3 float64, round func(float64) float64) float64 {
	if m3 < 10 {
		return round(m3*10+1e-9) / 10
	}
	return round(m3 + 1e-9)
}

// set fills in what the chosen size earns, on the scenario's own terms.
func (s *SizeMoney) set(c scenarios.Case, a Answer, p Point) error {
	own := c
	if s.HurdleFrac != nil {
		own.Business.Terms.DiscountFrac = moneyDiscount(a, c)
	}
	x, err := a.MoneyAt(own, p)
	if err != nil {
		return err
	}
	s.Point, s.VolumeM3 = p, &p.VolumeM3
	s.Saves = &Volume{p.VolumeM3, p.SavingsVsBoilersOnly, p.SavingsVsNoStorage, p.MarginalSavingsPerM3}
	s.Earns, s.Together, s.NextCosts, s.NextWorth = x.Tank, x.Plant, x.NextCosts, x.NextWorth
	s.Point.Money = x
	if yearly := own.StoreYearly(); yearly != nil && len(own.Store.Cost.Price.Table) == 0 && own.Store.Cost.Price.ReferenceM3 == 0 {
		_, next := yearly(p.VolumeM3)
		s.YearlyPerM3 = finite(next)
	}
	return nil
}

// moneyDiscount is the scenario's own discount.
func moneyDiscount(a Answer, c scenarios.Case) float64 {
	if a.Money != nil {
		return a.Money.DiscountFrac
	}
	return c.Business.Terms.DiscountFrac
}

// with is the curve with one more solved volume.
func (a Answer) with(p Point) Answer {
	if a.placeOf(p.VolumeM3) < 0 {
		i := slices.IndexFunc(a.Points, func(q Point) bool { return q.VolumeM3 > p.VolumeM3 })
		a.Points = slices.Insert(slices.Clone(a.Points), i, p)
	}
	return a
}
