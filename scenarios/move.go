package scenarios

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
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

// Rearranged gives the case with loads at other times, as a variant of that name. Hours, breaks and starts move by the
// rules of [clock.When.Shift], so that holidays and shutdowns still take out the days that they name; a measured load
// moves as it is, what leaves the year's end to its beginning. A load that has no time of its own, one that follows the
// weather or never rests, is an error that says so.
func (c Case) Rearranged(name string, moves ...Move) (Case, error) {
	list := &yaml.Node{Kind: yaml.SequenceNode}
	turned := map[string]time.Duration{}
	for _, m := range moves {
		f, err := c.loadNamed(m.Load)
		if err != nil {
			return Case{}, err
		}
		entry := mappingOf("name", scalarOf(m.Load))
		switch {
		case m.When != "":
			c.instead(entry, f, m.When)
		case measured(f):
			if step := c.Axis.Step; m.By%step != 0 {
				return Case{}, c.stays(f, "is measured, in steps of %v; want a move of whole steps, not %v", short(step), short(m.By))
			}
			turned[m.Load] = m.By
			continue
		default:
			if err := c.later(entry, f, m.By); err != nil {
				return Case{}, err
			}
		}
		list.Content = append(list.Content, entry)
	}
	change := &yaml.Node{Kind: yaml.MappingNode}
	if len(list.Content) > 0 {
		change = mappingOf("loads", list)
	}
	return c.made.vary(name, change, "", turned)
}

// measured tells whether a load is what a meter says, at the hours at which it says it.
func measured(f loadFile) bool { return f.Series.set || f.Log != nil }

// stays is the fault of a load that cannot be moved.
func (c Case) stays(f loadFile, format string, args ...any) error {
	return &Error{File: c.File, Line: f.At.line, Key: f.At.key, Text: fmt.Sprintf(format, args...)}
}

// instead puts other hours, or other starts, into a load's entry.
func (c Case) instead(entry *yaml.Node, f loadFile, hours string) {
	way, _ := patternOf(f)
	if f.Rota != nil {
		entry.Content = append(entry.Content, scalarOf(removeKey), sequenceOf("rota", "rota_from"))
	}
	if way == nil {
		way = []string{"when"} // of a load that ran always; where it can have no hours, reading it says so
	}
	put(entry, way, scalarOf(hours))
}

// later puts a load's pattern, moved, into its entry.
func (c Case) later(entry *yaml.Node, f loadFile, by time.Duration) error {
	way, old := patternOf(f)
	switch {
	case f.HotWater != nil && f.HotWater.Profile != nil:
		return c.stays(f, "is drawn by a profile of the day's hours; want another profile in a variant, not a move")
	case f.Rota != nil:
		return c.rotaLater(entry, f, by)
	case way == nil:
		return c.stays(f, "has no hours of its own, so there is nothing to move; give it `when`, or try hours in its place")
	}
	text, err := "", error(nil)
	if way[len(way)-1] == "starts" {
		text, err = startsLater(old.s, by)
	} else {
		text, err = hoursLater(old.s, by)
	}
	switch {
	case err != nil:
		return c.stays(f, "%v", err)
	case text == old.s && by != 0:
		return c.stays(f, "runs %s, so a move by %v changes nothing", old.s, short(by))
	}
	put(entry, way, scalarOf(text))
	return c.breaksLater(entry, f, by)
}

func (c Case) rotaLater(entry *yaml.Node, f loadFile, by time.Duration) error {
	text, err := hoursLater(rotaText(f), by)
	if err != nil {
		return c.stays(f, "%v", err)
	}
	_, text, _ = strings.Cut(text, ": ")
	put(entry, []string{"rota"}, sequenceOf(strings.Split(text, " | ")...))
	return c.breaksLater(entry, f, by)
}

func (c Case) breaksLater(entry *yaml.Node, f loadFile, by time.Duration) error {
	if !f.Breaks.set {
		return nil
	}
	text, err := hoursLater(f.Breaks.s, by)
	if err != nil {
		return c.stays(f, "breaks: %v", err)
	}
	put(entry, []string{"breaks"}, scalarOf(text))
	return nil
}

func hoursLater(text string, by time.Duration) (string, error) {
	hours, err := clock.ParseWhen(text)
	if err != nil {
		return "", err
	}
	moved, err := hours.Shift(by)
	if err != nil || moved.Equal(hours) {
		return text, err
	}
	return moved.String(), nil
}

func startsLater(text string, by time.Duration) (string, error) {
	starts, err := demand.ParseStarts(text)
	if err != nil {
		return "", err
	}
	moved, err := starts.Shift(by)
	if err != nil || moved.Equal(starts) {
		return text, err
	}
	return moved.String(), nil
}

// Hours gives the hours or starts of a load as they are written, "" where it has none.
func (c Case) Hours(load string) string {
	f, err := c.loadNamed(load)
	if err != nil {
		return ""
	}
	if f.Rota != nil {
		return rotaText(f)
	}
	_, t := patternOf(f)
	return t.s
}

// rotaText is a load's rota as one text.
func rotaText(f loadFile) string {
	var weeks []string
	for _, t := range f.Rota {
		weeks = append(weeks, t.s)
	}
	return "rota from " + f.RotaFrom.s + ": " + strings.Join(weeks, " | ")
}

// HasLoad is an error, with the nearest name, where no load has the name.
func (c Case) HasLoad(name string) error {
	_, err := c.loadNamed(name)
	return err
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

// turn moves a load's heat along the year, what leaves its end to its beginning.
func (b *builder) turn(load *Consumer) {
	by, has := b.turned[load.Name]
	n := len(load.KW)
	if !has || n == 0 {
		return
	}
	steps := int(by/b.c.Axis.Step) % n
	cut := (n - steps) % n
	load.KW = append(slices.Clone(load.KW[cut:]), load.KW[:cut]...)
	load.Says += ", " + inWords(by)
}

// inWords says a move: "3 h later", "90 min earlier".
func inWords(by time.Duration) string {
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

func sequenceOf(words ...string) *yaml.Node {
	n := &yaml.Node{Kind: yaml.SequenceNode}
	for _, w := range words {
		n.Content = append(n.Content, scalarOf(w))
	}
	return n
}

// put sets a value in a mapping, by the keys that lead to it.
func put(n *yaml.Node, way []string, value *yaml.Node) {
	for i := len(way) - 1; i > 0; i-- {
		value = mappingOf(way[i], value)
	}
	n.Content = append(n.Content, scalarOf(way[0]), value)
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
