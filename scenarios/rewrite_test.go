package scenarios

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"

	"noonkeep/plant/clock"
)

// set makes changes without asking whether values fit their keys.
func set(t testing.TB, src string, changes ...Setting) string {
	t.Helper()
	w := &rewriter{name: "f.yaml"}
	if err := w.take([]byte(src)); err != nil {
		t.Fatal(err)
	}
	for _, c := range changes {
		if err := w.change(c); err != nil {
			t.Fatalf("%+v: %v", c, err)
		}
	}
	return string(w.src)
}

// examples are the built-in ones, with both line ends, and one that ends without.
func examples(t testing.TB) (all [][2]string) {
	t.Helper()
	for _, s := range Starters() {
		data, err := Source(s.Name)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, [2]string{s.Name, string(data)})
	}
	dyehouse := all[0][1]
	return append(all, [2]string{"dyehouse, CRLF", strings.ReplaceAll(dyehouse, "\n", "\r\n")},
		[2]string{"dyehouse, no line end, byte order mark", byteOrderMark + strings.TrimRight(dyehouse, "\n")})
}

// place is a value of a scenario with the way to it.
type place struct {
	way   string
	n     *yaml.Node
	shape shape
}

// placesIn lists all values, mappings and lists among them.
func placesIn(n *yaml.Node, s shape, way string) (all []place) {
	for i := range n.Content {
		inner, at := shape{}, ""
		switch {
		case n.Kind == yaml.MappingNode && i%2 == 0:
			continue
		case n.Kind == yaml.MappingNode:
			inner, _ = s.inner(n.Content[i-1].Value)
			at = join(way, n.Content[i-1].Value)
		default:
			inner = shape{s.entry(), s.change}
			at = way + "[" + strconv.Itoa(i+1) + "]"
			if name := nameOf(n.Content[i]); name != "" {
				at = way + "[" + strconv.Quote(name) + "]"
			}
		}
		all = append(all, place{at, n.Content[i], inner})
		all = append(all, placesIn(n.Content[i], inner, at)...)
	}
	return all
}

// some is every few of the places, fewer of a text that differs from another in little.
func some(name string, all []place) (list []place) {
	every := 3
	if strings.Contains(name, ",") {
		every = 10
	}
	for i := len(name) % every; i < len(all); i += every {
		list = append(list, all[i])
	}
	return list
}

