package scenarios

import (
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// valueOf makes a node of a value's text.
func (w *rewriter) valueOf(text string, s shape, here at) (*yaml.Node, *Error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return nil, w.fault(here, "is given no value; to take it out, remove it")
	}
	if s.one() && (s.mapping() == nil && s.entry() == nil || !strings.ContainsAny(text[:1], "{[")) {
		if i := strings.IndexFunc(text, unseen); i >= 0 {
			c, _ := utf8.DecodeRuneInString(text[i:])
			return nil, w.fault(here, "the value %s has the sign %U, which is not seen; write it in one line without", quoted(text), c)
		}
		return scalarOf(text), nil
	}
	d := &decoder{faults: faults{file: w.name}}
	n := d.document([]byte(text))
	if n == nil {
		text := "is no value"
		if len(d.faults.list) > 0 {
			text = d.faults.list[0].Text
		}
		return nil, w.fault(here, "%s", text)
	}
	return n, w.sound(n, here)
}

// sound refuses a value with an empty one, or with a key twice.
func (w *rewriter) sound(n *yaml.Node, here at) *Error {
	if n.Kind == yaml.ScalarNode && n.ShortTag() == "!!null" {
		return w.fault(here, "has a key without a value; give one, or leave the key out")
	}
	for i, inner := range n.Content {
		if n.Kind == yaml.MappingNode && i%2 == 0 && keyAt(n, inner.Value) < i {
			return w.fault(here, "has the key %s twice; keep one", quoted(inner.Value))
		}
		if e := w.sound(inner, here); e != nil {
			return e
		}
	}
	return nil
}

// whole gives an entry that is new to a list its name, and refuses one that lacks what an entry needs: its name is most
// likely a slip. In the change of a variant it may be an entry of the plant.
func (w *rewriter) whole(v *yaml.Node, st step, s spot, here at) (*yaml.Node, *Error) {
	if st.word == newEntry && !st.quoted {
		return v, nil
	}
	if v.Kind != yaml.MappingNode {
		return nil, w.fault(here, "is %s; want keys and values, as {%s: ...}", kindOf(v), "header")
	}
	switch name := valueOf(v, "name"); {
	case name == nil:
		v.Content = append([]*yaml.Node{scalarOf("name"), scalarOf(st.word)}, v.Content...)
	case name.Value != st.word:
		return nil, w.fault(here, "has the name %s inside; want one name", quoted(name.Value))
	}
	if s.shape.change {
		return v, nil
	}
	lacks := lacksOf(v, mappingType(s.shape.t))
	if len(lacks) == 0 {
		return v, nil
	}
	list := at{line: here.line, key: strings.TrimSuffix(s.seen, "["+cut(st.word)+"]")}
	tail, near := wantOneOf(st.word, entryNames(nodeAt(w.root, s.path)))
	e := w.fault(list, "no %s is called %s; %s; a new one needs %s", strings.TrimSuffix(lastKey(list.key), "s"), quoted(st.word), tail, andList(lacks))
	e.Near = near
	return nil, e
}

// around is a value as the only one of a mapping or a list that is new too.
func around(s step, v *yaml.Node) *yaml.Node {
	if s.inside {
		return &yaml.Node{Kind: yaml.SequenceNode, Tag: "!!seq", Content: []*yaml.Node{v}}
	}
	return mappingOf(s.word, v)
}
