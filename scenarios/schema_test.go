package scenarios

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"

	"noonkeep/plant"
	"noonkeep/storage"
)

// holds checks a value against the part of JSON Schema that ours uses; a keyword it does not know is a fault.
func holds(t *testing.T, schema map[string]any, v any, path string) []string {
	t.Helper()
	var faults []string
	bad := func(format string, args ...any) { faults = append(faults, path+": "+fmt.Sprintf(format, args...)) }
	for word, rule := range schema {
		switch word {
		case "$schema", "title", "description", "default", "examples", "required", "additionalProperties":
		case "type":
			if types, many := rule.([]any); many {
				if !slices.Contains(types, any(typeOf(v))) {
					bad("is %v, want %v", v, types)
				}
			} else if rule != typeOf(v) {
				bad("is %v, want %v", v, rule)
			}
		case "enum":
			if !slices.Contains(rule.([]any), v) {
				bad("%v is not in %v", v, rule)
			}
		case "pattern":
			if s, ok := v.(string); ok && !regexp.MustCompile(rule.(string)).MatchString(s) {
				bad("%q does not match %s", s, rule)
			}
		case "minItems", "maxItems":
			list, _ := v.([]any)
			if n := len(list); list != nil && (word == "minItems") == (float64(n) < rule.(float64)) && float64(n) != rule.(float64) {
				bad("has %d items, %s is %v", n, word, rule)
			}
		case "items":
			list, _ := v.([]any)
			for i, x := range list {
				faults = append(faults, holds(t, rule.(map[string]any), x, path+"["+strconv.Itoa(i)+"]")...)
			}
		case "anyOf":
			if !slices.ContainsFunc(rule.([]any), func(s any) bool { return len(holds(t, s.(map[string]any), v, path)) == 0 }) {
				bad("%v fits none", v)
			}
		case "properties":
			faults = append(faults, members(t, schema, v, path)...)
		default:
			t.Fatalf("keyword %q is not known here", word)
		}
	}
	return faults
}

func members(t *testing.T, schema map[string]any, v any, path string) []string {
	t.Helper()
	var faults []string
	m, _ := v.(map[string]any)
	props := schema["properties"].(map[string]any)
	for k, x := range m {
		if sub, ok := props[k]; ok {
			faults = append(faults, holds(t, sub.(map[string]any), x, path+"."+k)...)
		} else {
			faults = append(faults, path+": key "+k)
		}
	}
	need, _ := schema["required"].([]any)
	for _, k := range need {
		if _, ok := m[k.(string)]; !ok {
			faults = append(faults, path+": lacks "+k.(string))
		}
	}
	return faults
}

func typeOf(v any) string {
	switch v.(type) {
	case map[string]any:
		return "object"
	case []any:
		return "array"
	case string:
		return "string"
	case bool:
		return "boolean"
	case float64:
		return "number"
	}
	return "null"
}

