package chart

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
)

// samplePlants are shapes that the layout must hold: no figure here is a result.
func samplePlants() map[string]Figure {
	return map[string]Figure{
		"plant": samplePlant(1, 1, 1, 1, 4), "plant-least": samplePlant(1, 0, 0, 1, 1), "plant-most": samplePlant(3, 6, 4, 6, 12),
		"plant-two": samplePlant(2, 2, 2, 3, 5), "plant-loads": samplePlant(1, 1, 1, 2, 12), "plant-stores": samplePlant(1, 1, 4, 6, 3),
		"plant-bare": samplePlant(3, 0, 0, 0, 0),
	}
}

func samplePlant(headers, fields, stores, boilers, loads int) Plant {
	d := Plant{Title: "Dyehouse at a made-up place: the plant as it was understood", Subtitle: "1 010 m up, air at 0.897 bar(a); figures are the year's", HeatName: "steam"}
	for i := range headers {
		h := PlantHeader{Name: []string{"main", "second", "low"}[i], Figures: []string{fmt.Sprintf("%d bar(g)", 12-4*i), "164 °C", "feedwater 85 °C", "at most 1 193 kW, 1 785 kg/h"}}
		if h.FromAbove = i > 0; h.FromAbove {
			h.Valve = []string{fmt.Sprintf("%d to %d bar(g)", 16-4*i, 12-4*i)}
		}
		d.Headers = append(d.Headers, h)
	}
	part := func(i int, name string, figures ...string) PlantPart {
		return PlantPart{Name: fmt.Sprintf("%s %d", name, i+1), Figures: figures, Header: i % headers}
	}
	for i := range stores {
		d.Stores = append(d.Stores, PlantStore{part(i, "store", "40 m³, 1 752 kWh", "from 209 to 165 °C", "gives at most 2 140 kW"), i%2 == 1, (i + i/3) % headers})
	}
	for i := range fields {
		f := PlantField{Name: fmt.Sprintf("dishes on roof %d", i+1), Figures: []string{"30 of 90 m², 2 700 m²", "two-axis; at best 1 624 kW", "1 180 kWh/m² a year"}, Headers: []int{i % headers}}
		if stores > 0 {
			f.Stores = []int{i % stores}
		}
		d.Fields = append(d.Fields, f)
	}
	for i := range boilers {
		d.Boilers = append(d.Boilers, part(i, "B", "1 670 kW, 2 500 kg/h", "natural gas, 88 %"))
	}
	for i := range loads {
		d.Loads = append(d.Loads, part(i, "dye machines, day shift", "at most 834 kW, 1 250 kg/h", "3 969 MWh a year"))
	}
	return d
}

// randomPlant draws any plant within the bounds, with odd links and words.
func randomPlant(rng *rand.Rand) Plant {
	d := samplePlant(1+rng.IntN(3), rng.IntN(7), rng.IntN(5), rng.IntN(7), rng.IntN(13))
	for i := range d.Fields {
		f := &d.Fields[i]
		f.Headers, f.Stores = nil, nil
		for h := range d.Headers {
			if rng.IntN(2) == 0 {
				f.Headers = append(f.Headers, h)
			}
		}
		for s := range d.Stores {
			if rng.IntN(2) == 0 {
				f.Stores = append(f.Stores, s)
			}
		}
		if len(f.Headers)+len(f.Stores) == 0 {
			f.Headers = []int{rng.IntN(len(d.Headers))}
		}
		f.Name = strings.Repeat(f.Name+" ", 1+rng.IntN(3))
		f.Figures = f.Figures[:rng.IntN(4)]
	}
	for _, parts := range [][]PlantPart{d.Boilers, d.Loads} {
		for i := range parts {
			parts[i].Header = rng.IntN(len(d.Headers))
			parts[i].Figures = parts[i].Figures[:rng.IntN(3)]
			parts[i].Name = strings.Repeat(parts[i].Name, 1+rng.IntN(3))
		}
	}
	for i := range d.Stores {
		d.Stores[i].Header, d.Stores[i].FromHeader, d.Stores[i].From = rng.IntN(len(d.Headers)), rng.IntN(2) == 0, rng.IntN(len(d.Headers))
	}
	for i := range d.Headers[1:] {
		d.Headers[i+1].FromAbove = rng.IntN(2) == 0
	}
	return d
}

// TestPlantLayout draws plants at random: no two things overlie, no pipe runs through a part or a word, and pipes of
// different nets never run along each other.
func TestPlantLayout(t *testing.T) {
	t.Parallel()
	unraced(t)
	for seed := range uint64(400) {
		d := randomPlant(rand.New(rand.NewPCG(seed, 5)))
		if err := d.Check(); err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		checkSheet(t, fmt.Sprint("seed ", seed), d.lay())
		if t.Failed() {
			return
		}
	}
	for name, f := range samplePlants() {
		checkSheet(t, name, f.(Plant).lay())
	}
}

