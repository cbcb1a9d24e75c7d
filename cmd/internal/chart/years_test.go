package chart

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// sampleYears are drawn by hand formulas: no figure here is a result.
func sampleYears() map[string]Years {
	sample := func(n int, spread float64) Years {
		rng := rand.New(rand.NewPCG(4, 2))
		c := Years{
			Title: "Over 30 years, sun and a tank of 40 m³ save 171\u202f000 EUR a year in half of them, and 163\u202f000 in nine of ten", Subtitle: "made up",
			Currency: "EUR", SavingsName: "Savings against the same plant without a store", YearName: "year",
			LowName: "9 of 10 years (P90)", MidName: "half of years (P50)", HighName: "1 of 10 years (P10)",
			LowNote: "38\u202f000 EUR at 120 m³", MidNote: "40\u202f000 EUR at 120 m³", HighNote: "42\u202f000 EUR at 120 m³",
			MarkM3: 62, MarkName: "the tank that pays over all years, 62 m³",
		}
		beam, saved := Strip{Name: "The sun's beam", Unit: "kWh/m² a year"}, Strip{Name: "Saved over boilers alone", Unit: "EUR a year"}
		curve := func(most float64) (v []float64) {
			for x := range 25 {
				v = append(v, most*(1-math.Exp(-float64(x)/10)))
			}
			return v
		}
		for x := range 25 {
			c.VolumesM3 = append(c.VolumesM3, 5*float64(x))
		}
		for i := range n {
			z := rng.NormFloat64()
			c.YearTicks = append(c.YearTicks, fmt.Sprint(1991+i))
			c.Lines = append(c.Lines, curve(43000+spread*z))
			beam.Values, saved.Values = append(beam.Values, 2100+0.05*spread*z), append(saved.Values, 171000+3*spread*z)
		}
		c.Strips = []Strip{beam, saved}
		c.Low, c.Mid, c.High = curve(43000-1.28*spread), curve(43000), curve(43000+1.28*spread)
		return c
	}
	falling := sample(12, 900)
	for i := range falling.Lines {
		for j := range falling.Lines[i] {
			falling.Lines[i][j] *= -1
		}
	}
	for j := range falling.Mid {
		falling.Low[j], falling.Mid[j], falling.High[j] = -falling.High[j], -falling.Mid[j], -falling.Low[j]
	}
	falling.MarkM3, falling.MarkName = 0, ""
	noStore := sample(8, 2000)
	noStore.VolumesM3, noStore.Low, noStore.Mid, noStore.High, noStore.Lines, noStore.MarkM3 = nil, nil, nil, nil, nil, 0
	alike := sample(3, 0)
	alike.Strips[0].Name = strings.Repeat("a long name ", 20)
	alike.MarkName = strings.Repeat("the tank that pays ", 12)
	return map[string]Years{"years": sample(30, 1500), "years-wide": sample(18, 9000), "years-many": sample(1000, 2000), "years-two": sample(2, 3000),
		"years-falling": falling, "years-nostore": noStore, "years-alike": alike}
}

func TestYearsCheck(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name  string
		spoil func(c *Years)
		want  string
	}{
		{"currency", func(c *Years) { c.Currency = "" }, "years: currency: is empty; want a name such as EUR"},
		{"one year", func(c *Years) { c.YearTicks, c.Lines, c.Strips = c.YearTicks[:1], c.Lines[:1], nil }, "years: years: are 1; want 2 or more"},
		{"nothing to draw", func(c *Years) { c.VolumesM3, c.Strips = nil, nil }, "years: strips: there are none, and no volumes; want one or the other"},
		{"strip", func(c *Years) { c.Strips[0].Values = c.Strips[0].Values[1:] }, "years: strip The sun's beam: has 29 values; want 30"},
		{"lines", func(c *Years) { c.Lines = c.Lines[1:] }, "years: lines: are 29; want one for each of 30 years"},
		{"no number", func(c *Years) { c.Lines[2][3] = math.NaN() }, "years: line of 1993: value 3 is NaN; want a number within ±1e15"},
		{"band", func(c *Years) { c.High[4] = c.Low[4] - 1 }, "years: middle: at 20 m³ 14176.2 lies outside 13543.3 to 13542.3"},
		{"mark", func(c *Years) { c.MarkM3 = 121 }, "years: mark: is at 121 m³; want 0 to 120"},
		{"volumes", func(c *Years) { c.VolumesM3[3] = 10 }, "years: volumes: 10 m³ follows 10 m³; want them rising"},
	} {
		c := sampleYears()["years"]
		tt.spoil(&c)
		if err := c.Check(); err == nil || err.Error() != tt.want {
			t.Errorf("%s: %v\nwant %s", tt.name, err, tt.want)
		}
	}
}

// A title never breaks within a number.
func TestNumbersAreNotTorn(t *testing.T) {
	t.Parallel()
	for width := titleFace.width("saves"); width < 600; width += 7 {
		for _, line := range titleFace.wrap("sun and tank save "+Thousands(171341, 0)+" EUR a year in half of them", width, 9) {
			if strings.HasSuffix(line, "171") || strings.HasPrefix(line, "341") {
				t.Fatalf("at %.0f pt: %q", float64(width), line)
			}
		}
	}
}
