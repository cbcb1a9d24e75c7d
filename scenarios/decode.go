package scenarios

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// at is where a value stands in its file. Every leaf and every mapping of file.go holds one.
type at struct {
	line int    // of the value; of the mapping around it where the value was left out
	col  int    // orders faults within a line
	key  string // "store.working_pressure", `loads[dye machines].steam`
	set  bool   // it was written, not defaulted
}

// The leaves of a scenario. A field of file.go is one of these, a mapping (a struct, or a pointer to
// one that may be left out), or a list of either.
type (
	text struct {
		at
		s string
	}
	amount struct {
		at
		quantity
		word string // written in place of a quantity, where the field's tag "or" allows it
	}
	between struct { // "0..120 m3"
		at
		lo, hi quantity
	}
	yesno struct {
		at
		yes bool
	}
	raw struct { // kept as it stands, for a later reader
		at
		node *yaml.Node
	}
)

// The tags of a field of file.go:
//
//	key      its key
//	doc      what it says, for the schema; the first words also tell an assumption
//	kind     the sort or sorts of quantity, "flow|power"
//	of       the words that a text may be, "flash|exchanger"
//	or       a word that may stand for the quantity
//	need     any text: it must be written
//	default  the value when it is not written, noted as an Assumption
//	why      the ground for the default
//	min max  bounds that belong to it, in the kind's base unit; over and under: bounds that do not
//	len      how many values the list must have
//	lest     why a value outside the bounds makes no sense; the message then ends with it
//	eg       an example for the schema
const keyTag = "key"

// decoder turns nodes into the structs of file.go by their tags.
type decoder struct {
	faults
	assumed []Assumption
	doubts  []Warning
	gone    []string   // assumptions that were taken back
	root    *yaml.Node // the whole scenario
	fatal   bool       // it is no scenario at all: nothing was read
	prices  []amount   // every price that was written, in file order but for the order of structs
}

// doubtAt notes something doubtful about a place.
func (d *decoder) doubtAt(p at, format string, args ...any) {
	d.doubts = append(d.doubts, Warning{p.line, p.key + ": " + fmt.Sprintf(format, args...)})
}

// mapping reads a mapping into a struct.
func (d *decoder) mapping(n *yaml.Node, p at, out reflect.Value) {
	if n != nil && n.Kind != yaml.MappingNode {
		d.add(p, "is %s; want keys and values", kindOf(n))
		return
	}
	if here := out.FieldByName("At"); here.IsValid() {
		here.Set(reflect.ValueOf(p))
	}
	values := d.pairs(n, p, out.Type())
	for i := range out.NumField() {
		tag := out.Type().Field(i).Tag
		key := tag.Get(keyTag)
		if key == "" {
			continue
		}
		place := at{line: p.line, col: p.col, key: join(p.key, key)}
		if v, ok := values[key]; ok {
			place.line, place.col, place.set = v.Line, v.Column, true
			d.value(v, place, out.Field(i), tag)
			continue
		}
		d.absent(place, out.Field(i), tag)
	}
}

// pairs gives the values of a mapping by key, and notes the keys that the struct does not know.
func (d *decoder) pairs(n *yaml.Node, p at, t reflect.Type) map[string]*yaml.Node {
	values := map[string]*yaml.Node{}
	if n == nil {
		return values
	}
	known := keysOf(t)
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		here := at{line: k.Line, col: k.Column, key: join(p.key, cut(k.Value))}
		switch first, twice := values[k.Value]; {
		case k.Kind != yaml.ScalarNode || k.Value == "":
			d.add(at{line: k.Line, col: k.Column, key: p.key}, "a key is %s; want a word", kindOf(k))
		case k.Value == "<<":
			d.add(at{line: k.Line, col: k.Column, key: p.key}, `"<<" merges another mapping; write its keys out here`)
		case twice:
			d.add(here, "is written twice, first in line %d; keep one", first.Line)
		case v.ShortTag() == "!!null" && number.MatchString(k.Value):
			d.add(at{line: k.Line, col: k.Column, key: p.key}, "%s stands alone after a comma; a number has no comma, and a text with one needs quotes", quoted(k.Value))
		case !slices.Contains(known, k.Value):
			tail, near := wantOneOf(k.Value, known)
			d.add(here, "is not a key of a scenario here; %s", tail).Near = near
		default:
			values[k.Value] = v
		}
	}
	return values
}

// value reads one value into a field.
func (d *decoder) value(n *yaml.Node, p at, out reflect.Value, tag reflect.StructTag) {
	if n.Kind == yaml.ScalarNode && n.ShortTag() == "!!null" {
		d.add(p, "has no value; give one or leave the key out")
		return
	}
	switch leaf := out.Addr().Interface().(type) {
	case *raw:
		*leaf = raw{p, n}
		return
	case *text, *amount, *between, *yesno:
		if s, ok := d.scalar(n, p, tag); ok {
			d.leaf(s, p, leaf, tag)
		}
		return
	}
	if isEither(out.Type()) {
		d.either(n, p, out)
		return
	}
	switch out.Kind() {
	case reflect.Pointer:
		out.Set(reflect.New(out.Type().Elem()))
		d.mapping(n, p, out.Elem())
	case reflect.Struct:
		d.mapping(n, p, out)
	case reflect.Slice:
		d.list(n, p, out, tag)
	}
}

