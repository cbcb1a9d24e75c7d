package study

import (
	_ "embed"
	"slices"
)

//go:embed example.yaml
var example []byte

// Example is a small study with an explanation of its keys.
func Example() []byte { return slices.Clone(example) }