func checkSheet(t *testing.T, name string, s plantSheet) {
	t.Helper()
	type thing struct {
		box
		what string
	}
	var all []thing
	for _, c := range append(append([]plantCell{}, s.parts...), s.valves...) {
		all = append(all, thing{c.symbol, []string{"field", "store", "boiler", "load", "valve"}[c.kind] + " " + c.words[0].text})
		for _, w := range c.words {
			all = append(all, thing{box{w.x, w.y - 2, w.x + w.face.width(w.text), w.y + w.face.capHeight()}, w.text})
		}
	}
	parts := len(all)
	for _, b := range s.bars {
		all = append(all, thing{b.box, "header " + b.text})
		if w := barFace.width(b.text); w > b.x1-b.x0-20 {
			t.Errorf("%s: header's words %q are %.0f wide in %.0f", name, b.text, w, b.x1-b.x0)
		}
	}
	for i, a := range all {
		if a.x0 < margin-1e-6 || a.x1 > figureWidth-margin+1e-6 || a.y0 < -s.height+4 || a.y1 > 0 {
			t.Errorf("%s: %s at %v leaves the page of height %.0f", name, a.what, a.box, s.height)
		}
		for _, b := range all[:i] {
			if a.meets(b.box, 0) {
				t.Errorf("%s: %s overlies %s", name, a.what, b.what)
			}
		}
	}
	for i, p := range s.pipes {
		run := boxOf(p)
		if p.pts[0].X != p.pts[1].X && p.pts[0].Y != p.pts[1].Y {
			t.Errorf("%s: pipe %v is slanted", name, p.pts)
		}
		for k, a := range all {
			valveOn := k < parts && strings.HasPrefix(a.what, "valve") && math.Abs(float64(p.pts[0].X-(a.x0+a.x1)/2)) < 1e-6
			if !valveOn && run.meets(a.box, 0.5) && !(k >= parts && touches(p, a.box)) {
				t.Errorf("%s: pipe %v runs through %s %v", name, p.pts, a.what, a.box)
			}
		}
		for _, q := range s.pipes[:i] {
			if q.net != p.net && along(p, q) {
				t.Errorf("%s: pipes %v and %v run along each other", name, p.pts, q.pts)
			}
		}
	}
}

func boxOf(p pipe) box {
	a, b := p.pts[0], p.pts[1]
	return box{min(a.X, b.X), min(a.Y, b.Y), max(a.X, b.X), max(a.Y, b.Y)}
}

// meets tells whether two boxes overlie by more than the slack.
func (b box) meets(o box, slack vg.Length) bool {
	return b.x0 < o.x1-slack && o.x0 < b.x1-slack && b.y0 < o.y1-slack && o.y0 < b.y1-slack ||
		b.x0 == b.x1 && b.x0 > o.x0+slack && b.x0 < o.x1-slack && b.y0 < o.y1-slack && o.y0 < b.y1-slack ||
		b.y0 == b.y1 && b.y0 > o.y0+slack && b.y0 < o.y1-slack && b.x0 < o.x1-slack && o.x0 < b.x1-slack
}

// touches tells whether a pipe only ends at a box's edge.
func touches(p pipe, b box) bool {
	run := boxOf(p)
	return run.y0 >= b.y1-1e-6 || run.y1 <= b.y0+1e-6 || run.x1 <= b.x0+1e-6
}

// along tells whether two pipes share more than a point, or run side by side too near to be told apart.
func along(p, q pipe) bool {
	const near = 4
	a, b := boxOf(p), boxOf(q)
	level := func(x box) bool { return x.y0 == x.y1 }
	switch {
	case level(a) != level(b):
		return false
	case level(a):
		return math.Abs(float64(a.y0-b.y0)) < near && min(a.x1, b.x1)-max(a.x0, b.x0) > 1
	}
	return math.Abs(float64(a.x0-b.x0)) < near && min(a.y1, b.y1)-max(a.y0, b.y0) > 1
}

func TestPlantErrors(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		spoil     func(d *Plant)
		want, src string
	}{
		{func(d *Plant) { d.Headers = nil }, "headers: are 0; want 1 to 8", "nothing hangs on nothing"},
		{func(d *Plant) { d.Headers[0].FromAbove = true }, `header "main": takes heat from above and is the first; want one over it`, "no header is over it"},
		{func(d *Plant) { d.Boilers[1].Header = 2 }, `boiler "B 2": is on header 2 of 2`, "places count from 0"},
		{func(d *Plant) { d.Loads[0].Header = -1 }, `load "dye machines, day shift 1": is on header -1 of 2`, "places count from 0"},
		{func(d *Plant) { d.Fields[0].Stores = []int{7} }, `field "dishes on roof 1": is on store 7 of 2`, "places count from 0"},
		{func(d *Plant) { d.Fields[0].Headers = []int{0, 0} }, `field "dishes on roof 1": is on header 0 twice`, "one pipe for each"},
		{func(d *Plant) { d.Fields[0].Headers, d.Fields[0].Stores = nil, nil }, `field "dishes on roof 1": feeds nothing; want a header or a store`, "it has no end"},
		{func(d *Plant) { d.Stores[1].From = 5 }, `store "store 2": is on charging header 5 of 2`, "places count from 0"},
		{func(d *Plant) { d.Loads = make([]PlantPart, 25) }, "loads: are 25; want at most 24", "a page is full"},
	} {
		d := samplePlant(2, 2, 2, 3, 5)
		tt.spoil(&d)
		if err := d.Check(); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: error is %v; want %q", tt.src, err, tt.want)
		}
	}
}
