package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"noonkeep/cmd/internal/answer"
	"noonkeep/optimize"
	"noonkeep/scenarios"
)

// plants are the built-in examples and, where its weather file is, the dyehouse in Tucson's typical year.
func plants(t *testing.T) map[string]string {
	t.Helper()
	if testing.Short() {
		t.Skip("whole curves")
	}
	list := map[string]string{"dyehouse": "dyehouse", "cannery": "cannery", "winery": "winery"}
	file, err := filepath.Abs(filepath.Join("..", "..", "..", "shared", "weather", "tucson-usa-tmy3.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(file); err != nil {
		t.Log("the shared weather files are not here: Tucson is left out")
		return list
	}
	list["Tucson"] = weatherScenario(t, file)
	return list
}

// costs solves a plant at volumes with an engine of one's choice.
type costs struct {
	t *testing.T
	c scenarios.Case
}

func costsOf(t *testing.T, ref string) costs {
	t.Helper()
	c, err := scenarios.Load(ref)
	if err != nil {
		t.Fatal(err)
	}
	return costs{t, c}
}

func (c costs) at(volume float64, engine string) float64 {
	c.t.Helper()
	p, err := answer.ProblemAt(c.c, volume)
	if err != nil {
		c.t.Fatal(err)
	}
	s, _, err := optimize.Plan(context.Background(), p, optimize.Options{Engine: engine})
	if missing := (*optimize.NeedsClp)(nil); errors.As(err, &missing) {
		c.t.Skip("this program was built without Clp")
	}
	if err != nil {
		c.t.Fatal(err)
	}
	return s.Cost
}

// Two engines of different making, and every point of four curves: costs agree to 1e-9, bounds to what
// both promise.
func TestEnginesAgreeOnEveryPoint(t *testing.T) {
	unraced(t)
	t.Parallel()
	for name, ref := range plants(t) {
		t.Run(name, func(t *testing.T) {
			at := costsOf(t, ref)
			near(t, "no store", at.at(0, optimize.EngineOneStore), at.at(0, optimize.EngineClp), 1e-9)
			one, clp := curveOf(t, ref, "--engine", "onestore"), curveOf(t, ref, "--engine", "clp")
			near(t, "boilers alone", one.Baseline.BoilersOnly, clp.Baseline.BoilersOnly, 1e-9)
			byVolume := map[float64]float64{}
			for _, p := range clp.Points {
				byVolume[p.Volume] = p.Cost
			}
			alone := 0
			for _, p := range one.Points {
				want, both := byVolume[p.Volume]
				if !both { // a point added where this engine's prices left the wider gap
					alone++
					want = at.at(p.Volume, optimize.EngineClp)
				}
				near(t, fmt.Sprintf("cost at %g m³", p.Volume), p.Cost, want, 1e-9)
				delete(byVolume, p.Volume)
			}
			for volume, cost := range byVolume {
				near(t, fmt.Sprintf("cost at %g m³", volume), at.at(volume, optimize.EngineOneStore), cost, 1e-9)
			}
			t.Logf("%d points, %d of them of one engine alone", len(one.Points)+len(byVolume), alone+len(byVolume))
		})
	}
}

// What the next cubic metre saves, by the one-store engine's prices, against real solves a thousandth of the volume
// before and after.
func TestOneStoreSlopesAgainstRealSolves(t *testing.T) {
	unraced(t)
	t.Parallel()
	for name, ref := range plants(t) {
		t.Run(name, func(t *testing.T) {
			at := costsOf(t, ref)
			c := curveOf(t, ref, "--engine", "onestore")
			for _, p := range c.Points[1 : len(c.Points)-1] {
				h := 1e-3 * p.Volume
				cost := at.at(p.Volume, optimize.EngineOneStore)
				before := (at.at(p.Volume-h, optimize.EngineOneStore) - cost) / h
				after := (cost - at.at(p.Volume+h, optimize.EngineOneStore)) / h
				// At a kink any slope between is one. The shell's loss bends a little within h, and a cost is
				// exact to about 1e-13.
				lo, hi := min(before, after), max(before, after)
				slack := 5e-4*math.Abs(hi) + 1e-12*math.Abs(cost)/h
				if !(p.Marginal >= lo-slack && p.Marginal <= hi+slack) {
					t.Errorf("%g m³: slope %.8g; real solves give %.8g before and %.8g after", p.Volume, p.Marginal, before, after)
				}
			}
		})
	}
}
