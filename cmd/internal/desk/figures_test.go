package desk

import (
	"math"
	"math/rand/v2"
	"testing"

	"noonkeep/cmd/internal/answer"
)

// Between two proven points a figure lies on the straight line, and what the next m³ saves is its slope: from any volume between them the
// slope leads to the further point. At a point it is the point's own.
func TestBetweenPoints(t *testing.T) {
	points := []answer.Point{
		{VolumeM3: 0, MarginalSavingsPerM3: 700, FuelKWh: 900},
		{VolumeM3: 20, SavingsVsNoStorage: 11000, MarginalSavingsPerM3: 500, FuelKWh: 700},
		{VolumeM3: 50, SavingsVsNoStorage: 20000, MarginalSavingsPerM3: 200, FuelKWh: 550},
	}
	random := rand.New(rand.NewPCG(1, 2))
	for range 100 {
		i := random.IntN(2)
		a, b := points[i], points[i+1]
		m3 := a.VolumeM3 + (0.01+0.98*random.Float64())*(b.VolumeM3-a.VolumeM3)
		p, _, _ := between(points, m3)
		if at := p.SavingsVsNoStorage + p.MarginalSavingsPerM3*(b.VolumeM3-m3); math.Abs(at-b.SavingsVsNoStorage) > 1e-6 {
			t.Errorf("from %g m³ the slope leads to %g; want %g", m3, at, b.SavingsVsNoStorage)
		}
		if p.FuelKWh >= a.FuelKWh || p.FuelKWh <= b.FuelKWh || p.VolumeM3 != m3 {
			t.Errorf("%g m³: %+v does not lie between its neighbours", m3, p)
		}
	}
	for _, want := range points {
		if p, _, _ := between(points, want.VolumeM3); p.MarginalSavingsPerM3 != want.MarginalSavingsPerM3 || p.SavingsVsNoStorage != want.SavingsVsNoStorage {
			t.Errorf("at a proven point the curve is %+v; want the point's own %+v", p, want)
		}
	}
	if p, _, _ := between(points, 80); p.SavingsVsNoStorage != 20000 {
		t.Errorf("beyond its end the curve is %+v; want its end", p)
	}
}
