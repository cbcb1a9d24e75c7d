package scenarios

import (
	"slices"
	"strings"
	"testing"
)

// Layouts as people have them, and the text after one change, in full. What YAML allows is of its specification 1.2.2; how a person
// would lay it out is common practice, no source.
var layoutTests = []struct {
	name, src string
	change    Setting
	want      string
}{
	{"a longer value moves the comment as little as it must", "store:\n  volume: 40 m3  # planned\n  steps: 0..120 m3   # curve\n",
		Setting{Key: "store.volume", Value: "40.125 m3"}, "store:\n  volume: 40.125 m3  # planned\n  steps: 0..120 m3   # curve\n"},
	{"a comment keeps its column", "store:\n  volume: 40 m3     # planned\n", Setting{Key: "store.volume", Value: "140.5 m3"}, "store:\n  volume: 140.5 m3  # planned\n"},
	{"a comment behind braces keeps its column", "loads:\n- {name: a, steam: 9 kg/h, when: \"Mon 06:00-22:00 # no\"}      # c\n",
		Setting{Key: "loads[a].steam", Value: "900 kg/h"}, "loads:\n- {name: a, steam: 900 kg/h, when: \"Mon 06:00-22:00 # no\"}    # c\n"},
	{"quotes stay", "loads:\n- name: a\n  when: 'Mon 06:00-22:00'\n", Setting{Key: "loads[a].when", Value: "always"}, "loads:\n- name: a\n  when: 'always'\n"},
	{"quotes where a comma is a sign", "loads: [{name: a, when: always}]\n", Setting{Key: "loads[a].when", Value: "daily 08:00-12:00, 13:00-17:00"},
		"loads: [{name: a, when: \"daily 08:00-12:00, 13:00-17:00\"}]\n"},
	{"no quotes where it is none", "loads:\n- name: a\n  when: always\n", Setting{Key: "loads[a].when", Value: "daily 08:00-12:00, 13:00-17:00; Sat 06:00-14:00"},
		"loads:\n- name: a\n  when: daily 08:00-12:00, 13:00-17:00; Sat 06:00-14:00\n"},
	{"a text in several lines", "name: a plant\n  by the\n  river # long\ntime: {year: 2026}\n", Setting{Key: "name", Value: "plant: b"}, "name: \"plant: b\" # long\ntime: {year: 2026}\n"},
	{"a folded text keeps its fold", "name: >-   # long\n    a plant\n    by the river\nheaders: []\n", Setting{Key: "name", Value: "plant: b"}, "name: >-   # long\n    plant: b\nheaders: []\n"},
	{"a quoted text in several lines", "name: \"a\n  plant\"   # c\n", Setting{Key: "name", Value: "b"}, "name: \"b\"  # c\n"},
	{"an empty value", "store:\n  volume:   # later\n  steps: 0..2 m3\n", Setting{Key: "store.volume", Value: "4 m3"}, "store:\n  volume: 4 m3  # later\n  steps: 0..2 m3\n"},
	{"an empty section", "store:\n\nmoney: {currency: EUR}\n", Setting{Key: "store.volume", Value: "4 m3"}, "store: {volume: 4 m3}\n\nmoney: {currency: EUR}\n"},
	{"letters of several bytes before it", "loads: [{name: Färberei — früh, steam: 9 kg/h}]  # ä\n", Setting{Key: "loads[Färberei — früh].steam", Value: "8 kg/h"}, "loads: [{name: Färberei — früh, steam: 8 kg/h}]  # ä\n"},
	{"CRLF", "store:\r\n  vessel: flash\r\n  fill: 90 %   # c\r\n", Setting{Key: "store.volume", Value: "4 m3"}, "store:\r\n  vessel: flash\r\n  volume: 4 m3\r\n  fill: 90 %   # c\r\n"},
	{"a wider indentation", "site:\n    latitude: 3 deg\nstore:\n    volume: 4 m3\n", Setting{Key: "store.insulation.thickness", Value: "80 mm"},
		"site:\n    latitude: 3 deg\nstore:\n    volume: 4 m3\n    insulation:\n        thickness: 80 mm\n"},
	{"a file that writes braces", "site: {latitude: 3 deg}\ntime: {year: 2026}\nstore:\n  volume: 4 m3\n", Setting{Key: "store.insulation.thickness", Value: "80 mm"},
		"site: {latitude: 3 deg}\ntime: {year: 2026}\nstore:\n  volume: 4 m3\n  insulation: {thickness: 80 mm}\n"},
	{"a comment that goes on below stays with its key", "store:\n  vessel: flash   # steam flashes\n                  # off the water\n  # the curve:\n  steps: 0..9 m3\n",
		Setting{Key: "store.volume", Value: "4 m3"}, "store:\n  vessel: flash   # steam flashes\n                  # off the water\n  volume: 4 m3\n  # the curve:\n  steps: 0..9 m3\n"},
	{"and goes with it", "store:\n  vessel: flash\n  # what we plan with\n  volume: 4 m3   # planned\n                 # in May\n  # the curve:\n  steps: 0..9 m3\n",
		Setting{Key: "store.volume", Remove: true}, "store:\n  vessel: flash\n  # the curve:\n  steps: 0..9 m3\n"},
	{"an entry goes with its own comments alone", "loads:\n  # the first\n  - name: a\n    steam: 1 kg/h\n\n  # the second\n  # since 2019\n  - name: b\n    steam: 2 kg/h\n    # measured\n\n  # the third\n  - name: c\n    steam: 3 kg/h\n",
		Setting{Key: "loads[b]", Remove: true}, "loads:\n  # the first\n  - name: a\n    steam: 1 kg/h\n\n  # the third\n  - name: c\n    steam: 3 kg/h\n"},
	{"the last entry", "loads:\n- name: a\n# b's\n- name: b\n\n# money's\nmoney: {currency: EUR}\n", Setting{Key: "loads[b]", Remove: true}, "loads:\n- name: a\n\n# money's\nmoney: {currency: EUR}\n"},
	{"the only entry", "loads: # all\n  # a's\n  - name: a\nfuels: []\n", Setting{Key: "loads[a]", Remove: true}, "loads: [] # all\nfuels: []\n"},
	{"the key behind a dash", "loads:\n  - name: a   # c\n    steam: 1 kg/h\n    when: always\n", Setting{Key: "loads[a].name", Remove: true}, "loads:\n  - steam: 1 kg/h\n    when: always\n"},
	{"the key behind a dash before a comment", "loads:\n  - name: a\n    # of steam\n    steam: 1 kg/h\n", Setting{Key: "loads[a].name", Remove: true}, "loads:\n  -\n    # of steam\n    steam: 1 kg/h\n"},
	{"an entry beside entries in braces", "loads:\n- {name: a, steam: 1 kg/h}  # c\nfuels: []\n", Setting{Key: "loads[b]", Value: "{steam: 2 kg/h, when: 'Mon 08:00-09:00, 10:00-11:00'}"},
		"loads:\n- {name: a, steam: 1 kg/h}  # c\n- {name: b, steam: 2 kg/h, when: \"Mon 08:00-09:00, 10:00-11:00\"}\nfuels: []\n"},
	{"an entry where empty lines part them", "loads:\n\n  - name: a\n    steam: 1 kg/h\n\n  - name: b\n    steam: 2 kg/h\n\nfuels: []\n", Setting{Key: "loads[c]", Value: "{steam: 2 kg/h}"},
		"loads:\n\n  - name: a\n    steam: 1 kg/h\n\n  - name: b\n    steam: 2 kg/h\n\n  - name: c\n    steam: 2 kg/h\n\nfuels: []\n"},
	{"a list that is empty", "loads: []   # none yet\n", Setting{Key: "loads[c]", Value: "{steam: 2 kg/h}"}, "loads: [{name: c, steam: 2 kg/h}]  # none yet\n"},
	{"a list that is not written", "name: x\nmoney: {currency: EUR}\n", Setting{Key: "fuels[gas]", Value: "{price: 3 EUR/t}"}, "name: x\nfuels:\n  - name: gas\n    price: 3 EUR/t\nmoney: {currency: EUR}\n"},
	{"braces over several lines", "store: {\n  vessel: flash,   # kind\n  fill: 90 %       # hot\n}\n", Setting{Key: "store.volume", Value: "4 m3"}, "store: {\n  vessel: flash,   # kind\n  volume: 4 m3,\n  fill: 90 %       # hot\n}\n"},
	{"at their end", "store: {\n  vessel: flash,   # kind\n  volume: 4 m3     # hot\n}\n", Setting{Key: "store.fill", Value: "90 %"}, "store: {\n  vessel: flash,   # kind\n  volume: 4 m3,    # hot\n  fill: 90 %\n}\n"},
	{"out of their end", "store: {\n  vessel: flash,   # kind\n  volume: 4 m3     # hot\n}\n", Setting{Key: "store.volume", Remove: true}, "store: {\n  vessel: flash    # kind\n}\n"},
	{"out of braces in one line", "store: {vessel: flash, volume: 4 m3, fill: 90 %} # c\n", Setting{Key: "store.volume", Remove: true}, "store: {vessel: flash, fill: 90 %}               # c\n"},
	{"a list over several lines", "time:\n  holidays: [1 Jan,\n             1 May]\n", Setting{Key: "time.holidays[+]", Value: "26 Dec"}, "time:\n  holidays: [1 Jan,\n             1 May,\n             26 Dec]\n"},
	{"a list given whole changes where it differs", "time:\n  holidays:\n    - 1 Jan   # new year\n    - 1 May   # labour\n    - 29 Oct  # republic\n", Setting{Key: "time.holidays", Value: "[1 Jan, 23 Apr, 29 Oct, 26 Dec]"},
		"time:\n  holidays:\n    - 1 Jan   # new year\n    - 23 Apr  # labour\n    - 29 Oct  # republic\n    - 26 Dec\n"},
	{"entries given whole are found by name", "loads:\n  - name: a   # A\n    steam: 1 kg/h\n  - name: b   # B\n    steam: 2 kg/h\n", Setting{Key: "loads", Value: "[{name: b, steam: 3 kg/h}]"},
		"loads:\n  - name: b   # B\n    steam: 3 kg/h\n"},
	{"an entry given whole keeps its name", "loads:\n  - name: a   # A\n    steam: 1 kg/h  # s\n    when: always\n", Setting{Key: "loads[a]", Value: "{season: 1 May..1 Jun, steam: 3 kg/h}"},
		"loads:\n  - name: a   # A\n    steam: 3 kg/h  # s\n    season: 1 May..1 Jun\n"},
	{"an entry called otherwise", "loads:\n- name: a  # A", Setting{Key: "loads[a].name", Value: "àE: b"}, "loads:\n- name: \"àE: b\"  # A"},
	{"a list becomes one value", "fuels:\n  - name: gas\n    price: # by month\n      - 1 EUR/t\n      - 2 EUR/t\n    co2: 3 t/t\n", Setting{Key: "fuels[gas].price", Value: "4 EUR/t"}, "fuels:\n  - name: gas\n    price: 4 EUR/t # by month\n    co2: 3 t/t\n"},
	{"a name of its own signs", "loads:\n- name: 'kiln \"2\" [old], a.b = c'\n  steam: 1 kg/h\n", Setting{Key: `loads["kiln \"2\" [old], a.b = c"].steam`, Value: "2 kg/h"}, "loads:\n- name: 'kiln \"2\" [old], a.b = c'\n  steam: 2 kg/h\n"},
	{"a name that is a number", "loads:\n- name: 7\n  steam: 1 kg/h\n", Setting{Key: `loads[7].steam`, Value: "2 kg/h"}, "loads:\n- name: 7\n  steam: 2 kg/h\n"},
	{"a document with its marks", "--- # one\nname: a\n...\n", Setting{Key: "money.currency", Value: "EUR"}, "--- # one\nname: a\nmoney:\n  currency: EUR\n...\n"},
	{"a change of a variant", "loads: [{name: a, steam: 1 kg/h}]\nvariants:\n- name: v\n  change:\n    loads:\n    - {name: b, remove: yes}\n", Setting{Key: "variants[v].change.loads[a].steam", Value: "2 kg/h"},
		"loads: [{name: a, steam: 1 kg/h}]\nvariants:\n- name: v\n  change:\n    loads:\n    - {name: b, remove: yes}\n    - {name: a, steam: 2 kg/h}\n"},
	{"a tab before a comment is left alone", "name: a\t# c\n", Setting{Key: "name", Value: "bc"}, "name: bc\t# c\n"},
	{"an explicit key beside it", "? name\n: a\nstore: {volume: 3 m3}\n", Setting{Key: "store.volume", Value: "4 m3"}, "? name\n: a\nstore: {volume: 4 m3}\n"},
	{"JSON", `{"name": "a", "store": {"volume":"3 m3"}}`, Setting{Key: "store.volume", Value: "4 m3"}, `{"name": "a", "store": {"volume":"4 m3"}}`},
}

