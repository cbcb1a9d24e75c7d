package answer

import (
	"fmt"
	"math"
	"slices"

	"noonkeep/optimize/worth"
	"noonkeep/scenarios"
)

// WithMoney gives the answer with what each of its volumes earns; the same where the scenario has no money to count.
func (a Answer) WithMoney(c scenarios.Case) (Answer, error) {
	m := moneyOf(c)
	if m == nil {
		return a, nil
	}
	a.Money, a.Points = m, slices.Clone(a.Points)
	for i := range a.Points {
		p := &a.Points[i]
		var err error
		if p.Money, err = a.earned(c, *p, a.nextSaved(c, i)); err != nil {
			m.note(err.Error())
		}
	}
	a.nextStops()
	return a, nil
}

// MoneyAt is what one volume earns, solved beside the answer's points: of a case that has money, else nil.
func (a Answer) MoneyAt(c scenarios.Case, p Point) (*PointMoney, error) {
	if m := moneyOf(c); m == nil || !m.tank && !m.plant {
		return nil, nil
	}
	like := a.Baseline.none.less(p.spend, a.Baseline.NoStorageCost)
	return a.earned(c, p, perM3(c, like, p.MarginalSavingsPerM3))
}

// moneyOf is the frame of what is counted; nil where nothing of money is written, or nothing that counts.
func moneyOf(c scenarios.Case) *Money {
	b := c.Business
	if !b.Has && len(b.Lacks) == 0 {
		return nil
	}
	m := &Money{Years: b.Terms.Years, DiscountFrac: b.Terms.DiscountFrac, InflationFrac: b.Terms.InflationFrac, Real: b.Real,
		Words: termsInWords(c), TankLacks: []string{}, PlantLacks: []string{}, Notes: []string{}}
	m.TankLacks, m.PlantLacks = append(m.TankLacks, b.Lacks...), append(m.PlantLacks, b.Lacks...)
	m.TankLacks, m.PlantLacks = append(m.TankLacks, c.Lacking(true)...), append(m.PlantLacks, c.Lacking(false)...)
	m.tank, m.plant = b.Has && len(m.TankLacks) == 0, b.Has && len(m.PlantLacks) == 0 && len(c.Fields) > 0
	if c.Store != nil && m.tank {
		m.MostPricedM3 = finite(c.Store.Cost.Price.MostM3())
	}
	if t := b.Terms.Subsidy; t.Sum > 0 && m.tank {
		m.note("the subsidy is a sum for the plant: the tank alone takes none of it")
	}
	if t := b.Terms.Subsidy; t.Cap > 0 && m.tank && !m.plant && len(c.Fields) > 0 {
		m.note("of the subsidy's cap the tank alone takes all that the known costs of the rest leave")
	}
	if b.EngineeringSum > 0 && m.tank {
		m.note("engineering is a sum for the plant: the tank alone takes none of it")
	}
	return m
}

func (m *Money) note(text string) {
	if !slices.Contains(m.Notes, text) {
		m.Notes = append(m.Notes, text)
	}
}

// earned works out what a volume earns, where next is what one more m³ saves in the first year.
func (a Answer) earned(c scenarios.Case, p Point, next *scenarios.Saved) (*PointMoney, error) {
	m := moneyOf(c)
	out := &PointMoney{}
	if m.tank {
		price := c.Store.Cost.Price
		cost, err := price.At(p.VolumeM3)
		if err != nil {
			return out, err
		}
		out.StorePrice, out.NextCosts = &cost, finite(price.NextM3(p.VolumeM3))
		if p.VolumeM3 >= price.MostM3() || p.VolumeM3 == 0 && math.IsInf(price.NextM3(0), 0) {
			out.NextCosts = nil
		}
		if next != nil {
			most, err := c.NextM3(*next)
			if err != nil {
				return out, err
			}
			out.NextWorth = finite(most)
		}
		if p.VolumeM3 > 0 {
			if out.Tank, err = caseOf(c.TankProject(p.VolumeM3, a.Baseline.none.less(p.spend, a.Baseline.NoStorageCost))); err != nil {
				return out, err
			}
		}
	}
	// The sun without a store asks for no price of a store.
	if m.plant || p.VolumeM3 == 0 && c.Business.Has && len(c.Fields) > 0 && !slices.ContainsFunc(m.PlantLacks, notTheStore(c)) {
		var err error
		if out.Plant, err = caseOf(c.PlantProject(p.VolumeM3, a.Baseline.boilers.less(p.spend, a.Baseline.BoilersOnlyCost))); err != nil {
			return out, err
		}
	}
	return out, nil
}

// notTheStore tells keys that are not the varied store's cost.
func notTheStore(c scenarios.Case) func(string) bool {
	own := c.Lacking(true)
	return func(key string) bool { return !slices.Contains(own, key) }
}

func caseOf(t worth.Terms, p worth.Project, err error) (*Earned, error) {
	if err != nil {
		return nil, err
	}
	e, err := earnedOf(t, p)
	if err != nil {
		err = fmt.Errorf("%s: %w", p.Name, err)
	}
	return e, err
}

