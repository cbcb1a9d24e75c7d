package scenarios

import (
	"slices"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// edit replaces bytes of the text.
type edit struct {
	from, to int
	text     string
}

// apply makes edits that do not overlap. A comment behind one in its line keeps its column if it can.
func (p *page) apply(edits []edit) (out []byte, ok bool) {
	if edits == nil {
		return nil, false
	}
	all := slices.Clone(edits)
	for i, e := range edits {
		if pad, has := p.pad(e, edits[:i], edits[i+1:]); has {
			all = append(all, pad)
		}
	}
	slices.SortStableFunc(all, func(a, b edit) int { return a.from - b.from })
	at := 0
	for _, e := range all {
		if e.from < at || e.to < e.from || e.to > len(p.src) {
			return nil, false
		}
		out = append(append(out, p.src[at:e.from]...), e.text...)
		at = e.to
	}
	return append(out, p.src[at:]...), true
}

// pad sets the blanks before the comment behind an edit, the last of its line but for what comes after the comment.
func (p *page) pad(e edit, before, after []edit) (edit, bool) {
	sign := -1
	if !strings.ContainsAny(e.text, "\r\n") && e.to <= len(p.src) {
		sign = p.comment(e.to)
	}
	if sign < 0 || slices.ContainsFunc(after, func(f edit) bool { return f.from < sign }) {
		return edit{}, false
	}
	blank := sign
	for blank > e.to && (p.src[blank-1] == ' ' || p.src[blank-1] == '\t') {
		blank--
	}
	letters := p.column(e.from) + utf8.RuneCountInString(e.text) + utf8.RuneCount(p.src[e.to:blank])
	for _, f := range before {
		if p.lineOf(f.from) == p.lineOf(e.from) {
			letters += utf8.RuneCountInString(f.text) - utf8.RuneCount(p.src[f.from:f.to])
		}
	}
	need := p.column(sign) - letters
	if need < 1 {
		need = min(sign-blank, 2)
	}
	if letters == 0 || need < 1 || strings.Contains(string(p.src[blank:sign]), "\t") {
		return edit{}, false
	}
	return edit{blank, sign, strings.Repeat(" ", need)}, true
}

// put gives a value to what is written, changing as little of it as can be.
func (w *rewriter) put(path []int, v *yaml.Node, s shape) error {
	old := nodeAt(w.root, path)
	switch {
	case readsAs(old, v):
		return nil
	case len(v.Content) == 0 || old.Kind != v.Kind:
		return w.replace(path, v)
	case v.Kind == yaml.MappingNode:
		return w.putKeys(path, v, s)
	}
	return w.putEntries(path, v, s)
}

func (w *rewriter) putKeys(path []int, v *yaml.Node, s shape) error {
	for i := 0; i+1 < len(v.Content); i += 2 {
		key := v.Content[i].Value
		inner, _ := s.inner(key)
		var err error
		if place := keyAt(nodeAt(w.root, path), key); place >= 0 {
			err = w.put(append(slices.Clone(path), place+1), v.Content[i+1], inner)
		} else {
			err = w.addKey(path, key, v.Content[i+1], s)
		}
		if err != nil {
			return err
		}
	}
	for _, key := range writtenKeys(nodeAt(w.root, path)) {
		if keyAt(v, key) < 0 {
			if err := w.remove(append(slices.Clone(path), keyAt(nodeAt(w.root, path), key)+1)); err != nil {
				return err
			}
		}
	}
	return nil
}

// putEntries leaves the entries alone that stand at the beginning and the end of both lists, once those are gone whose names
// the new list has not.
func (w *rewriter) putEntries(path []int, v *yaml.Node, s shape) error {
	if err := w.dropOthers(path, entryNames(v)); err != nil {
		return err
	}
	old := nodeAt(w.root, path).Content
	first := 0
	for first < min(len(old), len(v.Content)) && readsAs(old[first], v.Content[first]) {
		first++
	}
	last := 0
	for last < min(len(old), len(v.Content))-first && readsAs(old[len(old)-1-last], v.Content[len(v.Content)-1-last]) {
		last++
	}
	have := len(old) - first - last
	for i := first; i < len(v.Content)-last; i++ {
		item := v.Content[i]
		at := append(slices.Clone(path), i)
		var err error
		switch {
		case have == 0:
			err = w.addEntry(path, i, item)
			have++
		case nameOf(item) == nameOf(nodeAt(w.root, at)):
			err = w.put(at, item, shape{s.entry(), s.change})
		default:
			if err = w.addEntry(path, i, item); err == nil {
				err = w.remove(append(slices.Clone(path), i+1))
			}
		}
		if err != nil {
			return err
		}
		have--
	}
	for ; have > 0; have-- {
		if err := w.remove(append(slices.Clone(path), len(v.Content)-last)); err != nil {
			return err
		}
	}
	return nil
}

// dropOthers takes out the entries that are not among the names; the last one stays, to be replaced.
func (w *rewriter) dropOthers(path []int, names []string) error {
	for i := len(nodeAt(w.root, path).Content) - 1; i >= 0; i-- {
		n := nodeAt(w.root, path)
		if name := nameOf(n.Content[i]); name == "" || slices.Contains(names, name) || len(n.Content) == 1 {
			continue
		}
		if err := w.remove(append(slices.Clone(path), i)); err != nil {
			return err
		}
	}
	return nil
}

// replace writes a value in place of another one.
func (w *rewriter) replace(path []int, v *yaml.Node) error {
	p, old := w.page, nodeAt(w.root, path)
	if len(path) == 0 {
		return errLayout
	}
	from := p.start(old)
	to, err := p.end(old)
	if err != nil {
		return err
	}
	want := replanted(w.root, path, func(n *yaml.Node) { *n = *v })
	flow := w.inFlow(path)
	texts := []string{p.manner().inline(v, flow)}
	if v.Kind == yaml.ScalarNode {
		texts = spellings(v.Value, old.Style, flow)
	}
	var tries [][]edit
	if old.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0 && v.Kind == yaml.ScalarNode && old.Value != "" {
		head := p.lineEnd(p.lineOf(from))
		body := head
		for body < to && isBlank(rune(p.src[body])) {
			body++
		}
		tries = append(tries, []edit{{body, to, v.Value}})
	}
	for _, text := range texts {
		switch {
		case from == to && old.Kind == yaml.ScalarNode:
			tries = append(tries, []edit{{from, to, " " + text}}, []edit{{from, to, ": " + text}})
		case old.Kind != yaml.ScalarNode && old.Style&yaml.FlowStyle == 0 && p.alone(from):
			tries = append(tries, w.unblock(path, text))
		default:
			tries = append(tries, []edit{{from, to, text}})
		}
	}
	return w.commit(want, tries...)
}

// unblock writes text behind the key or the dash, and takes out the lines of the value below it.
func (w *rewriter) unblock(path []int, text string) []edit {
	p := w.page
	place := path[len(path)-1]
	parent := nodeAt(w.root, path[:len(path)-1])
	entries, err := p.entries(parent)
	if err != nil {
		return nil
	}
	if parent.Kind == yaml.MappingNode {
		place /= 2
	}
	e := entries[place]
	sign := e.from + 1 // after a dash
	if parent.Kind == yaml.MappingNode {
		if sign, err = p.end(parent.Content[path[len(path)-1]-1]); err != nil {
			return nil
		}
		for sign < len(p.src) && p.src[sign] != ':' {
			sign++
		}
		sign++
	}
	line := p.lineOf(sign - 1)
	if sign > len(p.src) || line == p.bottom(e) {
		return nil
	}
	return []edit{{sign, sign, " " + text}, p.cutLines(line+1, p.bottom(e))}
}

// inFlow tells whether a value stands in braces or brackets.
func (w *rewriter) inFlow(path []int) bool {
	for i := range path {
		if nodeAt(w.root, path[:i]).Style&yaml.FlowStyle != 0 {
			return true
		}
	}
	return false
}

// begin writes what was not written.
func (w *rewriter) begin(s spot, v *yaml.Node) error {
	n, st := nodeAt(w.root, s.path), s.missing[0]
	switch {
	case n.Kind == yaml.ScalarNode:
		return w.replace(s.path, around(st, v))
	case st.inside:
		return w.addEntry(s.path, len(n.Content), v)
	}
	return w.addKey(s.path, st.word, v, s.owner)
}

// addKey puts a key where the format lists it.
func (w *rewriter) addKey(path []int, key string, v *yaml.Node, s shape) error {
	p, n := w.page, nodeAt(w.root, path)
	order := s.keys()
	rank := slices.Index(order, key)
	place, best := 0, -1
	for i, other := range writtenKeys(n) {
		if r := slices.Index(order, other); r < rank && r > best || rank < 0 {
			place, best = i+1, r
		}
	}
	entries, err := p.entries(n)
	if err != nil {
		return err
	}
	flow := n.Style&yaml.FlowStyle != 0
	if place == 0 && !flow && (len(path) == 0 || !p.alone(entries[0].from)) {
		place = 1
	}
	want := replanted(w.root, path, func(n *yaml.Node) {
		n.Content = slices.Insert(slices.Clone(n.Content), 2*place, scalarOf(key), v)
	})
	how := p.manner()
	if flow {
		return w.commit(want, p.flowInsert(n, entries, place, key+": "+how.inline(v, true))...)
	}
	indent := p.column(entries[0].from)
	lines := how.pair(key, v, indent)
	if how.braces && v.Kind == yaml.MappingNode {
		lines = []string{key + ": " + how.inline(v, false)}
	}
	spaced := len(path) == 0 && !inOneLine(v) && p.spaced(entries, place)
	return w.commit(want, p.insertLines(entries, place, indent, lines, spaced))
}

// addEntry puts an entry into a list.
func (w *rewriter) addEntry(path []int, place int, v *yaml.Node) error {
	p, n := w.page, nodeAt(w.root, path)
	entries, err := p.entries(n)
	if err != nil {
		return err
	}
	want := replanted(w.root, path, func(n *yaml.Node) { n.Content = slices.Insert(slices.Clone(n.Content), place, v) })
	how := p.manner()
	if n.Style&yaml.FlowStyle != 0 {
		return w.commit(want, p.flowInsert(n, entries, place, how.inline(v, true))...)
	}
	indent := p.column(entries[0].from)
	lines := how.item(v, indent)
	if beside := n.Content[max(0, place-1)]; beside.Style&yaml.FlowStyle != 0 {
		lines = []string{"- " + how.inline(v, false)}
	}
	return w.commit(want, p.insertLines(entries, place, indent, lines, p.spaced(entries, place)))
}

// remove takes a key or an entry out.
func (w *rewriter) remove(path []int) error {
	p := w.page
	up, place := path[:len(path)-1], path[len(path)-1]
	n := nodeAt(w.root, up)
	per := 1
	if n.Kind == yaml.MappingNode {
		per, place = 2, place/2
	}
	if len(n.Content) == per {
		return w.replace(up, &yaml.Node{Kind: n.Kind, Tag: n.Tag, Style: yaml.FlowStyle})
	}
	entries, err := p.entries(n)
	if err != nil {
		return err
	}
	want := replanted(w.root, up, func(n *yaml.Node) {
		n.Content = slices.Delete(slices.Clone(n.Content), per*place, per*(place+1))
	})
	if n.Style&yaml.FlowStyle != 0 {
		return w.commit(want, p.flowRemove(entries, place)...)
	}
	return w.commit(want, p.removeLines(entries, place), p.removeFirst(entries, place))
}
