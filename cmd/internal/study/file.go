package study

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"noonkeep/scenarios"
)

// File is a study as it is written, its values not yet looked up.
type File struct {
	Name      string // of the study
	scenarios []word
	weather   weatherFile
	vary      []varyFile
	sample    *Sample
	keep      Keep

	path string // as it stands in messages
}

// word is a text and its place.
type word struct {
	line int
	key  string
	text string
}

type weatherFile struct {
	line  int
	seeds []uint64
	files []word
	years *word // "all", "2005..2014"
}

type varyFile struct {
	line int
	Key
}

const (
	mostBytes = 1 << 20
	mostDepth = 8
	mostNodes = 50_000
)

// Read reads a study's text; name stands in messages. What is wrong comes back joined, each fault a [*scenarios.Error].
func Read(name string, src []byte) (File, error) {
	r := &reader{file: name}
	f := File{path: name}
	if root := r.document(src); root != nil {
		r.study(root, &f)
	}
	return f, r.err()
}

// reader walks the nodes of a study and collects what is wrong.
type reader struct {
	file string
	list []error
}

const mostFaults = 40

func (r *reader) add(line int, key, format string, args ...any) {
	if len(r.list) < mostFaults {
		r.list = append(r.list, &scenarios.Error{File: r.file, Line: line, Key: key, Text: fmt.Sprintf(format, args...)})
	}
}

func (r *reader) err() error { return errors.Join(r.list...) }

var yamlLine = regexp.MustCompile(`^(?:yaml: )?line ([0-9]+): `)

// document gives the root of the one mapping in src, nil when there is a fault.
func (r *reader) document(src []byte) *yaml.Node {
	switch {
	case len(src) > mostBytes:
		r.add(0, "", "is over %d MB; want a study file, a short text", mostBytes>>20)
		return nil
	case !utf8.Valid(src):
		r.add(0, "", "is not UTF-8 text; save it as UTF-8")
		return nil
	}
	dec := yaml.NewDecoder(bytes.NewReader(src))
	var doc, more yaml.Node
	if err := dec.Decode(&doc); errors.Is(err, io.EOF) {
		r.add(0, "", "is empty; noonkeep study example prints a study to begin from")
		return nil
	} else if err != nil {
		r.syntax(err)
		return nil
	}
	if err := dec.Decode(&more); !errors.Is(err, io.EOF) {
		r.add(more.Line, "", "a second document begins; want one study in a file")
		return nil
	}
	left := mostNodes
	root := doc.Content[0]
	if !r.plain(root, mostDepth, &left) {
		return nil
	}
	if root.Kind != yaml.MappingNode {
		r.add(root.Line, "", "a study is %s here; want keys and values, from noonkeep_study: 1 on", kindOf(root))
		return nil
	}
	if value(root, "noonkeep") != nil && value(root, "noonkeep_study") == nil {
		r.add(0, "", "is a scenario; want a study file (noonkeep study example prints one)")
		return nil
	}
	return root
}

func (r *reader) syntax(err error) {
	line, said := 0, err.Error()
	if m := yamlLine.FindStringSubmatch(said); m != nil {
		line, _ = strconv.Atoi(m[1])
		said = said[len(m[0]):]
	}
	r.add(line, "", "is not YAML: %s", strings.TrimPrefix(said, "yaml: "))
}