func TestRewriteLayouts(t *testing.T) {
	for _, tt := range layoutTests {
		if got := set(t, tt.src, tt.change); got != tt.want {
			t.Errorf("%s:\n%s\nbecame\n%s\nwant\n%s", tt.name, tt.src, got, tt.want)
		}
	}
}

// Each fault in full.
var rewriteFaults = []struct {
	src    string
	change Setting
	want   string
}{
	{"", Setting{Key: "store.volum", Value: "4 m3"}, `f.yaml:4: store.volum: is not a key of a scenario here; nearest is "volume"`},
	{"", Setting{Key: "volume", Value: "4 m3"}, `f.yaml:1: volume: is not a key of a scenario here; want store.volume`},
	{"", Setting{Key: "loads[klin].when", Value: "always"}, `f.yaml:6: loads: no load is called "klin"; nearest is "kiln"`},
	{"", Setting{Key: "loads[klin]", Value: "{when: always}"}, `f.yaml:6: loads: no load is called "klin"; nearest is "kiln"; a new one needs steam, heat, bills, series, batch, hot_water, cooling, log or movable`},
	{"", Setting{Key: "loads[klin]", Remove: true}, `f.yaml:6: loads: no load is called "klin"; nearest is "kiln"`},
	{"", Setting{Key: "loads[new]", Value: "{name: old, steam: 3 kg/h}"}, `f.yaml:6: loads[new]: has the name "old" inside; want one name`},
	{"", Setting{Key: "loads[new]", Value: "3 kg/h"}, `f.yaml:6: loads[new]: is "3 kg/h"; want keys and values, as {header: ...}`},
	{"", Setting{Key: "loads.when", Value: "always"}, `f.yaml:6: loads: is a list; want an entry's name or place in brackets before "when", as loads[kiln]`},
	{"", Setting{Key: "store[a]", Value: "3"}, `f.yaml:4: store: is no list; brackets have no place after it`},
	{"", Setting{Key: "store.volume.x", Value: "3"}, `f.yaml:4: store.volume: is one value and has no keys; "x" is none`},
	{"", Setting{Key: "store.volume", Value: "4 kg"}, `f.yaml: store.volume: "4 kg" is not a volume; want it in m3 or l`},
	{"", Setting{Key: "store.volume", Value: "-4 m3"}, `f.yaml: store.volume: "-4 m3" is out of range; want 0 to 100000 m3`},
	{"", Setting{Key: "store.volume", Value: " "}, `f.yaml:4: store.volume: is given no value; to take it out, remove it`},
	{"", Setting{Key: "name", Value: "a\tb"}, `f.yaml:2: name: the value "a\tb" has the sign U+0009, which is not seen; write it in one line without`},
	{"", Setting{Key: "store.fill", Remove: true}, `f.yaml:4: store.fill: is not written, so it cannot be taken out; want vessel or volume`},
	{"", Setting{Key: "store.vessel", Remove: true}, `f.yaml: store.vessel: is missing; write for example "vessel: flash"`},
	{"", Setting{Key: "fields[dishes].count", Value: "3"}, `f.yaml:1: fields: is not written yet; give it as a whole`},
	{"", Setting{Key: "time.holidays[4]", Value: "1 Jan"}, `f.yaml:5: time.holidays: has 2 entries; want a place from 1 on in the brackets, or + for a new entry`},
	{"", Setting{Key: "time.holidays", Value: "[1 Jan"}, `f.yaml:5: time.holidays: is not YAML: did not find expected ',' or ']'`},
	{"", Setting{Key: "time", Value: "{year: , step: 60 min}"}, `f.yaml:5: time: has a key without a value; give one, or leave the key out`},
	{"", Setting{Key: "time", Value: "{year: 2026, year: 2027}"}, `f.yaml:5: time: has the key "year" twice; keep one`},
	{"", Setting{Key: "time", Value: "&a {year: 2026}"}, `f.yaml:5: time: anchor &a; anchors have no use here, take it out`},
	{"", Setting{Key: "time.yaer", Value: "2026"}, `f.yaml:5: time.yaer: is not a key of a scenario here; nearest is "year"`},
	{"", Setting{Key: "", Value: "3"}, `f.yaml: no key; write for example "store.volume"`},
	{"", Setting{Key: "store..volume", Value: "3"}, `f.yaml: "store..volume" has a point with no key; write for example "store.volume"`},
	{"", Setting{Key: "store.", Value: "3"}, `f.yaml: "store." has a point with no key after it; write for example "store.volume"`},
	{"", Setting{Key: "loads[kiln", Value: "3"}, `f.yaml: "loads[kiln" has a bracket that is not closed`},
	{"", Setting{Key: `loads["kiln]`, Value: "3"}, `f.yaml: "loads[\"kiln]" has a bracket that is not closed`},
	{"", Setting{Key: `loads["kiln\n"].when`, Value: "3"}, `f.yaml: "loads[\"kiln\\n\"].when" has a sign that is not seen; write it without`},
	{"", Setting{Key: "store\r", Value: "3"}, `f.yaml: "store\r" has a sign that is not seen; write it without`},
	{"", Setting{Key: "loads[]", Value: "3"}, `f.yaml: "loads[]" has empty brackets; want a name or a place in them, or + for a new entry`},
	{"", Setting{Key: "loads[kiln]when", Value: "3"}, `f.yaml: "loads[kiln]when" goes on after the bracket; want a point before the next key`},
	{"", Setting{Key: "[kiln].when", Value: "3"}, `f.yaml: "[kiln].when" begins with a bracket; want the list's key before it, as in "loads[night shift].when"`},
	{"variants: [{name: v, change: {store: {volume: 1 m3}}}]\n", Setting{Key: "variants[v].change.name", Value: "x"}, `f.yaml:1: variants[v].change.name: is the plant's; a variant's own name stands beside its change`},
	// What an alias shares would change with it: anchors and aliases are refused, as they are by Parse.
	{"store: &s {volume: 3 m3}\nstores: [*s]\n", Setting{Key: "store.volume", Value: "4 m3"}, `f.yaml:1: anchor &s; anchors have no use here, take it out
f.yaml:2: alias *s; write the value out again`},
	{"store: {volume: 3 m3}\nstore: {volume: 4 m3}\n", Setting{Key: "store.volume", Value: "5 m3"}, `f.yaml:1: store: is written twice; keep one`},
	{"name: a\n---\nname: b\n", Setting{Key: "name", Value: "c"}, `f.yaml:2: a second document begins; want one scenario in a file`},
	{"- a\n", Setting{Key: "name", Value: "c"}, "f.yaml:1: a scenario is a list here; want keys and values, from `noonkeep: 1` on"},
}

