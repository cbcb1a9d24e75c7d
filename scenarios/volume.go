package scenarios

import (
	"strconv"

	"go.yaml.in/yaml/v3"
)

// WithVolume is the same plant with its varied store at another volume, as if the scenario had been written so.
func (c Case) WithVolume(m3 float64) (Case, error) {
	if c.Store == nil || c.Store.VolumeM3 == m3 || c.made == nil {
		return c, nil
	}
	plain := func(s string) *yaml.Node { return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: s} }
	pairs := func(nodes ...*yaml.Node) *yaml.Node { return &yaml.Node{Kind: yaml.MappingNode, Content: nodes} }
	volume := []*yaml.Node{plain("volume"), plain(strconv.FormatFloat(m3, 'f', -1, 64) + " m3")}
	change := pairs(plain("store"), pairs(volume...))
	if keyAt(c.made.root, "stores") >= 0 {
		one := pairs(append([]*yaml.Node{plain("name"), plain(c.Store.Name)}, volume...)...)
		change = pairs(plain("stores"), &yaml.Node{Kind: yaml.SequenceNode, Content: []*yaml.Node{one}})
	}
	out, err := c.made.vary(c.Variant, change, "volume", nil)
	if err != nil {
		return Case{}, err
	}
	out.Edits = c.Edits
	if len(out.Stores) > 1 {
		return out.Varying(c.Store.Name)
	}
	return out, nil
}
