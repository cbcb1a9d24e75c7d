package answer

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"noonkeep/optimize"
	"noonkeep/scenarios"
)

// SizeOptions say over what a size is sought. The zero value follows the scenario.
type SizeOptions struct {
	Field    string  // name of the field whose count is varied; empty: the only one
	ToCount  float64 // largest count; 0: twice the scenario's
	ToM3     float64 // largest volume; 0: the scenario's store.steps
	Engine   string  // "clp" or "onestore"; empty: the program chooses
	Progress optimize.Progress
}

// SizeMap is what every pair of a collector count and a storage volume saves in a year, in Currency. Best, frontier and
// levels are of these savings: the cost of tank and field is in Money alone. Every cell is proven.
type SizeMap struct {
	Scenario             string      `json:"scenario"`
	Currency             string      `json:"currency"`
	Over                 []string    `json:"over"`
	Field                string      `json:"field"`
	Counts               []float64   `json:"counts"` // parts of a collector, where there are few, stand for its area
	VolumesM3            []float64   `json:"volumes_m3"`
	SavingsVsBoilersOnly [][]float64 `json:"savings_vs_boilers_only"` // [count][volume]
	SavingsVsNoStorage   [][]float64 `json:"savings_vs_no_storage"`   // against the same field without a store
	Best                 Cell        `json:"best"`
	Frontier             []Cell      `json:"frontier"` // for each count, the volume that saves most
	Proof                Proof       `json:"proof"`    // the worst of all cells

	BestAtEdge      []string `json:"best_at_edge"` // of "field" and "store": where a larger one may save more
	Here            Place    `json:"scenario_size"`
	Levels          []Level  `json:"levels"`
	LevelStep       float64  `json:"level_step"`
	BoilersOnlyCost float64  `json:"boilers_only_cost"`
	ApertureM2      float64  `json:"aperture_m2"`            // of one collector
	GroundHolds     int      `json:"ground_holds,omitempty"` // collectors; the map ends there at the latest. 0: no ground is said
	Engine          string   `json:"engine"`
	EngineWhy       string   `json:"engine_reason"`
	Steps           int      `json:"steps"`
	StepH           float64  `json:"step_h"`
	Warnings        []Note   `json:"warnings"`

	Money *MapMoney `json:"money,omitempty"` // what the pairs earn; nil without money
}

// Cell is one pair of the map; Savings are those against boilers alone.
type Cell struct {
	Count              float64 `json:"count"`
	VolumeM3           float64 `json:"volume_m3"`
	Savings            float64 `json:"savings"`
	SavingsVsNoStorage float64 `json:"savings_vs_no_storage"`
}

// Place is a pair of sizes; that of the scenario need not be a cell.
type Place struct {
	Count    float64 `json:"count"`
	VolumeM3 float64 `json:"volume_m3"`
}

// Level is a round saving and the cells of the map that reach it at the least: Fewest has the fewest
// collectors, and of these the smallest store; Smallest has the smallest store, and with it the fewest collectors.
type Level struct {
	Savings  float64 `json:"savings"`
	Fewest   Cell    `json:"fewest_collectors"`
	Smallest Cell    `json:"smallest_volume"`
}

