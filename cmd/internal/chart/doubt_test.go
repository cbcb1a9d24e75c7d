package chart

import (
	"math"
	"strings"
	"testing"
)

// sampleDoubt is drawn by hand formulas: no figure here is a result.
func sampleDoubt() Doubt {
	d := Doubt{Title: "Over 200 cases of what is not known for sure, sun and a tank of 40 m³ save 171\u202f000 EUR a year in half of them", Subtitle: "made up",
		Currency: "EUR", SavingsName: "Savings against the same plant without a store",
		LowName: "9 of 10 cases (P90)", MidName: "half of cases (P50)", HighName: "1 of 10 cases (P10)",
		LowNote: "33\u202f000 EUR at 120 m³", MidNote: "40\u202f000 EUR at 120 m³", HighNote: "47\u202f000 EUR at 120 m³",
		NearName: "Cases in which the tank earns within 1 % of the best", RegretName: "What it earns less than the best tank of the same case",
		OftenM3: 60, LeastM3: 70}
	for x := range 25 {
		v := 5 * float64(x)
		s := 45000 * (1 - math.Exp(-v/60))
		d.VolumesM3, d.Low, d.Mid, d.High = append(d.VolumesM3, v), append(d.Low, 0.83*s), append(d.Mid, s), append(d.High, 1.15*s)
		d.NearPercent = append(d.NearPercent, 40*math.Exp(-(v-60)*(v-60)/600))
		d.MeanRegret, d.MostRegret = append(d.MeanRegret, 2.2*(v-62)*(v-62)), append(d.MostRegret, 3000+4*(v-70)*(v-70))
	}
	return d
}

func sampleCauses() Causes {
	return Causes{Title: "What is saved hangs most on fuel price: 70\u202f500 EUR a year from end to end", Subtitle: "made up",
		Name: "Saved over boilers alone", Currency: "EUR", Middle: 172700, MiddleName: "all in their middle, 172\u202f700 EUR", SideName: "rank correlation with all moving",
		Rows: []Cause{
			{"fuel price of natural gas", "80..120 %, triangular", 137400, 208000, "80 %", "120 %", "0.95"},
			{strings.Repeat("demand of a load with a long name ", 4), "90..110 %, mode 104, triangular", 163800, 179900, "90 %", "110 %", "0.20"},
			{"boiler efficiency", "97..103 %, normal", 178200, 167600, "97 %", "103 %", "−0.12"},
			{"weather", "30 generated years", 166900, 175300, "seed 15", "seed 6", "0.03"},
			{"store cost", "80..120 %, uniform", 172700, 172700, "80 %", "120 %", "-"},
		}}
}

// sampleDoubts are the pictures that all figures' tests draw.
func sampleDoubts() map[string]Figure {
	flat := sampleDoubt()
	for i := range flat.Mid {
		flat.Low[i], flat.Mid[i], flat.High[i], flat.MeanRegret[i], flat.MostRegret[i], flat.NearPercent[i] = -flat.High[i], -flat.Mid[i], -flat.Low[i], 0, 0, 100
	}
	flat.OftenM3, flat.LeastM3 = 0, 0
	one := sampleCauses()
	one.Rows = one.Rows[4:]
	return map[string]Figure{"doubt": sampleDoubt(), "doubt-none": flat, "causes": sampleCauses(), "causes-one": one}
}

func TestDoubtCheck(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name  string
		spoil func(d *Doubt)
		want  string
	}{
		{"currency", func(d *Doubt) { d.Currency = "" }, "doubt: currency: is empty; want a name such as EUR"},
		{"volumes", func(d *Doubt) { d.VolumesM3[3] = 10 }, "doubt: volumes: 10 m³ follows 10 m³; want them rising"},
		{"one volume", func(d *Doubt) {
			*d = Doubt{Currency: "EUR", VolumesM3: []float64{0}, NearPercent: []float64{0}, MeanRegret: []float64{0}, MostRegret: []float64{0}}
		}, "doubt: volumes: are 1; want 2 or more"},
		{"band", func(d *Doubt) { d.High[4] = d.Low[4] - 1 }, "doubt: middle: at 20 m³ 12756.1 lies outside 10587.6 to 10586.6"},
		{"shares", func(d *Doubt) { d.NearPercent = d.NearPercent[1:] }, "doubt: share: has 24 values; want 25"},
		{"regret", func(d *Doubt) { d.MostRegret[2] = -5 }, "doubt: largest regret: value 2 is -5; want 0 or more"},
		{"mark", func(d *Doubt) { d.LeastM3 = 121 }, "doubt: mark: is at 121 m³; want 0 to 120"},
	} {
		d := sampleDoubt()
		tt.spoil(&d)
		if err := d.Check(); err == nil || err.Error() != tt.want {
			t.Errorf("%s: %v\nwant %s", tt.name, err, tt.want)
		}
	}
	for _, tt := range []struct {
		name  string
		spoil func(c *Causes)
		want  string
	}{
		{"no rows", func(c *Causes) { c.Rows = nil }, "causes: rows: are 0; want 1 to 60"},
		{"currency", func(c *Causes) { c.Currency = "" }, "causes: currency: is empty; want a name such as EUR"},
		{"no number", func(c *Causes) { c.Rows[3].AtLow = math.NaN() }, "causes: row weather: value 0 is NaN; want a number within ±1e15"},
		{"middle", func(c *Causes) { c.Middle = math.Inf(1) }, "causes: middle: value 0 is +Inf; want a number within ±1e15"},
	} {
		c := sampleCauses()
		tt.spoil(&c)
		if err := c.Check(); err == nil || err.Error() != tt.want {
			t.Errorf("%s: %v\nwant %s", tt.name, err, tt.want)
		}
	}
}
