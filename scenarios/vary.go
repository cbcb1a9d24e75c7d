package scenarios

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"

	"noonkeep/plant"
)

// origin is what a case was made of: what its variants are made of, and what they need not work out again.
type origin struct {
	root  *yaml.Node
	f     file
	c     Case
	open  Open
	given *otherYear
	noted map[string]noted
	loads map[string]keptLoad
}

// Vary gives the case with the change of one of its variants made. The change is merged into the text, and the
// whole is read as any scenario is; an error names the variant, and its line where the fault stands in the change.
// What the change leaves alone is not read and not worked out again: weather, measured series, loads, yields. A
// case may be varied by several goroutines at once.
func (c Case) Vary(name string) (Case, error) {
	var names []string
	for _, v := range c.Variants {
		if v.Name == name {
			return c.made.vary(name, v.Change, "variants["+cut(name)+"].change", nil)
		}
		names = append(names, v.Name)
	}
	tail, near := wantOneOf(name, names)
	return Case{}, &Error{File: c.File, Text: fmt.Sprintf("no variant is called %s; %s", quoted(name), tail), Near: near}
}

// vary makes a change, and turns the heat of loads by so much; seen is the way to the change in messages, empty for one
// that stands in no file.
func (o *origin) vary(name string, change *yaml.Node, seen string, turned map[string]time.Duration) (Case, error) {
	m := merger{faults: &faults{file: o.c.File}}
	here := at{line: change.Line, col: change.Column, key: seen}
	if change.Kind != yaml.MappingNode {
		m.add(here, "is %s; want the keys that differ, in the scenario's own shape", kindOf(change))
		return Case{}, m.err()
	}
	root := m.mapping(o.root, change, reflect.TypeFor[file](), "", seen)
	for _, load := range slices.Sorted(maps.Keys(turned)) {
		m.edits = append(m.edits, Edit{Key: "loads[" + load + "]", To: inWords(turned[load])})
	}
	if len(m.faults.list) == 0 && len(m.edits) == 0 {
		m.add(here, "changes nothing: each value is the plant's own; give another, or leave the variant out")
	}
	if err := m.err(); err != nil {
		return Case{}, err
	}
	if i := keyAt(root, "variants"); i >= 0 {
		root.Content = slices.Delete(root.Content, i, i+2)
	}
	b := builder{decoder: &decoder{faults: faults{file: o.c.File}, root: root}, open: o.open, from: o, turned: turned}
	b.doubts = m.doubts
	b.mapping(root, at{line: root.Line}, reflect.ValueOf(&b.f).Elem())
	if sameText(o.f.Weather, b.f.Weather) {
		b.given = o.given
	}
	c, err := b.build()
	if err != nil {
		placeFaults(b.faults.list, change, name, seen)
		return Case{}, b.err()
	}
	c.Variant, c.Edits = name, m.edits
	return c, nil
}

// placeFaults says of each fault which variant it is of, and gives those that stand in the change their whole way.
func placeFaults(list []*Error, change *yaml.Node, name, seen string) {
	stands := map[[2]int]bool{}
	last := change.Line
	var walk func(n *yaml.Node)
	walk = func(n *yaml.Node) {
		stands[[2]int{n.Line, n.Column}] = true
		last = max(last, n.Line)
		for _, inner := range n.Content {
			walk(inner)
		}
	}
	walk(change)
	for _, e := range list {
		if strings.HasSuffix(e.Text, "want one") || strings.HasSuffix(e.Text, "want one of the two") {
			e.Text += ", in a variant by remove: [...]"
		}
		inside := stands[[2]int{e.Line, e.col}] || e.col == 0 && e.Line >= change.Line && e.Line <= last
		if inside && seen != "" && e.Line > 0 {
			e.Key = join(seen, e.Key)
			continue
		}
		e.Text += fmt.Sprintf(" (in the variant %s)", quoted(name))
	}
}

// noted is what a piece of work added to the assumptions and doubts, and which assumptions it took back.
type noted struct {
	assumed []Assumption
	gone    []string
	doubts  []Warning
}

// noting runs a piece of work and remembers what it noted.
func (b *builder) noting(what string, work func()) {
	assumed, gone, doubts := b.assumed, b.gone, b.doubts
	b.assumed, b.gone, b.doubts = nil, nil, nil
	work()
	n := noted{b.assumed, b.gone, b.doubts}
	b.assumed, b.gone, b.doubts = assumed, gone, doubts
	b.notes(n)
	if b.noted == nil {
		b.noted = map[string]noted{}
	}
	before := b.noted[what]
	b.noted[what] = noted{append(before.assumed, n.assumed...), append(before.gone, n.gone...), append(before.doubts, n.doubts...)}
}

