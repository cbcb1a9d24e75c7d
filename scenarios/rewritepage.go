package scenarios

import (
	"bytes"
	"errors"
	"sort"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// page is a scenario's text beside its nodes: where in the bytes each of them begins and ends. The YAML reader tells where a
// node begins, by line and column; where it ends follows from its style and its value.
type page struct {
	src     []byte
	root    *yaml.Node
	lines   []int    // where each line begins
	scalars [][2]int // bytes of each single value and key, in order
	eol     string   // the file's line end
	latest  struct{ line, col, at int }
}

// errLayout is of a text that is YAML and that no edit of ours fits.
var errLayout = errors.New("is laid out in a way that cannot be changed piece by piece; change it by hand")

const byteOrderMark = "\ufeff"

// newPage finds the places of all single values. The text must be what root was read from.
func newPage(src []byte, root *yaml.Node) (*page, error) {
	p := &page{src: src, root: root, lines: []int{0}, eol: "\n"}
	if bytes.HasPrefix(src, []byte(byteOrderMark)) {
		p.lines[0] = len(byteOrderMark)
	}
	for i := 0; i < len(src); {
		if n := breakAt(src, i); n > 0 {
			if len(p.lines) == 1 {
				p.eol = string(src[i : i+n])
			}
			i += n
			p.lines = append(p.lines, i)
			continue
		}
		i++
	}
	if err := p.scan(root); err != nil {
		return nil, err
	}
	return p, nil
}

// breakAt is the length of the line end at i, 0 if there is none: those that YAML knows.
func breakAt(src []byte, i int) int {
	switch rest := src[i:]; {
	case bytes.HasPrefix(rest, []byte("\r\n")):
		return 2
	case rest[0] == '\n' || rest[0] == '\r':
		return 1
	case bytes.HasPrefix(rest, []byte("\u0085")):
		return 2
	case bytes.HasPrefix(rest, []byte("\u2028")), bytes.HasPrefix(rest, []byte("\u2029")):
		return 3
	}
	return 0
}

func (p *page) scan(n *yaml.Node) error {
	if n.Kind == yaml.ScalarNode {
		end, err := p.end(n)
		p.scalars = append(p.scalars, [2]int{p.start(n), end})
		return err
	}
	for _, inner := range n.Content {
		if err := p.scan(inner); err != nil {
			return err
		}
	}
	return nil
}

// start is the byte at which a node begins; of an empty value the one after its colon or dash.
func (p *page) start(n *yaml.Node) int { return p.byteAt(n.Line-1, n.Column-1) }

// byteAt is the byte of a column, 0 being the first, in a line, the first of which is 0.
func (p *page) byteAt(line, col int) int {
	if line >= len(p.lines) {
		return len(p.src)
	}
	from := &p.latest // nodes come in order, and a file may be one long line
	if from.line != line || from.col > col || from.at == 0 {
		from.line, from.col, from.at = line, 0, p.lines[line]
	}
	for ; from.col < col && from.at < len(p.src); from.col++ {
		_, n := utf8.DecodeRune(p.src[from.at:])
		from.at += n
	}
	return from.at
}

// lineOf is the line of a byte, the first being 0.
func (p *page) lineOf(at int) int {
	return max(0, sort.Search(len(p.lines), func(i int) bool { return p.lines[i] > at })-1)
}

// column is how many letters stand before a byte in its line.
func (p *page) column(at int) int { return utf8.RuneCount(p.src[p.lines[p.lineOf(at)]:at]) }

// lineEnd is where the letters of a line end, before the line end's own bytes.
func (p *page) lineEnd(line int) int {
	at := p.lines[line]
	for at < len(p.src) && breakAt(p.src, at) == 0 {
		at++
	}
	return at
}

// next is where the line after one begins, the end of the text after the last.
func (p *page) next(line int) int {
	if line+1 < len(p.lines) {
		return p.lines[line+1]
	}
	return len(p.src)
}

// end is the byte after the last of a node.
func (p *page) end(n *yaml.Node) (int, error) {
	at := p.start(n)
	switch {
	case n.Kind == yaml.ScalarNode && n.Style&yaml.DoubleQuotedStyle != 0:
		return p.quotedEnd(at, '"')
	case n.Kind == yaml.ScalarNode && n.Style&yaml.SingleQuotedStyle != 0:
		return p.quotedEnd(at, '\'')
	case n.Kind == yaml.ScalarNode && n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		return p.spelt(p.lineEnd(p.lineOf(at)), n.Value)
	case n.Kind == yaml.ScalarNode:
		if n.Value == "" {
			return at, nil
		}
		return p.spelt(at, n.Value)
	}
	if n.Style&yaml.FlowStyle != 0 && at < len(p.src) && (p.src[at] == '{' || p.src[at] == '[') {
		at++
		if len(n.Content) > 0 {
			var err error
			if at, err = p.end(n.Content[len(n.Content)-1]); err != nil {
				return 0, err
			}
		}
		at = p.gap(at, ",")
		if at < len(p.src) && (p.src[at] == '}' || p.src[at] == ']') {
			return at + 1, nil
		}
		return 0, errLayout
	}
	if len(n.Content) == 0 {
		return 0, errLayout
	}
	return p.end(n.Content[len(n.Content)-1])
}

// quotedEnd is the byte after the quote that closes the one at at.
func (p *page) quotedEnd(at int, quote byte) (int, error) {
	for i := at + 1; i < len(p.src); i++ {
		switch c := p.src[i]; {
		case c == '\\' && quote == '"':
			i++
		case c == quote && quote == '\'' && i+1 < len(p.src) && p.src[i+1] == quote:
			i++
		case c == quote:
			return i + 1, nil
		}
	}
	return 0, errLayout
}

// spelt is the byte after the last letter of a text without quotes that begins at at. Lines may be folded, so blanks are
// passed over in both.
func (p *page) spelt(at int, value string) (int, error) {
	end := at
	for _, c := range value {
		if isBlank(c) {
			continue
		}
		for at < len(p.src) {
			r, n := utf8.DecodeRune(p.src[at:])
			if !isBlank(r) {
				break
			}
			at += n
		}
		r, n := utf8.DecodeRune(p.src[at:])
		if r != c || n == 0 {
			return 0, errLayout
		}
		at += n
		end = at
	}
	return end, nil
}

func isBlank(c rune) bool { return strings.ContainsRune(" \t\r\n\u0085\u2028\u2029", c) }

// gap passes over blanks, line ends, comments and the signs given.
func (p *page) gap(at int, signs string) int {
	for at < len(p.src) {
		r, n := utf8.DecodeRune(p.src[at:])
		switch {
		case r == '#' && (at == 0 || isBlank(rune(p.src[at-1])) || strings.IndexByte(signs, p.src[at-1]) >= 0):
			at = p.lineEnd(p.lineOf(at))
		case isBlank(r) || strings.ContainsRune(signs, r):
			at += n
		default:
			return at
		}
	}
	return at
}

// inScalar tells whether a byte lies within a key or a single value.
func (p *page) inScalar(at int) bool {
	i := sort.Search(len(p.scalars), func(i int) bool { return p.scalars[i][1] > at })
	return i < len(p.scalars) && p.scalars[i][0] <= at
}

// comment finds the sign # of the comment at the end of a line, from a byte on; -1 for none.
func (p *page) comment(from int) int {
	line := p.lineOf(from)
	for at, end := from, p.lineEnd(line); at < end; at++ {
		if p.src[at] == '#' && (at == p.lines[line] || strings.IndexByte(" \t", p.src[at-1]) >= 0) && !p.inScalar(at) {
			return at
		}
	}
	return -1
}

// text is a line without blanks about it.
func (p *page) text(line int) string {
	return strings.Trim(string(p.src[p.lines[line]:p.lineEnd(line)]), " \t")
}

// empty tells whether a line has nothing on it and is no part of a value.
func (p *page) empty(line int) bool {
	return p.text(line) == "" && !p.inScalar(p.lines[line]) && p.next(line) > p.lines[line]
}

// remark is the column of a line that is a comment alone; -1 for any other.
func (p *page) remark(line int) int {
	at := p.lines[line]
	for at < len(p.src) && (p.src[at] == ' ' || p.src[at] == '\t') {
		at++
	}
	if at < len(p.src) && p.src[at] == '#' && !p.inScalar(at) {
		return p.column(at)
	}
	return -1
}

// alone tells whether only blanks stand before a byte in its line.
func (p *page) alone(at int) bool {
	return strings.Trim(string(p.src[p.lines[p.lineOf(at)]:at]), " \t") == ""
}
