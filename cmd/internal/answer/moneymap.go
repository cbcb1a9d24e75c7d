package answer

import (
	"context"
	"slices"

	"noonkeep/optimize"
	"noonkeep/scenarios"
)

// MapMoney is what the pairs of a map earn: sun and tank together against boilers alone.
type MapMoney struct {
	Words    []string     `json:"terms"`
	Lacks    []string     `json:"lacks"` // keys of the scenario; empty where the pairs are counted
	NPV      [][]*float64 `json:"npv"`   // [count][volume]; null beyond a price list
	Best     *EarnedCell  `json:"best"`  // of the most NPV; null where no pair earns anything
	AtEdge   []string     `json:"best_at_edge"`
	Frontier []EarnedCell `json:"frontier"` // for each count, the volume that earns most
	Notes    []string     `json:"notes"`
	Years    int          `json:"life_a"`
}

// EarnedCell is one pair and what it earns.
type EarnedCell struct {
	Cell
	Earned
}

// mapMoney works out what every cell earns; nil without money. The cases are those of the rows.
func mapMoney(ctx context.Context, cases []scenarios.Case, p optimize.Problem, grid optimize.Map, m SizeMap, engine string) (*MapMoney, error) {
	frame := moneyOf(cases[len(cases)-1])
	if frame == nil {
		return nil, nil
	}
	out := &MapMoney{Words: frame.Words, Years: frame.Years, Lacks: frame.PlantLacks, NPV: [][]*float64{}, AtEdge: []string{}, Frontier: []EarnedCell{}, Notes: []string{}}
	if !frame.plant {
		return out, nil
	}
	if c := cases[0]; len(c.Store.Cost.SizesM3) > 0 {
		out.Notes = append(out.Notes, "the map's volumes are round ones, not those of store.cost.sizes")
	}
	p.Fields, p.Stores = nil, nil
	s, proof, err := optimize.Plan(ctx, p, optimize.Options{Engine: engine})
	if err != nil {
		return nil, err
	}
	outcome := s.Outcome(p, proof)
	boilers := spendOf(cases[0], outcome)
	for i, row := range grid.Cells {
		cells := make([]Cell, len(row))
		for j := range row {
			cells[j] = m.Cell(i, j)
		}
		out.row(cases[i], cells, row, boilers, outcome.Cost)
	}
	out.edge(m)
	return out, nil
}

// row adds what the cells of one number of collectors earn.
func (o *MapMoney) row(c scenarios.Case, cells []Cell, outcomes []optimize.Outcome, boilers spend, boilersCost float64) {
	list := make([]*float64, len(cells))
	var best *EarnedCell
	for j, x := range outcomes {
		e, err := caseOf(c.PlantProject(cells[j].VolumeM3, boilers.less(spendOf(c, x), boilersCost)))
		if err != nil {
			if text := err.Error(); !slices.Contains(o.Notes, text) {
				o.Notes = append(o.Notes, text)
			}
			continue
		}
		list[j] = &e.NPV
		if best == nil || e.NPV > best.NPV {
			best = &EarnedCell{cells[j], *e}
		}
	}
	o.NPV = append(o.NPV, list)
	if best == nil {
		return
	}
	o.Frontier = append(o.Frontier, *best)
	if best.NPV > 0 && (o.Best == nil || best.NPV > o.Best.NPV) {
		o.Best = best
	}
}

// edge says where a larger one may earn more.
func (o *MapMoney) edge(m SizeMap) {
	if o.Best == nil {
		return
	}
	if o.Best.Count == m.Counts[len(m.Counts)-1] && o.Best.Count != float64(m.GroundHolds) {
		o.AtEdge = append(o.AtEdge, "field")
	}
	if o.Best.VolumeM3 == m.VolumesM3[len(m.VolumesM3)-1] {
		o.AtEdge = append(o.AtEdge, "store")
	}
}