// SizeOver solves the map of collector count against volume. The error is as that of [Make]; one that
// the scenario or the options are to blame for says so in words.
func SizeOver(ctx context.Context, c scenarios.Case, opt SizeOptions) (SizeMap, error) {
	field, err := fieldToSize(c, opt.Field)
	if err != nil {
		return SizeMap{}, err
	}
	f := c.Fields[field]
	m := SizeMap{Scenario: c.Name, Currency: c.Currency, Over: []string{"field", "store"}, Field: f.Name,
		ApertureM2: f.ApertureM2, Here: Place{float64(f.Count), c.Store.VolumeM3}, Steps: c.Axis.N, StepH: c.Axis.StepH(), Warnings: notes(c)}
	if opt.ToCount == 0 {
		opt.ToCount = 2 * float64(f.Count)
		if f.Ground != nil {
			opt.ToCount = math.Min(opt.ToCount, float64(f.Places))
		}
	}
	if opt.ToM3 == 0 {
		opt.ToM3 = c.Store.ToM3
	}
	if !(opt.ToCount > 0 && opt.ToCount <= mostCount) {
		return SizeMap{}, fmt.Errorf("%s: field %q: the largest count is %g; want more than 0, up to %g (--count)", c.File, f.Name, opt.ToCount, mostCount)
	}
	if f.Ground != nil && opt.ToCount > float64(f.Places) {
		return SizeMap{}, fmt.Errorf("%s: field %q: the largest count is %g, and its ground holds %d; want at most so many (--count), or more ground",
			c.File, f.Name, opt.ToCount, f.Places)
	}
	if !(opt.ToM3 > 0 && opt.ToM3 <= mostM3) {
		return SizeMap{}, fmt.Errorf("%s: the largest volume is %g m³; want more than 0, up to %g (--to)", c.File, opt.ToM3, mostM3)
	}
	m.GroundHolds = f.Places
	m.Counts = roundAxis(opt.ToCount, opt.ToCount >= leastSpans)
	m.VolumesM3 = roundAxis(opt.ToM3, false)
	rows, sized, err := rowsOf(c, field, m.Counts, m.VolumesM3)
	if err != nil {
		return SizeMap{}, err
	}
	boilers, err := boilersAlone(ctx, rows[0].Problem, opt.Engine)
	if err != nil {
		return SizeMap{}, err
	}
	grid, err := optimize.Grid(ctx, c.StoreAt(), rows, optimize.Options{Engine: opt.Engine, Progress: opt.Progress})
	if err != nil {
		return SizeMap{}, err
	}
	m.fill(grid, boilers)
	m.Money, err = mapMoney(ctx, sized, rows[0].Problem, grid, m, opt.Engine)
	return m, err
}

// mostCount and mostM3 are those of a scenario.
const mostCount, mostM3 = 1e6, 1e5

// fieldToSize finds the field by its name, or the only one.
func fieldToSize(c scenarios.Case, name string) (int, error) {
	var names []string
	for _, f := range c.Fields {
		names = append(names, f.Name)
	}
	switch {
	case c.Store == nil:
		return 0, fmt.Errorf("%s: %w", c.File, ErrNoStore)
	case len(names) == 0:
		return 0, fmt.Errorf("%s: the scenario has no field to size; add a section `fields`, or size the store alone (--over store)", c.File)
	case name != "":
		if i := slices.Index(names, name); i >= 0 {
			return i, nil
		}
		return 0, fmt.Errorf("%s: no field is called %q; want %s", c.File, name, strings.Join(names, " or "))
	case len(names) > 1:
		return 0, fmt.Errorf("%s: has %d fields; say which to size: --field with %s", c.File, len(names), strings.Join(names, " or "))
	}
	return 0, nil
}

// rowsOf makes a plant for each count. All share the stores of the largest count: they differ between
// counts in the most that fields can charge alone, where that limits nothing.
func rowsOf(c scenarios.Case, field int, counts, volumesM3 []float64) (rows []optimize.Row, cases []scenarios.Case, err error) {
	largest, err := c.WithCount(field, counts[len(counts)-1])
	if err != nil {
		return nil, nil, err
	}
	law := largest.StoreLaw()
	var stores []optimize.Store
	for _, v := range volumesM3 {
		s, err := law(v)
		if err != nil {
			return nil, nil, err
		}
		stores = append(stores, s)
	}
	for _, count := range counts {
		sized, err := c.WithCount(field, count)
		if err != nil {
			return nil, nil, err
		}
		p, err := sized.Problem()
		if err != nil {
			return nil, nil, err
		}
		cases = append(cases, sized)
		rows = append(rows, optimize.Row{Name: fmt.Sprintf("%g of field %q", count, c.Fields[field].Name), Problem: p, Stores: stores})
	}
	return rows, cases, nil
}

