package table

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// kind is what a column holds.
type kind int

const (
	number  kind = iota // the case, an integer
	text                // a text
	remark              // a text, null if empty
	figure              // a double, null if NaN
	flag                // yes or no, null if NaN; 1 or 0 in a Row
	list                // a double a point of the curve, null if NaN
	setting             // a text that all rows share, from Head.Meta
)

// column is one column of a file: its name, what it is, and where a Row has it.
type column struct {
	name string
	doc  string
	kind kind
	fold bool // the same values come again and again: a dictionary is worth its while

	text   func(*Row) *string    // of a text, remark
	figure func(*Row) *float64   // of a figure, flag
	point  func(*Point) *float64 // of a list
	meta   string                // of a setting: its key in Head.Meta
}

// keyMark stands before a key that could be taken for another column.
const keyMark = "key:"

// maxKeys is how many keys a table takes.
const maxKeys = 1000

// columns lists the columns of a table in their order. Writer, reader and CSV all follow it.
func columns(h Head) []column {
	cols := append(lead(), keyColumns(h)...)
	cols = append(cols, cause()...)
	cols = append(cols, yearFigures()...)
	cols = append(cols, curveFigures()...)
	cols = append(cols, worthFigures()...)
	cols = append(cols, replayFigures()...)
	cols = append(cols, curveLists()...)
	return append(cols, settings()...)
}

// fixed lists the columns that every table has.
func fixed() []column { return columns(Head{}) }

func lead() []column {
	return []column{
		{name: "case", kind: number, doc: "number of the case in the plan, from 0"},
		{name: "scenario", kind: text, fold: true, doc: "name of the scenario", text: func(r *Row) *string { return &r.Scenario }},
		{name: "weather", kind: text, fold: true, doc: "weather year: as written, a seed, a year of a record, or a file", text: func(r *Row) *string { return &r.Weather }},
	}
}

func keyColumns(h Head) []column {
	cols := make([]column, 0, len(h.Keys))
	for i, key := range h.Keys {
		cols = append(cols, column{name: keyColumn(key), kind: text, fold: true, doc: "what the study sets " + key + " to",
			text: func(r *Row) *string { return &r.Inputs[i] }})
	}
	return cols
}

func cause() []column {
	return []column{
		{name: "error", kind: remark, fold: true, doc: "why the case was set aside; null if it was solved", text: func(r *Row) *string { return &r.Error }},
		{name: "currency", kind: text, fold: true, doc: "of all money in the row", text: func(r *Row) *string { return &r.Currency }},
		{name: "engine", kind: text, fold: true, doc: "the engine that solved the case", text: func(r *Row) *string { return &r.Engine }},
	}
}

// settings come last; readers of a single row group find there what wrote it.
func settings() []column {
	return []column{
		{name: "program", kind: setting, fold: true, meta: "program", doc: "build of noonkeep that solved the case"},
		{name: "physics", kind: setting, fold: true, meta: "physics", doc: "version of what moves results"},
	}
}

// keyColumn names the column of a key: the key itself, unless that could be taken for another column, in any case of its
// letters. No two keys share a name, and keyOf finds the key again.
func keyColumn(key string) string {
	taken := func(c column) bool { return strings.EqualFold(c.name, key) }
	if strings.HasPrefix(key, keyMark) || slices.ContainsFunc(fixed(), taken) {
		return keyMark + key
	}
	return key
}

func keyOf(name string) string { return strings.TrimPrefix(name, keyMark) }

// check refuses a head that a file cannot hold.
func (h Head) check() error {
	if len(h.Keys) > maxKeys {
		return fmt.Errorf("keys: are %d; want at most %d", len(h.Keys), maxKeys)
	}
	seen := make(map[string]bool, len(h.Keys))
	for i, key := range h.Keys {
		switch {
		case key == "":
			return fmt.Errorf("keys: number %d is empty; want the name of a key", i+1)
		case !utf8.ValidString(key):
			return fmt.Errorf("keys: %q is not UTF-8 text", key)
		case seen[key]:
			return fmt.Errorf("keys: %q stands there twice; want each key once", key)
		}
		seen[key] = true
	}
	for k, v := range h.Meta {
		if !utf8.ValidString(k) || !utf8.ValidString(v) {
			return fmt.Errorf("meta: %q: %q is not UTF-8 text", k, v)
		}
	}
	return nil
}

// Column is a column of a table, for those who read the files elsewhere.
type Column struct {
	Name string
	Doc  string
}

// Columns lists the columns of a table with the keys of h, in their order.
func Columns(h Head) []Column {
	var out []Column
	for _, c := range columns(h) {
		out = append(out, Column{Name: c.name, Doc: c.doc})
	}
	return out
}
