package demand

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
)

// How many faults or notes of one kind are told; the rest is counted.
const (
	mostOfKind  = 20
	mostOfNotes = 3
)

// logKind names what is wrong or odd in a few words, for the count of those that are not told.
type logKind string

// tally collects what was found in a log: the first of each kind, and how many there were, so that a flood of one
// kind neither hides another nor fills the memory.
type tally struct {
	source string
	most   int       // told of a kind
	kinds  []logKind // in order of coming
	count  map[logKind]int
	first  map[logKind][]LogNote
	broken *LineError // why reading ended early
}

func newTally(source string, most int) *tally {
	return &tally{source: source, most: most, count: map[logKind]int{}, first: map[logKind][]LogNote{}}
}

// add notes one; format is worked out only for those that are told.
func (y *tally) add(kind logKind, line int, format string, args ...any) {
	n := y.count[kind]
	if n == 0 {
		y.kinds = append(y.kinds, kind)
	}
	y.count[kind] = n + 1
	if n < y.most {
		y.first[kind] = append(y.first[kind], LogNote{line, fmt.Sprintf(format, args...)})
	}
}

// stop notes what ends the reading.
func (y *tally) stop(line int, cause error, format string, args ...any) {
	if y.broken == nil {
		y.broken = &LineError{Source: y.source, Line: max(line, 1), Text: fmt.Sprintf(format, args...), err: cause}
	}
}

func (y *tally) none() bool { return len(y.kinds) == 0 && y.broken == nil }

// notes gives all in the order of lines, then the counts of what was not told.
func (y *tally) notes() []LogNote {
	var all, rest []LogNote
	for _, k := range y.kinds {
		all = append(all, y.first[k]...)
		if more := y.count[k] - y.most; more > 0 {
			rest = append(rest, LogNote{0, fmt.Sprintf("%s: %d more like the first %d", k, more, y.most)})
		}
	}
	slices.SortStableFunc(all, func(a, b LogNote) int { return cmp.Compare(a.Line, b.Line) })
	return append(all, rest...)
}

// err joins the faults, nil for none. A count stands at the line of the last fault that was told.
func (y *tally) err() error {
	var all []error
	last := 1
	for _, n := range y.notes() {
		if n.Line > 0 {
			last = n.Line
		}
		all = append(all, &LineError{Source: y.source, Line: last, Text: n.Text})
	}
	if y.broken != nil {
		all = append(all, y.broken)
	}
	return errors.Join(all...)
}
