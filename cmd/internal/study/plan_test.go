package study

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"noonkeep/scenarios"
)

// beside is where a test's study finds what it names.
func beside(dir string) Source { return Source{Dir: dir, Open: scenarios.Beside} }

// planOf makes a plan of a study's text in a folder.
func planOf(t testing.TB, dir, text string) (Plan, Inputs) {
	t.Helper()
	f, err := Read("s.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	p, in, err := Make(f, beside(dir))
	if err != nil {
		t.Fatal(err)
	}
	return p, in
}

const grid = `noonkeep_study: 1
name: grid
scenarios: [dyehouse, winery]
weather: {seeds: [3, 1, 4]}
vary:
  - {key: site.elevation, from: 100 m, to: 300 m, count: 3}
  - {key: store.volume, values: [20 m3, 40 m3]}
keep: []
`

func TestGridHoldsEachCombinationOnce(t *testing.T) {
	t.Parallel()
	p, _ := planOf(t, t.TempDir(), grid)
	if want := int64(2 * 3 * 3 * 2); p.N != want {
		t.Fatalf("the study has %d cases; want %d by hand", p.N, want)
	}
	seen := map[string]bool{}
	last := -1
	for n := range p.N {
		c := p.Case(n)
		id := fmt.Sprint(c.Scenario, c.Weather, c.Values)
		if seen[id] || c.Number != n || c.Scenario < last {
			t.Fatalf("case %d is %s: twice, or out of order", n, id)
		}
		seen[id], last = true, c.Scenario
	}
	if got := p.Case(p.N - 1); !slices.Equal(got.Values, []string{"300 m", "40 m3"}) || got.Weather != 2 {
		t.Errorf("the last case is %+v; want the last year and the last values", got)
	}
}

func TestManifestReadsEqual(t *testing.T) {
	t.Parallel()
	for _, text := range []string{grid, string(Example()), strings.Replace(grid, "keep: []", "sample: {cases: 10, seed: 5}", 1)} {
		p, in := planOf(t, t.TempDir(), text)
		got, err := FromManifest(p.Manifest())
		if err != nil || !reflect.DeepEqual(got, p) {
			t.Errorf("read again a plan is %+v, %v; want %+v", got, err, p)
		}
		for _, s := range p.Scenarios {
			if _, has := in[s.Text]; !has {
				t.Errorf("the inputs lack the text of %s", s.Name)
			}
		}
	}
}

// Each part of each side is drawn once: the definition of McKay, Beckman and Conover, Technometrics 21 (1979), section 2.3.
func TestSampleIsALatinHypercube(t *testing.T) {
	t.Parallel()
	const n = 40
	points := hypercube(n, 3, 11)
	for side := range 3 {
		parts := map[int]bool{}
		for _, p := range points {
			parts[int(math.Floor(p[side]*n))] = true
		}
		if len(parts) != n {
			t.Errorf("side %d has points in %d of its %d parts", side, len(parts), n)
		}
	}
	if again := hypercube(n, 3, 11); !reflect.DeepEqual(again, points) {
		t.Error("the same seed gives other points")
	}
	if other := hypercube(n, 3, 12); reflect.DeepEqual(other, points) {
		t.Error("another seed gives the same points")
	}
}

func TestSampledValues(t *testing.T) {
	t.Parallel()
	p, _ := planOf(t, t.TempDir(), `noonkeep_study: 1
name: sampled
scenarios: [dyehouse]
weather: {seeds: 1..5}
vary:
  - {key: store.volume, from: 20 m3, to: 60 m3, count: 2}
  - {key: "fields[dishes].count", from: 4, to: 6, count: 3}
  - {key: "fuels[natural gas].price", values: [0.04 EUR/kWh, 0.06 EUR/kWh]}
sample: {cases: 30, seed: 2}
`)
	counts, prices, years := map[string]int{}, map[string]int{}, map[int]int{}
	for n := range p.N {
		c := p.Case(n)
		var m3 float64
		if _, err := fmt.Sscanf(c.Values[0], "%f m3", &m3); err != nil || m3 < 20 || m3 > 60 {
			t.Errorf("case %d has the volume %q; want 20 to 60 m3", n, c.Values[0])
		}
		counts[c.Values[1]]++
		prices[c.Values[2]]++
		years[c.Weather]++
	}
	if fmt.Sprint(counts, prices, years) != "map[4:10 5:10 6:10] map[0.04 EUR/kWh:15 0.06 EUR/kWh:15] map[0:6 1:6 2:6 3:6 4:6]" {
		t.Errorf("30 cases take the values %v, %v and the years %v; want each equally often", counts, prices, years)
	}
}

func TestWrongStudies(t *testing.T) {
	unraced(t)
	t.Parallel()
	dir := t.TempDir()
	for name, text := range map[string]string{"a.yaml": string(must(scenarios.Source("winery"))), "broken.yaml": "noonkeep: 1\nname: x\n"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	top := "noonkeep_study: 1\nname: x\nscenarios: [dyehouse]\n"
	for _, x := range []struct{ text, want string }{
		{"", "s.yaml: is empty; noonkeep study example prints a study to begin from"},
		{"noonkeep: 1\nname: x\n", "s.yaml: is a scenario; want a study file (noonkeep study example prints one)"},
		{"[1]\n", "s.yaml:1: a study is a list here; want keys and values, from noonkeep_study: 1 on"},
		{"a: [\n", "s.yaml:1: is not YAML: did not find expected node content"},
		{top + "---\nx: 1\n", "s.yaml:4: a second document begins; want one study in a file"},
		{top + "wether: {}\n", "s.yaml:4: wether: is not a key of a study here; want noonkeep_study, name, scenarios, weather, vary, sample or keep"},
		{top + "name: y\n", "s.yaml:4: name: stands here a second time; want one"},
		{"noonkeep_study: 2\nname: x\nscenarios: [dyehouse]\n", `s.yaml:1: noonkeep_study: is "2"; want a whole number from 1 to 1`},
		{"noonkeep_study: 1\nscenarios: [dyehouse]\n", "s.yaml:1: name: is missing; noonkeep study example shows it"},
		{"noonkeep_study: 1\nname: x\nscenarios: []\n", "s.yaml:3: scenarios: is an empty list; want at least one, or leave the key out"},
		{"noonkeep_study: 1\nname: x\nscenarios: dyehouse\n", `s.yaml:3: scenarios: is "dyehouse"; want a list, as [a, b]`},
		{top + "keep: [curves]\n", `s.yaml:4: keep[1]: is "curves"; want curve, size, worth or replay`},
		{top + "weather: {seeds: 1..3, years: all}\n", "s.yaml:4: weather: has 2 keys; want one of seeds, years and files"},
		{top + "weather: {seeds: 9..3}\n", `s.yaml:4: weather.seeds: is "9..3"; want seeds such as 1..30, or a list of them`},
		{top + "weather: {seeds: 1..10000}\n", "s.yaml:4: weather.seeds: are 10000; want at most 1000"},
		{top + "weather: {seeds: [1, 1]}\n", "s.yaml:4: weather.seeds[2]: is 1 a second time; want each seed once"},
		{top + "weather: {years: sunny}\n", `s.yaml:4: weather.years: is "sunny"; want all, a year such as 2011, or years such as 2005..2014`},
		{top + "sample: {cases: 5, seed: 1}\n", "s.yaml:4: sample: draws from nothing: the study varies neither weather nor values; want vary or weather, or leave sample out"},
		{top + "vary: [{key: store.volume}]\n", "s.yaml:4: vary[1]: wants either values: [...], or from, to and count"},
		{top + "vary: [{key: store.volume, values: [20 m3], to: 5}]\n", "s.yaml:4: vary[1]: wants either values: [...], or from, to and count"},
		{top + "vary: [{key: store.volume, from: 20 m3, to: 40 m3}]\n", "s.yaml:4: vary[1]: wants from, to and count together"},
		{top + "vary: [{key: store.volume, from: 40 m3, to: 20 m3, count: 3}]\n", "s.yaml:4: vary[1]: from is 40 m3 and to is 20 m3; want the smaller first"},
		{top + "vary: [{key: store.volume, from: 40 m3, to: 20 l, count: 3}]\n", `s.yaml:4: vary[1]: from is in "m3" and to in "l"; want one unit`},
		{top + "vary: [{key: store.volume, from: x, to: 20 m3, count: 3}]\n", `s.yaml:4: vary[1]: from is "x"; want a number, with its unit if it has one`},
		{top + "vary: [{key: store.volume, from: 1, to: 20, count: 1}]\n", `s.yaml:4: vary[1].count: is "1"; want a whole number from 2 to 1000`},
		{top + "vary: [{key: store.volume, values: [20 m3, 20 m3]}]\n", `s.yaml:4: vary[1].values[2]: is "20 m3" a second time; want each value once`},
		{top + "vary:\n- {key: store.volume, values: [20 m3]}\n- {key: store.volume, values: [30 m3]}\n",
			`s.yaml:6: vary: "store.volume" stands here a second time, first in line 5; give each key all its values at once`},
		{top + "vary: [{key: store.volume, values: [20 bar]}]\n", `s.yaml:4: vary: store.volume = 20 bar: dyehouse.yaml:`},
		{top + "vary: [{key: store.volum, values: [20 m3]}]\n", `s.yaml:4: vary: store.volum = 20 m3: dyehouse.yaml:`},
		{"noonkeep_study: 1\nname: x\nscenarios: [dyehous]\n", `dyehous: no such file or directory`},
		{"noonkeep_study: 1\nname: x\nscenarios: [\"none*.yaml\"]\n", `s.yaml:3: scenarios[1]: is "none*.yaml", and no file is called so`},
		{"noonkeep_study: 1\nname: x\nscenarios: [broken.yaml]\n", `broken.yaml:1: site: is missing`},
		{"noonkeep_study: 1\nname: x\nscenarios: [a.yaml, \"*.yaml\"]\n", `a.yaml a second time, first in line 3; want each scenario once`},
		{top + "weather: {years: all}\n", "s.yaml:3: scenarios[1]: weather.years: dyehouse.yaml has monthly means and no record of years; want seeds"},
		{top + "weather: {files: [gone.epw]}\n", "gone.epw: no such file or directory"},
		{top + "weather: {seeds: 1..1000}\nvary:\n- {key: store.volume, from: 1 m3, to: 100 m3, count: 100}\n- {key: \"fields[dishes].aperture\", from: 50 m2, to: 90 m2, count: 60}\n",
			"s.yaml: has 6000000 cases (scenarios: 1, years: 1000, store.volume: 100, fields[dishes].aperture: 60); want at most 5000000, or a sample of them"},
	} {
		f, err := Read("s.yaml", []byte(x.text))
		if err == nil {
			_, _, err = Make(f, beside(dir))
		}
		if err == nil || !strings.Contains(err.Error(), x.want) {
			t.Errorf("of the study\n%s\nit says\n%v\nwant\n%s", x.text, err, x.want)
		}
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// FuzzRead: no text brings it down, an error has a place, and what is read makes the same file again.
func FuzzRead(f *testing.F) {
	f.Add(string(Example()))
	f.Add(grid)
	f.Add("noonkeep_study: 1\nname: x\nscenarios: [a, 'b*']\nweather: {years: 2005..2014}\nsample: {cases: 5, seed: 1}\n")
	f.Fuzz(func(t *testing.T, text string) {
		file, err := Read("s.yaml", []byte(text))
		if err != nil {
			if !strings.HasPrefix(err.Error(), "s.yaml:") {
				t.Errorf("the error %q has no place", err)
			}
			return
		}
		again, err := Read("s.yaml", []byte(text))
		if err != nil || !reflect.DeepEqual(again, file) {
			t.Errorf("a second reading gives %+v, %v; want %+v", again, err, file)
		}
		for _, v := range file.vary {
			if len(v.Values) == 0 || len(v.Values) > mostValues {
				t.Errorf("%q has %d values", v.Key.Key, len(v.Values))
			}
		}
	})
}

// FuzzFromManifest: what is read is written again as it was, and every case of it can be told.
func FuzzFromManifest(f *testing.F) {
	p, _ := planOf(f, f.TempDir(), grid)
	f.Add(p.Manifest())
	f.Add([]byte(`{"noonkeep_plan":1}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := FromManifest(data)
		if err != nil {
			return
		}
		again, err := FromManifest(p.Manifest())
		if err != nil || again.ID != p.ID {
			t.Fatalf("written and read again it is %q, %v; want %q", again.ID, err, p.ID)
		}
		for _, n := range []int64{0, p.N / 2, p.N - 1} {
			if n >= 0 && n < p.N {
				p.Settings(p.Case(n))
			}
		}
	})
}
