package scenarios

import (
	"math"
	"strings"
	"testing"
)

// A year by the minute has the hour's energy, loads that begin on the minute, and says what it cannot know.
func TestYearByTheMinute(t *testing.T) {
	unraced(t)
	if testing.Short() {
		t.Skip("525 600 steps")
	}
	t.Parallel()
	hour, err := Parse("my.yaml", []byte(plain), nil)
	if err != nil {
		t.Fatal(err)
	}
	c, err := Parse("my.yaml", []byte(with(t, "step: 60 min", "step: 1 min", "Mon-Sat 06:00-22:00", "Mon-Sat 06:07-22:07")), nil)
	if err != nil {
		t.Fatal(err)
	}
	p, err := c.Problem()
	if err != nil {
		t.Fatal(err)
	}
	if p.N() != 365*24*60 || math.Abs(p.StepH*60-1) > 1e-12 {
		t.Fatalf("%d steps of %g h; want 525600 of a minute", p.N(), p.StepH)
	}
	sum := func(v []float64, stepH float64) (total float64) {
		for _, x := range v {
			total += x * stepH
		}
		return total
	}
	for what, pair := range map[string][2]float64{
		"light on the level": {sum(c.Weather.GHI, p.StepH), sum(hour.Weather.GHI, 1)},
		"demand":             {sum(p.Headers[0].DemandKW, p.StepH), sum(hour.Headers[0].DemandKW, 1)},
	} {
		if math.Abs(pair[0]-pair[1]) > 1e-9*pair[1] {
			t.Errorf("%s: %.12g by the minute, %.12g by the hour; want the same", what, pair[0], pair[1])
		}
	}
	monday := (4*24 + 6) * 60 // 2026-01-05 06:00
	if d := p.Headers[0].DemandKW; d[monday+6] != 0 || d[monday+7] == 0 {
		t.Errorf("the load at 06:06 is %g kW, at 06:07 %g; want it to begin then", d[monday+6], d[monday+7])
	}
	said := false
	for _, w := range c.Warnings {
		said = said || strings.Contains(w.Text, "no cloud comes or goes within it")
	}
	if !said {
		t.Errorf("no warning says that the sun between the hours is drawn smooth: %v", c.Warnings)
	}
}
