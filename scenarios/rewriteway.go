package scenarios

import (
	"reflect"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// shape is what a scenario's structs know of a place: the type of its value; in the change of a variant entries may also be
// taken out.
type shape struct {
	t      reflect.Type // nil where nothing is known of it
	change bool
}

// inner is the shape of a key's value.
func (s shape) inner(key string) (shape, bool) {
	t := s.mapping()
	if t == nil {
		return shape{}, false
	}
	if s.change && key == removeKey {
		return shape{}, true
	}
	field, known := fieldOf(t, key)
	if !known {
		return shape{}, false
	}
	if field.Type == reflect.TypeFor[raw]() {
		return shape{reflect.TypeFor[file](), true}, true
	}
	return shape{field.Type, s.change}, true
}

// mapping is the struct of a place that has keys, nil for any other.
func (s shape) mapping() reflect.Type {
	if s.t == nil {
		return nil
	}
	if isEither(s.t) {
		return shape{t: shapeType(s.t, "map")}.mapping()
	}
	return mappingType(s.t)
}

// entry is the type of a list's entries, nil for any other place.
func (s shape) entry() reflect.Type {
	switch {
	case s.t == nil:
		return nil
	case isEither(s.t):
		return shape{t: shapeType(s.t, "list")}.entry()
	case s.t.Kind() == reflect.Slice:
		return s.t.Elem()
	}
	return nil
}

// one tells whether the place takes a single value.
func (s shape) one() bool {
	if s.t == nil {
		return false
	}
	return isEither(s.t) && shapeType(s.t, "one") != nil || s.mapping() == nil && s.entry() == nil
}

// shapeType is the type of one of the shapes that a value may have, nil if it has not this one.
func shapeType(t reflect.Type, shape string) reflect.Type {
	for i := range t.NumField() {
		if f := t.Field(i); f.Tag.Get(shapeTag) == shape {
			return f.Type
		}
	}
	return nil
}

// keys are those that a place may have.
func (s shape) keys() []string {
	if s.mapping() == nil {
		return nil
	}
	keys := keysOf(s.mapping())
	if s.change {
		keys = append(keys, removeKey)
	}
	if s.change && s.t == reflect.TypeFor[file]() {
		keys = slices.DeleteFunc(keys, func(key string) bool { return unchangeable[key] != "" })
	}
	return keys
}

// spot is where a way leads: through the nodes by their places, as far as they are written.
type spot struct {
	path    []int  // places in the contents of the nodes, from the root on, as far as they are written
	shape   shape  // of the value
	owner   shape  // of the mapping or list that the first missing step stands in
	missing []step // what is not written yet
	seen    string // the way as messages show it
	line    int    // of the last node that is written
}

// find follows a way through the nodes and the scenario's shape.
func (w *rewriter) find(steps []step) (spot, error) {
	s := spot{shape: shape{t: reflect.TypeFor[file]()}, line: w.root.Line}
	n := w.root
	for i, st := range steps {
		here := at{line: n.Line, key: s.seen}
		var err *Error
		var next shape
		if st.inside {
			next, err = w.intoList(s.shape, st, n, here)
			s.seen += "[" + cut(st.word) + "]"
		} else {
			next, err = w.intoMapping(s.shape, st, n, here, i == 0)
			s.seen = join(s.seen, cut(st.word))
		}
		if err != nil {
			return s, err
		}
		place := -1
		if len(s.missing) == 0 {
			if place, err = w.placeOf(n, st, s.seen); err != nil {
				return s, err
			}
		}
		if len(s.missing) == 0 && place < 0 {
			s.owner = s.shape
			if bad := w.mayBegin(n, s.shape, steps[i:], here); bad != nil {
				return s, bad
			}
		}
		if place < 0 {
			s.missing = append(s.missing, st)
		} else {
			n = n.Content[place]
			s.path = append(s.path, place)
			s.line = n.Line
		}
		s.shape = next
	}
	return s, nil
}

// placeOf is where the value of a step stands in the contents of a node, -1 if it is not written.
func (w *rewriter) placeOf(n *yaml.Node, st step, seen string) (int, *Error) {
	if st.inside {
		return entryAt(n, st), nil
	}
	place := keyAt(n, st.word)
	if place < 0 {
		return -1, nil
	}
	if slices.Contains(writtenKeys(n)[place/2+1:], st.word) {
		return 0, w.fault(at{line: n.Content[place].Line, key: seen}, "is written twice; keep one")
	}
	return place + 1, nil
}

// intoMapping is the step to a key.
func (w *rewriter) intoMapping(s shape, st step, n *yaml.Node, here at, top bool) (shape, *Error) {
	if s.t == nil {
		return shape{}, w.fault(here, "has no keys")
	}
	if s.entry() != nil && s.mapping() == nil {
		var names []string
		for _, item := range n.Content {
			names = append(names, itemName(item, len(names)))
		}
		tail := "an entry's name or place in brackets before " + quoted(st.word)
		if len(names) > 0 {
			tail += ", as " + here.key + "[" + names[0] + "]"
		}
		return shape{}, w.fault(here, "is a list; want %s", tail)
	}
	if s.mapping() == nil {
		return shape{}, w.fault(here, "is one value and has no keys; %s is none", quoted(cut(st.word)))
	}
	next, known := s.inner(st.word)
	if why, no := unchangeable[st.word]; no && s.change && s.t == reflect.TypeFor[file]() {
		return shape{}, w.fault(at{line: here.line, key: join(here.key, st.word)}, "%s", why)
	}
	if !known {
		here.key = join(here.key, cut(st.word))
		tail, near := wantOneOf(st.word, s.keys())
		if full := w.elsewhere(st.word); top && near == "" && len(full) > 0 {
			tail, near = "want "+orList(full), full[0]
		}
		e := w.fault(here, "is not a key of a scenario here; %s", tail)
		e.Near = near
		return shape{}, e
	}
	return next, nil
}

// elsewhere are the whole ways to values whose last key is a word: a person may have written that alone.
func (w *rewriter) elsewhere(word string) (full []string) {
	var all []Entry
	written(w.root, "", &all)
	for _, e := range all {
		if strings.HasSuffix(e.Key, "."+word) && len(full) < 4 {
			full = append(full, e.Key)
		}
	}
	return full
}

// intoList is the step to an entry.
func (w *rewriter) intoList(s shape, st step, n *yaml.Node, here at) (shape, *Error) {
	if s.entry() == nil {
		return shape{}, w.fault(here, "is no list; brackets have no place after it")
	}
	return shape{s.entry(), s.change}, nil
}

// mayBegin tells why what is not written cannot begin at a node.
func (w *rewriter) mayBegin(n *yaml.Node, s shape, steps []step, here at) error {
	st, rest := steps[0], steps[1:]
	null := n.Kind == yaml.ScalarNode && n.ShortTag() == "!!null"
	fits := null || st.inside && n.Kind == yaml.SequenceNode || !st.inside && n.Kind == yaml.MappingNode
	switch {
	case !fits:
		return w.fault(here, "is %s here; give it as a whole", kindOf(n))
	case w.removing && !st.inside:
		tail, near := wantOneOf(st.word, writtenKeys(n))
		e := w.fault(at{line: here.line, key: join(here.key, st.word)}, "is not written, so it cannot be taken out; %s", tail)
		e.Near = near
		return e
	case !st.inside:
		if i := slices.IndexFunc(rest, func(s step) bool { return s.inside }); i >= 0 && i < len(rest)-1 {
			return w.fault(at{line: here.line, key: join(here.key, st.word)}, "is not written yet; give it as a whole")
		}
		return nil
	case named(reflect.SliceOf(s.entry())) == nil:
		if !w.removing && len(rest) == 0 && st.word == newEntry {
			return nil
		}
		return w.fault(here, "has %d entries; want a place from 1 on in the brackets, or + for a new entry", len(n.Content))
	case !w.removing && (len(rest) == 0 || s.change && !slices.ContainsFunc(rest, func(s step) bool { return s.inside })):
		return nil // a new one; whether it is whole is seen when its value is
	}
	tail, near := wantOneOf(st.word, entryNames(n))
	e := w.fault(here, "no %s is called %s; %s", strings.TrimSuffix(lastKey(here.key), "s"), quoted(st.word), tail)
	e.Near = near
	return e
}

// entryAt is the place in a list of the entry of a name; where none has a name, of a place, the first being 1.
func entryAt(n *yaml.Node, st step) int {
	if n.Kind != yaml.SequenceNode {
		return -1
	}
	if i := slices.IndexFunc(n.Content, func(item *yaml.Node) bool { return nameOf(item) == st.word && st.word != "" }); i >= 0 {
		return i
	}
	if i, err := strconv.Atoi(st.word); err == nil && !st.quoted && i >= 1 && i <= len(n.Content) && nameOf(n.Content[i-1]) == "" {
		return i - 1
	}
	return -1
}

// entryNames are the names of a list's entries.
func entryNames(n *yaml.Node) (names []string) {
	for _, item := range n.Content {
		if name := nameOf(item); name != "" {
			names = append(names, name)
		}
	}
	return names
}
