package scenarios

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"noonkeep/optimize"
)

// Quantiles of the shapes against closed forms and printed tables.
func TestUnsureShapes(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		u            Unsure
		p, want, tol float64
		src          string
	}{
		{Unsure{Shape: Uniform, Low: 0.9, High: 1.1}, 0.5, 1, 1e-12, "the middle, by symmetry"},
		{Unsure{Shape: Uniform, Low: 0.9, High: 1.1}, 0.9, 1.08, 1e-12, "0.9 + 0.9·0.2"},
		{Unsure{Shape: Triangular, Low: 0, High: 10, Mode: 2}, 0.2, 2, 1e-12, "F(mode) = (mode-low)/(high-low)"},
		{Unsure{Shape: Triangular, Low: 0, High: 10, Mode: 2}, 0.05, 1, 1e-12, "sqrt(0.05·10·2), rising side"},
		{Unsure{Shape: Triangular, Low: 0, High: 10, Mode: 2}, 0.8, 6, 1e-12, "10 - sqrt(0.2·10·8), falling side"},
		{Unsure{Shape: Triangular, Low: 1, High: 3, Mode: 1}, 0.75, 2, 1e-12, "3 - sqrt(0.25·2·2), all falling"},
		{Unsure{Shape: Triangular, Low: 1, High: 3, Mode: 3}, 0.25, 2, 1e-12, "1 + sqrt(0.25·2·2), all rising"},
		{Unsure{Shape: Normal, Low: 0.9, High: 1.1}, 0.05, 0.9, 1e-12, "the band's own end"},
		{Unsure{Shape: Normal, Low: 0.9, High: 1.1}, 0.95, 1.1, 1e-12, "the band's own end"},
		{Unsure{Shape: Normal, Low: -1.645, High: 1.645}, 0.9, 1.2816, 1e-3, "standard normal table, z(0.90) = 1.2816, z(0.95) = 1.645"},
		{Unsure{Shape: Normal, Low: -1.645, High: 1.645}, 0.975, 1.96, 1e-3, "standard normal table, z(0.975) = 1.960"},
		{Unsure{Shape: Normal, Low: -1.645, High: 1.645}, 1, 3.0902, 1e-3, "standard normal table, z(0.999) = 3.0902, at which it is held"},
		{Unsure{What: UnsureWeather}, 0.3, 1, 0, "weather turns nothing"},
	} {
		if got := tt.u.At(tt.p); math.Abs(got-tt.want) > tt.tol {
			t.Errorf("%+v at %g: %.9g; want %g (%s)", tt.u, tt.p, got, tt.want, tt.src)
		}
	}
}

const unsureGround = `noonkeep: 1
name: two headers
site: {latitude: 37 deg, longitude: 31 deg, utc_offset: +2 h}
weather:
  monthly:
    ghi: [3, 4, 5, 6, 7, 8, 8, 7, 6, 5, 4, 3 kWh/m2d]
    air: [0, 2, 6, 12, 17, 21, 25, 25, 20, 14, 7, 2 degC]
headers:
  - {name: high, pressure: 9 bar(g), condensate: {return: 70 %, flash_to: low, deaerator: 0.2 bar(g)}}
  - {name: low, pressure: 3 bar(g), feedwater: 85 degC}
loads:
  - {name: presses, header: high, steam: 1000 kg/h, when: "Mon-Sat 06:00-22:00"}
  - {name: baths, header: low, heat: 400 kW, when: "Mon-Fri 05:00-20:00"}
  - {name: bleach, header: low, movable: {heat: 800 kWh, within: "daily 22:00-06:00", most: 200 kW, least: 20 kW}}
electricity: {price: 0.12 EUR/kWh}
fuels:
  - {name: heating oil, price: 0.07 EUR/kWh, price_basis: net, co2: 267 g/kWh}
  - {name: wood chips, price: 0.03 EUR/kWh, price_basis: net, co2: 0 g/kWh}
boilers:
  - {name: B1, header: high, fuel: heating oil, capacity: 2 MW, efficiency: 80 %}
  - {name: B2, header: high, fuel: wood chips, capacity: 1 MW, efficiency: [{load: 50 %, efficiency: 70 %}, {load: 100 %, efficiency: 75 %}]}
  - {name: E, header: low, fuel: electricity, capacity: 300 kW, efficiency: 96 %}
fields:
  - {name: dishes, header: high, collector: {kind: dish}, count: 8, aperture: 90 m2, cleanliness: 80 %, availability: 80 %, soiling: 0.4 %/d, wash: {every: 14 d}}
store: {vessel: flash, header: low, volume: 40 m3, working_pressure: 12 bar(g), steps: 0..80 m3, cost: {per_m3: 2000 EUR/m3}}
money: {life: 20 a, discount: 8 %, carbon_price: 50 EUR/t}
`

