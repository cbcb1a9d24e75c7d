package scenarios

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"
)

// varied reads the plain scenario with a variant of one change, and makes it.
func varied(t testing.TB, change string, pairs ...string) (Case, error) {
	t.Helper()
	text := with(t, pairs...) + "variants:\n- name: other\n  change:\n" + indented(change)
	c, err := Parse("plain.yaml", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	return c.Vary("other")
}

func indented(s string) string {
	return "    " + strings.ReplaceAll(strings.TrimSpace(s), "\n", "\n    ") + "\n"
}

// sameCase wants all members equal but those that know the text a case was read from.
func sameCase(t *testing.T, got, want Case) {
	t.Helper()
	a, b := reflect.ValueOf(got), reflect.ValueOf(want)
	for i := range a.NumField() {
		name := a.Type().Field(i).Name
		if name == "made" || name == "Edits" || name == "Variant" || name == "Variants" {
			continue
		}
		if x, y := a.Field(i).Interface(), b.Field(i).Interface(); !reflect.DeepEqual(x, y) {
			t.Errorf("%s differs:\n got %.400s\nwant %.400s", name, fmt.Sprint(x), fmt.Sprint(y))
		}
	}
}

// A variant is the same as the plant written out with the change in it.
func TestVaryIsThePlantWrittenAnew(t *testing.T) {
	t.Parallel()
	const works = `{name: works, header: main, steam: 900 kg/h, when: "Mon-Sat 06:00-22:00"}`
	const store = "store:\n  vessel: flash\n  volume: 40 m3\n  working_pressure: 18 bar(g)\n  steps: 0..120 m3\n"
	for name, v := range map[string]struct {
		change string
		pairs  []string // of the plain scenario
		edits  []Edit
	}{
		"hours of a load": {`loads: [{name: works, when: "Sun 10:00-14:00"}]`,
			[]string{"Mon-Sat 06:00-22:00", "Sun 10:00-14:00"},
			[]Edit{{"loads[works].when", "Mon-Sat 06:00-22:00", "Sun 10:00-14:00"}}},
		"a nested value and a new key": {"store: {working_pressure: 16 bar(g), insulation: {thickness: 200 mm}}",
			[]string{"working_pressure: 18 bar(g)", "working_pressure: 16 bar(g)\n  insulation: {thickness: 200 mm}"},
			[]Edit{{"store.working_pressure", "18 bar(g)", "16 bar(g)"}, {"store.insulation", "", "{thickness: 200 mm}"}}},
		"a new load": {"loads: [{name: baths, heat: 90 kW}]",
			[]string{works, works + "\n  - {name: baths, heat: 90 kW}"},
			[]Edit{{"loads[baths]", "", "{name: baths, heat: 90 kW}"}}},
		"no field": {"fields: [{name: dishes, remove: yes}]",
			[]string{"  - {name: dishes, collector: {kind: dish}, count: 8, aperture: 90 m2}", "  []"},
			[]Edit{{"fields[dishes]", "{name: dishes, collector: {kind: dish}, count: 8, aperture: 90 m2}", ""}}},
		"no store": {"store: {remove: yes}", []string{store, ""},
			[]Edit{{"store", "{vessel: flash, volume: 40 m3, working_pressure: 18 bar(g), steps: 0..120 m3}", ""}}},
		"another way to give a load": {"loads: [{name: works, remove: [steam, when], heat: 500 kW}]",
			[]string{works, "{name: works, header: main, heat: 500 kW}"},
			[]Edit{{"loads[works].steam", "900 kg/h", ""}, {"loads[works].when", "Mon-Sat 06:00-22:00", ""}, {"loads[works].heat", "", "500 kW"}}},
		"other weather":       {"weather: {seed: 9}", []string{"25, 20, 14, 7, 2 degC]\n", "25, 20, 14, 7, 2 degC]\n  seed: 9\n"}, []Edit{{"weather.seed", "", "9"}}},
		"another year":        {"time: {year: 2027}", []string{"year: 2026", "year: 2027"}, []Edit{{"time.year", "2026", "2027"}}},
		"a higher place":      {"site: {elevation: 900 m}", []string{"elevation: 0 m", "elevation: 900 m"}, []Edit{{"site.elevation", "0 m", "900 m"}}},
		"a holiday":           {"time: {holidays: [1 May]}", []string{"step: 60 min", "step: 60 min, holidays: [1 May]"}, []Edit{{"time.holidays", "", "[1 May]"}}},
		"more collectors":     {"fields: [{name: dishes, count: 12}]", []string{"count: 8", "count: 12"}, []Edit{{"fields[dishes].count", "8", "12"}}},
		"other mirrors":       {"fields: [{name: dishes, cleanliness: 80 %}]", []string{"count: 8", "count: 8, cleanliness: 80 %"}, []Edit{{"fields[dishes].cleanliness", "", "80 %"}}},
		"another header":      {"headers: [{name: main, pressure: 8 bar(g)}]", []string{"pressure: 6 bar(g)", "pressure: 8 bar(g)"}, []Edit{{"headers[main].pressure", "6 bar(g)", "8 bar(g)"}}},
		"a price that is not": {"fuels: [{name: natural gas, price: 0.06 EUR/kWh, price_basis: net}]", []string{"0.05 EUR/kWh", "0.06 EUR/kWh"}, []Edit{{"fuels[natural gas].price", "0.05 EUR/kWh", "0.06 EUR/kWh"}}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			got, err := varied(t, v.change)
			if err != nil {
				t.Fatal(err)
			}
			want, err := Parse("plain.yaml", []byte(with(t, v.pairs...)), nil)
			if err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(got.Edits, v.edits) {
				t.Errorf("edits\n %q\nwant %q", got.Edits, v.edits)
			}
			if got.Variant != "other" {
				t.Errorf("it is called %q", got.Variant)
			}
			for _, c := range []*Case{&got, &want} { // the lines differ, and they alone
				for i := range c.Warnings {
					c.Warnings[i].Line = 0
				}
			}
			sameCase(t, got, want)
		})
	}
}

