package scenarios

import (
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"
)

func nodeOf(t testing.TB, s string) *yaml.Node {
	t.Helper()
	var doc yaml.Node
	if err := yaml.Unmarshal([]byte(s), &doc); err != nil {
		t.Fatal(err)
	}
	return doc.Content[0]
}

// What is wrong with a change is said with its line, the whole way to it, and what is wanted.
func TestVaryWrong(t *testing.T) {
	t.Parallel()
	// The variant's change begins in line 27 of plain.yaml.
	if n := strings.Count(plain, "\n"); n != 23 {
		t.Fatalf("the plain scenario has %d lines; this test counts on 23", n)
	}
	const way = "variants[other].change"
	for name, v := range map[string]struct{ change, want string }{
		"nothing new":              {"store: {volume: 40 m3}", "plain.yaml:27: " + way + ": changes nothing: each value is the plant's own; give another, or leave the variant out"},
		"nothing at all":           {"{}", "plain.yaml:27: " + way + ": changes nothing: each value is the plant's own; give another, or leave the variant out"},
		"no mapping":               {"two shifts", `plain.yaml:27: ` + way + `: is "two shifts"; want the keys that differ, in the scenario's own shape`},
		"unknown load":             {`loads: [{name: work, when: "Sun 10:00-14:00"}]`, `plain.yaml:27: ` + way + `.loads[work]: no load is called "work"; nearest is "works"; a new one needs ` + neededBySources()},
		"unknown load, far":        {`loads: [{name: dryer, when: "Sun 10:00-14:00"}]`, `plain.yaml:27: ` + way + `.loads[dryer]: no load is called "dryer"; want works; a new one needs ` + neededBySources()},
		"unknown boiler":           {"boilers: [{name: B2, capacity: 900 kg/h}]", `plain.yaml:27: ` + way + `.boilers[B2]: no boiler is called "B2"; nearest is "B1"; a new one needs efficiency`},
		"unknown key":              {"store:\n  volume: 50 m3\n  workng_pressure: 16 bar(g)", `plain.yaml:29: ` + way + `.store.workng_pressure: is not a key of a scenario here; nearest is "working_pressure"`},
		"unknown section":          {"stoer: {volume: 50 m3}", `plain.yaml:27: ` + way + `.stoer: is not a key of a scenario here; nearest is "store"`},
		"a wrong unit":             {"store:\n  working_pressure: 16 bar", `plain.yaml:28: ` + way + `.store.working_pressure: "16 bar" is neither gauge nor absolute; write "16 bar(g)" or "17 bar(a)"`},
		"a wrong pattern":          {`loads: [{name: works, when: "Mon-Sat 6-22"}]`, `plain.yaml:27: ` + way + `.loads[works].when: "6" does not fit; want a time such as 06:00, up to 24:00`},
		"no name":                  {`loads: [{when: "Mon-Sat 06:00-14:00"}]`, `plain.yaml:27: ` + way + `.loads: an entry is a mapping without a name; want the name of the load that changes, or a new one's`},
		"twice":                    {"loads: [{name: works, steam: 1 kg/h}, {name: works, steam: 2 kg/h}]", `plain.yaml:27: ` + way + `.loads[works]: is changed twice, first in line 27; keep one`},
		"a key twice":              {"store: {volume: 50 m3}\nfields: [{name: dishes, count: 9}]\nstore: {volume: 60 m3}", "plain.yaml:29: " + way + ".store: is written twice, first in line 27; keep one"},
		"changed and removed":      {"loads: [{name: works, remove: yes, steam: 1 kg/h}]", `plain.yaml:27: ` + way + `.loads[works]: is changed and removed; want one of the two`},
		"unknown load removed":     {"loads: [{name: work, remove: yes}]", `plain.yaml:27: ` + way + `.loads[work]: no load is called "work"; nearest is "works"`},
		"unknown key removed":      {"loads: [{name: works, remove: [whn]}]", `plain.yaml:27: ` + way + `.loads[works].remove: "whn" is not written in the plant; nearest is "when"`},
		"remove without a list":    {"loads: [{name: works, remove: when}]", `plain.yaml:27: ` + way + `.loads[works].remove: is "when"; want a list of the keys to take out, as remove: [name]`},
		"no value":                 {"loads: [{name: works, when: }]", `plain.yaml:27: ` + way + `.loads[works].when: has no value; give one, or take the key out with remove: [when]`},
		"its own name":             {"name: other plant", `plain.yaml:27: ` + way + `.name: is the plant's; a variant's own name stands beside its change`},
		"variants in a variant":    {"variants: []", `plain.yaml:27: ` + way + `.variants: stands in a variant; a variant has none of its own`},
		"two ways":                 {"loads: [{name: works, heat: 400 kW}]", `plain.yaml:12: loads[works]: has 2 of ` + sourceKeys(andList) + `; want one, in a variant by remove: [...] (in the variant "other")`},
		"a header that others use": {"headers: [{name: main, remove: yes}, {name: low, pressure: 3 bar(g)}]", `plain.yaml:12: loads[works].header: no header is called "main"; want low (in the variant "other")` + "\n" + `plain.yaml:16: boilers[B1].header: no header is called "main"; want low (in the variant "other")`},
		"another currency":         {"fuels: [{name: natural gas, price: 0.05 USD/kWh}]\nelectricity: {price: 0.1 EUR/kWh}", `plain.yaml:28: ` + way + `.electricity.price: "0.1 EUR/kWh" is not in USD, in which the scenario counts; want one currency`},
		"needed, removed":          {"headers: [{name: main, remove: [pressure]}]", `plain.yaml:10: headers[main].pressure: is missing; write for example "pressure: 6 bar(g)" (in the variant "other")`},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			_, err := varied(t, v.change)
			if err == nil || err.Error() != v.want {
				t.Errorf("\n got %v\nwant %s", err, v.want)
			}
		})
	}
}

func sourceKeys(list func([]string) string) string {
	var keys []string
	for _, s := range sources() {
		keys = append(keys, s.key)
	}
	return list(keys)
}

func neededBySources() string { return sourceKeys(orList) }

func TestVaryUnknownName(t *testing.T) {
	t.Parallel()
	c, err := Parse("plain.yaml", []byte(plain+"variants:\n- {name: two shifts, change: {store: {volume: 60 m3}}}\n"), nil)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := c.Vary("two shift"); err == nil || err.Error() != `plain.yaml: no variant is called "two shift"; nearest is "two shifts"` {
		t.Error(err)
	}
}
