package study

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// study reads the keys of a study file.
func (r *reader) study(root *yaml.Node, f *File) {
	f.keep.Curve = true
	r.mapping(root, "",
		field{"noonkeep_study", true, func(n *yaml.Node, key string) { r.whole(n, key, 1, 1) }},
		field{"name", true, func(n *yaml.Node, key string) {
			const most = 100
			if f.Name, _ = r.scalar(n, key); len([]rune(f.Name)) > most {
				r.add(n.Line, key, "is %d letters long; want at most %d", len([]rune(f.Name)), most)
			}
		}},
		field{"scenarios", true, func(n *yaml.Node, key string) { f.scenarios = r.words(n, key) }},
		field{"weather", false, func(n *yaml.Node, key string) { r.weather(n, key, &f.weather) }},
		field{"vary", false, func(n *yaml.Node, key string) {
			r.items(n, key, func(n *yaml.Node, key string) { f.vary = append(f.vary, r.vary(n, key)) })
		}},
		field{"sample", false, func(n *yaml.Node, key string) { f.sample = r.sample(n, key) }},
		field{"keep", false, func(n *yaml.Node, key string) { f.keep = r.keep(n, key) }},
	)
	if len(f.vary) > mostKeys {
		r.add(f.vary[mostKeys].line, "vary", "has %d keys; want at most %d", len(f.vary), mostKeys)
	}
	for i, k := range f.vary {
		for _, before := range f.vary[:i] {
			if k.Key.Key == before.Key.Key && k.Key.Key != "" {
				r.add(k.line, "vary", "%q stands here a second time, first in line %d; give each key all its values at once", cut(k.Key.Key), before.line)
			}
		}
	}
	if f.sample != nil && len(f.vary) == 0 && f.weather.line == 0 {
		r.add(value(root, "sample").Line, "sample", "draws from nothing: the study varies neither weather nor values; want vary or weather, or leave sample out")
	}
}

func (r *reader) words(n *yaml.Node, key string) (list []word) {
	r.items(n, key, func(n *yaml.Node, key string) {
		if s, ok := r.scalar(n, key); ok {
			list = append(list, word{n.Line, key, s})
		}
	})
	return list
}

// weather reads which years each scenario is solved in.
func (r *reader) weather(n *yaml.Node, key string, w *weatherFile) {
	w.line = n.Line
	r.mapping(n, key,
		field{"seeds", false, func(n *yaml.Node, key string) { w.seeds = r.seeds(n, key) }},
		field{"years", false, func(n *yaml.Node, key string) {
			if s, ok := r.scalar(n, key); ok {
				if _, _, known := yearsOf(s); !known {
					r.add(n.Line, key, "is %q; want all, a year such as 2011, or years such as 2005..2014", cut(s))
					return
				}
				w.years = &word{n.Line, key, s}
			}
		}},
		field{"files", false, func(n *yaml.Node, key string) { w.files = r.words(n, key) }},
	)
	if n.Kind == yaml.MappingNode && len(n.Content) != 2 {
		r.add(n.Line, key, "has %d keys; want one of seeds, years and files", len(n.Content)/2)
	}
}

// yearsOf reads "all" (0 to 0), "2011" or "2005..2014".
func yearsOf(s string) (from, to int, ok bool) {
	if s == "all" {
		return 0, 0, true
	}
	a, b, is := strings.Cut(s, "..")
	if !is {
		b = a
	}
	from, err := strconv.Atoi(strings.TrimSpace(a))
	to, err2 := strconv.Atoi(strings.TrimSpace(b))
	return from, to, err == nil && err2 == nil && 1800 <= from && from <= to && to <= 2200
}

// seeds reads "1..30" or a list of seeds.
func (r *reader) seeds(n *yaml.Node, key string) (list []uint64) {
	const most = 1 << 53 // as a scenario's seed
	if n.Kind != yaml.ScalarNode {
		r.items(n, key, func(n *yaml.Node, key string) {
			if v, ok := r.whole(n, key, 0, most); ok {
				if slices.Contains(list, v) {
					r.add(n.Line, key, "is %d a second time; want each seed once", v)
				}
				list = append(list, v)
			}
		})
	} else {
		a, b, _ := strings.Cut(n.Value, "..")
		from, err := strconv.ParseUint(strings.TrimSpace(a), 10, 64)
		to, err2 := strconv.ParseUint(strings.TrimSpace(b), 10, 64)
		if err != nil || err2 != nil || from > to || to > most {
			r.add(n.Line, key, "is %s; want seeds such as 1..30, or a list of them", kindOf(n))
			return nil
		}
		if to-from >= mostSeeds {
			r.add(n.Line, key, "are %d; want at most %d", to-from+1, mostSeeds)
			return nil
		}
		for s := from; s <= to; s++ {
			list = append(list, s)
		}
	}
	if len(list) > mostSeeds {
		r.add(n.Line, key, "are %d; want at most %d", len(list), mostSeeds)
	}
	return list
}

