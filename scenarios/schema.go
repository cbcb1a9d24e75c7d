package scenarios

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"regexp"
	"strconv"
	"strings"
)

// Schema gives the JSON Schema (draft 2020-12) of a scenario, made of the same types that read one,
// so an editor can offer the keys, say what they mean and mark a wrong unit.
// It holds the form of a scenario; what values must fit each other, only Parse tells.
func Schema() []byte {
	root := object{{"$schema", "https://json-schema.org/draft/2020-12/schema"}, {"title", "Noonkeep scenario"}}
	root = append(root, schemaOf(reflect.TypeFor[file](), "A plant with its sun, loads, boilers, collectors and store.")...)
	compact, err := json.Marshal(root)
	if err != nil {
		panic("scenarios: schema: " + err.Error())
	}
	var b bytes.Buffer
	if err := json.Indent(&b, compact, "", "  "); err != nil {
		panic("scenarios: schema: " + err.Error())
	}
	return b.Bytes()
}

// object is a JSON object that keeps the order of its members: that of the struct.
type object []member

type member struct {
	name  string
	value any
}

// MarshalJSON writes the members in order.
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString(strconv.Quote(m.name) + ":")
		var value bytes.Buffer
		enc := json.NewEncoder(&value)
		enc.SetEscapeHTML(false)
		if err := enc.Encode(m.value); err != nil {
			return nil, err
		}
		b.Write(bytes.TrimSpace(value.Bytes()))
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// schemaOf gives the members of a mapping's schema.
func schemaOf(t reflect.Type, doc string) object {
	var props object
	required := []string{}
	for i := range t.NumField() {
		f := t.Field(i)
		key := f.Tag.Get(keyTag)
		if key == "" {
			continue
		}
		props = append(props, member{key, fieldSchema(f.Type, f.Tag)})
		if f.Tag.Get("need") != "" {
			required = append(required, key)
		}
	}
	o := object{{"description", doc}, {"type", "object"}, {"additionalProperties", false}, {"properties", props}}
	if len(required) > 0 {
		o = append(o, member{"required", required})
	}
	return o
}

// fieldSchema gives the schema of one field by its type and tags.
func fieldSchema(t reflect.Type, tag reflect.StructTag) object {
	doc := tag.Get("doc")
	switch t {
	case reflect.TypeFor[text](), reflect.TypeFor[amount](), reflect.TypeFor[between](), reflect.TypeFor[yesno]():
		return append(object{{"description", doc}}, leafSchema(t, tag)...)
	case reflect.TypeFor[raw]():
		return changeSchema(doc)
	}
	if isEither(t) {
		return eitherSchema(t, doc)
	}
	switch t.Kind() {
	case reflect.Pointer:
		return schemaOf(t.Elem(), doc)
	case reflect.Slice:
		items := listItem(t.Elem(), tag)
		o := object{{"description", doc}, {"type", "array"}, {"items", items}}
		if n, err := strconv.Atoi(tag.Get("len")); err == nil {
			o = append(o, member{"minItems", n}, member{"maxItems", n})
		}
		return o
	}
	return schemaOf(t, doc)
}

// changeSchema is the scenario's own shape with nothing needed, and with the means to take things out.
func changeSchema(doc string) object {
	var plant object
	whole := reflect.TypeFor[file]()
	for i := range whole.NumField() {
		f := whole.Field(i)
		if key := f.Tag.Get(keyTag); key != "" && unchangeable[key] == "" {
			plant = append(plant, member{key, loose(fieldSchema(f.Type, f.Tag))})
		}
	}
	return object{{"description", doc}, {"type", "object"}, {"additionalProperties", false}, {"properties", plant}}
}

// loose takes back what a schema asks for, and lets each mapping remove.
func loose(o object) object {
	var out object
	for _, m := range o {
		switch value := m.value.(type) {
		case []string:
			if m.name == "required" {
				continue
			}
		case object:
			value = loose(value)
			if m.name == "properties" {
				value = append(value, member{removeKey, object{
					{"description", "yes takes it out, in a list an entry; a list of keys takes those out."},
					{"anyOf", []object{{{"enum", []any{true, "yes"}}}, {{"type", "array"}, {"items", object{{"type", "string"}}}}}},
				}})
			}
			m.value = value
		}
		out = append(out, m)
	}
	return out
}