// asJSON is a scenario as an editor's checker sees it.
func asJSON(t *testing.T, data []byte) any {
	t.Helper()
	var v any
	if err := yaml.Unmarshal(data, &v); err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var out any
	if err := json.Unmarshal(b, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

func TestSchemaTakesExamples(t *testing.T) {
	t.Parallel()
	schema := map[string]any{}
	if err := json.Unmarshal(Schema(), &schema); err != nil {
		t.Fatal(err)
	}
	for _, s := range Starters() {
		data, err := Source(s.Name)
		if err != nil {
			t.Fatal(err)
		}
		for _, fault := range holds(t, schema, asJSON(t, data), s.Name) {
			t.Error(fault)
		}
	}
}

func TestSchemaRefuses(t *testing.T) {
	t.Parallel()
	schema := map[string]any{}
	if err := json.Unmarshal(Schema(), &schema); err != nil {
		t.Fatal(err)
	}
	if faults := holds(t, schema, asJSON(t, []byte(plain)), "plain"); len(faults) > 0 {
		t.Fatal(faults)
	}
	for _, pair := range [][2]string{
		{"18 bar(g)", "18 bar"}, {"volume: 40", "volme: 40"}, {"40 m3", "40"}, {"40 m3", "[40 m3]"}, {"flash", "flush"}, {"0..120 m3", "0-120 m3"},
		{"4, 3 kWh/m2d]", "4 kWh/m2d]"}, {"name: plain\n", ""}, {"noonkeep: 1", "noonkeep: one"}, {"kind: dish", "kind: disc"}, {"0.05 EUR/kWh", "0.05"}, {"900 kg/h", "900 kg"},
	} {
		if faults := holds(t, schema, asJSON(t, []byte(with(t, pair[0], pair[1]))), "plain"); len(faults) == 0 {
			t.Errorf("%q in place of %q is taken", pair[1], pair[0])
		}
	}
}

// A change has the plant's shape with nothing needed in it, and may remove.
func TestSchemaOfChange(t *testing.T) {
	t.Parallel()
	schema := map[string]any{}
	if err := json.Unmarshal(Schema(), &schema); err != nil {
		t.Fatal(err)
	}
	for change, ok := range map[string]bool{
		`{loads: [{name: works, when: "Sun 10:00-14:00"}]}`:     true,
		`{loads: [{name: works, remove: yes}]}`:                 true,
		`{loads: [{name: works, remove: [when], heat: 90 kW}]}`: true,
		`{store: {remove: yes}}`:                                true,
		`{weather: {monthly: {air_swing: 12 K}}}`:               true,
		`{}`:                      true,
		`{store: {volme: 60 m3}}`: false,
		`{store: {volume: 60}}`:   false,
		`{loads: [{name: works, wen: "Sun 10:00-14:00"}]}`: false,
		`{loads: [{name: works, remove: 3}]}`:              false,
		`{name: other}`:                                    false,
		`{variants: []}`:                                   false,
	} {
		faults := holds(t, schema, asJSON(t, []byte(plain+"variants: [{name: v, change: "+change+"}]\n")), "plain")
		if (len(faults) == 0) != ok {
			t.Errorf("%s: taken %v, want %v: %v", change, len(faults) == 0, ok, faults)
		}
	}
}

// The keys of design section 7 are a contract.
func TestSchemaHasFixedKeys(t *testing.T) {
	t.Parallel()
	schema := map[string]any{}
	if err := json.Unmarshal(Schema(), &schema); err != nil {
		t.Fatal(err)
	}
	for section, keys := range map[string]string{
		"": "noonkeep name site weather time headers loads fuels boilers fields store money variants", "site": "latitude longitude elevation utc_offset",
		"weather": "file monthly seed", "time": "year step holidays shutdown", "headers": "name pressure feedwater", "loads": "name header steam when",
		"fuels": "name price net_calorific_value co2", "boilers": "name header fuel capacity efficiency", "fields": "name collector count aperture",
		"store": "vessel volume working_pressure steps", "money": "currency life discount", "variants": "name change",
	} {
		at := schema["properties"].(map[string]any)
		if section != "" {
			sub := at[section].(map[string]any)
			if items, ok := sub["items"].(map[string]any); ok {
				sub = items
			}
			at = sub["properties"].(map[string]any)
		}
		for key := range strings.FieldsSeq(keys) {
			if _, ok := at[key]; !ok {
				t.Errorf("%s.%s is not there", section, key)
			}
		}
	}
	if !bytes.Contains(Schema(), []byte(`"$schema": "https://json-schema.org/draft/2020-12/schema"`)) {
		t.Error("does not name its draft")
	}
}

// Every field has a doc and tags that fit its type; every default and example is one that the field takes.
func TestTagsFit(t *testing.T) {
	t.Parallel()
	var walk func(reflect.Type, string)
	walk = func(typ reflect.Type, path string) {
		for i := range typ.NumField() {
			f := typ.Field(i)
			key := f.Tag.Get(keyTag)
			if key == "" {
				if f.Tag.Get(shapeTag) != "" {
					eitherFits(t, f, path, walk)
				} else if f.Name != "At" {
					t.Errorf("%s: field %s has no key", path, f.Name)
				}
				continue
			}
			path := join(path, key)
			if doc := f.Tag.Get("doc"); !strings.HasSuffix(doc, ".") {
				t.Errorf("%s: doc %q is no sentence", path, doc)
			}
			if (f.Tag.Get("default") != "") && f.Tag.Get("need") != "" {
				t.Errorf("%s: needed and defaulted", path)
			}
			inner := f.Type
			for inner.Kind() == reflect.Pointer || inner.Kind() == reflect.Slice {
				inner = inner.Elem()
			}
			switch reflect.New(inner).Interface().(type) {
			case *text, *amount, *between, *yesno:
				leafFits(t, f, inner, path)
			case *raw:
			default:
				walk(inner, path)
			}
		}
	}
	walk(reflect.TypeFor[file](), "")
}

// eitherFits checks one shape of a value that has several.
func eitherFits(t *testing.T, f reflect.StructField, path string, walk func(reflect.Type, string)) {
	t.Helper()
	if doc := f.Tag.Get("doc"); !strings.HasSuffix(doc, ".") {
		t.Errorf("%s: doc %q is no sentence", path, doc)
	}
	inner := f.Type
	for inner.Kind() == reflect.Pointer || inner.Kind() == reflect.Slice {
		inner = inner.Elem()
	}
	if inner == reflect.TypeFor[amount]() {
		leafFits(t, f, inner, path)
		return
	}
	walk(inner, path)
}

func leafFits(t *testing.T, f reflect.StructField, typ reflect.Type, path string) {
	t.Helper()
	if typ == reflect.TypeFor[amount]() && f.Tag.Get("kind") == "" {
		t.Errorf("%s: has no kind", path)
	}
	for name := range strings.SplitSeq(f.Tag.Get("kind"), "|") {
		if _, ok := kinds[name]; !ok && f.Tag.Get("kind") != "" {
			t.Errorf("%s: kind %q is not known", path, name)
		}
	}
	texts := []string{f.Tag.Get("default")}
	if f.Type.Kind() != reflect.Slice {
		texts = append(texts, example(f.Tag))
	}
	for _, s := range texts {
		if s == "" {
			continue
		}
		d := decoder{}
		d.leaf(s, at{key: path}, reflect.New(typ).Interface(), f.Tag)
		if err := d.err(); err != nil {
			t.Errorf("%s: its own %q is refused: %v", path, s, err)
		}
		schema := map[string]any{}
		b, err := json.Marshal(leafSchema(typ, f.Tag))
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(b, &schema); err != nil {
			t.Fatal(err)
		}
		if faults := holds(t, schema, s, path); len(faults) > 0 {
			t.Error(faults)
		}
	}
}

// Words that stand in a tag are those of the room that knows what they mean.
func TestWordsAreTheRooms(t *testing.T) {
	t.Parallel()
	words := func(typ reflect.Type, field string) string {
		f, ok := typ.FieldByName(field)
		if !ok {
			t.Fatalf("%v has no %s", typ, field)
		}
		return f.Tag.Get("of")
	}
	var names []string
	for _, k := range plant.Kinds() {
		names = append(names, k.Name)
	}
	if got := words(reflect.TypeFor[collectorFile](), "Kind"); got != strings.Join(names, "|") {
		t.Errorf("collectors %s, plant has %v", got, names)
	}
	for word := range strings.SplitSeq(words(reflect.TypeFor[collectorFile](), "Tracking"), "|") {
		if _, err := plant.ParseTracking(word); err != nil {
			t.Error(err)
		}
	}
	want := storage.Flash.String() + "|" + storage.Exchanger.String() + "|" + storage.Thermocline.String()
	if got := words(reflect.TypeFor[storeFile](), "Vessel"); got != want {
		t.Errorf("vessels %s, want %s", got, want)
	}
	if got, want := words(reflect.TypeFor[mediumFile](), "Kind"), strings.Join(plant.Carriers(), "|"); got != want {
		t.Errorf("media %s, want %s", got, want)
	}
	want = storage.WhileDischarging.String() + "|" + storage.WhileCharging.String()
	if got := words(reflect.TypeFor[storeFile](), "Feed"); got != want {
		t.Errorf("feeds %s, want %s", got, want)
	}
	for word := range strings.SplitSeq(words(reflect.TypeFor[storeFile](), "Ends"), "|") {
		if !strings.HasSuffix(endsOf(word).String(), word) {
			t.Errorf("ends %q are taken for %v", word, endsOf(word))
		}
	}
}