func placesOf(t testing.TB, src string) []place {
	t.Helper()
	root, err := rootOf("f.yaml", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	return placesIn(root, shape{t: reflect.TypeFor[file]()}, "")
}

// Values of each example, set to shorter, longer and awkward ones: only its line changes, the comment in it stays, and
// the old value brings the old text back.
func TestRewriteTouchesOneValueAlone(t *testing.T) {
	unraced(t)
	for _, example := range examples(t) {
		name, src := example[0], example[1]
		for i, p := range some(name, placesOf(t, src)) {
			if p.n.Kind != yaml.ScalarNode || strings.HasSuffix(p.way, "."+removeKey) {
				continue
			}
			values := []string{"x", "22:00-06:00, a: b # [c] {d}", `"'\`, "null", "- 1", "a much longer value than any that stands there"}
			if i%4 > 0 {
				values = values[:2]
			}
			for _, value := range values {
				got := set(t, src, Setting{Key: p.way, Value: value})
				old, now := strings.SplitAfter(src, "\n"), strings.SplitAfter(got, "\n")
				if len(old) != len(now) {
					t.Fatalf("%s: %s: %d lines became %d", name, p.way, len(old), len(now))
				}
				for i := range old {
					if (old[i] != now[i]) != (i == p.n.Line-1) {
						t.Fatalf("%s: %s = %q: line %d %q became %q", name, p.way, value, i+1, old[i], now[i])
					}
				}
				was, is := old[p.n.Line-1], now[p.n.Line-1]
				if _, said, has := strings.Cut(was, " # "); has {
					_, says, _ := strings.Cut(is[min(len(is), strings.Index(is, value)+len(value)):], " # ")
					if !strings.Contains(value, "#") && said != says {
						t.Fatalf("%s: %s: the comment of %q became %q", name, p.way, was, is)
					}
					if value == "x" && strings.LastIndex(was, "#") != strings.LastIndex(is, "#") {
						t.Fatalf("%s: %s: the comment's column moved: %q became %q", name, p.way, was, is)
					}
				}
				if strings.HasSuffix(p.way, ".name") {
					continue // it has another way now
				}
				if back := set(t, got, Setting{Key: p.way, Value: p.n.Value}); value == "x" && back != src {
					t.Fatalf("%s: %s does not come back", name, p.way)
				}
			}
		}
	}
}

// Keys and entries of each example, taken out: the lines that stay are whole, in their order, but for a list or mapping that
// is left empty and a key that moves up to its dash.
func TestRewriteTakesOut(t *testing.T) {
	for _, example := range examples(t) {
		name, src := example[0], example[1]
		for _, p := range some(name, placesOf(t, src)) {
			got := set(t, src, Setting{Key: p.way, Remove: true})
			changed := 0
			rest := strings.SplitAfter(src, "\n")
			for _, line := range strings.SplitAfter(got, "\n") {
				i := slices.IndexFunc(rest, func(l string) bool { return strings.TrimRight(l, "\r\n") == strings.TrimRight(line, "\r\n") })
				if i < 0 {
					changed++
					continue
				}
				rest = rest[i+1:]
			}
			if changed > 1 {
				t.Fatalf("%s: without %s, %d lines are new:\n%s", name, p.way, changed, got)
			}
		}
	}
}

// One in five of the keys that could stand in the mappings of each example, added: nothing else changes, it stands after a key that the
// format lists before it, and taken out again it leaves the old text.
func TestRewriteAddsAndTakesOut(t *testing.T) {
	unraced(t)
	tried, added := 0, 0
	for _, example := range examples(t) {
		name, src := example[0], example[1]
		w := &rewriter{name: "f.yaml"}
		if err := w.take([]byte(src)); err != nil {
			t.Fatal(err)
		}
		places := append(placesOf(t, src), place{"", w.root, shape{t: reflect.TypeFor[file]()}})
		seen := map[string]int{}
		for _, p := range places {
			kind := fmt.Sprint(p.shape, p.n.Style, p.n.Line == w.root.Line)
			if seen[kind]++; p.n.Kind != yaml.MappingNode || seen[kind] > 1 {
				continue // one of a kind is enough
			}
			for _, key := range p.shape.keys() {
				if keyAt(p.n, key) >= 0 || p.way == "" && key == "variants" {
					continue
				}
				way := join(p.way, key)
				for _, value := range valuesFor(p.shape, key) {
					if tried++; tried%5 > 0 {
						continue
					}
					got := set(t, src, Setting{Key: way, Value: value})
					checkOrder(t, got, p, key)
					if back := set(t, got, Setting{Key: way, Remove: true}); back != src {
						t.Fatalf("%s: %s = %s and taken out again is another text:\n%s", name, way, value, difference(src, back))
					}
					added++
				}
			}
		}
	}
	if added < 150 {
		t.Errorf("%d keys were added; want 150", added)
	}
}

// valuesFor are values that a key takes, for their shape alone.
func valuesFor(s shape, key string) (values []string) {
	inner, _ := s.inner(key)
	if inner.t == nil || inner.one() {
		values = append(values, "12 m3")
	}
	if m := inner.mapping(); m != nil {
		keys := keysOf(m)
		values = append(values, "{"+keys[0]+": 3, "+keys[len(keys)-1]+": [1, 2]}")
	}
	if inner.entry() != nil {
		values = append(values, "[1, 2]", "[]", "[{name: a, b: 2}, {name: b}]")
	}
	return values
}

// checkOrder wants the key before it in the mapping to be listed before it, where one such stands there at all.
func checkOrder(t *testing.T, got string, p place, key string) {
	t.Helper()
	n, err := rootOf("f.yaml", []byte(got))
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range placesIn(n, shape{t: reflect.TypeFor[file]()}, "") {
		if q.way == p.way {
			n = q.n
		}
	}
	keys, order := writtenKeys(n), p.shape.keys()
	i := slices.Index(keys, key)
	if i < 0 {
		t.Fatalf("%s has no %s: %v", p.way, key, keys)
	}
	lower := slices.ContainsFunc(keys, func(k string) bool { return slices.Index(order, k) < slices.Index(order, key) })
	if lower && i > 0 && slices.Index(order, keys[i-1]) > slices.Index(order, key) {
		t.Fatalf("%s: %s stands after %s", p.way, key, keys[i-1])
	}
}

func difference(a, b string) string {
	x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range x {
		if i >= len(y) || x[i] != y[i] {
			return fmt.Sprintf("line %d: %q\nbecame  %q", i+1, x[i:min(i+4, len(x))], y[min(i, len(y)):min(i+4, len(y))])
		}
	}
	return "more lines"
}

// The hours of each example, painted in half hours and written again, run in the same hours of the year.
func TestHoursOfExamplesPainted(t *testing.T) {
	for _, example := range examples(t) {
		name, src := example[0], example[1]
		for _, p := range placesOf(t, src) {
			if !strings.HasSuffix(p.way, ".when") {
				continue
			}
			w, err := clock.ParseWhen(p.n.Value)
			if err != nil {
				t.Fatal(err)
			}
			k, err := w.Week(48)
			if err != nil {
				t.Fatal(err)
			}
			text, err := clock.WriteWhen(k)
			if again, bad := clock.ParseWhen(text); err != nil || bad != nil || !again.Equal(w) || len(text) > len(p.n.Value) {
				t.Errorf("%s: %s: %q is written %q, %v", name, p.way, p.n.Value, text, err)
			}
			got := set(t, src, Setting{Key: p.way, Value: text})
			if text == p.n.Value && got != src {
				t.Errorf("%s: %s: the text changed", name, p.way)
			}
		}
	}
}

// Lists given whole, in every layout: what comes of them is the list asked for, and lines of entries that both have stay.
func TestRewriteWholeLists(t *testing.T) {
	const seed = 5
	r := rand.New(rand.NewPCG(seed, seed))
	days := func() (list []string) {
		for _, d := range r.Perm(6)[:r.IntN(6)] {
			list = append(list, fmt.Sprintf("%d May", d+1))
		}
		return list
	}
	loads := func() (list []string) {
		for _, d := range r.Perm(5)[:1+r.IntN(4)] {
			list = append(list, fmt.Sprintf("{name: l%d, steam: %d kg/h}", d, 1+r.IntN(2)))
		}
		return list
	}
	layouts := []func(list []string) string{
		func(list []string) string { return " [" + strings.Join(list, ", ") + "]\n" },
		func(list []string) string { return " [\n  " + strings.Join(list, ",   # c\n  ") + "\n  ]\n" },
		func(list []string) string {
			return " # all\n  - " + strings.Join(list, "   # c\n  # next\n  - ") + "\n\n"
		},
		func(list []string) string {
			block := strings.NewReplacer("{", "", "}", "", ", ", "  # n\n  ").Replace(strings.Join(list, "\n\n# own\n- "))
			return "\n- " + block + " # s\n"
		},
	}
	for i := range 200 {
		key, old, now := "time.holidays", days(), days()
		if i%2 == 0 {
			key, old, now = "loads", loads(), loads()
		}
		src := "name: x\n"
		if layout := layouts[r.IntN(len(layouts))]; len(old) == 0 {
			continue
		} else if i%2 == 0 {
			src += "loads:" + layout(old)
		} else {
			src += "time:\n  holidays:" + strings.ReplaceAll(layout(old), "\n", "\n  ")
		}
		src += "\nmoney: {currency: EUR}  # m\n"
		want := "[" + strings.Join(now, ", ") + "]"
		got := set(t, src, Setting{Key: key, Value: want})
		if edits, err := Changes([]byte(got), []byte(set(t, src, Setting{Key: key, Value: "[]"}, Setting{Key: key, Value: want}))); err != nil || len(edits) > 0 {
			t.Fatalf("seed %d, %d: %s to %s:\n%s\nbecame\n%s\n%q, %v", seed, i, old, want, src, got, edits, err)
		}
		if !strings.HasPrefix(got, "name: x\n") || !strings.HasSuffix(got, "money: {currency: EUR}  # m\n") {
			t.Fatalf("seed %d, %d: its neighbours changed:\n%s", seed, i, got)
		}
	}
}
