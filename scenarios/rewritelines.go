package scenarios

import (
	"strings"

	"go.yaml.in/yaml/v3"
)

// entry is a key with its value, or an item of a list with its dash: the bytes from its first letter to its last.
type entry struct{ from, to int }

// entries are those of a mapping or a list.
func (p *page) entries(n *yaml.Node) (list []entry, err error) {
	if n.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(n.Content); i += 2 {
			to, err := p.end(n.Content[i+1])
			if err != nil {
				return nil, err
			}
			list = append(list, entry{p.start(n.Content[i]), to})
		}
		return list, nil
	}
	for _, item := range n.Content {
		e := entry{from: p.start(item)}
		if e.to, err = p.end(item); err != nil {
			return nil, err
		}
		if n.Style&yaml.FlowStyle == 0 {
			if e.from = p.dash(n.Column-1, e.from); e.from < 0 {
				return nil, errLayout
			}
		}
		list = append(list, e)
	}
	return list, nil
}

// dash finds the dash in a column that stands before an item, -1 if there is none.
func (p *page) dash(column, item int) int {
	for line := p.lineOf(item); line >= 0; line-- {
		at := p.byteAt(line, column)
		if at < item && p.src[at] == '-' && !p.inScalar(at) {
			return at
		}
	}
	return -1
}

// top is the first line of an entry: that of the comments right above it which stand in its column.
func (p *page) top(e entry) int {
	line := p.lineOf(e.from)
	if !p.alone(e.from) {
		return line
	}
	for line > 0 && p.remark(line-1) == p.column(e.from) {
		line--
	}
	return line
}

// bottom is the last line of an entry: that of comments below which stand further in, those that go on one at the end of
// its last line among them.
func (p *page) bottom(e entry) int {
	last := p.lineOf(e.to)
	for line := last + 1; line < len(p.lines); line++ {
		switch col := p.remark(line); {
		case col > p.column(e.from):
			last = line
		case !p.empty(line):
			return last
		}
	}
	return last
}

// cutLines takes out whole lines.
func (p *page) cutLines(first, last int) edit {
	e := edit{p.lines[first], p.next(last), ""}
	if first > 0 && p.lineEnd(last) == len(p.src) { // the text ends with a line that has no end
		e.from = p.lineEnd(first - 1)
	}
	return e
}

// insertLines puts an entry before the one at a place, or after the last.
func (p *page) insertLines(entries []entry, place, indent int, lines []string, spaced bool) []edit {
	before := strings.Repeat(" ", indent)
	text := before + strings.Join(lines, p.eol) + p.eol
	if place == 0 {
		at := p.lines[p.top(entries[0])]
		if !p.alone(entries[0].from) {
			return nil
		}
		if spaced {
			text += p.eol
		}
		return []edit{{at, at, text}}
	}
	if spaced {
		text = p.eol + text
	}
	last := p.bottom(entries[place-1])
	at := p.next(last)
	if p.lineEnd(last) == at { // the text ends with a line that has no end
		text = p.eol + strings.TrimSuffix(text, p.eol)
	}
	return []edit{{at, at, text}}
}

// spaced tells whether empty lines stand between the neighbours of a place among entries.
func (p *page) spaced(entries []entry, place int) bool {
	between := func(i int) bool { // before the entry i
		return i > 0 && i < len(entries) && p.lineOf(entries[i].from) > 0 && p.empty(p.top(entries[i])-1)
	}
	if place < len(entries) && place > 0 {
		return between(place)
	}
	return between(1) && between(len(entries)-1)
}

// removeLines takes out an entry that stands on lines of its own, with its comments. Of the empty lines about it one set stays.
func (p *page) removeLines(entries []entry, place int) []edit {
	e := entries[place]
	if !p.alone(e.from) {
		return nil
	}
	first, last := p.top(e), p.bottom(e)
	if below := last + 1; below >= len(p.lines) || p.next(below) == p.lines[below] || p.empty(below) {
		for first > 0 && p.empty(first-1) {
			first--
		}
	}
	return []edit{p.cutLines(first, last)}
}

// removeFirst takes out a key that stands behind a dash: the next one moves up to it.
func (p *page) removeFirst(entries []entry, place int) []edit {
	if place+1 >= len(entries) {
		return nil
	}
	e, next := entries[place], entries[place+1]
	if p.top(next) == p.bottom(e)+1 && p.top(next) == p.lineOf(next.from) {
		return []edit{{e.from, next.from, ""}}
	}
	from := e.from
	for from > 0 && p.src[from-1] == ' ' {
		from--
	}
	return []edit{{from, p.lineEnd(p.bottom(e)), ""}}
}
