package scenarios

import (
	"reflect"
	"strings"

	"go.yaml.in/yaml/v3"
)

// A value that may be written in more than one shape is a struct of its own: each field takes one shape and says so by
// the tag "shape", which is "one" (a single value), "list" or "map". The field that fits what is written is filled and
// the others stay absent. The struct's At tells where it stands, and its set whether it was written.
const shapeTag = "shape"

// shapes are the kinds of node that each shape takes, and how a message calls them.
var shapes = map[string]struct {
	kind yaml.Kind
	say  string
}{
	"one":  {yaml.ScalarNode, "one value"},
	"list": {yaml.SequenceNode, "a list"},
	"map":  {yaml.MappingNode, "keys and values"},
}

// isEither tells whether a struct is a value of several shapes.
func isEither(t reflect.Type) bool {
	for i := 0; t.Kind() == reflect.Struct && i < t.NumField(); i++ {
		if t.Field(i).Tag.Get(shapeTag) != "" {
			return true
		}
	}
	return false
}

// either reads a value of several shapes.
func (d *decoder) either(n *yaml.Node, p at, out reflect.Value) {
	out.FieldByName("At").Set(reflect.ValueOf(p))
	var wants []string
	for i := range out.NumField() {
		tag := out.Type().Field(i).Tag
		shape, ok := shapes[tag.Get(shapeTag)]
		if !ok {
			continue
		}
		if n.Kind == shape.kind {
			d.value(n, p, out.Field(i), tag)
			return
		}
		want := shape.say
		if eg := tag.Get("eg"); eg != "" {
			want += " such as " + eg
		}
		wants = append(wants, want)
	}
	d.add(p, "is %s; want %s", kindOf(n), strings.Join(wants, ", or "))
}

// eitherSchema offers the schemas of all shapes.
func eitherSchema(t reflect.Type, doc string) object {
	var any []object
	for i := range t.NumField() {
		if f := t.Field(i); f.Tag.Get(shapeTag) != "" {
			any = append(any, fieldSchema(f.Type, f.Tag))
		}
	}
	return object{{"description", doc}, {"anyOf", any}}
}