const small = `noonkeep: 1
name: small
# the store
store: {vessel: flash, volume: 3 m3}
time: {year: 2026, holidays: [1 Jan, 1 May]}
loads: [{name: kiln, steam: 3 kg/h}]
`

func TestRewriteFaults(t *testing.T) {
	for _, tt := range rewriteFaults {
		src := tt.src
		if src == "" {
			src = small
		}
		if out, err := Rewrite("f.yaml", []byte(src), tt.change); err == nil || err.Error() != tt.want {
			t.Errorf("%+v: error %v\nwant %s\n%s", tt.change, err, tt.want, out)
		}
	}
}

// Several changes are made one after the other, or none; each that cannot be is told.
func TestRewriteAllOrNothing(t *testing.T) {
	_, err := Rewrite("f.yaml", []byte(small), Setting{Key: "store.volume", Value: "4 m3"}, Setting{Key: "a", Value: "1"}, Setting{Key: "loads[b].when", Value: "x"})
	if err == nil || strings.Count(err.Error(), "\n") != 1 {
		t.Errorf("error %v; want two faults", err)
	}
	out, err := Rewrite("f.yaml", []byte(small), Setting{Key: "store", Remove: true}, Setting{Key: "stores[a]", Value: "{vessel: flash, volume: 3 m3, working_pressure: 9 bar(g)}"}, Setting{Key: "stores[a].volume", Value: "4 m3"})
	want := "noonkeep: 1\nname: small\ntime: {year: 2026, holidays: [1 Jan, 1 May]}\nloads: [{name: kiln, steam: 3 kg/h}]\nstores:\n  - name: a\n    vessel: flash\n    volume: 4 m3\n    working_pressure: 9 bar(g)\n"
	if err != nil || string(out) != want {
		t.Errorf("got %q, %v\nwant %q", out, err, want)
	}
	edits, err := Changes([]byte(small), out)
	if len(edits) != 2 || err != nil || edits[0] != (Edit{"store", "{vessel: flash, volume: 3 m3}", ""}) || edits[1] != (Edit{"stores", "", "[{name: a, vessel: flash, volume: 4 m3, working_pressure: 9 bar(g)}]"}) {
		t.Errorf("changes %q, %v", edits, err)
	}
}

