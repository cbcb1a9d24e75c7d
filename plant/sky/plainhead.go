package sky

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

const mostPreamble = 100 // lines before the header

// header reads up to the line of column names; where all columns are numbers, up to the first row.
func (f *plain) header() error {
	byNumber, numbers := f.numbers()
	var lastErr error
	for f.l.at < mostPreamble {
		line, err := f.l.must("a header with the named columns")
		if err != nil {
			return err
		}
		if f.delimiter == 0 && !blank(line) {
			f.guessDelimiter(line)
		}
		if byNumber {
			if c := f.cut(line); len(c) > slices.Max(numbers) {
				f.held, f.heldAt = append([]byte(nil), line...), f.l.at
				if _, lastErr = f.row(line); lastErr == nil {
					return nil
				}
				f.held = nil
			}
		} else if names := f.names(line); slices.ContainsFunc(names, func(n string) bool { return n == f.Time[0] }) {
			return f.find(names)
		}
		if f.Delimiter == 0 {
			f.delimiter = 0
		}
	}
	if byNumber && lastErr != nil {
		return lastErr
	}
	return f.l.fail("header: no column %q in %d lines; want the name of the time's column as the file writes it", f.Time[0], mostPreamble)
}

// numbers gives the columns, from 0, if all are called by number.
func (f *plain) numbers() (bool, []int) {
	var all []int
	number := func(name string) int {
		n, err := strconv.Atoi(name)
		if err != nil || n < 1 || n > 10_000 {
			return -1
		}
		all = append(all, n-1)
		return n - 1
	}
	f.time = nil
	ok := true
	for _, name := range f.Time {
		n := number(name)
		f.time = append(f.time, n)
		ok = ok && n >= 0
	}
	for q, c := range f.columns() {
		f.column[q] = -1
		if c.Name != "" {
			f.column[q] = number(c.Name)
			ok = ok && f.column[q] >= 0
		}
	}
	return ok, all
}

// guessDelimiter takes the sign that cuts a line into most cells.
func (f *plain) guessDelimiter(line []byte) {
	best := 0
	f.delimiter = ','
	for _, d := range []byte{'\t', ';', '|', ','} { // a comma may be a decimal sign, so it comes last
		if n := bytes.Count(line, []byte{d}); n > best {
			f.delimiter, best = d, n
			if d != ',' && best >= 1 {
				return
			}
		}
	}
}

// names cuts a header line.
func (f *plain) names(line []byte) []string {
	return cutWords(text(line), rune(f.delimiter))
}

// find looks for the columns in the header.
func (f *plain) find(names []string) error {
	seek := func(what, name string) (int, error) {
		i := slices.Index(names, name)
		if i < 0 {
			if n, err := strconv.Atoi(name); err == nil && n >= 1 && n <= len(names) {
				return n - 1, nil
			}
			return -1, f.l.fail("columns: %s: no %q among %s", what, name, shownNames(names))
		}
		if slices.Contains(names[i+1:], name) {
			return -1, f.l.fail("columns: %s: %q stands twice; want it once, or its number", what, name)
		}
		return i, nil
	}
	var err error
	for i, name := range f.Time {
		if f.time[i], err = seek("time", name); err != nil {
			return err
		}
	}
	for q, c := range f.columns() {
		if c.Name == "" {
			continue
		}
		if f.column[q], err = seek(columnNames[q], c.Name); err != nil {
			return err
		}
		if said := unitIn(names[f.column[q]]); said != "" && said != c.Unit.text {
			f.notes = append(f.notes, Note{Line: f.l.at, Text: fmt.Sprintf("the header writes %q, and %s is read as %s, as told", names[f.column[q]], columnNames[q], c.Unit)})
		}
	}
	return nil
}

// unitIn is the unit that a header writes in brackets after a name.
func unitIn(name string) string {
	i := strings.IndexAny(name, "([")
	j := strings.LastIndexAny(name, ")]")
	if i < 0 || j < i {
		return ""
	}
	return nearUnit(name[i+1 : j])
}

func shownNames(names []string) string {
	const most = 12
	var all []string
	for i, n := range names {
		if i == most {
			all = append(all, "...")
			break
		}
		all = append(all, shown([]byte(n)))
	}
	return strings.Join(all, ", ")
}
