package scenarios

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Setting is one change of a scenario's text.
type Setting struct {
	// Key is the way to the value: store.volume, loads[night shift].when. Entries of a list are found by their name, those
	// of a list without names by their place, the first being 1; in quotes a name may have any sign:
	// loads["kiln [2]"].steam. The name of no entry yet, or +, adds one after the last.
	Key string
	// Value is as one writes it after the key, without the quotes that YAML may need: 60 m3, Mon-Fri 06:00-22:00. Mappings
	// and lists are YAML: {header: main, steam: 300 kg/h}, [1 Jan, 26 Dec].
	Value string
	// Remove takes the key or entry out, with the comments that are its own.
	Remove bool
}

// ParseSetting reads KEY=VALUE.
func ParseSetting(s string) (Setting, error) {
	inside, quote := false, false
	for i, c := range s {
		switch {
		case c == '"' && inside && (i == 0 || s[i-1] != '\\'):
			quote = !quote
		case quote:
		case c == '[':
			inside = true
		case c == ']':
			inside = false
		case c == '=' && !inside:
			return Setting{Key: strings.TrimSpace(s[:i]), Value: strings.TrimSpace(s[i+1:])}, nil
		}
	}
	return Setting{}, fmt.Errorf("%s is no setting; want KEY=VALUE, as %s", quoted(s), `store.volume="60 m3"`)
}

// Rewrite makes changes in a scenario's text, one after the other, as a person would: each touches the bytes of its value
// alone, and comments, order, quotes, blank lines and line ends stay. A comment at the end of the line keeps its column if the value
// leaves it room. A new key stands where the format lists it.
//
// The text that comes back was read again: it holds the values asked for, and else what it held before. A value that does
// not fit its key, or a change after which something needed is missing, is refused in the words of [Parse]; faults that the text had
// before do not hinder. Errors are joined [*Error]s; name stands in them. What values must fit each other, only
// Parse tells.
func Rewrite(name string, src []byte, changes ...Setting) ([]byte, error) {
	w := &rewriter{name: name}
	if err := w.take(src); err != nil {
		return nil, err
	}
	var all []error
	for _, c := range changes {
		if err := w.change(c); err != nil {
			all = append(all, err)
		}
	}
	if len(all) > 0 {
		return nil, errors.Join(all...)
	}
	_, after := read(name, w.src)
	if faults := after.err(); faults != nil {
		_, before := read(name, src)
		if err := NewFaults(before.err(), faults); err != nil {
			return nil, err
		}
	}
	return w.src, nil
}

// NewFaults gives those faults of a changed scenario that it had not before, without their lines, which are those of a text
// that nobody has seen yet; nil for none.
func NewFaults(before, after error) error {
	known := map[string]bool{}
	for _, e := range faultsOf(before) {
		known[e.Key+"\n"+e.Text] = true
	}
	var fresh []error
	for _, e := range faultsOf(after) {
		if !known[e.Key+"\n"+e.Text] {
			copied := *e
			copied.Line = 0
			fresh = append(fresh, &copied)
		}
	}
	return errors.Join(fresh...)
}

// faultsOf takes joined faults apart.
func faultsOf(err error) (list []*Error) {
	var one *Error
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		for _, e := range many.Unwrap() {
			list = append(list, faultsOf(e)...)
		}
	} else if errors.As(err, &one) {
		list = append(list, one)
	}
	return list
}

// rewriter is a text under change, with its nodes as they now are.
type rewriter struct {
	name     string
	src      []byte
	root     *yaml.Node
	page     *page
	removing bool // the change at work takes something out
}

// take reads a text; its faults come back joined.
func (w *rewriter) take(src []byte) error {
	root, err := rootOf(w.name, src)
	if err != nil {
		return err
	}
	p, err := newPage(src, root)
	if err != nil {
		return w.fault(at{}, "%v", err)
	}
	w.src, w.root, w.page = src, root, p
	return nil
}

