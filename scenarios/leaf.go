package scenarios

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// leaf reads the text of one value into a text, amount, between or yesno.
func (d *decoder) leaf(s string, p at, out any, tag reflect.StructTag) {
	switch v := out.(type) {
	case *text:
		*v = text{p, s}
		d.word(s, p, tag)
	case *amount:
		v.at = p
		if s == tag.Get("or") && s != "" {
			v.word = s
			return
		}
		q, err := parse(s, strings.Split(tag.Get("kind"), "|")...)
		if err != nil {
			d.add(p, "%v", err)
			v.set = false
			return
		}
		v.quantity = q
		if q.cur != "" {
			d.prices = append(d.prices, *v)
		}
		if !d.bounds(q, p, tag) {
			v.set = false
		}
	case *between:
		v.at = p
		if err := v.read(s, tag.Get("kind")); err != nil {
			d.add(p, "%v", err)
			v.set = false
			return
		}
		d.bounds(v.lo, p, tag)
	case *yesno:
		v.at = p
		switch s {
		case "yes", "true":
			v.yes = true
		case "no", "false":
		default:
			d.add(p, "%s is neither yes nor no", quoted(s))
		}
	}
}

const (
	mostLetters     = 1000 // of a text; a week's hours in words take 200
	mostNameLetters = 100  // of a name, which stands in tables and pictures
)

// word checks a text against the words that it may be, and refuses an empty one.
func (d *decoder) word(s string, p at, tag reflect.StructTag) {
	if s == "" {
		d.add(p, "is empty; write a text or leave the key out")
		return
	}
	most := mostLetters
	if lastKey(p.key) == "name" {
		most = mostNameLetters
	}
	if n := utf8.RuneCountInString(s); n > most {
		d.add(p, "is %d letters long; want at most %d", n, most)
	}
	if words := tag.Get("of"); words != "" {
		known := strings.Split(words, "|")
		if !slices.Contains(known, s) {
			tail, near := wantOneOf(s, known)
			if near != "" {
				tail += "; all are " + orList(known)
			}
			d.add(p, "%s is not known; %s", quoted(s), tail).Near = near
		}
	}
}

// read takes "0..120 m3"; the first end may leave its unit to the second.
func (b *between) read(s, kind string) error {
	lo, hi, ok := strings.Cut(s, "..")
	if !ok {
		return fmt.Errorf("%s is no range; write for example %q", quoted(s), "0.."+kinds[kind].eg)
	}
	lo, hi = strings.TrimSpace(lo), strings.TrimSpace(hi)
	var err error
	if b.hi, err = parse(hi, kind); err != nil {
		return err
	}
	if number.FindString(lo) == lo {
		lo += " " + b.hi.unitText()
	}
	if b.lo, err = parse(lo, kind); err != nil {
		return err
	}
	if !(b.lo.base() < b.hi.base()) {
		return fmt.Errorf("%s does not rise; want the smaller end first", quoted(s))
	}
	return nil
}

// String gives the range in a form that reads equal.
func (b between) String() string { return b.lo.String() + ".." + b.hi.String() }

// limits are the bounds of a field, by its tags.
type limits struct {
	lo, hi           float64
	loIn, hiIn       bool // the bound itself belongs to the range
	hasLow, hasUpper bool
}

func limitsOf(tag reflect.StructTag) limits {
	l := limits{lo: math.Inf(-1), hi: math.Inf(1)}
	set := func(name string, to *float64, has, in *bool, inside bool) {
		if s := tag.Get(name); s != "" {
			v, err := strconv.ParseFloat(s, 64)
			if err != nil {
				panic(fmt.Sprintf("scenarios: tag %s:%q is no number", name, s))
			}
			*to, *has, *in = v, true, inside
		}
	}
	set("min", &l.lo, &l.hasLow, &l.loIn, true)
	set("over", &l.lo, &l.hasLow, &l.loIn, false)
	set("max", &l.hi, &l.hasUpper, &l.hiIn, true)
	set("under", &l.hi, &l.hasUpper, &l.hiIn, false)
	return l
}

// holds tells whether v lies inside.
func (l limits) holds(v float64) bool {
	return (v > l.lo || l.loIn && v == l.lo || !l.hasLow) && (v < l.hi || l.hiIn && v == l.hi || !l.hasUpper)
}

// String says what is wanted, "more than 0 m3 and at most 5 m3".
func (l limits) say(unit string) string {
	show := func(v float64) string { return strings.TrimSpace(fmt.Sprintf("%g %s", v, unit)) }
	lo, hi := "more than "+show(l.lo), "less than "+show(l.hi)
	if l.loIn {
		lo = show(l.lo) + " or more"
	}
	if l.hiIn {
		hi = "at most " + show(l.hi)
	}
	switch {
	case !l.hasUpper:
		return lo
	case !l.hasLow:
		return hi
	case l.lo == l.hi:
		return show(l.lo)
	case l.loIn && l.hiIn:
		return fmt.Sprintf("%g to %s", l.lo, show(l.hi))
	}
	return strings.TrimSuffix(lo, " or more") + " and " + hi
}

// bounds checks a quantity against its field's limits.
func (d *decoder) bounds(q quantity, p at, tag reflect.StructTag) bool {
	l := limitsOf(tag)
	if l.holds(q.base()) {
		return true
	}
	base := kinds[q.kind].units[0].text
	if kinds[q.kind].money {
		base = quantity{cur: q.cur, unit: unit{text: base}}.unitText()
	}
	if q.kind == "share" && q.unit.text == "" && q.num > 1 && l.holds(q.num/100) {
		d.add(p, "%s is more than all of it; write \"%s %%\"", quoted(q.String()), q)
		return false
	}
	if lest := tag.Get("lest"); lest != "" {
		l.lo, l.hi = l.lo*q.unit.div/q.unit.mul, l.hi*q.unit.div/q.unit.mul
		d.add(p, "%s is out of range: %s; want %s", quoted(q.String()), lest, l.say(q.unitText()))
		return false
	}
	d.add(p, "%s is out of range; want %s", quoted(q.String()), l.say(base))
	return false
}

// keysOf gives the keys that a struct knows, in the order of its fields.
func keysOf(t reflect.Type) []string {
	var keys []string
	for i := range t.NumField() {
		if k := t.Field(i).Tag.Get(keyTag); k != "" {
			keys = append(keys, k)
		}
	}
	return keys
}

// example gives a text that a field would take.
func example(tag reflect.StructTag) string {
	if eg := tag.Get("eg"); eg != "" {
		return eg
	}
	if s := tag.Get("default"); s != "" {
		return s
	}
	if k := tag.Get("kind"); k != "" {
		k, _, _ = strings.Cut(k, "|")
		return kinds[k].eg
	}
	word, _, _ := strings.Cut(tag.Get("of"), "|")
	return word
}

// nameOf gives the name of a list's element, "" when it has none.
func nameOf(n *yaml.Node) string {
	if n.Kind != yaml.MappingNode {
		return ""
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == "name" && n.Content[i+1].Kind == yaml.ScalarNode {
			return n.Content[i+1].Value
		}
	}
	return ""
}

// kindOf names what a node is, for a message.
func kindOf(n *yaml.Node) string {
	switch {
	case n.Kind == yaml.MappingNode:
		return "a mapping"
	case n.Kind == yaml.SequenceNode:
		return "a list"
	case n.Kind == yaml.AliasNode:
		return "an alias"
	case n.Value == "":
		return "empty"
	}
	return quoted(n.Value)
}