func boilersAlone(ctx context.Context, p optimize.Problem, engine string) (cost float64, err error) {
	p.Fields, p.Stores = nil, nil
	s, _, err := optimize.Plan(ctx, p, optimize.Options{Engine: engine})
	if err != nil && ctx.Err() == nil {
		err = fmt.Errorf("boilers alone: %w", err)
	}
	return s.Cost, err
}

// fill turns costs into savings. The first volume is none, so that its column is the cost without a store.
func (m *SizeMap) fill(grid optimize.Map, boilersOnly float64) {
	m.BoilersOnlyCost, m.Engine, m.EngineWhy = boilersOnly, grid.Engine, grid.Why
	m.Proof = Proof{PrimalResidual: grid.Proof.PrimalResidual, DualResidual: grid.Proof.DualResidual, DualityGap: grid.Proof.DualityGap}
	for _, row := range grid.Cells {
		vsBoilers, vsNone := make([]float64, len(row)), make([]float64, len(row))
		for j, o := range row {
			vsBoilers[j], vsNone[j] = boilersOnly-o.Cost, row[0].Cost-o.Cost
		}
		m.SavingsVsBoilersOnly = append(m.SavingsVsBoilersOnly, vsBoilers)
		m.SavingsVsNoStorage = append(m.SavingsVsNoStorage, vsNone)
	}
	m.pick()
}

// pick finds what a reader looks for.
func (m *SizeMap) pick() {
	m.Best = m.Cell(0, 0)
	for i := range m.Counts {
		at := m.Cell(i, 0)
		for j := range m.VolumesM3 {
			if c := m.Cell(i, j); m.beats(c, at) {
				at = c
			}
		}
		m.Frontier = append(m.Frontier, at)
		if m.beats(at, m.Best) {
			m.Best = at
		}
	}
	m.BestAtEdge = []string{}
	if m.Best.Count == m.Counts[len(m.Counts)-1] && m.Best.Count != float64(m.GroundHolds) {
		m.BestAtEdge = append(m.BestAtEdge, "field")
	}
	if m.Best.VolumeM3 == m.VolumesM3[len(m.VolumesM3)-1] {
		m.BestAtEdge = append(m.BestAtEdge, "store")
	}
	m.levels()
}

// Cell is the pair of the i-th count and the j-th volume.
func (m *SizeMap) Cell(i, j int) Cell {
	return Cell{m.Counts[i], m.VolumesM3[j], m.SavingsVsBoilersOnly[i][j], m.SavingsVsNoStorage[i][j]}
}

// beats wants a saving larger by more than rounding, so that of equals the smaller plant stands.
func (m *SizeMap) beats(a, b Cell) bool {
	return a.Savings > b.Savings+1e-9*math.Abs(m.BoilersOnlyCost)
}

// fewestLevels of a map; there are at most twice as many.
const fewestLevels = 8

// LevelStep is the largest round step that gives so many.
func LevelStep(most float64) float64 {
	at := most / fewestLevels
	power := math.Pow(10, math.Floor(math.Log10(at)))
	step := power
	for _, digit := range []float64{2, 2.5, 5} {
		if digit*power <= at {
			step = digit * power
		}
	}
	return step
}

func (m *SizeMap) levels() {
	m.Levels = []Level{}
	if !(m.Best.Savings > 1e-9*math.Abs(m.BoilersOnlyCost)) {
		return
	}
	m.LevelStep = LevelStep(m.Best.Savings)
	for n := 1.0; n*m.LevelStep <= m.Best.Savings; n++ {
		l := Level{Savings: n * m.LevelStep}
		l.Fewest, l.Smallest = m.Best, m.Best
		for i := range m.Counts {
			for j := range m.VolumesM3 {
				c := m.Cell(i, j)
				if c.Savings < l.Savings {
					continue
				}
				if c.Count < l.Fewest.Count || c.Count == l.Fewest.Count && c.VolumeM3 < l.Fewest.VolumeM3 {
					l.Fewest = c
				}
				if c.VolumeM3 < l.Smallest.VolumeM3 || c.VolumeM3 == l.Smallest.VolumeM3 && c.Count < l.Smallest.Count {
					l.Smallest = c
				}
			}
		}
		m.Levels = append(m.Levels, l)
	}
}