// scalar gives the text of a single value.
func (d *decoder) scalar(n *yaml.Node, p at, tag reflect.StructTag) (string, bool) {
	if n.Kind != yaml.ScalarNode {
		want := "one value"
		if eg := example(tag); eg != "" {
			want += " such as " + strconv.Quote(eg)
		}
		d.add(p, "is %s; want %s", kindOf(n), want)
		return "", false
	}
	return strings.TrimSpace(n.Value), true
}

// list reads a sequence; elements that have a name are called by it in messages.
func (d *decoder) list(n *yaml.Node, p at, out reflect.Value, tag reflect.StructTag) {
	if n.Kind != yaml.SequenceNode {
		d.add(p, "is %s; want a list, [..., ...] or lines that begin with a dash", kindOf(n))
		return
	}
	if want := tag.Get("len"); want != "" && want != strconv.Itoa(len(n.Content)) {
		d.add(p, "has %d values; want %s", len(n.Content), want)
		return
	}
	if len(n.Content) > mostItems {
		d.add(p, "has %d entries; want at most %d", len(n.Content), mostItems)
		return
	}
	unit := lastUnit(n, tag)
	all := reflect.MakeSlice(out.Type(), len(n.Content), len(n.Content))
	before := len(d.faults.list)
	for i, v := range n.Content {
		if tag.Get("kind") != "" && len(d.faults.list) > before {
			return // one wrong unit would be told for every value
		}
		name := strconv.Itoa(i + 1)
		if called := nameOf(v); called != "" {
			name = cut(called)
		}
		if unit != "" && v.Kind == yaml.ScalarNode && i < len(n.Content)-1 && number.FindString(v.Value) == v.Value {
			with := *v
			with.Value += " " + unit
			v = &with
		}
		d.value(v, at{line: v.Line, col: v.Column, key: p.key + "[" + name + "]", set: true}, all.Index(i), tag)
	}
	out.Set(all)
}

// lastUnit gives the unit that a list of quantities carries once, on its last value: [0.5, 0.7, 0.9 kW].
func lastUnit(n *yaml.Node, tag reflect.StructTag) string {
	if tag.Get("kind") == "" || len(n.Content) < 2 {
		return ""
	}
	last := n.Content[len(n.Content)-1]
	if last.Kind != yaml.ScalarNode {
		return ""
	}
	s := strings.TrimSpace(last.Value)
	return strings.TrimSpace(s[len(number.FindString(s)):])
}

// absent fills in what was not written.
func (d *decoder) absent(p at, out reflect.Value, tag reflect.StructTag) {
	if tag.Get("need") != "" {
		eg := ""
		if s := example(tag); s != "" {
			eg = fmt.Sprintf("; write for example %q", lastKey(p.key)+": "+s)
		}
		d.add(p, "is missing%s", eg)
		return
	}
	if s := tag.Get("default"); s != "" {
		d.leaf(s, p, out.Addr().Interface(), tag)
		d.assume(p.key, s, tag)
		return
	}
	switch leaf := out.Addr().Interface().(type) {
	case *text:
		leaf.at = p
	case *amount:
		leaf.at = p
	case *between:
		leaf.at = p
	case *yesno:
		leaf.at = p
	case *raw:
		leaf.at = p
	default:
		if out.Kind() == reflect.Struct {
			d.mapping(nil, p, out)
		}
	}
}

func (d *decoder) assume(key, value string, tag reflect.StructTag) {
	say := firstWords(tag.Get("doc"))
	if why := tag.Get("why"); why != "" {
		say += " (" + why + ")"
	}
	d.note(key, value, say)
}

func (d *decoder) note(key, value, say string) {
	d.assumed = append(d.assumed, Assumption{key, value, say})
}

// unassume takes back an assumption that turned out to have no say.
func (d *decoder) unassume(key string) {
	d.gone = append(d.gone, key)
	d.assumed = slices.DeleteFunc(d.assumed, func(a Assumption) bool { return a.Key == key })
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

func lastKey(path string) string { return path[strings.LastIndexByte(path, '.')+1:] }

// firstWords gives a doc up to its first full stop or semicolon.
func firstWords(doc string) string {
	if i := strings.IndexAny(doc, ".;"); i > 0 && (i+1 == len(doc) || doc[i+1] == ' ') {
		return doc[:i]
	}
	return doc
}

// cut shortens a key or name for a message.
func cut(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:37]) + "..."
	}
	return s
}
