package scenarios

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

const (
	mostBytes = 1 << 20 // of a scenario; a hand-written one has under 100 kB, and the YAML reader takes 100 times the text
	mostDepth = 24      // of mappings and lists in each other
	mostNodes = 50_000  // of keys and values
	mostItems = 200     // of a list: each load or field carries series of the whole year
)

// read turns the text of a scenario into the structs of file.go.
func read(name string, data []byte) (file, *decoder) {
	d := &decoder{faults: faults{file: name}}
	var f file
	root := d.document(data)
	if root == nil {
		d.fatal = true
		return f, d
	}
	top := at{line: root.Line}
	if root.Kind != yaml.MappingNode {
		d.add(top, "a scenario is %s here; want keys and values, from `noonkeep: 1` on", kindOf(root))
		d.fatal = true
		return f, d
	}
	d.root = root
	d.mapping(root, top, reflect.ValueOf(&f).Elem())
	return f, d
}

// document gives the root node of the one document in data, nil when there is a fault.
func (d *decoder) document(data []byte) *yaml.Node {
	none := at{}
	switch {
	case len(data) > mostBytes:
		d.add(none, "is over %d MB; a scenario is a short text, a long series belongs in a CSV file beside it", mostBytes>>20)
		return nil
	case !utf8.Valid(data):
		d.add(at{line: badLine(data)}, "is not UTF-8 text; save it as UTF-8")
		return nil
	case len(bytes.TrimSpace(data)) == 0:
		d.add(none, "is empty; `noonkeep starter` writes a scenario to begin from")
		return nil
	}
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var doc, more yaml.Node
	if err := dec.Decode(&doc); err != nil {
		d.syntax(err, data)
		return nil
	}
	if err := dec.Decode(&more); !errors.Is(err, io.EOF) {
		if err != nil {
			d.syntax(err, data)
			return nil
		}
		d.add(at{line: more.Line}, "a second document begins; want one scenario in a file")
		return nil
	}
	left := mostNodes
	if doc.Kind != yaml.DocumentNode || len(doc.Content) != 1 || !d.plain(doc.Content[0], mostDepth, &left) {
		if len(d.faults.list) == 0 {
			d.add(none, "is empty; `noonkeep starter` writes a scenario to begin from")
		}
		return nil
	}
	return doc.Content[0]
}

// plain refuses what would let a small file mean a large one, or mean other than it looks:
// anchors, aliases, tags, and nesting beyond any use.
func (d *decoder) plain(n *yaml.Node, depth int, left *int) bool {
	here := at{line: n.Line}
	*left--
	switch {
	case depth == 0:
		d.add(here, "mappings and lists lie more than %d deep in each other", mostDepth)
		return false
	case *left < 0:
		d.add(here, "more than %d keys and values; a long series belongs in a CSV file beside the scenario", mostNodes)
		return false
	case n.Kind == yaml.AliasNode:
		d.add(here, "alias *%s; write the value out again", cut(n.Value))
		return false
	case n.Anchor != "":
		d.add(here, "anchor &%s; anchors have no use here, take it out", cut(n.Anchor))
		return false
	case n.Style&yaml.TaggedStyle != 0:
		d.add(here, "tag %s; tags have no use here, take it out", cut(n.Tag))
		return false
	case n.Kind == yaml.ScalarNode && strings.ContainsFunc(n.Value, unseen):
		i := strings.IndexFunc(n.Value, unseen)
		c, _ := utf8.DecodeRuneInString(n.Value[i:])
		d.add(here, "the text %s has the sign %U, which is not seen and may act on a terminal; take it out", quoted(n.Value), c)
		return false
	}
	whole := true
	for _, c := range n.Content {
		if !d.plain(c, depth-1, left) {
			whole = false
			if *left < 0 {
				break
			}
		}
	}
	return whole
}

// unseen tells of a sign that is no letter but an order: control characters, line ends within a text, and those
// that turn the direction of writing, so that a text reads other than it is.
func unseen(c rune) bool {
	return unicode.IsControl(c) || c >= '\u202a' && c <= '\u202e' || c >= '\u2066' && c <= '\u2069' || c == '\u2028' || c == '\u2029'
}

var yamlLine = regexp.MustCompile(`line ([0-9]+): `)

// syntax turns an error of the YAML reader into ours, with the line taken out of its text.
func (d *decoder) syntax(err error, data []byte) {
	if errors.Is(err, io.EOF) {
		d.add(at{}, "is empty; `noonkeep starter` writes a scenario to begin from")
		return
	}
	p, said := at{}, strings.TrimPrefix(err.Error(), "yaml: ")
	if m := yamlLine.FindStringSubmatchIndex(said); m != nil {
		p.line, _ = strconv.Atoi(said[m[2]:m[3]])
		said = said[:m[0]] + said[m[1]:]
	}
	hint := ""
	switch {
	case strings.Contains(said, "mapping values are not allowed"):
		hint = `; a text with ": " in it needs quotes, and keys of one mapping stand in one column`
	case strings.Contains(said, "cannot start any token") && tabbed(data, p.line):
		hint = "; indent with spaces, not tabs"
	}
	d.add(p, "is not YAML: %s%s", said, hint).Err = err
}

// tabbed tells whether a line is indented with a tab.
func tabbed(data []byte, line int) bool {
	for range line - 1 {
		_, data, _ = bytes.Cut(data, []byte{'\n'})
	}
	return bytes.HasPrefix(bytes.TrimLeft(data, " "), []byte{'\t'})
}

// badLine gives the line of the first byte that is no UTF-8.
func badLine(data []byte) int {
	line := 1
	for len(data) > 0 {
		r, n := utf8.DecodeRune(data)
		if r == utf8.RuneError && n == 1 {
			break
		}
		if r == '\n' {
			line++
		}
		data = data[n:]
	}
	return line
}

// readAll reads a scenario of bounded size.
func readAll(name string, r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		return nil, &Error{File: name, Text: fmt.Sprintf("cannot be read: %v", err), Err: err}
	}
	return data, nil
}
