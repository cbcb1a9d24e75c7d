package chart

import (
	"image/color"
	"math"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/plot/vg"
)

func vgLength(x float64) vg.Length { return vg.Length(x) }

func TestWeekErrors(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		spoil     func(k *Week)
		want, src string
	}{
		{func(k *Week) { *k = Week{StepH: 1} }, "demand: has 0 steps", "nothing to draw"},
		{func(k *Week) { k.StepH = 0 }, "step: is 0 h", "a step has a length"},
		{func(k *Week) { k.StepH = math.NaN() }, "step: is NaN h", "not a number"},
		{func(k *Week) { k.SunKW = k.SunKW[1:] }, "sun to header: has 167 values; want 168", "one value a step"},
		{func(k *Week) { k.BoilerKW[5] = math.NaN() }, "boilers: value 5 is NaN", "not a number"},
		{func(k *Week) { k.StoreKW[2] = -3 }, "from the store: value 2 is -3; want 0 or more", "the other way is sun to store"},
		{func(k *Week) { k.StoredKWh = k.StoredKWh[1:] }, "stored heat: has 168 values; want 169", "a stock has one more value"},
		{func(k *Week) { k.HoldKWh = k.DemandKW[1:] }, "hold-back level: has 167 values; want 168", "one value a step"},
		{func(k *Week) { k.HoldKWh, k.StoredKWh = k.DemandKW, nil }, "hold-back level: stands without stored heat", "nothing to hold"},
		{func(k *Week) { k.CapacityKWh = -1 }, "capacity: value 0 is -1", "no vessel holds less than nothing"},
		{func(k *Week) { *k = sampleDays(k.Start, 126, 1500, 1) }, "demand: has 3024 steps; want 1 to 3000", "doc comment"},
	} {
		k := sampleSummer()
		tt.spoil(&k)
		if err := k.Check(); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("error is %v; want %q (%s)", err, tt.want, tt.src)
		}
	}
	dust := sampleSummer()
	dust.StoreKW[0] = -1e-7
	if err := dust.Check(); err != nil {
		t.Errorf("a solver's dust below zero: %v", err)
	}
}

// TestWeekPlaces draws level flows and looks for each ink at its height.
func TestWeekPlaces(t *testing.T) {
	t.Parallel()
	level := func(v float64) []float64 {
		s := make([]float64, 24)
		for i := range s {
			s[i] = v
		}
		return s
	}
	k := Week{Title: "Level", Start: time.Date(2026, 5, 1, 0, 0, 0, 0, east3), StepH: 1, DemandKW: level(900),
		SunKW: level(300), StoreKW: level(400), BoilerKW: level(200), SunToStoreKW: level(250)}
	k.SpilledKW = append(make([]float64, 12), level(150)[12:]...)
	img, places := mustPNG(t, k, 1), map[string]lettering{}
	for _, l := range letterings(t, mustSVG(t, k)) {
		if _, seen := places[l.text]; !seen { // zero is met once, 200 first above it
			places[l.text] = l
		}
	}
	y := func(text string) float64 { return float64(places[text].y0+places[text].y1) / 2 }
	up := (y("800") - y("0")) / 800
	for _, p := range []struct {
		kW   float64
		want color.Color
		src  string
	}{
		{150, sunInk, "sun lies lowest, to 300"},
		{290, sunInk, "sun lies lowest, to 300"},
		{310, storeInk, "the store on it, to 700"},
		{690, storeInk, "the store on it, to 700"},
		{710, boilerInk, "the boiler on top, to 900"},
		{880, boilerInk, "the boiler on top, to 900"},
		{900, black, "the demand's line"},
		{925, white, "nothing above the demand"},
		{-20, intoInk, "into the store below zero, to 250"},
		{-240, intoInk, "into the store below zero, to 250"},
		{-260, white, "no spilled sun before noon"},
	} {
		x := 200.0 // in the morning, off the grid lines
		if got := pixel(img, vgLength(x), vgLength(y("0")+p.kW*up)); !sameInk(got, p.want) {
			t.Errorf("%g kW: colour is %v, want %v (%s)", p.kW, got, p.want, p.src)
		}
	}
	hatched := 0
	for x := 700.0; x < 760; x++ {
		if !sameInk(pixel(img, vgLength(x), vgLength(y("0")-325*up)), white) {
			hatched++
		}
	}
	if hatched < 10 || hatched > 50 {
		t.Errorf("spilled sun: %d of 60 points are inked; want a hatch", hatched)
	}
}

func TestWeekMarks(t *testing.T) {
	t.Parallel()
	k := Week{Start: time.Date(2026, 3, 1, 21, 0, 0, 0, east3), StepH: 1, DemandKW: make([]float64, 30)}
	var got []string
	for _, m := range k.marks(10) {
		got = append(got, ThousandsPlain(m.hour, 0)+"="+m.label)
	}
	if s := strings.Join(got, " "); s != "3= 9=06 15=12 21=18 27=" {
		t.Errorf("from 21:00 for 30 h, each 6 h: marks are %q; want midnight after 3 h, 06 after 9 h and so on (by hand)", s)
	}
	days := k.days(10)
	if len(days) != 1 || days[0].label != "Mon 2 Mar" || days[0].hour != 15 {
		t.Errorf("days are %v; want Mon 2 Mar in the middle of hours 3 to 27, the others too short for a label (calendar 2026)", days)
	}
}

func TestHatchStaysInside(t *testing.T) {
	t.Parallel()
	b := band{edges: []vg.Length{0, 10, 30, 40}, lo: []vg.Length{0, 5, 2}, hi: []vg.Length{12, 9, 2}}
	segments := 0
	for off := vg.Length(-45); off < 15; off += 0.5 {
		path := b.slanted(nil, off)
		for i := 0; i+1 < len(path); i += 2 {
			from, to := path[i].Pos, path[i+1].Pos
			segments++
			for share := vg.Length(0.01); share < 1; share += 0.07 {
				x, y := from.X+share*(to.X-from.X), from.Y+share*(to.Y-from.Y)
				step := 0
				for step < 2 && x > b.edges[step+1] {
					step++
				}
				if y < b.lo[step]-1e-9 || y > b.hi[step]+1e-9 {
					t.Fatalf("line y = x%+g: point %g, %g lies outside step %d", off, x, y, step)
				}
			}
		}
	}
	// By hand: y = x + off meets step 0 for off in (-10, 12) and step 1 for (-25, -1),
	// 43 and 47 of the half steps; off -5 to -1.5 leave and enter through the shared
	// edge where both are open (y from 5 to 9 at x = 10) and are one piece: 8 less.
	if want := 43 + 47 - 8; segments != want {
		t.Errorf("hatch has %d pieces; want %d (hand count above)", segments, want)
	}
}

func BenchmarkHatch(b *testing.B) {
	k := sampleDays(sampleSummer().Start, 31, 1500, 0.3)
	area := band{edges: make([]vg.Length, 745), lo: make([]vg.Length, 744), hi: make([]vg.Length, 744)}
	for i, v := range k.SpilledKW {
		area.edges[i+1], area.lo[i] = vg.Length(i+1), -vg.Length(v)/10
	}
	for b.Loop() {
		area.slanted(nil, -300)
	}
}