// listItem gives the schema of a list's element; quantities but the last may leave the unit out.
func listItem(t reflect.Type, tag reflect.StructTag) object {
	if t.Kind() == reflect.Struct && t != reflect.TypeFor[text]() && t != reflect.TypeFor[amount]() {
		return schemaOf(t, "One of them.")
	}
	item := leafSchema(t, tag)
	if t == reflect.TypeFor[amount]() {
		return object{{"anyOf", []object{{{"type", "number"}}, item}}}
	}
	return object{{"type", "string"}}
}

// leafSchema gives type, pattern, words, default and example of a leaf.
func leafSchema(t reflect.Type, tag reflect.StructTag) object {
	var o object
	switch t {
	case reflect.TypeFor[yesno]():
		o = object{{"enum", []any{true, false, "yes", "no"}}}
	case reflect.TypeFor[text]():
		o = object{{"type", []string{"string", "number", "boolean"}}}
		if words := tag.Get("of"); words != "" {
			o = object{{"enum", strings.Split(words, "|")}}
		}
	case reflect.TypeFor[between]():
		p := kindPattern(tag.Get("kind"))
		o = object{{"type", "string"}, {"pattern", "^" + numberPattern + "( *" + p + ")? *\\.\\. *" + numberPattern + " *" + p + "$"}}
	default:
		o = amountSchema(tag)
	}
	if s := tag.Get("default"); s != "" {
		o = append(o, member{"default", s})
	}
	if s := example(tag); s != "" && tag.Get("of") == "" {
		o = append(o, member{"examples", []string{s}})
	}
	return o
}

const numberPattern = `[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?`

func amountSchema(tag reflect.StructTag) object {
	var patterns []string
	bare := false
	for name := range strings.SplitSeq(tag.Get("kind"), "|") {
		patterns = append(patterns, kindPattern(name))
		for _, u := range kinds[name].units {
			bare = bare || u.text == "" && !kinds[name].money
		}
	}
	pattern := numberPattern + " *(" + strings.Join(patterns, "|") + ")"
	if word := tag.Get("or"); word != "" {
		pattern = "(" + pattern + "|" + regexp.QuoteMeta(word) + ")"
	}
	types := []string{"string"}
	if bare {
		types = append(types, "number")
	}
	return object{{"type", types}, {"pattern", "^" + pattern + "$"}}
}

// kindPattern gives the pattern of a kind's units in every spelling that canon brings together.
func kindPattern(name string) string {
	var all []string
	for _, u := range kinds[name].units {
		p := unitPattern(u.text)
		if kinds[name].money {
			p = "[A-Za-z]{1,8}"
			if u.text != "" {
				p += ` */ *\(?` + unitPattern(u.text) + `\)?`
			}
		}
		all = append(all, p)
	}
	return "(" + strings.Join(all, "|") + ")"
}

// unitPattern gives the pattern of one unit: "W/m2K" also as "W/(m² K)" and "W/m2/K".
func unitPattern(text string) string {
	over, under, has := strings.Cut(canon(text), "/")
	if !has {
		return letters(over, " *")
	}
	return letters(over, " *") + fmt.Sprintf(` */ *\(?%s\)?`, letters(under, "[ ·*/]*"))
}

func letters(s, between string) string {
	s = strings.ReplaceAll(s, "deg", "°")
	var all []string
	for _, r := range s {
		switch r {
		case '2':
			all = append(all, "[2²]")
		case '3':
			all = append(all, "[3³]")
		case '4':
			all = append(all, "[4⁴]")
		case '°':
			all = append(all, "(deg|°|º)")
		default:
			all = append(all, regexp.QuoteMeta(string(r)))
		}
	}
	return strings.Join(all, between)
}
