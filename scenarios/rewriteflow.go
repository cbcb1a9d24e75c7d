package scenarios

import (
	"strings"

	"go.yaml.in/yaml/v3"
)

// Braces and brackets: entries with commas between them, in one line or on lines of their own.

// flowInsert puts an entry before the one at a place, or after the last; the edits to try, the best first.
func (p *page) flowInsert(n *yaml.Node, entries []entry, place int, text string) [][]edit {
	from := p.start(n)
	if len(entries) == 0 {
		end, err := p.end(n)
		if err != nil {
			return nil
		}
		return [][]edit{{{from + 1, end - 1, text}}}
	}
	if place == 0 {
		return [][]edit{{{entries[0].from, entries[0].from, text + ", "}}}
	}
	e := entries[place-1]
	simple := []edit{{e.to, e.to, ", " + text}}
	if !p.alone(e.from) {
		return [][]edit{simple}
	}
	// Each entry has a line of its own: so has the new one.
	line := p.lineOf(e.to)
	end := p.lineEnd(line)
	own := p.eol + string(p.src[p.lines[p.lineOf(e.from)]:e.from]) + text
	switch comma, has := p.comma(e.to); {
	case has && p.lineOf(comma) == line && p.restEmpty(comma+1):
		return [][]edit{{{end, end, own + ","}}, simple}
	case !has && p.restEmpty(e.to):
		return [][]edit{{{e.to, e.to, ","}, {end, end, own}}, simple}
	case !has:
		return [][]edit{{{e.to, e.to, "," + own}}, simple}
	}
	return [][]edit{simple}
}

// comma finds the one after an entry.
func (p *page) comma(at int) (int, bool) {
	at = p.gap(at, "")
	return at, at < len(p.src) && p.src[at] == ','
}

// restEmpty tells whether only blanks and a comment follow in the line.
func (p *page) restEmpty(at int) bool {
	end := p.lineEnd(p.lineOf(at))
	if sign := p.comment(at); sign >= 0 {
		end = sign
	}
	return strings.Trim(string(p.src[at:end]), " \t") == ""
}

// flowRemove takes an entry out with one comma; the edits to try, the best first.
func (p *page) flowRemove(entries []entry, place int) [][]edit {
	e := entries[place]
	comma, has := p.comma(e.to)
	to := e.to
	if has {
		to = comma + 1
	}
	var tries [][]edit
	last := place == len(entries)-1
	if p.alone(e.from) && p.restEmpty(to) && p.lineOf(to) == p.lineOf(e.to) {
		lines := []edit{p.cutLines(p.top(e), p.lineOf(to))}
		if last && !has {
			if before, ok := p.comma(entries[place-1].to); ok {
				lines = append([]edit{{before, before + 1, ""}}, lines...)
			}
		}
		tries = append(tries, lines)
	}
	if !last {
		next := entries[place+1].from
		if p.lineOf(next) != p.lineOf(to) {
			next = to
		}
		return append(tries, []edit{{e.from, next, ""}}, []edit{{e.from, to, ""}})
	}
	prev := entries[place-1].to
	if p.lineOf(prev) == p.lineOf(e.from) {
		tries = append(tries, []edit{{prev, e.to, ""}})
	}
	before, _ := p.comma(prev)
	return append(tries, []edit{{before, before + 1, ""}, {e.from, e.to, ""}})
}
