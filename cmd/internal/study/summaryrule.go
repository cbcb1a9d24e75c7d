package study

import (
	"math"

	"noonkeep/cmd/internal/study/table"
)

// How a scenario's best volumes are found.
const (
	BestPays  = "the volume that saves most over what it costs"
	BestSaves = "the volume that saves most; no cost of a store is given (store.cost and money.life)"
)

// seeRule notes what a case shows of its rule. A net present value needs a cost. Where the best volume lies within the curve
// the next m³ saves what it costs, as that volume is read off the slopes straight between the points: so it saves nothing
// there if and only if it costs nothing.
func (g *gathered) seeRule(r *table.Row) {
	if !math.IsNaN(r.NPV) {
		g.pays = true
		return
	}
	n := len(r.Curve)
	if n < 2 || r.BestAtEdge != 0 || r.BestVolumeM3 <= r.Curve[0].VolumeM3 || r.BestVolumeM3 >= r.Curve[n-1].VolumeM3 {
		return
	}
	steepest := 0.0
	for _, p := range r.Curve {
		steepest = max(steepest, math.Abs(p.MarginalSavingsPerM3))
	}
	switch slope := along(r.Curve, r.BestVolumeM3, func(p table.Point) float64 { return p.MarginalSavingsPerM3 }); {
	case slope > 1e-3*steepest:
		g.pays = true
	case math.Abs(slope) < 1e-6*steepest:
		g.saves = true
	}
}

func (g *gathered) rule() string {
	switch {
	case g.pays:
		return BestPays
	case g.saves:
		return BestSaves
	}
	return ""
}