func TestParseSetting(t *testing.T) {
	for _, tt := range []struct {
		in   string
		want Setting
		err  string
	}{
		{in: "store.volume=60 m3", want: Setting{Key: "store.volume", Value: "60 m3"}},
		{in: " a.b = c = d ", want: Setting{Key: "a.b", Value: "c = d"}},
		{in: "loads[a = b].when=always", want: Setting{Key: "loads[a = b].when", Value: "always"}},
		{in: `loads["a]=\"b"].when=always`, want: Setting{Key: `loads["a]=\"b"].when`, Value: "always"}},
		{in: "a=", want: Setting{Key: "a"}},
		{in: "store.volume", err: `"store.volume" is no setting; want KEY=VALUE, as store.volume="60 m3"`},
		{in: "loads[a=b", err: `"loads[a=b" is no setting; want KEY=VALUE, as store.volume="60 m3"`},
	} {
		got, err := ParseSetting(tt.in)
		if got != tt.want || (err == nil) != (tt.err == "") || err != nil && err.Error() != tt.err {
			t.Errorf("%q: got %+v, %v; want %+v, %s", tt.in, got, err, tt.want, tt.err)
		}
	}
}

// What differs between two texts, whatever their layout.
func TestChanges(t *testing.T) {
	before := "name: a\nsite: {latitude: 3 deg}\ntime: {holidays: [1 Jan, 1 May]}\nloads:\n- {name: b, steam: 1 kg/h}\n- {name: c, steam: 2 kg/h}\ndoubt: [{what: demand}]\n"
	after := "# new\nname: 'a'\ntime: {holidays: [1 Jan]}\nloads:\n  - name: c\n    steam: 3 kg/h\n    when: always\n  - name: d\ndoubt: [{what: weather}, {what: demand}]\nmoney: {currency: EUR}\n"
	want := []Edit{
		{"site", "{latitude: 3 deg}", ""},
		{"time.holidays", "[1 Jan, 1 May]", "[1 Jan]"},
		{"loads[b]", "{name: b, steam: 1 kg/h}", ""},
		{"loads[c].steam", "2 kg/h", "3 kg/h"},
		{"loads[c].when", "", "always"},
		{"loads[d]", "", "{name: d}"},
		{"doubt[1].what", "demand", "weather"},
		{"doubt[2]", "", "{what: demand}"},
		{"money", "", "{currency: EUR}"},
	}
	got, err := Changes([]byte(before), []byte(after))
	if err != nil || !slices.Equal(got, want) {
		t.Errorf("got %q, %v\nwant %q", got, err, want)
	}
	got, err = Changes([]byte("loads: [{name: a}, {name: b}]"), []byte("loads: [{name: b}, {name: a}]"))
	if err != nil || len(got) != 1 || got[0] != (Edit{"loads", "loads[a], loads[b]", "loads[b], loads[a]"}) {
		t.Errorf("another order: got %q, %v", got, err)
	}
	if _, err = Changes([]byte("a: ["), []byte(after)); err == nil || !strings.HasPrefix(err.Error(), "the text before:") {
		t.Errorf("no YAML: error %v", err)
	}
}
