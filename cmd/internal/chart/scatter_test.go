package chart

import (
	"bytes"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// sampleScatters are drawn by hand formulas: no figure here is a result.
func sampleScatters() map[string]Scatter {
	rng := rand.New(rand.NewPCG(24, 194))
	of := func(n int, slope, scatter float64) Scatter {
		c := Scatter{Title: "The guarantee of field dishes is not met: measured over guaranteed heat is 0.950", Subtitle: "made up; 60 of 90 hours count, 20 are wanted",
			XName: "Guaranteed heat in an hour", YName: "Measured heat", Unit: "kW", DotsName: "hours that count", RestName: "hours that do not",
			LineName: "measured = guaranteed", Slope: slope, SlopeName: "sum of the hours that count, 0.950"}
		for i := range n {
			x := 1100 + 800*rng.Float64()
			c.Dots = append(c.Dots, Dot{x, slope * x * (1 + scatter*rng.NormFloat64())})
			if i%2 == 0 {
				x *= rng.Float64()
				c.Rest = append(c.Rest, Dot{x, max(-20, x*(0.7+0.3*rng.NormFloat64()))})
			}
		}
		return c
	}
	long := of(1, 2, 0)
	for _, s := range []*string{&long.Title, &long.Subtitle, &long.XName, &long.YName, &long.DotsName, &long.RestName, &long.LineName, &long.SlopeName} {
		*s = strings.Repeat("a long word of it ", 20)
	}
	none := of(3, 0.9, 0)
	none.Dots, none.Slope = nil, 0
	return map[string]Scatter{"scatter": of(60, 0.95, 0.015), "scatter-many": of(3000, 1.04, 0.03), "scatter-long": long, "scatter-none": none}
}

// What cannot be drawn is told, and nothing is written.
func TestScatterFaults(t *testing.T) {
	t.Parallel()
	for want, break_ := range map[string]func(*Scatter){
		"scatter: unit: is empty; want a name such as kW":                   func(c *Scatter) { c.Unit = "" },
		"scatter: dots: there are none; want one or more":                   func(c *Scatter) { c.Dots, c.Rest = nil, nil },
		"scatter: dots up: value 0 is NaN; want a number within ±1e15":      func(c *Scatter) { c.Dots[0].Y = math.NaN() },
		"scatter: rest across: value 0 is +Inf; want a number within ±1e15": func(c *Scatter) { c.Rest[0].X = math.Inf(1) },
		"scatter: slope: is -1; want 0 or more":                             func(c *Scatter) { c.Slope = -1 },
	} {
		c := sampleScatters()["scatter"]
		break_(&c)
		var b bytes.Buffer
		if err := WriteSVG(&b, c); err == nil || err.Error() != want || b.Len() > 0 {
			t.Errorf("got %v, want %s; %d bytes written", err, want, b.Len())
		}
	}
}
