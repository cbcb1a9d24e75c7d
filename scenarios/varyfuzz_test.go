package scenarios

import (
	"errors"
	"strings"
	"testing"
)

// Whatever the change: it makes a whole plant and says what it changed, or it is refused with faults of the file that each name
// the variant or stand in it; and it is the same however often it is made.
func FuzzVary(f *testing.F) {
	for _, s := range []string{
		`loads: [{name: works, when: "Sun 10:00-14:00"}]`, "store: {remove: yes}", "store:\n  remove: [volume, steps]", "loads:\n- {name: works, remove: yes}\n- {name: w, heat: 3 kW}",
		"fields: [{name: dishes, count: 0}]\nfuels: [{name: natural gas, price: 1 EUR/kWh}]", "{}", "x", "- a", "remove: yes", "remove: [loads]", "loads: {name: works}",
		"headers: [{name: main, remove: yes}]", "loads: [{name: works, remove: [steam], series: a.csv}]", "weather: {monthly: {ghi: []}}", "time: {year: 2027, step: 1 min}",
		"loads: [{name: works, batch: {mass: 1 kg}}]", "boilers: [{name: B1, name: B2}]", "store: [1]", "money: {life: 20 a}", "? [a]\n: b",
	} {
		f.Add(s)
	}
	c, err := Parse("f.yaml", []byte(plain), files{}.open)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if len(s) > 2000 || strings.Contains(s, "step") { // a year by the minute takes too long here
			return
		}
		// The plant is read once, and the change as it would be beside it: its year of sun takes most of the time.
		text := plain + "variants:\n- name: other\n  change:\n" + indented(s)
		d := &decoder{faults: faults{file: "f.yaml"}}
		root := d.document([]byte(text))
		if root == nil {
			checkFaults(t, text, d.err())
			return
		}
		list := valueOf(root, "variants")
		if list == nil || len(list.Content) == 0 {
			return
		}
		change := valueOf(list.Content[0], "change")
		if change == nil {
			return
		}
		got, err := c.made.vary("other", change, "variants[other].change", nil)
		again, errAgain := c.made.vary("other", change, "variants[other].change", nil)
		if err != nil {
			checkFaults(t, text, err)
			if err.Error() != errAgain.Error() {
				t.Fatalf("first %v\nthen %v", err, errAgain)
			}
			checkNamed(t, err, "other")
			return
		}
		if len(got.Edits) == 0 || len(got.Edits) != len(again.Edits) {
			t.Fatalf("it changed %v, then %v", got.Edits, again.Edits)
		}
		if _, err := got.Problem(); err != nil {
			t.Fatalf("it is made, but makes no problem: %v", err)
		}
		if c.Store.VolumeM3 != 40 || len(c.Loads) != 1 {
			t.Fatal("the plant itself changed")
		}
	})
}

// checkNamed wants each fault to say which variant it is of.
func checkNamed(t *testing.T, err error, name string) {
	t.Helper()
	for _, one := range err.(interface{ Unwrap() []error }).Unwrap() {
		var e *Error
		if !errors.As(one, &e) || !strings.HasPrefix(e.Key, "variants[") && !strings.Contains(e.Text, "in the variant "+quoted(name)) && !strings.HasPrefix(e.Text, "and ") {
			t.Fatalf("does not say which variant: %v", one)
		}
	}
}
