package chart

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
)

// sampleSky is a clear year by a hand formula at a made-up place, with its light lateH behind the sun.
func sampleSky(latDeg, lateH float64) SkyMap {
	y := sampleYear()
	m := SkyMap{YearMap: YearMap{
		Title: "The weather's light, hour by day", Subtitle: "A made-up file. Where light stands outside the lines, its clock is wrong.",
		Start: y.Start, StepH: 1, Maps: []Map{{Name: "Direct normal, W/m²", Note: "2 300 kWh/m² in the year", Tone: SunTone}, {Name: "Global horizontal, W/m²", Tone: BoilerTone}},
	}}
	for d := range 365 {
		const tiltRad = 23.45 * math.Pi / 180
		dec := -tiltRad * math.Cos(2*math.Pi*float64(d+10)/365)
		lat := latDeg * math.Pi / 180
		noon := 12.2 - 0.2*math.Sin(4*math.Pi*float64(d)/365)
		half := math.Acos(-math.Tan(lat)*math.Tan(dec)) * 12 / math.Pi // NaN where there is no rise
		m.NoonH = append(m.NoonH, noon)
		m.RiseH, m.SetH = append(m.RiseH, noon-half), append(m.SetH, noon+half)
		for h := range 24 {
			up := math.Sin(lat)*math.Sin(dec) + math.Cos(lat)*math.Cos(dec)*math.Cos((float64(h)+0.5-noon-lateH)*math.Pi/12)
			direct := 0.0
			if up > 0 {
				direct = 900 * math.Pow(0.75, 1/(up+0.05))
			}
			m.Maps[0].Values = append(m.Maps[0].Values, direct)
			m.Maps[1].Values = append(m.Maps[1].Values, direct*max(up, 0))
		}
	}
	return m
}

func sampleSkies() map[string]Figure {
	pole := sampleSky(68, 0)
	for d := range pole.NoonH { // a clock far from the sun's: its days pass midnight
		pole.NoonH[d], pole.RiseH[d], pole.SetH[d] = pole.NoonH[d]+4, pole.RiseH[d]+4, pole.SetH[d]+4
	}
	return map[string]Figure{"sky": sampleSky(38, 0), "sky-late": sampleSky(21, 1), "sky-pole": pole}
}

func TestSkyMapErrors(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		spoil     func(m *SkyMap)
		want, src string
	}{
		{func(m *SkyMap) { m.RiseH = m.RiseH[1:] }, "sunrise: has 364 days; want 365", "one a day"},
		{func(m *SkyMap) { m.NoonH[7] = 99 }, "noon: day 7 is at 99 h; want -48 to 48", "no clock is so far off"},
		{func(m *SkyMap) { m.SetH[364] = math.Inf(1) }, "sunset: day 364 is at +Inf h", "not a number"},
		{func(m *SkyMap) { m.Maps = nil }, "maps: are 0; want 1 to 6", "as YearMap"},
	} {
		m := sampleSky(38, 0)
		tt.spoil(&m)
		if err := m.Check(); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: error is %v; want %q", tt.src, err, tt.want)
		}
	}
}

// TestSkyWay: lines break where a day has none and where they pass midnight, and nowhere else.
func TestSkyWay(t *testing.T) {
	t.Parallel()
	a := panel{x1: 10, y1: 24, xHi: 10, yHi: 24}
	runs := a.way([]float64{22, 23, 25, 26, math.NaN(), 3, -1, math.NaN()})
	want := [][]vg.Point{{{X: 0.5, Y: 22}, {X: 1.5, Y: 23}}, {{X: 2.5, Y: 1}, {X: 3.5, Y: 2}}, {{X: 5.5, Y: 3}}, {{X: 6.5, Y: 23}}}
	if len(runs) != len(want) {
		t.Fatalf("got %v; want %v", runs, want)
	}
	for i := range runs {
		if len(runs[i]) != len(want[i]) {
			t.Fatalf("run %d: got %v; want %v", i, runs[i], want[i])
		}
		for k := range runs[i] {
			if runs[i][k] != want[i][k] {
				t.Errorf("run %d: got %v; want %v", i, runs[i], want[i])
			}
		}
	}
}
