package scenarios

import (
	"reflect"
	"testing"
)

// sameProblem tells whether two cases are the same program, and stand in the same weather, to the last bit.
func sameProblem(t *testing.T, got, want Case) bool {
	t.Helper()
	p, err := got.Problem()
	q, err2 := want.Problem()
	if err != nil || err2 != nil {
		return err != nil && err2 != nil
	}
	return reflect.DeepEqual(p, q) && reflect.DeepEqual(got.Weather, want.Weather) && reflect.DeepEqual(got.Money, want.Money)
}

// What is taken from another case is what would have been worked out: changes of each part of a plant, in the scenario's own
// year and in that of a seed.
func TestParseLikeIsParse(t *testing.T) {
	unraced(t)
	t.Parallel()
	for _, x := range []struct{ name, key, value string }{
		{"dyehouse", "store.volume", "55 m3"},
		{"dyehouse", "store.working_pressure", "16 bar(g)"},
		{"dyehouse", "fuels[natural gas].price", "0.07 EUR/kWh"},
		{"dyehouse", "site.elevation", "900 m"},
		{"dyehouse", "time.year", "2027"},
		{"dyehouse", "time.holidays", "[1 Jan, 2 Jan, 3 Jan]"},
		{"dyehouse", "fields[dishes].count", "3"},
		{"dyehouse", "headers[main].pressure", "7 bar(g)"},
		{"dyehouse", "weather.seed", "9"},
		{"cannery", "store.volume", "35 m3"},
		{"cannery", "boilers[B1].efficiency", "0.7"},
		{"winery", "store.volume", "22 m3"},
		{"winery", "site.latitude", "39 deg"},
	} {
		src, err := Source(x.name)
		if err != nil {
			t.Fatal(err)
		}
		base, err := Parse(x.name, src, nil)
		if err != nil {
			t.Fatal(err)
		}
		text, err := Rewrite(x.name, src, Setting{Key: x.key, Value: x.value})
		if err != nil {
			t.Fatalf("%s: %v", x.name, err)
		}
		// Another line before all others: where a thing stands must not matter.
		text = append([]byte("# moved by a line\n"), text...)
		seeded, err := base.WithSeed(12)
		if err != nil {
			t.Fatal(err)
		}
		for _, like := range []Case{base, seeded} {
			got, err := ParseLike(x.name, text, nil, like)
			want, err2 := Parse(x.name, text, nil)
			if err != nil || err2 != nil {
				t.Errorf("%s with %s = %s: %v, %v", x.name, x.key, x.value, err, err2)
				continue
			}
			if like.Variant != "" && x.key != "weather.seed" {
				if want, err = want.WithSeed(12); err != nil {
					t.Fatal(err)
				}
			}
			if !sameProblem(t, got, want) {
				t.Errorf("%s with %s = %s, like %q: is another program than when it is read alone", x.name, x.key, x.value, like.Variant)
			}
		}
	}
}

// FuzzParseLike: whatever value a key is given, the case is refused like the text alone, or is the same program.
func FuzzParseLike(f *testing.F) {
	src, err := Source("winery")
	if err != nil {
		f.Fatal(err)
	}
	base, err := Parse("winery", src, nil)
	if err != nil {
		f.Fatal(err)
	}
	f.Add("store.volume", "31 m3")
	f.Add("time.step", "30 min")
	f.Add("site.utc_offset", "+2 h")
	f.Fuzz(func(t *testing.T, key, value string) {
		text, err := Rewrite("winery", src, Setting{Key: key, Value: value})
		if err != nil {
			return
		}
		got, err := ParseLike("winery", text, nil, base)
		want, err2 := Parse("winery", text, nil)
		if (err == nil) != (err2 == nil) || err != nil && err.Error() != err2.Error() {
			t.Fatalf("says %v; alone %v", err, err2)
		}
		if err == nil && got.Axis.N <= 2*8784 && !sameProblem(t, got, want) {
			t.Error("is another program than when it is read alone")
		}
	})
}