// nextSaved is what one more m³ saves at a point, made up as the stretch to the next point is.
func (a Answer) nextSaved(c scenarios.Case, i int) *scenarios.Saved {
	j := min(i, len(a.Points)-2)
	if j < 0 {
		return nil
	}
	like := a.Points[j].spend.less(a.Points[j+1].spend, a.Baseline.NoStorageCost)
	return perM3(c, like, a.Points[i].MarginalSavingsPerM3)
}

// perM3 scales a saving to what the next m³ saves.
func perM3(c scenarios.Case, like scenarios.Saved, next float64) *scenarios.Saved {
	total := like.Total(c)
	if !(total > 0) || !(next > 0) {
		return &scenarios.Saved{Other: min(next, 0)}
	}
	s := scaled(like, next/total)
	return &s
}

// anyPrice stands for a m³ that pays at any price.
const anyPrice = 1e15

// nextStops finds where the next m³ stops paying.
func (a *Answer) nextStops() {
	m := a.Money
	var points []Point
	var net, slope []float64
	for _, p := range a.Points {
		x := p.Money
		if x == nil || x.StorePrice == nil || p.VolumeM3 > 0 && x.Tank == nil {
			break
		}
		points = append(points, p)
		earns, costs := 0.0, *x.StorePrice
		if x.Tank != nil {
			earns = x.Tank.NPV
		}
		if x.NextCosts != nil {
			costs = *x.NextCosts
		}
		next := anyPrice - costs
		if x.NextWorth != nil {
			next = *x.NextWorth - costs
		}
		net, slope = append(net, earns), append(slope, next)
	}
	if len(points) < 2 {
		return
	}
	if best, edge := bestAt(points, net, slope); best > 0 {
		m.NextStopsM3, m.StopsAtEdge = &best, edge
	}
}

// termsInWords says on what terms money is counted, one sentence each.
func termsInWords(c scenarios.Case) []string {
	b := c.Business
	t := b.Terms
	pct := func(v float64) string { return fmt.Sprintf("%.4g %%", 100*v) }
	words := []string{fmt.Sprintf("life %d years, discount %s a year nominal", t.Years, pct(t.DiscountFrac))}
	if t.InflationFrac != 0 {
		words[0] += fmt.Sprintf(" (%s over an inflation of %s)", pct(worth.Real(t.DiscountFrac, t.InflationFrac)), pct(t.InflationFrac))
	}
	say := func(is bool, format string, args ...any) {
		if is {
			words = append(words, fmt.Sprintf(format, args...))
		}
	}
	for _, f := range c.Fuels {
		say(b.FuelRise[f.Name] != 0, "%s dearer by %s a year", f.Name, pct(b.FuelRise[f.Name]))
	}
	say(b.OtherRise != 0, "upkeep dearer by %s a year", pct(b.OtherRise))
	say(t.DegradationFrac != 0, "what is saved falls by %s a year", pct(t.DegradationFrac))
	if n := len(t.CarbonPerT); n > 0 && t.Years > 0 {
		say(true, "CO2 at %.4g %s a tonne in the first year, %.4g in the last", t.CarbonPerT[0], c.Currency, t.CarbonPerT[min(n, t.Years)-1])
	}
	s := t.Subsidy
	paid := map[bool]string{true: "at the start", false: fmt.Sprintf("in year %d", s.Year)}[s.Year == 0]
	say(s.ShareFrac > 0, "subsidy of %s of the cost, paid %s", pct(s.ShareFrac), paid)
	say(s.Sum > 0, "subsidy of %s %s, paid %s", thousands(s.Sum), c.Currency, paid)
	say(s.Cap > 0, "at most %s %s of subsidy", thousands(s.Cap), c.Currency)
	l := t.Loan
	say(l.ShareFrac > 0, "loan of %s at %s over %d years (paybacks and returns are of the owner's own money)", pct(l.ShareFrac), pct(l.RateFrac), l.Years)
	if x := t.Tax; x.RateFrac > 0 {
		losses := map[bool]string{true: "losses used at once", false: "losses carried forward"}[x.LossesAtOnce]
		say(true, "tax of %s, %s, written off by %s", pct(x.RateFrac), losses, writtenOff(x.Depreciation))
	}
	say(t.ResidualFrac > 0, "%s of the cost fetched at the end", pct(t.ResidualFrac))
	return words
}

// thousands is a whole sum with its thousands apart.
func thousands(v float64) string {
	s := fmt.Sprintf("%.0f", v)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + " " + s[i:]
	}
	return s
}

func writtenOff(d worth.Depreciation) string {
	switch {
	case d.Name != "":
		return d.Name
	case d.Method == worth.Declining:
		return fmt.Sprintf("%.4g %% of what is left each year", 100*d.RateFrac)
	case d.Method == worth.StraightLine:
		return fmt.Sprintf("equal parts over %d years", d.Years)
	case d.Method == worth.DecliningThenStraight:
		return fmt.Sprintf("%.4g %% of what is left each year, equal parts of the rest once more, over %d years", 100*d.RateFrac, d.Years)
	case d.Method == worth.Scheduled:
		return fmt.Sprintf("a schedule of %d years", len(d.Shares))
	}
	return "nothing before the end"
}
