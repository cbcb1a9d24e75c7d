package desk

import (
	"errors"
	"fmt"
	"strings"

	"noonkeep/scenarios"
)

// fault is one thing that is wrong, with the way to the value at fault; Key is empty for what is in no value.
type fault struct {
	Key  string `json:"key"`
	Text string `json:"text"` // as the commands say it, without file, line and key
}

// faultsBy takes joined errors apart, in their order; nil for none.
func faultsBy(err error) []fault {
	if err == nil {
		return nil
	}
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		var list []fault
		for _, e := range many.Unwrap() {
			list = append(list, faultsBy(e)...)
		}
		return list
	}
	if one, ok := err.(*scenarios.Error); ok {
		return []fault{{one.Key, one.Text}}
	}
	// What another room adds before a scenario's fault, such as a variant's name, is kept with it.
	var inside *scenarios.Error
	if errors.As(err, &inside) {
		return []fault{{inside.Key, err.Error()}}
	}
	return []fault{{"", err.Error()}}
}

// headText is a fault as it stands at the page's head, away from its field.
func (f fault) headText() string {
	if f.Key == "" {
		return f.Text
	}
	return f.Key + ": " + f.Text
}

// placed sets each fault beside the field that is nearest to it: the one of its key; that of a part of the value or of what
// it is a part of; for a load the one of its hours. keys are those of the fields that the page has. The rest stands at the page's head,
// with its key. Beside goes by the page's own keys.
func placed(list []fault, keys []string) (beside map[string][]string, head []string) {
	beside = map[string][]string{}
	for _, f := range list {
		key := nearestField(f.Key, keys)
		switch {
		case key == "":
			head = append(head, f.headText())
		case plainKey(key) == plainKey(f.Key):
			beside[key] = append(beside[key], f.Text)
		default:
			beside[key] = append(beside[key], f.headText())
		}
	}
	return beside, head
}

// nearestField is the page's key that a fault stands beside, "" for none.
func nearestField(key string, keys []string) string {
	if key == "" {
		return ""
	}
	want := plainKey(key)
	for _, k := range keys {
		if plainKey(k) == want {
			return k
		}
	}
	for _, k := range keys {
		if has := plainKey(k); isPartOf(want, has) || isPartOf(has, want) && strings.ContainsAny(want, ".[") {
			return k
		}
	}
	if entry, has := entryOf(want); has {
		for _, k := range keys {
			if isPartOf(plainKey(k), entry) {
				return k
			}
		}
	}
	return ""
}

// isPartOf tells whether a way leads on from another.
func isPartOf(way, of string) bool {
	return strings.HasPrefix(way, of+".") || strings.HasPrefix(way, of+"[")
}

// entryOf is the entry of a list that a way leads into, "loads[night shift]".
func entryOf(way string) (entry string, has bool) {
	open := strings.IndexByte(way, '[')
	if open < 0 {
		return "", false
	}
	if end := strings.Index(way[open:], "]."); end >= 0 {
		return way[:open+end+1], true
	}
	return way, strings.HasSuffix(way, "]")
}

// plainKey is a way as messages show it: no quotes in the brackets, long names cut.
func plainKey(key string) string {
	var b strings.Builder
	for rest := key; ; {
		before, inside, left, has := cutQuoted(rest)
		b.WriteString(before)
		if !has {
			return b.String()
		}
		b.WriteString(inside)
		rest = left
	}
}

// cutQuoted finds the first name in quotes and brackets.
func cutQuoted(key string) (before, inside, left string, has bool) {
	i := strings.Index(key, `["`)
	if i < 0 {
		return key, "", "", false
	}
	for j := i + 2; j < len(key); j++ {
		switch key[j] {
		case '\\':
			j++
		case '"':
			name := strings.NewReplacer(`\\`, `\`, `\"`, `"`).Replace(key[i+2 : j])
			return key[:i+1], name, key[j+1:], true
		}
	}
	return key, "", "", false
}

// slug makes of a way an id for HTML that no other way has: letters, digits, "-" and "_".
func slug(key string) string {
	var b strings.Builder
	for _, r := range key {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9':
			b.WriteRune(r)
		case r == '.':
			b.WriteByte('-')
		case r == '[':
			b.WriteString("_b")
		case r == ']':
			b.WriteString("_e")
		case r == ' ':
			b.WriteString("_s")
		case r == '_':
			b.WriteString("_u")
		default:
			fmt.Fprintf(&b, "_x%x_", r)
		}
	}
	return b.String()
}
