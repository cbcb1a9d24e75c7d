package study

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"noonkeep/cmd/internal/study/table"
)

// Reason is why cases were set aside, with the first of them. Cases whose reasons differ in numbers and dates alone are of one kind.
type Reason struct {
	Text     string  `json:"text"` // of the first case
	Cases    int64   `json:"cases"`
	Case     int64   `json:"case"`
	Scenario string  `json:"scenario"`
	Weather  string  `json:"weather"`
	Inputs   []Input `json:"inputs"`
}

// Input is one varied key with its value.
type Input struct {
	Key   string `json:"key"`
	Value string `json:"value"`
}

// mostReasons is how many kinds are told, and mostKinds how many are told apart; all further ones are of one kind.
const (
	mostReasons = 8
	mostKinds   = 10_000
)

// reasons are the kinds, by what is the same in their texts.
type reasons map[string]*kind

type kind struct {
	count int64
	first table.Row // without its curve
}

func (k reasons) add(r *table.Row) {
	name := reasonKind(r.Error)
	x := k[name]
	if x == nil && len(k) >= mostKinds {
		name = ""
		x = k[name]
	}
	if x == nil {
		x = &kind{first: told(r)}
		k[name] = x
	}
	x.count++
	if r.Case < x.first.Case {
		x.first = told(r)
	}
}

// told is what is told of a row, on its own.
func told(r *table.Row) table.Row {
	out := table.Row{Case: r.Case, Error: strings.Clone(cutTo(r.Error, 1000)), Scenario: strings.Clone(r.Scenario), Weather: strings.Clone(r.Weather)}
	for _, v := range r.Inputs {
		out.Inputs = append(out.Inputs, strings.Clone(v))
	}
	return out
}

// list gives the commonest kinds; of equally common ones that with the first case comes first.
func (k reasons) list(keys []string) []Reason {
	sorted := slices.SortedFunc(maps.Values(k), func(a, b *kind) int {
		return cmp.Or(cmp.Compare(b.count, a.count), cmp.Compare(a.first.Case, b.first.Case))
	})
	list := []Reason{}
	for _, x := range sorted[:min(len(sorted), mostReasons)] {
		r := Reason{Text: x.first.Error, Cases: x.count, Case: x.first.Case, Scenario: x.first.Scenario, Weather: x.first.Weather, Inputs: []Input{}}
		for i, v := range x.first.Inputs {
			if i < len(keys) {
				r.Inputs = append(r.Inputs, Input{keys[i], v})
			}
		}
		list = append(list, r)
	}
	return list
}

// reasonKind is a text with # for each number and for the name of a month.
func reasonKind(text string) string {
	var b strings.Builder
	last := byte(0)
	for i := 0; i < len(text) && b.Len() < 200; {
		n := numberAt(text[i:])
		if n == 0 {
			n = monthAt(text[i:], last)
		}
		if n == 0 {
			last = text[i]
			b.WriteByte(last)
			i++
			continue
		}
		last = '#'
		b.WriteByte(last)
		i += n
	}
	return b.String()
}

// numberAt is the length of a number at a text's beginning: "310", "1.3e-05", "06:00".
func numberAt(s string) int {
	if s[0] < '0' || s[0] > '9' {
		return 0
	}
	n := strings.IndexFunc(s, func(c rune) bool { return !strings.ContainsRune("0123456789.:e-+", c) })
	if n < 0 {
		n = len(s)
	}
	return len(strings.TrimRight(s[:n], ".:e-+")) // of a sentence that goes on
}

// monthAt is the length of a month's short name, as dates have it.
func monthAt(s string, before byte) int {
	const months = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec"
	if before != ' ' && before != 0 || len(s) < 3 || s[0] < 'A' || s[0] > 'S' || len(s) > 3 && s[3] != ' ' {
		return 0
	}
	if strings.Contains(months, s[:3]) {
		return 3
	}
	return 0
}

func cutTo(s string, most int) string {
	if len(s) <= most {
		return s
	}
	return strings.ToValidUTF8(s[:most], "") + "…"
}