// rootOf gives the nodes of a text.
func rootOf(name string, src []byte) (*yaml.Node, error) {
	d := &decoder{faults: faults{file: name}}
	root := d.document(src)
	if root != nil && root.Kind != yaml.MappingNode {
		d.add(at{line: root.Line}, "a scenario is %s here; want keys and values, from `noonkeep: 1` on", kindOf(root))
	}
	return root, d.err()
}

func (w *rewriter) fault(p at, format string, args ...any) *Error {
	return &Error{File: w.name, Line: p.line, Key: p.key, Text: fmt.Sprintf(format, args...)}
}

// change makes one change.
func (w *rewriter) change(c Setting) error {
	steps, err := stepsOf(c.Key)
	if err != nil {
		return w.fault(at{}, "%v", err)
	}
	w.removing = c.Remove
	s, err := w.find(steps)
	if err != nil {
		return err
	}
	here := at{line: s.line, key: s.seen}
	if c.Remove {
		return w.at(here, w.remove(s.path))
	}
	value, bad := w.valueOf(c.Value, s.shape, here)
	if bad != nil {
		return bad
	}
	if len(s.missing) == 0 {
		if old := nodeAt(w.root, s.path); value.Kind == yaml.MappingNode && steps[len(steps)-1].inside && nameOf(old) != "" && keyAt(value, "name") < 0 {
			value.Content = append([]*yaml.Node{scalarOf("name"), scalarOf(nameOf(old))}, value.Content...)
		}
		if err := w.at(here, w.put(s.path, value, s.shape)); err != nil {
			return err
		}
		if !means(nodeAt(w.root, s.path), value) {
			return w.fault(here, "%v", errLayout)
		}
		return nil
	}
	for i := len(s.missing) - 1; ; i-- {
		if s.missing[i].inside {
			if value, bad = w.whole(value, s.missing[i], s, here); bad != nil {
				return bad
			}
		}
		if i == 0 {
			return w.at(here, w.begin(s, value))
		}
		value = around(s.missing[i], value)
	}
}

// at says of an error where it is.
func (w *rewriter) at(p at, err error) error {
	var known *Error
	if err == nil || errors.As(err, &known) {
		return err
	}
	return w.fault(p, "%v", err)
}

// commit applies the first of several edits whose text reads back as wanted.
func (w *rewriter) commit(want *yaml.Node, tries ...[]edit) error {
	for _, edits := range tries {
		out, ok := w.page.apply(edits)
		if !ok {
			continue
		}
		root, err := rootOf(w.name, out)
		if err != nil || !readsAs(root, want) {
			continue
		}
		if p, err := newPage(out, root); err == nil {
			w.src, w.root, w.page = out, root, p
			return nil
		}
	}
	return errLayout
}

// readsAs tells whether two texts mean the same: keys and values in the same order, whatever their style.
func readsAs(a, b *yaml.Node) bool {
	return a.Kind == b.Kind && a.Value == b.Value && (a.ShortTag() == "!!null") == (b.ShortTag() == "!!null") && slices.EqualFunc(a.Content, b.Content, readsAs)
}

// means tells whether two values mean the same, in whatever order their keys stand.
func means(a, b *yaml.Node) bool {
	if a.Kind != yaml.MappingNode || b.Kind != yaml.MappingNode || len(a.Content) != len(b.Content) {
		return a.Kind == b.Kind && a.Value == b.Value && slices.EqualFunc(a.Content, b.Content, means)
	}
	for i := 0; i+1 < len(a.Content); i += 2 {
		if v := valueOf(b, a.Content[i].Value); v == nil || !means(a.Content[i+1], v) {
			return false
		}
	}
	return true
}

// nodeAt is the node at the end of a path of places.
func nodeAt(n *yaml.Node, path []int) *yaml.Node {
	for _, i := range path {
		n = n.Content[i]
	}
	return n
}

// replanted is a copy of the nodes with one of them replaced.
func replanted(root *yaml.Node, path []int, to func(n *yaml.Node)) *yaml.Node {
	copied := *root
	copied.Content = slices.Clone(root.Content)
	if len(path) == 0 {
		to(&copied)
		return &copied
	}
	copied.Content[path[0]] = replanted(root.Content[path[0]], path[1:], to)
	return &copied
}
