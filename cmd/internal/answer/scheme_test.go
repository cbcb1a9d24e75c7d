package answer_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"noonkeep/cmd/internal/answer"
)

func TestScheme(t *testing.T) {
	t.Parallel()
	s, err := answer.SchemeOf(parsed(t, twoHeaders))
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Headers) != 2 || s.Headers[0].Name != "high" || s.Headers[0].FromAbove || !s.Headers[1].FromAbove {
		t.Errorf("headers %+v; want high over low, low fed from above", s.Headers)
	}
	if h := s.Headers[0]; math.Abs(h.BarG-8) > 1e-9 || h.PeakKW != 60 || math.Abs(h.TempC-175.4) > 0.1 {
		t.Errorf("high header %+v; want 8 bar(g), 60 kW, 175.4 degC (steam tables)", h)
	}
	if f := s.Fields; !slices.Equal(f[0].Stores, []int{0}) || len(f[1].Stores) != 0 || !slices.Equal(f[1].Headers, []int{1}) {
		t.Errorf("fields %+v; want dishes on the store too, tubes on the low header alone", f)
	}
	if st := s.Stores; len(st) != 1 || st[0].VolumeM3 != 20 || st[0].Header != 1 || math.Abs(st[0].WorkingBarG-16) > 1e-9 {
		t.Errorf("stores %+v; want one of 20 m³ at 16 bar(g) on the low header", st)
	}
}

// TestSchemeFolds: of 30 loads on two headers, the ten largest stand alone and the rest of each header as one; nothing
// is lost, and the most of the rest is that of their sum.
func TestSchemeFolds(t *testing.T) {
	t.Parallel()
	var loads strings.Builder
	for i := range 28 {
		fmt.Fprintf(&loads, "  - {name: L%d, header: %s, heat: %d kW, when: \"Mon-Fri %02d:00-%02d:00\"}\n", i, []string{"high", "low"}[i%2], 1+i, i%12, i%12+2)
	}
	c := parsed(t, strings.Replace(twoHeaders, "fuels:", loads.String()+"fuels:", 1))
	s, err := answer.SchemeOf(c)
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Loads) != 12 {
		t.Fatalf("%d loads are drawn; want 12", len(s.Loads))
	}
	var drawn, all, least, hidden float64
	least = math.Inf(1)
	count := 0
	for _, l := range s.Loads {
		drawn += l.KWh
		count += l.Count
		if l.Count == 1 {
			least = min(least, l.KWh)
			continue
		}
		if want := fmt.Sprintf("%d more loads", l.Count); l.Name != want {
			t.Errorf("folded loads are called %q; want %q", l.Name, want)
		}
	}
	alone := func(name string) bool {
		return slices.ContainsFunc(s.Loads, func(l answer.SchemeLoad) bool { return l.Name == name })
	}
	sumKW := map[int][]float64{0: make([]float64, c.Axis.N), 1: make([]float64, c.Axis.N)}
	for _, l := range c.Loads {
		kWh := 0.0
		for i, kW := range l.KW {
			kWh += kW
			if !alone(l.Name) {
				sumKW[l.Header][i] += kW
			}
		}
		all += kWh
		if !alone(l.Name) {
			hidden = max(hidden, kWh)
		}
	}
	if count != 30 || math.Abs(drawn-all) > 1e-6*all || hidden > least {
		t.Errorf("%d loads of %g kWh are drawn, the least alone %g, the largest folded %g; want 30 of %g, and no smaller one alone", count, drawn, least, hidden, all)
	}
	for _, l := range s.Loads {
		if most := slices.Max(sumKW[l.Header]); l.Count > 1 && l.PeakKW != most {
			t.Errorf("%s: at most %g kW; want %g, that of their sum", l.Name, l.PeakKW, most)
		}
	}
}

func TestSchemeFoldsBoilersAndFields(t *testing.T) {
	t.Parallel()
	var boilers, fields strings.Builder
	for i := range 14 {
		fmt.Fprintf(&boilers, "  - {name: B%d, header: low, capacity: %d kW, efficiency: 0.%d}\n", i+2, 100+i, 80+i%2*5)
		fmt.Fprintf(&fields, "  - {name: F%d, header: low, collector: {kind: evacuated tube}, count: %d, aperture: 2 m2, cleanliness: 95 %%, availability: 97 %%}\n", i, 10+i)
	}
	text := strings.Replace(twoHeaders, `boilers: [{name: B1, header: high, capacity: 500 kW, efficiency: 0.85}]`,
		"boilers:\n  - {name: B1, header: high, capacity: 500 kW, efficiency: 0.85}\n"+boilers.String(), 1)
	s, err := answer.SchemeOf(parsed(t, strings.Replace(text, "\nstore:", "\n"+fields.String()+"store:", 1)))
	if err != nil {
		t.Fatal(err)
	}
	capacity, burnt, area, parts := 0.0, 0.0, 0.0, 0
	for _, b := range s.Boilers {
		capacity += b.CapacityKW
		burnt += b.CapacityKW / b.NetEff
	}
	for _, f := range s.Fields {
		area += f.AreaM2
		parts += f.Count
	}
	// B1, then 100 to 113 kW at 80 % (even) and 85 % (odd): 742 kW and 749 kW.
	if len(s.Boilers) > 12 || math.Abs(capacity-(500+742+749)) > 1e-9 || math.Abs(burnt-(500/0.85+742/0.80+749/0.85)) > 1e-6 {
		t.Errorf("%d boilers of %g kW burning %g; want at most 12 of 1991 burning %g", len(s.Boilers), capacity, burnt, 500/0.85+742/0.80+749/0.85)
	}
	if want := 200.0 + 2*(14*10+91); len(s.Fields) > 12 || parts != 16 || math.Abs(area-want) > 1e-9 {
		t.Errorf("%d fields for %d of %g m²; want at most 12 for 16 of %g", len(s.Fields), parts, area, want)
	}
}