// What is shared must be what would be worked out: every case of testdata, varied in what no other part hangs on,
// equals the same text read whole.
func TestVarySharesExactly(t *testing.T) {
	t.Parallel()
	paths, err := filepath.Glob("testdata/cases/*.txt")
	if err != nil {
		t.Fatal(err)
	}
	texts := map[string]string{"plain": plain}
	for _, s := range Starters() {
		data, err := Source(s.Name)
		if err != nil {
			t.Fatal(err)
		}
		texts[s.Name] = string(data)
	}
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		texts[path], _, _ = strings.Cut(string(data), "\n----\n")
	}
	for name, text := range texts {
		t.Run(filepath.Base(name), func(t *testing.T) {
			t.Parallel()
			open := Beside("testdata/cases")
			c, err := Parse("x.yaml", []byte(text), open)
			if err != nil {
				return // a case of wrong input
			}
			change, edit := "electricity: {price: 0.3 "+c.Currency+"/kWh}", "electricity.price"
			varied, err := c.made.vary("dear power", nodeOf(t, change), "", nil)
			if err != nil {
				t.Fatal(err)
			}
			if len(varied.Edits) != 1 || !strings.HasPrefix(edit, varied.Edits[0].Key) {
				t.Errorf("edits %q", varied.Edits)
			}
			varied.PowerPerKWh, varied.Power = c.PowerPerKWh, c.Power
			for i, x := range varied.Boilers {
				if x.Fuel.Power {
					varied.Boilers[i].Fuel = c.Power
				}
			}
			varied.Assumptions, c.Assumptions = without(varied.Assumptions), without(c.Assumptions)
			sameCase(t, varied, c)
			if len(c.Weather.GHI) > 0 && &varied.Weather.GHI[0] != &c.Weather.GHI[0] {
				t.Error("the weather was made twice")
			}
			for i := range c.Loads {
				if len(c.Loads[i].KW) > 0 && &varied.Loads[i].KW[0] != &c.Loads[i].KW[0] {
					t.Errorf("load %q was worked out twice", c.Loads[i].Name)
				}
			}
			for i, f := range c.Fields {
				if &varied.Fields[i].ToHeader.KWM2[0] != &f.ToHeader.KWM2[0] || f.ToStore.KWM2 != nil && &varied.Fields[i].ToStore.KWM2[0] != &f.ToStore.KWM2[0] {
					t.Errorf("field %q was worked out twice", f.Name)
				}
			}
		})
	}
}

// without leaves out the one assumption that the change takes away, and the order within a section.
func without(list []Assumption) []Assumption {
	var kept []Assumption
	for _, a := range list {
		if a.Key != "electricity.price" {
			kept = append(kept, a)
		}
	}
	return kept
}

// Many goroutines may vary one case.
func TestVaryAtOnce(t *testing.T) {
	t.Parallel()
	c, err := Parse("plain.yaml", []byte(plain+"variants:\n- {name: a, change: {store: {volume: 60 m3}}}\n- {name: b, change: {fields: [{name: dishes, count: 9}]}}\n"), nil)
	if err != nil {
		t.Fatal(err)
	}
	var group sync.WaitGroup
	for i := range 8 {
		group.Go(func() {
			v, err := c.Vary(c.Variants[i%2].Name)
			if err != nil || i%2 == 0 && v.Store.VolumeM3 != 60 || i%2 == 1 && v.Fields[0].Count != 9 {
				t.Errorf("%d: %v %v", i, v.Variant, err)
			}
		})
	}
	group.Wait()
	if c.Store.VolumeM3 != 40 || c.Fields[0].Count != 8 {
		t.Error("the plant itself changed")
	}
}
