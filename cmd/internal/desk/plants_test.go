package desk

import (
	"strings"
	"testing"
)

// twoStores is a plant of two headers and two stores, which Clp alone solves.
const twoStores = `noonkeep: 1
name: two of each
site: {latitude: 32 deg, longitude: -110 deg, elevation: 800 m, utc_offset: -7 h}
weather: {monthly: {ghi: [3.4, 4.4, 5.7, 7.1, 7.9, 8.1, 7.0, 6.5, 6.0, 4.9, 3.8, 3.2 kWh/m2d], air: [11, 12, 15, 19, 24, 29, 30, 29, 27, 21, 15, 11 degC]}, seed: 3}
headers:
  - {name: high, pressure: 16 bar(g), condensate: {return: 70 %, flash_to: low}}
  - {name: low, pressure: 4 bar(g)}
loads:
  - {name: presses, header: high, steam: 900 kg/h, when: "Mon-Sat 06:00-22:00"}
  - {name: kiers, header: low, steam: 1800 kg/h, when: "Mon-Fri 05:00-21:00"}
fuels: [{name: natural gas, price: 0.045 EUR/kWh, price_basis: net}]
boilers:
  - {name: B1, header: high, fuel: natural gas, capacity: 1800 kg/h, efficiency: 88 %}
  - {name: B3, header: low, fuel: natural gas, capacity: 2500 kg/h, efficiency: 86 %}
fields: [{name: dishes, header: high, collector: {kind: dish}, count: 20, aperture: 90 m2}]
electricity: {price: 0.11 EUR/kWh}
stores:
  - {name: accumulator, vessel: flash, header: low, charged_from: high, working_pressure: 16 bar(g), steps: 0..60 m3, volume: 25 m3}
  - {name: tank, vessel: thermocline, header: low, working_pressure: 20 bar(g), volume: 40 m3}
`

// without cuts a section, from its key at the line's start to the next one or a comment there.
func without(t *testing.T, text, section string) string {
	t.Helper()
	before, rest, ok := strings.Cut(text, "\n"+section+":")
	if !ok {
		t.Fatalf("there is no %s", section)
	}
	lines := strings.SplitAfter(rest, "\n")
	for i, l := range lines[1:] {
		if strings.TrimSpace(l) != "" && l[0] != ' ' {
			return before + "\n" + strings.Join(lines[i+1:], "")
		}
	}
	return before + "\n"
}

// Every plant opens, and the page says what is wrong with it or what it has not; nothing of it is a fault of the server's.
func TestOddPlantsOpen(t *testing.T) {
	t.Parallel()
	unraced(t)
	dyehouse := string(example(t, "dyehouse"))
	noStore := without(t, without(t, dyehouse, "store"), "variants")
	plants := map[string]struct {
		text string
		says []string
		csv  int // status of the curve's table; 0: it takes Clp, and seconds
	}{
		"no store.yaml":       {noStore, []string{"This plant has no store yet", "One day:", "/year/sun.png"}, 422},
		"no loads.yaml":       {without(t, dyehouse, "loads"), []string{"no loads.yaml:", "loads"}, 422},
		"no money.yaml":       {without(t, dyehouse, "money"), []string{"What each volume saves", `id="handle"`}, 200},
		"two stores.yaml":     {twoStores, []string{"kiers", "presses"}, 0},
		"two headers.yaml":    {twoStores[:strings.Index(twoStores, "  - {name: tank")], []string{"kiers", "presses"}, 0},
		"wrong value.yaml":    {strings.Replace(dyehouse, "volume: 40 m3", "volume: 40 apples", 1), []string{"wrong value.yaml:88: store.volume: \"40 apples\" is not a volume; want it in m3 or l"}, 422},
		"empty.yaml":          {"", []string{"empty.yaml"}, 422},
		"no yaml.yaml":        {"a: [\n\tb", []string{"no yaml.yaml"}, 422},
		"another format.yaml": {"noonkeep: 2\n", []string{"another format.yaml:1: noonkeep"}, 422},
		"no weather.yaml":     {without(t, dyehouse, "weather"), []string{"no weather.yaml", "weather"}, 422},
	}
	texts := map[string]string{}
	for file, p := range plants {
		texts[file] = p.text
	}
	g := serveDesk(t, texts).guest()
	for file, p := range plants {
		b := g.open(file)
		page := b.get(b.base)
		if page.status != 200 || !strings.HasSuffix(strings.TrimSpace(page.body), "</html>") {
			t.Errorf("%s: status %d: %.300s", file, page.status, page.body)
		}
		has(t, file, page.text(), p.says...)
		hasNot(t, file, page.body, "NaN", "Inf", "&lt;nil&gt;", "%!")
		for _, part := range parts {
			if a := b.get(b.base + "/part/" + strings.TrimPrefix(part, "part-")); a.status != 200 {
				t.Errorf("%s, %s: status %d: %s", file, part, a.status, a.body)
			}
		}
		if p.csv == 0 {
			continue
		}
		b.wantFiles(file, p.csv)
		if status := b.post("text", "text", dyehouse); status != 200 || len(b.last.Faults) > 0 || b.yaml() != dyehouse {
			t.Errorf("%s: it cannot be mended: status %d, %v", file, status, b.last.Faults)
		}
	}
}

// wantFiles wants each file, or a sentence why it is not there.
func (b *tab) wantFiles(plant string, csv int) {
	b.t.Helper()
	for name := range files {
		if a := b.get(b.base + "/file/" + name); a.status != 200 && (a.status != 422 || len(a.body) < 10) {
			b.t.Errorf("%s, %s: status %d: %q", plant, name, a.status, a.body)
		}
	}
	if a := b.get(b.base + "/file/curve.csv"); a.status != csv {
		b.t.Errorf("%s: the curve's table has status %d, want %d: %s", plant, a.status, csv, a.body)
	}
}