// vary reads a key and its values: a list, or a range taken evenly.
func (r *reader) vary(n *yaml.Node, key string) varyFile {
	v := varyFile{line: n.Line}
	var from, to string
	var count uint64
	r.mapping(n, key,
		field{"key", true, func(n *yaml.Node, key string) { v.Key.Key, _ = r.scalar(n, key) }},
		field{"values", false, func(n *yaml.Node, key string) {
			r.items(n, key, func(n *yaml.Node, key string) { v.Values = append(v.Values, r.written(n, key)) })
		}},
		field{"from", false, func(n *yaml.Node, key string) { from, _ = r.scalar(n, key) }},
		field{"to", false, func(n *yaml.Node, key string) { to, _ = r.scalar(n, key) }},
		field{"count", false, func(n *yaml.Node, key string) { count, _ = r.whole(n, key, 2, mostValues) }},
	)
	if n.Kind != yaml.MappingNode {
		return v
	}
	listed, ranged := value(n, "values") != nil, value(n, "from") != nil || value(n, "to") != nil || value(n, "count") != nil
	switch {
	case listed == ranged:
		r.add(n.Line, key, "wants either values: [...], or from, to and count")
	case listed && len(v.Values) > mostValues:
		r.add(n.Line, key+".values", "are %d; want at most %d", len(v.Values), mostValues)
	case listed:
		for i, s := range v.Values {
			if slices.Contains(v.Values[:i], s) && s != "" {
				r.add(n.Line, fmt.Sprintf("%s.values[%d]", key, i+1), "is %q a second time; want each value once", cut(s))
			}
		}
	case from != "" && to != "" && count > 0:
		if err := v.Key.span(from, to); err != nil {
			r.add(n.Line, key, "%v", err)
			break
		}
		if v.Whole && v.To-v.From < float64(count-1) {
			r.add(n.Line, key+".count", "is %d; there are %g whole numbers from %s to %s", count, v.To-v.From+1, from, to)
			break
		}
		v.Values = v.grid(int(count))
	default:
		r.add(n.Line, key, "wants from, to and count together")
	}
	return v
}

// written gives a value as one writes it in a scenario; a mapping or a list is written on one line.
func (r *reader) written(n *yaml.Node, key string) string {
	if n.Kind == yaml.ScalarNode {
		s, _ := r.scalar(n, key)
		return s
	}
	flow := *n
	flow.Style |= yaml.FlowStyle
	out, err := yaml.Marshal(&flow)
	if err != nil {
		r.add(n.Line, key, "cannot be written on one line: %v", err)
	}
	return strings.TrimSpace(string(out))
}

var numberUnit = regexp.MustCompile(`^([+-]?[0-9]+(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?)\s*(.*)$`)

// span reads the ends of a range; the first may leave its unit to the second.
func (k *Key) span(from, to string) error {
	a, b := numberUnit.FindStringSubmatch(from), numberUnit.FindStringSubmatch(to)
	switch {
	case a == nil:
		return fmt.Errorf("from is %q; want a number, with its unit if it has one", cut(from))
	case b == nil:
		return fmt.Errorf("to is %q; want a number, with its unit if it has one", cut(to))
	case a[2] != "" && a[2] != b[2]:
		return fmt.Errorf("from is in %q and to in %q; want one unit", cut(a[2]), cut(b[2]))
	}
	k.From, _ = strconv.ParseFloat(a[1], 64)
	k.To, _ = strconv.ParseFloat(b[1], 64)
	if !(k.From < k.To) || math.IsInf(k.To-k.From, 0) {
		return fmt.Errorf("from is %s and to is %s; want the smaller first", cut(from), cut(to))
	}
	k.Range, k.Unit = true, b[2]
	k.Whole = k.Unit == "" && !strings.ContainsAny(a[1]+b[1], ".eE")
	return nil
}

func (r *reader) sample(n *yaml.Node, key string) *Sample {
	var s Sample
	r.mapping(n, key,
		field{"cases", true, func(n *yaml.Node, key string) { v, _ := r.whole(n, key, 2, mostSampled); s.Cases = int(v) }},
		field{"seed", true, func(n *yaml.Node, key string) { s.Seed, _ = r.whole(n, key, 0, 1<<53) }},
	)
	return &s
}

func (r *reader) keep(n *yaml.Node, key string) Keep {
	var k Keep
	if n.Kind == yaml.SequenceNode && len(n.Content) == 0 {
		return k
	}
	r.items(n, key, func(n *yaml.Node, key string) {
		switch s, _ := r.scalar(n, key); s {
		case "curve":
			k.Curve = true
		case "size":
			k.Size = true
		case "worth":
			k.Worth = true
		case "replay":
			k.Replay = true
		default:
			r.add(n.Line, key, "is %s; want curve, size, worth or replay", kindOf(n))
		}
	})
	return k
}