// To turn an input gives the very problem of a scenario that has the turned value written.
func TestUnsureIsAsWritten(t *testing.T) {
	t.Parallel()
	unraced(t)
	parsed := func(s string) Case {
		c, err := Parse("s.yaml", []byte(s), nil)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	base := parsed(unsureGround)
	for _, tt := range []struct {
		u     Unsure
		times float64
		pairs []string // what is written otherwise
	}{
		{Unsure{What: UnsureDemand}, 1.1, []string{"1000 kg/h", "1100 kg/h", "400 kW", "440 kW", "800 kWh", "880 kWh", "most: 200 kW", "most: 220 kW", "least: 20 kW", "least: 22 kW"}},
		{Unsure{What: UnsureDemand, Of: "presses"}, 0.5, []string{"1000 kg/h", "500 kg/h"}},
		{Unsure{What: UnsureDemand, Of: "bleach"}, 0.8, []string{"800 kWh", "640 kWh", "most: 200 kW", "most: 160 kW", "least: 20 kW", "least: 16 kW"}},
		{Unsure{What: UnsureEfficiency}, 0.9, []string{"80 %}\n  - {name: B2", "72 %}\n  - {name: B2", "efficiency: 70 %", "efficiency: 63 %", "efficiency: 75 %", "efficiency: 67.5 %", "96 %", "86.4 %"}},
		{Unsure{What: UnsureEfficiency, Of: "B2"}, 1.1, []string{"efficiency: 70 %", "efficiency: 77 %", "efficiency: 75 %", "efficiency: 82.5 %"}},
		{Unsure{What: UnsureFuelPrice}, 1.5, []string{"0.07", "0.105", "0.03", "0.045"}},
		{Unsure{What: UnsureFuelPrice, Of: "wood chips"}, 2, []string{"0.03", "0.06"}},
		{Unsure{What: UnsurePowerPrice}, 1.5, []string{"0.12", "0.18"}},
		{Unsure{What: UnsureCarbonPrice}, 2, []string{"50 EUR/t", "100 EUR/t"}},
		{Unsure{What: UnsureCleanliness}, 1.1, []string{"cleanliness: 80 %", "cleanliness: 88 %"}},
		{Unsure{What: UnsureSoiling, Of: "dishes"}, 1.5, []string{"0.4 %/d", "0.6 %/d"}},
		{Unsure{What: UnsureAvailability}, 1.1, []string{"availability: 80 %", "availability: 88 %"}},
	} {
		text := unsureGround
		for i := 0; i < len(tt.pairs); i += 2 {
			if strings.Count(text, tt.pairs[i]) != 1 {
				t.Fatalf("%q stands %d times", tt.pairs[i], strings.Count(text, tt.pairs[i]))
			}
			text = strings.Replace(text, tt.pairs[i], tt.pairs[i+1], 1)
		}
		turned, err := base.With([]Unsure{tt.u}, []float64{tt.times})
		if err != nil {
			t.Fatal(err)
		}
		alike(t, tt.u.String(), numbersOf(t, turned), numbersOf(t, parsed(text)))
	}
	again := numbersOf(t, base) // nothing of the case itself was turned
	alike(t, "untouched", again, numbersOf(t, parsed(unsureGround)))
}

func numbersOf(t *testing.T, c Case) optimize.Problem {
	t.Helper()
	p, err := c.Problem()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// alike compares two problems number by number, to rounding.
func alike(t *testing.T, what string, got, want optimize.Problem) {
	t.Helper()
	var walk func(way string, a, b reflect.Value) bool
	walk = func(way string, a, b reflect.Value) bool {
		switch a.Kind() {
		case reflect.Float64:
			if x, y := a.Float(), b.Float(); math.Abs(x-y) > 1e-9*max(1, math.Abs(y)) {
				t.Errorf("%s: %s is %.9g; want %.9g", what, way, x, y)
				return false
			}
		case reflect.Slice:
			if a.Len() != b.Len() {
				t.Errorf("%s: %s has %d values; want %d", what, way, a.Len(), b.Len())
				return false
			}
			for i := range a.Len() {
				if !walk(way, a.Index(i), b.Index(i)) {
					return false
				}
			}
		case reflect.Struct:
			for i := range a.NumField() {
				if f := a.Type().Field(i); f.IsExported() && f.Type.Kind() != reflect.Pointer && !walk(way+"."+f.Name, a.Field(i), b.Field(i)) {
					return false
				}
			}
		}
		return true
	}
	walk("", reflect.ValueOf(got), reflect.ValueOf(want))
}

// What fields deliver, and what a store costs, are no single values of a scenario.
func TestUnsureOutputAndStoreCost(t *testing.T) {
	t.Parallel()
	c, err := Parse("s.yaml", []byte(unsureGround), nil)
	if err != nil {
		t.Fatal(err)
	}
	list := []Unsure{{What: UnsureOutput}, {What: UnsureStoreCost}, {What: UnsureCleanliness}}
	x, err := c.With(list, []float64{0.9, 1.2, 1.1})
	if err != nil {
		t.Fatal(err)
	}
	clean, err := c.With(list[2:], []float64{1.1})
	if err != nil {
		t.Fatal(err)
	}
	for i, kW := range clean.Fields[0].ToStore.KWM2 {
		if math.Abs(x.Fields[0].ToStore.KWM2[i]-0.9*kW) > 1e-12 || math.Abs(x.Fields[0].ToHeader.KWM2[i]-0.9*clean.Fields[0].ToHeader.KWM2[i]) > 1e-12 {
			t.Fatalf("step %d gives %g; want 0.9 of %g", i, x.Fields[0].ToStore.KWM2[i], kW)
		}
	}
	was, _ := c.StoreYearly()(40)
	now, _ := x.StoreYearly()(40)
	if math.Abs(now-1.2*was) > 1e-9*was {
		t.Errorf("a store of 40 m3 costs %g a year; want 1.2 of %g", now, was)
	}
	if _, err := c.With(list, []float64{1, 1}); err == nil || err.Error() != "s.yaml: 3 unsure inputs have 2 shares; want one for each" {
		t.Error(err)
	}
	if _, err := c.With(list[:1], []float64{math.NaN()}); err == nil || err.Error() != "s.yaml: collector output: times NaN; want more than 0 and at most 20" {
		t.Error(err)
	}
	same, err := c.With(list, []float64{1, 1, 1})
	if err != nil || &same.Fields[0].ToHeader.KWM2[0] != &c.Fields[0].ToHeader.KWM2[0] || &same.Headers[0].DemandKW[0] != &c.Headers[0].DemandKW[0] {
		t.Errorf("what is not turned is worked out again (%v)", err)
	}
}

// The usual ranges stay within what there can be.
func TestUsualUnsure(t *testing.T) {
	t.Parallel()
	c, err := Parse("s.yaml", []byte(strings.Replace(unsureGround, "cleanliness: 80 %", "cleanliness: 98 %", 1)), nil)
	if err != nil {
		t.Fatal(err)
	}
	got := UnsureText(c.UsualUnsure())
	want := "demand 90..110 %, triangular about 100 %; boiler efficiency 97..103 %, triangular about 100 %; fuel price 80..120 %, triangular about 100 %; " +
		"cleanliness 95..102.041 %, triangular about 100 %; collector output 95..105 %, triangular about 100 %; store cost 80..120 %, triangular about 100 %; weather 30 generated years"
	if got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	for _, u := range c.UsualUnsure() {
		if _, err := c.With([]Unsure{u}, []float64{u.At(1)}); err != nil {
			t.Errorf("%v: %v", u, err)
		}
	}
}

// Each wrong key has its whole message.
func TestWrongDoubt(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ name, doubt, want string }{
		{"reversed", "{what: demand, times: 110..90 %}", `25: doubt[1].times: "110..90 %" does not rise; want the smaller end first`},
		{"no range", "{what: demand, times: 110 %}", `25: doubt[1].times: "110 %" is no range; write for example "0..85 %"`},
		{"negative", "{what: fuel price, times: -10..110 %}", `25: doubt[1].times: "-10 %" is out of range; want more than 0`},
		{"too large", "{what: fuel price, times: 90..2000 %}", `25: doubt[1].times: 90 %..2000 % is out of range; want at most 1000 %`},
		{"efficiency over 100 %", "{what: boiler efficiency, times: 95..140 %}", `25: doubt[1].times: 95 %..140 % takes the boiler efficiency of boiler "B1" past what there can be; want at most 130.58 %`},
		{"normal efficiency over 100 %", "{what: boiler efficiency, times: 80..120 %, shape: normal}",
			`25: doubt[1].times: 80 %..120 % takes the boiler efficiency of boiler "B1" past what there can be; a normal shape of 80 %..120 % goes from 62.43 to 137.6 %; want at most 130.58 %`},
		{"cleaner than clean", "{what: cleanliness, times: 95..110 %}", `25: doubt[1].times: 95 %..110 % takes the cleanliness of field "dishes" past what there can be; want at most 105.26 %`},
		{"more than all", "{what: availability, times: 95..110 %}", `25: doubt[1].times: 95 %..110 % takes the availability of field "dishes" past what there can be; want at most 103.09 %`},
		{"below nothing", "{what: demand, times: 30..170 %, shape: normal}",
			`25: doubt[1].times: 30 %..170 % reaches below nothing; a normal shape of 30 %..170 % goes from -31.51 to 231.5 %; want a narrower band, or a uniform or triangular shape`},
		{"no times", "{what: demand}", `25: doubt[1].times: is missing; write for example "times: 90..110 %"`},
		{"no what", "{times: 90..110 %}", `25: doubt[1].what: is missing; write for example "what: demand"`},
		{"unknown what", "{what: fuel prise, times: 90..110 %}", `25: doubt[1].what: "fuel prise" is not known; nearest is "fuel price"; all are demand, boiler efficiency, fuel price, electricity price, carbon price, cleanliness, soiling, availability, collector output, store cost or weather`},
		{"unknown fuel", "{what: fuel price, of: coal, times: 90..110 %}", `25: doubt[1].of: no fuel is called "coal"; want natural gas`},
		{"unknown load", "{what: demand, of: work, times: 90..110 %}", `25: doubt[1].of: no load is called "work"; nearest is "works"`},
		{"of of one alone", "{what: carbon price, of: x, times: 90..110 %}", `25: doubt[1].of: is not for carbon price, of which there is one alone; take it out`},
		{"nothing to be unsure of", "{what: soiling, times: 90..110 %}", `25: doubt[1].what: the scenario has nothing of which soiling could be unsure; no field has soiling and wash`},
		{"no price of a store", "{what: store cost, times: 90..110 %}", `25: doubt[1].what: the scenario has nothing of which store cost could be unsure; write store.cost and money.life`},
		{"unknown shape", "{what: demand, times: 90..110 %, shape: gauss}", `25: doubt[1].shape: "gauss" is not known; want uniform, triangular or normal`},
		{"mode of a uniform shape", "{what: demand, times: 90..110 %, shape: uniform, mode: 95 %}", `25: doubt[1].mode: is of a triangular shape, and this one is uniform; write shape: triangular, or take it out`},
		{"mode outside", "{what: demand, times: 90..110 %, shape: triangular, mode: 120 %}", `25: doubt[1].mode: 120 % lies outside the range 90 %..110 %`},
		{"no mode", "{what: demand, times: 110..130 %, shape: triangular}", `25: doubt[1].mode: is missing, and 100 %, which it would be, lies outside the range 110 %..130 %; write for example "mode: 120 %"`},
		{"years of demand", "{what: demand, times: 90..110 %, years: 10}", `25: doubt[1].years: is for weather alone; take it out`},
		{"one year", "{what: weather, years: 1}", `25: doubt[1].years: "1" is out of range; want 2 to 1000`},
		{"too many years", "{what: weather, years: 5000}", `25: doubt[1].years: "5000" is out of range; want 2 to 1000`},
		{"range of weather", "{what: weather, times: 90..110 %}", `25: doubt[1].times: is not for weather, whose years are each as likely as another; take it out`},
		{"twice", "{what: demand, times: 90..110 %}\n  - {what: demand, of: works, times: 90..110 %}", "26: doubt[2].what: \"demand\" stands in line 25 already, and both would turn the same; keep one, or give each its own `of`"},
		{"unknown key", "{what: demand, range: 90..110 %}", "25: doubt[1].times: is missing; write for example \"times: 90..110 %\"\n25: doubt[1].range: is not a key of a scenario here; want what, of, times, shape, mode or years"},
	} {
		_, err := Parse("plain.yaml", []byte(strings.Replace(plain, "count: 8, aperture: 90 m2}", "count: 8, aperture: 90 m2, cleanliness: 95 %, availability: 97 %}", 1)+"doubt:\n  - "+tt.doubt+"\n"), nil)
		var lines []string
		if many, ok := err.(interface{ Unwrap() []error }); ok {
			for _, one := range many.Unwrap() {
				var e *Error
				if !errors.As(one, &e) {
					t.Fatalf("%s: %#v", tt.name, one)
				}
				lines = append(lines, strings.TrimPrefix(e.Error(), "plain.yaml:"))
			}
		}
		if got := strings.Join(lines, "\n"); got != tt.want {
			t.Errorf("%s:\n%s\nwant\n%s", tt.name, got, tt.want)
		}
	}
}

// What is allowed but most likely a slip is doubted, and what is filled in is noted.
func TestDoubtfulDoubt(t *testing.T) {
	t.Parallel()
	c, err := Parse("plain.yaml", []byte(plain+"doubt:\n  - {what: demand, times: 80..95 %}\n  - {what: fuel price, times: 0.8..1.5, shape: triangular}\n  - {what: weather}\n"), nil)
	if err != nil {
		t.Fatal(err)
	}
	if w := c.Warnings[len(c.Warnings)-1]; w.Line != 25 || w.Text != "doubt[1].times: 80 %..95 % leaves out 100 %, what the scenario itself has" {
		t.Errorf("%+v", w)
	}
	want := map[string]string{"doubt[1].shape": "uniform", "doubt[2].mode": "100 %", "doubt[3].years": "30"}
	for _, a := range c.Assumptions {
		if want[a.Key] == a.Value {
			delete(want, a.Key)
		}
	}
	if len(want) > 0 {
		t.Errorf("not noted: %v", want)
	}
	if got := UnsureText(c.Unsure); got != "demand 80..95 %, uniform; fuel price 80..150 %, triangular about 100 %; weather 30 generated years" {
		t.Error(got)
	}
}

// Whatever the section says, it ends in inputs whose quantiles rise from 0 to 1 within what there can be, or in faults that
// each carry a line.
func FuzzDoubt(f *testing.F) {
	for _, s := range []string{"{what: demand, times: 90..110 %}", "{what: weather, years: 5}", "{what: boiler efficiency, of: B1, times: 0.9..1.05, shape: normal}",
		"{what: fuel price, times: 50..1000 %, shape: triangular, mode: 1.2}", "{what: cleanliness, times: 1e-9..1}", "{}", "[]", "{what: store cost, times: 1..2, mode: 9}"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if len(s) > 2000 {
			return
		}
		text := plain + "doubt:\n  - " + s + "\n"
		form, d := read("f.yaml", []byte(text))
		b := builder{decoder: d, f: form, open: files{}.open}
		if !d.fatal {
			b.understand()
		}
		if err := b.err(); err != nil {
			checkFaults(t, text, err)
			return
		}
		for _, u := range b.c.Unsure {
			before := 0.0
			for p := 0.0; p <= 1; p += 0.125 {
				x := u.At(p)
				if !(x >= before && x > 0 && x <= mostTimes*(1+1e-9)) {
					t.Fatalf("%+v at %g is %g after %g", u, p, x, before)
				}
				before = x
			}
		}
	})
}