// again notes what a piece of work noted for the origin.
func (b *builder) again(what string) {
	n := b.from.noted[what]
	b.notes(n)
	if b.noted == nil {
		b.noted = map[string]noted{}
	}
	b.noted[what] = n
}

func (b *builder) notes(n noted) {
	for _, key := range n.gone {
		b.unassume(key)
	}
	for _, a := range n.assumed { // two loads may have asked for one value of a fuel
		if !slices.Contains(b.assumed, a) {
			b.assumed = append(b.assumed, a)
		}
	}
	b.doubts = append(b.doubts, n.doubts...)
}

// sameAxis tells whether the origin stands at the same place and counts the same steps.
func (b *builder) sameAxis() bool {
	o := b.from
	return o != nil && o.c.Place == b.c.Place && o.c.Axis.Same(b.c.Axis)
}

// sameSky tells whether the origin's weather is this case's too.
func (b *builder) sameSky() bool {
	return b.sameAxis() && b.from.given == b.given && sameText(b.from.f.Weather, b.f.Weather)
}

// sky sets the weather year, the origin's where it is the same.
func (b *builder) sky() {
	if b.sameSky() {
		b.c.Weather = b.from.c.Weather
		b.again("weather")
		return
	}
	if b.given != nil && b.given.year != nil {
		b.noting("weather", b.givenWeather)
		return
	}
	b.noting("weather", b.weather)
}

// loadAgain takes a load from the origin where it, the sun if it needs any, and all that stands before it are the same.
func (b *builder) loadAgain(f loadFile) bool {
	o := b.from
	if o == nil || !f.Name.set {
		return false
	}
	known, has := o.loads[f.Name.s]
	j := slices.IndexFunc(o.f.Loads, func(l loadFile) bool { return l.Name.s == f.Name.s })
	if !has || j < 0 || !sameText(o.f.Loads[j], f) || !b.sameAxis() || known.sun && !b.sameSky() ||
		!sameText(o.f.Time, b.f.Time) || !sameText(o.f.Headers, b.f.Headers) ||
		!sameText(o.f.Fuels, b.f.Fuels) || !sameText(o.f.Boilers, b.f.Boilers) ||
		f.Cooling != nil && !sameText(o.f.storeFiles(), b.f.storeFiles()) { // a chiller may hang on the store's own heat
		return false
	}
	b.again("load " + f.Name.s)
	load := known.whole
	if _, moves := b.turned[load.Name]; moves {
		load = known.process
		b.turn(&load)
		b.ownUse(&load)
	}
	b.c.Loads = append(b.c.Loads, load)
	b.keepLoad(known.process, load, known.sun)
	return true
}

// keptLoad is a load as it was when it was worked out: the process alone, and with what the boiler house takes for it.
type keptLoad struct {
	process, whole Consumer
	sun            bool // it depends on the weather year
}

// keepLoad remembers a load for variants.
func (b *builder) keepLoad(process, whole Consumer, sun bool) {
	if b.kept == nil {
		b.kept = map[string]keptLoad{}
	}
	b.kept[whole.Name] = keptLoad{process, whole, sun}
}

// yield is a field's heat at a temperature, the origin's where sun, collectors and temperature are the same; how
// many collectors there are does not matter, since a yield is of a m².
func (b *builder) yield(f plant.Field, fluidC float64) (plant.YieldYear, error) {
	if !b.sameSky() {
		return f.Yield(b.c.Weather, fluidC)
	}
	o := &b.from.c
	for _, known := range o.Fields {
		g := known.Field
		g.Name, g.Count, g.ApertureM2 = f.Name, f.Count, f.ApertureM2
		if !reflect.DeepEqual(f, g) || f.OfTheWhole() && (known.Count != f.Count || known.ApertureM2 != f.ApertureM2) {
			continue
		}
		if known.Feeds != ToStoreAlone && known.AtC == fluidC {
			return known.ToHeader, nil
		}
		for k, s := range o.Stores {
			if y := known.ToStores[k]; y.KWM2 != nil && s.HotC() == fluidC {
				return y, nil
			}
		}
	}
	return f.Yield(b.c.Weather, fluidC)
}
