package scenarios

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Edit is one value that a variant gives the plant otherwise.
type Edit struct {
	Key      string // the way to it, "loads[night shift].when"
	From, To string // as written, "" where there is none: a value that is new, or one that is taken out
}

// merger makes a variant's text of the plant's, on YAML nodes, so that each value keeps the line on which a
// person wrote it. A change has the scenario's own shape: what it names is replaced, the rest stays. Entries of a
// list are found by their name; a new name is a new entry. `remove: yes` takes an entry or a section out,
// `remove: [when, season]` takes keys out.
type merger struct {
	*faults
	edits  []Edit
	doubts []Warning
}

const removeKey = "remove"

// mostSlips is how many letters of a new name may differ from a known one before it is no longer doubtful.
const mostSlips = 2

// unchangeable are the keys of a scenario that are no part of the plant.
var unchangeable = map[string]string{
	"noonkeep": "is the version of the whole file; a variant cannot change it",
	"name":     "is the plant's; a variant's own name stands beside its change",
	"variants": "stands in a variant; a variant has none of its own",
}

// mapping gives the plant's mapping with the change made to it; nil for none. base may be nil.
func (m *merger) mapping(base, change *yaml.Node, t reflect.Type, way, seen string) *yaml.Node {
	out := &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map", Line: change.Line, Column: change.Column}
	if base != nil {
		copied := *base
		copied.Content = slices.Clone(base.Content)
		out = &copied
	}
	written := map[string]int{}
	for i := 0; i+1 < len(change.Content); i += 2 {
		k, v := change.Content[i], change.Content[i+1]
		here := at{line: k.Line, col: k.Column, key: join(seen, cut(k.Value))}
		if first, twice := written[k.Value]; twice {
			m.add(here, "is written twice, first in line %d; keep one", first)
			continue
		}
		written[k.Value] = k.Line
		if k.Value == removeKey {
			m.remove(out, v, t, way, here)
			continue
		}
		if why, no := unchangeable[k.Value]; no && way == "" {
			m.add(here, "%s", why)
			continue
		}
		field, known := fieldOf(t, k.Value)
		if !known {
			tail, near := wantOneOf(k.Value, keysOf(t))
			m.add(here, "is not a key of a scenario here; %s", tail).Near = near
			continue
		}
		here.key = join(seen, k.Value)
		m.entry(out, k, v, field.Type, join(way, k.Value), here)
	}
	return out
}

// entry makes the change of one key.
func (m *merger) entry(out, k, v *yaml.Node, t reflect.Type, way string, here at) {
	place := keyAt(out, k.Value)
	var old *yaml.Node
	if place >= 0 {
		old = out.Content[place+1]
	}
	next := v
	inner := mappingType(t)
	switch {
	case v.Kind == yaml.ScalarNode && v.ShortTag() == "!!null":
		m.add(here, "has no value; give one, or take the key out with remove: [%s]", k.Value)
		return
	case inner != nil && v.Kind == yaml.MappingNode && old != nil && old.Kind == yaml.MappingNode && isYes(valueOf(v, removeKey)):
		if len(v.Content) > 2 {
			m.add(here, "is changed and removed; want one of the two")
			return
		}
		out.Content = slices.Delete(out.Content, place, place+2)
		m.edit(way, old, nil)
		return
	case inner != nil && v.Kind == yaml.MappingNode && old != nil && old.Kind == yaml.MappingNode:
		next = m.mapping(old, v, inner, way, here.key)
	case named(t) != nil && v.Kind == yaml.SequenceNode && old != nil && old.Kind == yaml.SequenceNode:
		next = m.entries(old, v, named(t), way, here.key)
	case old != nil && same(old, v):
		return // nothing new, so the plant's own line stays
	default:
		m.edit(way, old, v)
	}
	if place < 0 {
		out.Content = append(out.Content, k, next)
		return
	}
	out.Content[place+1] = next
}

// entries changes the entries of a list that have the names that the change gives, and adds those of new names.
func (m *merger) entries(base, change *yaml.Node, t reflect.Type, way, seen string) *yaml.Node {
	copied := *base
	out := &copied
	out.Content = slices.Clone(base.Content)
	what := strings.TrimSuffix(lastKey(way), "s")
	done := map[string]int{}
	for _, v := range change.Content {
		here := at{line: v.Line, col: v.Column, key: seen}
		name := nameOf(v)
		if name == "" {
			m.add(here, "an entry is %s without a name; want the name of the %s that changes, or a new one's", kindOf(v), what)
			continue
		}
		here.key = seen + "[" + cut(name) + "]"
		if first, twice := done[name]; twice {
			m.add(here, "is changed twice, first in line %d; keep one", first)
			continue
		}
		done[name] = v.Line
		inside := way + "[" + name + "]"
		place := slices.IndexFunc(out.Content, func(n *yaml.Node) bool { return nameOf(n) == name })
		switch {
		case place < 0:
			m.newcomer(out, v, t, what, inside, here)
		case !isYes(valueOf(v, removeKey)):
			out.Content[place] = m.mapping(out.Content[place], v, t, inside, here.key)
		case len(v.Content) > 4:
			m.add(here, "is changed and removed; want one of the two")
		default:
			m.edit(inside, out.Content[place], nil)
			out.Content = slices.Delete(out.Content, place, place+1)
		}
	}
	return out
}

