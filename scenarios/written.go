package scenarios

import (
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Entry is one value of a scenario as it was written.
type Entry struct {
	Key   string // the way to it: "loads[dye machines].steam"
	Value string // as written; a list of plain values stands in one line
	Line  int
}

// Written lists every value of the scenario in the order of its text, without its variants. Of a variant it is the
// changed plant.
func (c Case) Written() []Entry {
	var list []Entry
	if c.made != nil && c.made.root != nil {
		written(c.made.root, "", &list)
	}
	return list
}

func written(n *yaml.Node, way string, list *[]Entry) {
	switch n.Kind {
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			key := n.Content[i].Value
			switch {
			case way == "" && key == "variants":
				continue
			case way != "":
				key = way + "." + key
			}
			written(n.Content[i+1], key, list)
		}
	case yaml.SequenceNode:
		if values, plain := plainValues(n); plain {
			*list = append(*list, Entry{way, strings.Join(values, ", "), n.Line})
			return
		}
		for i, item := range n.Content {
			written(item, fmt.Sprintf("%s[%s]", way, itemName(item, i)), list)
		}
	default:
		*list = append(*list, Entry{way, n.Value, n.Line})
	}
}

// plainValues are those of a list of single values.
func plainValues(n *yaml.Node) (values []string, plain bool) {
	for _, item := range n.Content {
		if item.Kind != yaml.ScalarNode {
			return nil, false
		}
		values = append(values, item.Value)
	}
	return values, true
}

// itemName is what a list's item is called, or its place, the first being 1.
func itemName(n *yaml.Node, at int) string {
	if n.Kind == yaml.MappingNode {
		if i := keyAt(n, "name"); i >= 0 && n.Content[i+1].Kind == yaml.ScalarNode {
			return n.Content[i+1].Value
		}
	}
	return fmt.Sprint(at + 1)
}
