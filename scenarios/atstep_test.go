package scenarios_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"noonkeep/plant/clock"
	"noonkeep/plant/sky"
	"noonkeep/scenarios"
)

// By the minute a plant asks for the heat that it asks for by the hour, hour by hour, and its shifts begin on their minute.
func TestAtStep(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"dyehouse"} {
		c, err := scenarios.Load(name)
		if err != nil {
			t.Fatal(err)
		}
		axis := clock.Axis{Start: c.Axis.Start, Step: 30 * time.Minute, N: 2 * c.Axis.N}
		year, err := sky.SmoothMinutes(c.Weather, axis)
		if err != nil {
			t.Fatal(err)
		}
		fine, err := c.AtStep(year)
		if err != nil {
			t.Fatal(err)
		}
		if !fine.Axis.Same(axis) || len(fine.Headers) != len(c.Headers) || len(fine.Stores) != len(c.Stores) {
			t.Fatalf("%s: has axis %v, %d headers, %d stores", name, fine.Axis, len(fine.Headers), len(fine.Stores))
		}
		for l, h := range fine.Headers {
			back, err := clock.Resample(h.DemandKW, fine.Axis, c.Axis)
			if err != nil {
				t.Fatal(err)
			}
			for i, kW := range back {
				if want := c.Headers[l].DemandKW[i]; math.Abs(kW-want) > 1e-6*(1+want) {
					t.Fatalf("%s: header %s asks for %g kW in the mean of hour %d; want %g", name, h.Name, kW, i, want)
				}
			}
		}
		if len(fine.Warnings) != len(c.Warnings) || len(fine.Assumptions) != len(c.Assumptions) {
			t.Errorf("%s: doubts and assumes other things by the minute", name)
		}
	}
}

func TestAtStepWrongAxis(t *testing.T) {
	t.Parallel()
	c, err := scenarios.Load("dyehouse")
	if err != nil {
		t.Fatal(err)
	}
	year := c.Weather
	year.Axis.N--
	const want = "dyehouse.yaml: weather of 8759 steps of 1h0m0s; want another step of the study's own year"
	if _, err := c.AtStep(year); err == nil || !strings.HasSuffix(err.Error(), want) {
		t.Errorf("says %v; want %s", err, want)
	}
}
