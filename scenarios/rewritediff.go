package scenarios

import (
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Changes lists what the text after gives otherwise than the text before: each value by the way to it, in the order of
// the text before, what is new last. Entries of lists are compared by name. Comments and layout do not count.
func Changes(before, after []byte) ([]Edit, error) {
	a, err := rootOf("the text before", before)
	if err != nil {
		return nil, err
	}
	b, err := rootOf("the text after", after)
	if err != nil {
		return nil, err
	}
	var list []Edit
	differ(a, b, "", &list)
	return list, nil
}

// differ lists how b differs from a.
func differ(a, b *yaml.Node, way string, list *[]Edit) {
	parts, order := valuesIn(a, way)
	others, otherOrder := valuesIn(b, way)
	if readsAs(a, b) {
		return
	}
	if a.Kind != b.Kind || len(parts) == 0 || len(others) == 0 {
		*list = append(*list, Edit{way, inLine(a), inLine(b)})
		return
	}
	before := len(*list)
	for _, key := range order {
		if v, has := others[key]; has {
			differ(parts[key], v, key, list)
			continue
		}
		*list = append(*list, Edit{Key: key, From: inLine(parts[key])})
	}
	for _, key := range otherOrder {
		if _, has := parts[key]; !has {
			*list = append(*list, Edit{Key: key, To: inLine(others[key])})
		}
	}
	if len(*list) == before && a.Kind == yaml.SequenceNode { // in another order
		*list = append(*list, Edit{way, strings.Join(order, ", "), strings.Join(otherOrder, ", ")})
	}
}

// valuesIn are the values in a mapping or in a list of mappings, by their ways; none for any other value.
func valuesIn(n *yaml.Node, way string) (parts map[string]*yaml.Node, order []string) {
	parts = map[string]*yaml.Node{}
	add := func(key string, v *yaml.Node) {
		for again := 2; parts[key] != nil; again++ {
			key = fmt.Sprintf("%s (%d)", key, again)
		}
		parts[key], order = v, append(order, key)
	}
	for i := 0; n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		add(join(way, n.Content[i].Value), n.Content[i+1])
	}
	if n.Kind != yaml.SequenceNode || slices.ContainsFunc(n.Content, func(item *yaml.Node) bool { return item.Kind != yaml.MappingNode }) {
		return parts, order
	}
	for i, item := range n.Content {
		add(fmt.Sprintf("%s[%s]", way, itemName(item, i)), item)
	}
	return parts, order
}
