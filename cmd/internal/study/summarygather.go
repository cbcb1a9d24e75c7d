package study

import (
	"math"

	"noonkeep/cmd/internal/study/table"
)

// The figures of a case that are described.
const (
	figSaved = iota
	figSavedFrac
	figAlone
	figAloneFrac
	figSolar
	figBest
	figNPV
	figPayback
	figPlantNPV
	figPlantPayback
	figArrived
	figCount
)

type figures [figCount]float64

// figuresOf are NaN where the row has none. A payback that does not come is without end, not missing: else the cases that pay
// would alone be counted.
func figuresOf(r *table.Row) figures {
	never := func(payback, npv float64) float64 {
		if math.IsNaN(payback) && !math.IsNaN(npv) {
			return math.Inf(1)
		}
		return payback
	}
	return figures{
		figSaved: r.SavingsVsNoStorage, figSavedFrac: share(r.SavingsVsNoStorage, r.NoStorageCost),
		figAlone: r.SavingsVsBoilersOnly, figAloneFrac: share(r.SavingsVsBoilersOnly, r.BoilersOnlyCost),
		figSolar: r.SolarFraction, figBest: r.BestVolumeM3, figNPV: r.NPV, figPayback: never(r.PaybackA, r.NPV),
		figPlantNPV: r.PlantNPV, figPlantPayback: never(r.PlantPaybackA, r.PlantNPV), figArrived: r.ReplayArrived,
	}
}

// gathering is a summary in the making.
type gathering struct {
	outline  outline
	seen     []uint64 // a bit for each case
	open     map[int]*gathered
	closed   []ScenarioSummary
	all      *gathered
	reasons  reasons
	setAside int64
	done     int64
}

// gathered is what is held of the cases of one scenario, or of all.
type gathered struct {
	done, setAside int64
	figures        sample[figures]
	counts         [figCount]int64 // of all cases that have a figure
	least, most    figures         // of all cases
	details        sample[*detail]
	wants          wanted
	bests, edges   int64
	pays, saves    bool // what a case shows of how the best volume is found
	currency       string
	mixed          bool
}

// wanted says what is held of each case of the details.
type wanted struct{ curves, keys bool }

// detail is a case with what takes much room.
type detail struct {
	savings, cost float64 // vs no storage; without a store
	keys          []float64
	units         []string
	curve         []table.Point
}

func newGathering(o outline) *gathering {
	return &gathering{outline: o, seen: make([]uint64, o.end()/64+1), open: map[int]*gathered{}, closed: make([]ScenarioSummary, len(o.scenarios)),
		all: newGathered(o.end(), mostDetails, wanted{curves: true}), reasons: reasons{}}
}

// newGathered has room for so many cases, and for so many details.
func newGathered(cases int64, details int, wants wanted) *gathered {
	g := &gathered{wants: wants, figures: newSample[figures](cases, mostDrawn), details: newSample[*detail](cases, details)}
	for i := range figCount {
		g.least[i], g.most[i] = math.Inf(1), math.Inf(-1)
	}
	return g
}

// detailsEach is how many cases of each scenario are looked at closely: fewer where there are many scenarios.
func (o outline) detailsEach() int {
	const inAll = 1 << 20
	return min(max(inAll/len(o.scenarios), 128), mostDetails)
}

// take adds one row to its scenario and to all, and sums the scenario up when that was its last case.
func (g *gathering) take(scenario int, r *table.Row) {
	s := g.open[scenario]
	if s == nil {
		s = newGathered(g.outline.scenarios[scenario].cases, g.outline.detailsEach(), wanted{curves: scenario < MostShown, keys: len(g.outline.keys) > 0})
		g.open[scenario] = s
	}
	g.done++
	if r.Error != "" {
		g.setAside++
		g.reasons.add(r)
	}
	s.take(r)
	g.all.take(r)
	if s.done == g.outline.scenarios[scenario].cases {
		g.closed[scenario] = g.close(scenario, s)
		delete(g.open, scenario)
	}
}

func (g *gathered) take(r *table.Row) {
	g.done++
	if r.Error != "" {
		g.setAside++
		return
	}
	if r.Currency != g.currency {
		g.mixed = g.mixed || g.currency != ""
		g.currency = r.Currency
	}
	f := figuresOf(r)
	for i, v := range f {
		if !math.IsNaN(v) {
			g.counts[i]++
			g.least[i], g.most[i] = min(g.least[i], v), max(g.most[i], v)
		}
	}
	if !math.IsNaN(r.BestVolumeM3) {
		g.bests++
		if r.BestAtEdge == 1 {
			g.edges++
		}
		g.seeRule(r)
	}
	hash := scattered(uint64(r.Case))
	if g.figures.wants(hash) {
		g.figures.add(hash, f)
	}
	if g.details.wants(hash) {
		g.details.add(hash, g.wants.detailOf(r))
	}
}

// detailOf copies what is wanted of a row.
func (w wanted) detailOf(r *table.Row) *detail {
	d := &detail{savings: r.SavingsVsNoStorage, cost: r.NoStorageCost}
	if w.curves {
		d.curve = append(d.curve, r.Curve...)
	}
	if w.keys {
		for _, text := range r.Inputs {
			value, unit := quantity(text)
			d.keys, d.units = append(d.keys, value), append(d.units, unit)
		}
	}
	return d
}
