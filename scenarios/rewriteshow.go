package scenarios

import (
	"strings"

	"go.yaml.in/yaml/v3"
)

// How new text is written: as a person would, with quotes only where YAML needs them.

// spellings are the ways to write a single value, the best first: in the old one's quotes if it had any, plain, quoted.
func spellings(value string, old yaml.Style, flow bool) []string {
	var all []string
	double, single := doubleQuoted(value), "'"+strings.ReplaceAll(value, "'", "''")+"'"
	switch {
	case old&yaml.DoubleQuotedStyle != 0:
		all = append(all, double)
	case old&yaml.SingleQuotedStyle != 0:
		all = append(all, single)
	}
	if standsPlain(value, flow) {
		all = append(all, value)
	}
	if strings.ContainsAny(value, `"\`) {
		return append(all, single, double)
	}
	return append(all, double, single)
}

func doubleQuoted(value string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(value) + `"`
}

// standsPlain tells whether a value reads back as itself without quotes. Only the YAML reader knows all the reasons why not.
func standsPlain(value string, flow bool) bool {
	text := "k: " + value + "\n"
	if flow {
		text = "{k: " + value + "}\n"
	}
	var doc yaml.Node
	if strings.ContainsAny(value, "\r\n") || yaml.Unmarshal([]byte(text), &doc) != nil || len(doc.Content) != 1 {
		return false
	}
	m := doc.Content[0]
	if m.Kind != yaml.MappingNode || len(m.Content) != 2 {
		return false
	}
	v := m.Content[1]
	return v.Kind == yaml.ScalarNode && v.Style == 0 && v.Value == value && v.ShortTag() != "!!null" && v.Anchor == ""
}

// writer lays out mappings and lists that are new to a file, in its manner.
type writer struct {
	step int // columns from a mapping's keys to those of one in it
	dash int // columns from a key to the dashes of its list
	// braces is set where the file writes most mappings that are values in braces.
	braces bool
}

// manner finds how a file is indented, from the first mapping and the first list in it that stand on lines of their own.
func (p *page) manner() writer {
	w := writer{step: 2, dash: 2}
	var step, dash bool
	blocks, braces := 0, 0
	var walk func(n *yaml.Node)
	walk = func(n *yaml.Node) {
		for i := 1; n.Kind == yaml.MappingNode && n.Style&yaml.FlowStyle == 0 && i < len(n.Content); i += 2 {
			v := n.Content[i]
			switch {
			case v.Kind == yaml.MappingNode && v.Style&yaml.FlowStyle != 0:
				braces++
			case v.Kind == yaml.MappingNode:
				blocks++
			}
			if v.Style&yaml.FlowStyle != 0 || v.Line == n.Content[i-1].Line {
				continue
			}
			by := v.Column - n.Content[i-1].Column
			if v.Kind == yaml.MappingNode && !step && by > 0 {
				w.step, step = by, true
			}
			if v.Kind == yaml.SequenceNode && !dash {
				w.dash, dash = by, true
			}
		}
		for _, inner := range n.Content {
			walk(inner)
		}
	}
	walk(p.root)
	w.braces = braces > blocks
	return w
}

// inline writes a value in one line, inside braces or brackets if flow.
func (w writer) inline(n *yaml.Node, flow bool) string {
	switch n.Kind {
	case yaml.ScalarNode:
		return spellings(n.Value, 0, flow)[0]
	case yaml.MappingNode:
		var parts []string
		for i := 0; i+1 < len(n.Content); i += 2 {
			parts = append(parts, w.inline(n.Content[i], true)+": "+w.inline(n.Content[i+1], true))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	}
	var parts []string
	for _, item := range n.Content {
		parts = append(parts, w.inline(item, true))
	}
	return "[" + strings.Join(parts, ", ") + "]"
}

// inOneLine tells whether a value is written in one line in any case: a single one, a list of single ones, or nothing.
func inOneLine(n *yaml.Node) bool {
	if n.Kind == yaml.SequenceNode {
		_, plain := plainValues(n)
		return plain
	}
	return n.Kind == yaml.ScalarNode || len(n.Content) == 0
}

// pair writes a key with its value on lines of their own, without the indentation of the first.
func (w writer) pair(key string, v *yaml.Node, indent int) []string {
	if inOneLine(v) {
		return []string{key + ": " + w.inline(v, false)}
	}
	inner := indent + w.step
	if v.Kind == yaml.SequenceNode {
		inner = indent + w.dash
	}
	return append([]string{key + ":"}, w.lines(v, inner)...)
}

// lines writes a mapping or a list from a column on.
func (w writer) lines(n *yaml.Node, indent int) []string {
	var all []string
	before := strings.Repeat(" ", indent)
	if n.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(n.Content); i += 2 {
			pair := w.pair(w.inline(n.Content[i], false), n.Content[i+1], indent)
			pair[0] = before + pair[0]
			all = append(all, pair...)
		}
		return all
	}
	for _, item := range n.Content {
		lines := w.item(item, indent)
		lines[0] = before + lines[0]
		all = append(all, lines...)
	}
	return all
}

// item writes an entry of a list with its dash, without the indentation of the first line.
func (w writer) item(n *yaml.Node, indent int) []string {
	if n.Kind != yaml.MappingNode || len(n.Content) == 0 {
		return []string{"- " + w.inline(n, false)}
	}
	lines := w.lines(n, indent+2)
	lines[0] = "- " + strings.TrimLeft(lines[0], " ")
	return lines
}
