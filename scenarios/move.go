package scenarios

import (
	"fmt"
	"reflect"
	"slices"
	"time"

	"go.yaml.in/yaml/v3"

	"noonkeep/demand"
	"noonkeep/plant/clock"
)

// Move is another time for one load.
type Move struct {
	Load string
	By   time.Duration // its whole pattern so much later, earlier below 0
	When string        // in place of By: these hours, or these starts of a batch
}

// Rearranged gives the case with loads at other times, as a variant of that name. Hours and starts move by the
// rules of [clock.When.Shift], so that holidays and shutdowns still take out the days that they name; a
// measured series moves as it is, its end to the year's beginning. A load that has no time of its own, one that follows
// the weather or never rests, is an error that says so.
func (c Case) Rearranged(name string, moves ...Move) (Case, error) {
	list := &yaml.Node{Kind: yaml.SequenceNode}
	turned := map[string]time.Duration{}
	for _, m := range moves {
		f, err := c.loadNamed(m.Load)
		if err != nil {
			return Case{}, err
		}
		way, text, err := c.moved(f, m)
		switch {
		case err != nil:
			return Case{}, err
		case way == nil:
			turned[m.Load] = m.By
		default:
			node := scalarOf(text)
			for i := len(way) - 1; i > 0; i-- {
				node = mappingOf(way[i], node)
			}
			entry := mappingOf("name", scalarOf(m.Load), way[0], node)
			if f.Rota != nil { // a moved rota is written in one text
				gone := &yaml.Node{Kind: yaml.SequenceNode, Content: []*yaml.Node{scalarOf("rota"), scalarOf("rota_from")}}
				entry.Content = append(entry.Content, scalarOf("remove"), gone)
			}
			list.Content = append(list.Content, entry)
		}
	}
	change := &yaml.Node{Kind: yaml.MappingNode}
	if len(list.Content) > 0 {
		change = mappingOf("loads", list)
	}
	return c.made.vary(name, change, "", turned)
}

// Hours gives the hours or starts of a load as they are written, "" where it has none.
func (c Case) Hours(load string) string {
	f, err := c.loadNamed(load)
	if err != nil {
		return ""
	}
	_, t := patternOf(f)
	return t.s
}

func (c Case) loadNamed(name string) (loadFile, error) {
	var names []string
	for _, f := range c.made.f.Loads {
		if f.Name.s == name {
			return f, nil
		}
		names = append(names, f.Name.s)
	}
	tail, near := wantOneOf(name, names)
	return loadFile{}, &Error{File: c.File, Text: fmt.Sprintf("no load is called %s; %s", quoted(name), tail), Near: near}
}

// patternOf is the way to a load's hours, windows or starts within its mapping, and their text; nil for none.
func patternOf(f loadFile) (way []string, t text) {
	if f.When.set {
		return []string{"when"}, f.When
	}
	if f.Rota != nil {
		return []string{"when"}, f.rotaText()
	}
	load := reflect.ValueOf(f)
	for i := range load.NumField() {
		if load.Field(i).Kind() != reflect.Pointer || load.Field(i).IsNil() {
			continue
		}
		inner := load.Field(i).Elem()
		for _, key := range []string{"within", "starts"} {
			if field, has := fieldOf(inner.Type(), key); has {
				if t, is := inner.FieldByIndex(field.Index).Interface().(text); is && t.set {
					return []string{load.Type().Field(i).Tag.Get(keyTag), key}, t
				}
			}
		}
	}
	return nil, text{}
}

// moved gives the text that a move puts in the place of a load's hours; no way for a series, which is turned.
func (c Case) moved(f loadFile, m Move) (way []string, text string, err error) {
	way, old := patternOf(f)
	fault := func(format string, args ...any) error {
		return &Error{File: c.File, Line: f.At.line, Key: f.At.key, Text: fmt.Sprintf(format, args...)}
	}
	if m.When != "" {
		if way == nil {
			way = []string{"when"} // of a load that ran always; where it can have no hours, reading it says so
		}
		return way, m.When, nil
	}
	switch {
	case way == nil && f.Series.set:
		if step := c.Axis.Step; m.By%step != 0 {
			return nil, "", fault("is measured, in steps of %v; want a move of whole steps, not %v", short(step), short(m.By))
		}
		return nil, "", nil
	case way == nil:
		return nil, "", fault("has no hours of its own, so there is nothing to move; give it `when`, or try hours in its place")
	}
	if way[len(way)-1] == "starts" {
		starts, err := demand.ParseStarts(old.s)
		if err != nil {
			return nil, "", err // it was read before
		}
		if starts, err = starts.Shift(m.By); err != nil {
			return nil, "", fault("%v", err)
		}
		return way, starts.String(), nil
	}
	hours, err := clock.ParseWhen(old.s)
	if err != nil {
		return nil, "", err // it was read before
	}
	later, err := hours.Shift(m.By)
	switch {
	case err != nil:
		return nil, "", fault("%v", err)
	case later.Equal(hours) && m.By != 0:
		return nil, "", fault("runs %s, so a move by %v changes nothing", old.s, short(m.By))
	}
	return way, later.String(), nil
}

// turn moves the heat of loads along the year, as far as the study is long.
func (b *builder) turn() {
	for i, load := range b.c.Loads {
		by, has := b.turned[load.Name]
		n := len(load.KW)
		if !has || n == 0 {
			continue
		}
		steps := int(by/b.c.Axis.Step) % n
		cut := (n - steps) % n
		b.c.Loads[i].KW = append(slices.Clone(load.KW[cut:]), load.KW[:cut]...)
		b.c.Loads[i].Says = load.Says + ", " + later(by)
	}
}

// later says a move in words: "3 h later", "90 min earlier".
func later(by time.Duration) string {
	if by < 0 {
		return short(-by) + " earlier"
	}
	return short(by) + " later"
}

// short writes a span of whole minutes: "3 h", "90 min".
func short(d time.Duration) string {
	if d%time.Hour == 0 {
		return fmt.Sprintf("%d h", d/time.Hour)
	}
	return fmt.Sprintf("%d min", d/time.Minute)
}

func scalarOf(s string) *yaml.Node {
	return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: s}
}

// mappingOf is a mapping of keys, as strings or nodes, and values in turn.
func mappingOf(pairs ...any) *yaml.Node {
	n := &yaml.Node{Kind: yaml.MappingNode}
	for _, p := range pairs {
		if s, ok := p.(string); ok {
			p = scalarOf(s)
		}
		n.Content = append(n.Content, p.(*yaml.Node))
	}
	return n
}
