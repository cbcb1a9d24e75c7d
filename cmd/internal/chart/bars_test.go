package chart

import (
	"bytes"
	"math"
	"strings"
	"testing"
	"time"
)

// sampleBars are drawn by hand formulas: no figure here is a result.
func sampleBars() map[string]Figure {
	months := Bars{Title: "The sun carries 75 % of the heat in July", Subtitle: "made up", Name: "Heat to the header", Unit: "MWh a month"}
	var sun, store, boiler, lack []float64
	for i := range 12 {
		s := 100 + 90*math.Cos(float64(i-6)/12*fullTurn)
		months.Labels = append(months.Labels, time.Month(i + 1).String()[:3])
		months.Notes = append(months.Notes, "50 %")
		sun, store, boiler, lack = append(sun, s), append(store, s/5), append(boiler, 220-s), append(lack, float64(i%3)*8)
	}
	months.Layers = []Layer{{"sun to the header", SunLayer, sun}, {"from the store", StoreLayer, store}, {"boilers", BoilerLayer, boiler}, {"not met", LackLayer, lack}}
	cash := Bars{Title: "The store has paid back after seven years", Name: "Owner's flow", Unit: "EUR a year", Foot: "Year", LineName: "worth so far",
		Locale: Locale{Decimal: ",", Group: "."}}
	var net []float64
	total := 0.0
	for i := range 26 {
		v := 21000.0
		if i == 0 {
			v = -120000
		}
		total += v * math.Pow(1.08, -float64(i))
		cash.Labels, net, cash.Line = append(cash.Labels, Thousands(float64(i), 0)), append(net, v), append(cash.Line, total)
	}
	cash.Layers = []Layer{{"flow of the year", PlainLayer, net}}
	return map[string]Figure{"bars-months": months, "bars-cash": cash}
}

func TestBarsCheck(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name string
		bars Bars
		want string
	}{
		{"none", Bars{}, "bars: bars: are 0; want 1 to 120\nunit: is empty; want one\nlayers: there are none; want one or more"},
		{"short", Bars{Unit: "x", Labels: []string{"a", "b"}, Layers: []Layer{{"sun", SunLayer, []float64{1}}}}, "bars: layer sun: has 1 values; want 2"},
		{"no number", Bars{Unit: "x", Labels: []string{"a"}, Layers: []Layer{{"sun", SunLayer, []float64{math.NaN()}}}}, "bars: layer sun: value 0 is NaN; want a number within ±1e15"},
		{"kind", Bars{Unit: "x", Labels: []string{"a"}, Layers: []Layer{{"sun", 9, []float64{1}}}}, "bars: layer sun: its kind is 9; want 0 to 5"},
		{"line", Bars{Unit: "x", Labels: []string{"a"}, Layers: []Layer{{"sun", 0, []float64{1}}}, Line: []float64{1, 2}, Notes: []string{}}, "bars: line: has 2 values; want 1\nnotes: are 0; want 1"},
	} {
		if err := c.bars.Check(); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v; want %s", c.name, err, c.want)
		}
	}
	for name, f := range sampleBars() {
		if err := f.Check(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Rounding to digits, by hand.
func TestDigits(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		v        float64
		want     float64
		decimals int
	}{
		{20320.6, 20300, 0}, {999.6, 1000, 0}, {0.0523456, 0.0523, 4}, {9.996, 10, 1}, {-12.34, -12.3, 1}, {0, 0, 0}, {123.5, 124, 0}, {1e-9, 1e-9, 11}, {99.95, 100, 0},
	} {
		if got, decimals := Digits(c.v, 3); math.Abs(got-c.want) > 1e-12*math.Abs(c.want) || decimals != c.decimals {
			t.Errorf("%g is %g with %d decimals; want %g with %d", c.v, got, decimals, c.want, c.decimals)
		}
	}
}

// A locale puts its marks, words, months and the currency's place into a picture.
func TestPictureInALocale(t *testing.T) {
	t.Parallel()
	l := Locale{Decimal: ",", Group: ".", CurrencyFirst: true, Digits: 3, Words: map[string]string{}, Months: strings.Fields("a b c d e f g h i j k l"), Days: strings.Fields("1 2 3 4 5 6 7")}
	for _, phrase := range Phrases() {
		l.Words[phrase] = "~" + phrase
	}
	curve := sampleCurve()
	curve.Locale = l
	week := sampleSummer()
	week.Locale = l
	for name, f := range map[string]Figure{"curve": curve, "week": week} {
		var svg bytes.Buffer
		if err := WriteSVG(&svg, f); err != nil {
			t.Fatal(err)
		}
		for _, phrase := range Phrases() {
			plain, _, _ := strings.Cut(phrase, "%s")
			if i := strings.Index(svg.String(), ">"+plain); len(plain) > 6 && i >= 0 {
				t.Errorf("%s says %q in English", name, phrase)
			}
		}
		if strings.Contains(svg.String(), narrowSpace) {
			t.Errorf("%s groups digits its own way", name)
		}
	}
	if got, want := l.Date(time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC), "Mon 2 Jan"), "1 1 c"; got != want {
		t.Errorf("%q; want %q", got, want)
	}
	if got, want := l.Sum(l.figure(20320.6, 0), "EUR"), "EUR 20.300"; got != want {
		t.Errorf("%q; want %q", got, want)
	}
}