// newcomer adds an entry that the plant has not, if it is whole: else its name is most likely a slip.
func (m *merger) newcomer(out, v *yaml.Node, t reflect.Type, what, inside string, here at) {
	var names []string
	for _, n := range out.Content {
		names = append(names, nameOf(n))
	}
	lacks := lacksOf(v, t)
	if len(lacks) == 0 && valueOf(v, removeKey) == nil {
		if near := nearest(nameOf(v), names); near != "" && distance(nameOf(v), near) <= mostSlips {
			m.doubts = append(m.doubts, Warning{here.line, fmt.Sprintf("%s: is a new %s beside %s; if that one was meant, mend the name", here.key, what, quoted(near))})
		}
		out.Content = append(out.Content, v)
		m.edit(inside, nil, v)
		return
	}
	tail, near := wantOneOf(nameOf(v), names)
	if len(lacks) > 0 && valueOf(v, removeKey) == nil {
		tail += "; a new one needs " + andList(lacks)
	}
	m.add(here, "no %s is called %s; %s", what, quoted(nameOf(v)), tail).Near = near
}

// lacksOf is what an entry of a list has not and needs.
func lacksOf(v *yaml.Node, t reflect.Type) (lacks []string) {
	for i := range t.NumField() {
		key := t.Field(i).Tag.Get(keyTag)
		if t.Field(i).Tag.Get("need") != "" && valueOf(v, key) == nil {
			lacks = append(lacks, key)
		}
	}
	if t == reflect.TypeFor[loadFile]() {
		var ways []string
		for _, s := range sources() {
			ways = append(ways, s.key)
		}
		if !slices.ContainsFunc(ways, func(key string) bool { return valueOf(v, key) != nil }) {
			lacks = append(lacks, orList(ways))
		}
	}
	return lacks
}

// remove takes keys out of a mapping.
func (m *merger) remove(out, list *yaml.Node, t reflect.Type, way string, here at) {
	if list.Kind != yaml.SequenceNode || len(list.Content) == 0 {
		m.add(here, "is %s; want a list of the keys to take out, as remove: [%s]", kindOf(list), keysOf(t)[0])
		return
	}
	for _, n := range list.Content {
		place := keyAt(out, n.Value)
		at := at{line: n.Line, col: n.Column, key: here.key}
		switch _, known := fieldOf(t, n.Value); {
		case place >= 0 && known && unchangeable[n.Value] == "":
			m.edit(join(way, n.Value), out.Content[place+1], nil)
			out.Content = slices.Delete(out.Content, place, place+2)
		case place >= 0 && known:
			m.add(at, "%s cannot be taken out", quoted(n.Value))
		default:
			tail, near := wantOneOf(n.Value, writtenKeys(out))
			m.add(at, "%s is not written in the plant; %s", quoted(n.Value), tail).Near = near
		}
	}
}

func (m *merger) edit(way string, from, to *yaml.Node) {
	m.edits = append(m.edits, Edit{way, inLine(from), inLine(to)})
}

// mappingType is the struct that a key's mapping is read into; nil when it is no mapping.
func mappingType(t reflect.Type) reflect.Type {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct || len(keysOf(t)) == 0 {
		return nil
	}
	return t
}

// named is the type of the entries of a list whose entries have names; nil for another list or none.
func named(t reflect.Type) reflect.Type {
	if t.Kind() != reflect.Slice {
		return nil
	}
	if inner := mappingType(t.Elem()); inner != nil {
		if _, has := fieldOf(inner, "name"); has {
			return inner
		}
	}
	return nil
}

func fieldOf(t reflect.Type, key string) (reflect.StructField, bool) {
	for i := range t.NumField() {
		if f := t.Field(i); f.Tag.Get(keyTag) == key && key != "" {
			return f, true
		}
	}
	return reflect.StructField{}, false
}

// keyAt is the place of a key in a mapping, -1 if it is not there.
func keyAt(n *yaml.Node, key string) int {
	for i := 0; n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return i
		}
	}
	return -1
}

func valueOf(n *yaml.Node, key string) *yaml.Node {
	if i := keyAt(n, key); i >= 0 {
		return n.Content[i+1]
	}
	return nil
}

func writtenKeys(n *yaml.Node) []string {
	var keys []string
	for i := 0; i+1 < len(n.Content); i += 2 {
		keys = append(keys, n.Content[i].Value)
	}
	return keys
}

func isYes(n *yaml.Node) bool {
	return n != nil && n.Kind == yaml.ScalarNode && slices.Contains([]string{"yes", "true"}, n.Value)
}

// same tells whether two values are written alike, whatever their style and lines.
func same(a, b *yaml.Node) bool {
	return a.Kind == b.Kind && strings.TrimSpace(a.Value) == strings.TrimSpace(b.Value) && slices.EqualFunc(a.Content, b.Content, same)
}

// inLine writes a value in one line for a person.
func inLine(n *yaml.Node) string {
	if n == nil {
		return ""
	}
	if n.Kind == yaml.ScalarNode {
		return strings.TrimSpace(n.Value)
	}
	var parts []string
	for i := 0; i < len(n.Content); i++ {
		if n.Kind == yaml.MappingNode {
			parts = append(parts, n.Content[i].Value+": "+inLine(n.Content[i+1]))
			i++
			continue
		}
		parts = append(parts, inLine(n.Content[i]))
	}
	if n.Kind == yaml.MappingNode {
		return "{" + strings.Join(parts, ", ") + "}"
	}
	return "[" + strings.Join(parts, ", ") + "]"
}
