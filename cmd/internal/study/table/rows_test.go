package table

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// oddTexts are what a text may hold at worst.
var oddTexts = []string{"", "dyehouse", "comma, \"quotes\"\r\nand lines\n", "=1+1", "Wäscherei ☀ 🏭", "\x00", "\t", "a.b[c].d", " "}

// oddFigures are figures whose bits must come back.
var oddFigures = []float64{0, math.Copysign(0, -1), math.Inf(1), math.Inf(-1), math.MaxFloat64, math.SmallestNonzeroFloat64, 1.0 / 3, -1e-300, math.NaN()}

func testHead() Head {
	return Head{Keys: []string{"fields[dishes].count", "fuels[furnace oil].price", "case", "key:case", "Volume_M3", `a "quoted" key`, "x\ny"},
		Meta: map[string]string{"study": "0123456789ab", "program": "v0", "physics": "1", "odd, \"one\"": "\x00☀"}}
}

// testRows makes n rows in a mix of what studies make and what they never should.
func testRows(h Head, n int, seed uint64) []Row {
	rng := rand.New(rand.NewPCG(seed, 1))
	text := func() string {
		if rng.IntN(3) == 0 {
			return oddTexts[rng.IntN(len(oddTexts))]
		}
		return fmt.Sprintf("text %d", rng.IntN(20))
	}
	number := func() float64 {
		if rng.IntN(3) == 0 {
			return oddFigures[rng.IntN(len(oddFigures))]
		}
		return rng.NormFloat64() * 1e5
	}
	rows := make([]Row, n)
	for i := range rows {
		r := Blank(int64(i))
		r.Scenario, r.Weather, r.Currency, r.Engine = text(), text(), text(), text()
		for range h.Keys {
			r.Inputs = append(r.Inputs, text())
		}
		if rng.IntN(5) == 0 {
			r.Error = text()
		}
		for _, c := range fixed() {
			switch c.kind {
			case figure:
				*c.figure(&r) = number()
			case flag:
				*c.figure(&r) = []float64{0, 1, math.NaN()}[rng.IntN(3)]
			}
		}
		for range rng.IntN(4) * rng.IntN(4) {
			r.Curve = append(r.Curve, Point{number(), number(), number(), number()})
		}
		rows[i] = r
	}
	return rows
}

// studyRows are rows as a study makes them: neighbours alike, a curve of 20 points.
func studyRows(n int) (Head, []Row) {
	h := Head{Keys: []string{"fields[dishes].count", "fuels[furnace oil].price"}, Meta: map[string]string{"study": "0123456789ab", "program": "v0", "physics": "1"}}
	rng := rand.New(rand.NewPCG(9, 1))
	rows := make([]Row, n)
	for i := range rows {
		r := Blank(int64(i))
		r.Scenario, r.Weather, r.Currency, r.Engine = fmt.Sprint("plant ", i/4000), fmt.Sprint("seed ", i/20%30), "EUR", "onestore"
		r.Inputs = []string{fmt.Sprint(4 + i%5*2), fmt.Sprint("0.0", 45+i%4, " EUR/kWh")}
		for _, c := range append(yearFigures(), curveFigures()[:2]...) {
			*c.figure(&r) = 1e5 + rng.Float64()*1e5
		}
		r.VolumeM3, r.UnmetKWh, r.BestAtEdge = 120, 0, 0
		for j := range 20 {
			r.Curve = append(r.Curve, Point{float64(10 * j), rng.Float64() * 1e4, rng.Float64() * 100, rng.Float64() * 1e4})
		}
		rows[i] = r
	}
	return h, rows
}

// same compares rows bit for bit, but that all NaN are one.
func same(a, b Row) bool {
	bits := func(x, y float64) bool {
		return math.Float64bits(x) == math.Float64bits(y) || math.IsNaN(x) && math.IsNaN(y)
	}
	if a.Case != b.Case || !slices.Equal(a.Inputs, b.Inputs) || len(a.Curve) != len(b.Curve) {
		return false
	}
	for _, c := range fixed() {
		switch c.kind {
		case text, remark:
			if *c.text(&a) != *c.text(&b) {
				return false
			}
		case figure, flag:
			if !bits(*c.figure(&a), *c.figure(&b)) {
				return false
			}
		case list:
			for i := range a.Curve {
				if !bits(*c.point(&a.Curve[i]), *c.point(&b.Curve[i])) {
					return false
				}
			}
		}
	}
	return true
}

func written(t testing.TB, h Head, rows []Row) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Write(&out, h, rows); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func readAll(data []byte) (Head, []Row, error) {
	f, err := Open(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return Head{}, nil, err
	}
	var rows []Row
	for r, err := range f.Rows() {
		if err != nil {
			return Head{}, nil, err
		}
		rows = append(rows, r)
	}
	return f.Head(), rows, nil
}