// plain refuses what would let a small file mean a large one, or mean other than it looks.
func (r *reader) plain(n *yaml.Node, depth int, left *int) bool {
	*left--
	switch {
	case depth == 0:
		r.add(n.Line, "", "mappings and lists lie more than %d deep in each other", mostDepth)
		return false
	case *left < 0:
		r.add(n.Line, "", "more than %d keys and values; name scenarios by a pattern such as \"plants/*.yaml\"", mostNodes)
		return false
	case n.Kind == yaml.AliasNode || n.Anchor != "":
		r.add(n.Line, "", "anchors and aliases have no use here; write the value out")
		return false
	case n.Style&yaml.TaggedStyle != 0:
		r.add(n.Line, "", "tag %.20s; tags have no use here, take it out", n.Tag)
		return false
	case n.Kind == yaml.ScalarNode && strings.ContainsFunc(n.Value, unicode.IsControl):
		r.add(n.Line, "", "the text %q has a sign that is not seen and may act on a terminal; take it out", cut(n.Value))
		return false
	}
	for _, c := range n.Content {
		if !r.plain(c, depth-1, left) {
			return false
		}
	}
	return true
}

// field is a key of a mapping, and what reads its value.
type field struct {
	key  string
	need bool
	read func(n *yaml.Node, key string)
}

// mapping reads the fields of a mapping, and refuses keys that are unknown, double or missing.
func (r *reader) mapping(n *yaml.Node, at string, fields ...field) {
	if n.Kind != yaml.MappingNode {
		r.add(n.Line, at, "is %s; want keys and values", kindOf(n))
		return
	}
	var names []string
	for _, f := range fields {
		names = append(names, f.key)
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		name, v := n.Content[i], n.Content[i+1]
		place := join(at, cut(name.Value))
		k := slices.Index(names, name.Value)
		switch {
		case k < 0:
			r.add(name.Line, place, "is not a key of a study here; want %s", orList(names))
		case seen[name.Value]:
			r.add(name.Line, place, "stands here a second time; want one")
		default:
			fields[k].read(v, place)
		}
		seen[name.Value] = true
	}
	for _, f := range fields {
		if f.need && !seen[f.key] {
			r.add(n.Line, join(at, f.key), "is missing; noonkeep study example shows it")
		}
	}
}

// items reads a list, or the one value that stands in place of it.
func (r *reader) items(n *yaml.Node, key string, read func(n *yaml.Node, key string)) {
	switch {
	case n.Kind == yaml.SequenceNode && len(n.Content) == 0:
		r.add(n.Line, key, "is an empty list; want at least one, or leave the key out")
	case n.Kind == yaml.SequenceNode:
		for i, item := range n.Content {
			read(item, fmt.Sprintf("%s[%d]", key, i+1))
		}
	default:
		r.add(n.Line, key, "is %s; want a list, as [a, b]", kindOf(n))
	}
}

// scalar reads a text that is not empty.
func (r *reader) scalar(n *yaml.Node, key string) (string, bool) {
	if n.Kind != yaml.ScalarNode || strings.TrimSpace(n.Value) == "" || n.Tag == "!!null" {
		r.add(n.Line, key, "is %s; want a value", kindOf(n))
		return "", false
	}
	return n.Value, true
}

// whole reads a number without a unit from least to most.
func (r *reader) whole(n *yaml.Node, key string, least, most uint64) (uint64, bool) {
	s, ok := r.scalar(n, key)
	if !ok {
		return 0, false
	}
	v, err := strconv.ParseUint(s, 10, 64)
	if err != nil || v < least || v > most {
		r.add(n.Line, key, "is %q; want a whole number from %d to %d", cut(s), least, most)
		return 0, false
	}
	return v, true
}

// value is what a mapping has at a key, nil for none.
func value(n *yaml.Node, key string) *yaml.Node {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return n.Content[i+1]
		}
	}
	return nil
}

func kindOf(n *yaml.Node) string {
	switch {
	case n.Kind == yaml.MappingNode:
		return "a mapping"
	case n.Kind == yaml.SequenceNode:
		return "a list"
	case n.Value == "" || n.Tag == "!!null":
		return "empty"
	}
	return strconv.Quote(cut(n.Value))
}

// cut shortens what a message quotes.
func cut(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}

func join(at, key string) string {
	if at == "" {
		return key
	}
	return at + "." + key
}

func orList(words []string) string {
	if len(words) == 1 {
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}
