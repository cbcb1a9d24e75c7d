package scenarios

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"noonkeep/plant/clock"
)

// Error is one fault of a scenario, at the place where a person has to mend it.
type Error struct {
	File string // as it was given to Load or Parse
	Line int    // 1 is the first; 0 when the fault is in no line
	Key  string // the way to the value, "store.working_pressure"; empty when the fault is in no key
	Text string // what was seen; what is wanted
	Near string // the nearest known key or name, "" when none is near
	Err  error  // the cause, when another room or the system found it
	col  int
}

// Error gives `file:line: key: saw; want`.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&b, ":%d", e.Line)
	}
	if e.Key != "" {
		b.WriteString(": " + e.Key)
	}
	b.WriteString(": " + e.Text)
	return b.String()
}

// Unwrap gives the cause, nil when the fault was found here.
func (e *Error) Unwrap() error { return e.Err }

// mostFaults is how many faults one reading lists; a file that is no scenario at all would list thousands.
const mostFaults = 40

// faults collects what is wrong with one file.
type faults struct {
	file string
	list []*Error
}

// add notes a fault at a place; args are those of fmt.Sprintf.
func (f *faults) add(p at, text string, args ...any) *Error {
	e := &Error{File: f.file, Line: p.line, Key: p.key, Text: fmt.Sprintf(text, args...), col: p.col}
	f.list = append(f.list, e)
	return e
}

// wrap notes what another room found: one fault for each error that was joined.
func (f *faults) wrap(p at, err error) {
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		for _, one := range many.Unwrap() {
			f.wrap(p, one)
		}
		return
	}
	var word *clock.TextError
	if errors.As(err, &word) {
		near := ""
		if word.Near != "" {
			near = "; did you mean " + word.Near + "?"
		}
		e := f.add(p, "%s does not fit; want %s%s", quoted(word.Saw), word.Want, near)
		e.Near, e.Err = word.Near, err
		return
	}
	f.add(p, "%v", err).Err = err
}

// err joins the faults in file order, nil when there are none.
func (f *faults) err() error {
	if len(f.list) == 0 {
		return nil
	}
	slices.SortStableFunc(f.list, func(a, b *Error) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.col, b.col))
	})
	var all []error
	for i, e := range f.list {
		if i == mostFaults {
			all = append(all, &Error{File: f.file, Text: fmt.Sprintf("and %d more; mend these first", len(f.list)-i)})
			break
		}
		all = append(all, e)
	}
	return errors.Join(all...)
}

// nearest gives the known word that a person most likely meant, "" when none is near.
// A word that holds the other is near; else up to a third of the letters may differ.
func nearest(word string, known []string) string {
	if len(word) > 64 {
		return ""
	}
	best, least := "", len(word)/3+2
	for _, k := range known {
		d := distance(strings.ToLower(word), strings.ToLower(k))
		if len(word) > 2 && (strings.Contains(k, word) || strings.Contains(word, k)) {
			d = min(d, 1)
		}
		if d < least {
			best, least = k, d
		}
	}
	return best
}

// distance counts the letters to change, add or drop to make b of a, a swap of neighbours counting as one.
func distance(a, b string) int {
	row := func(n int) []int { return make([]int, n+1) }
	older, old, now := row(len(b)), row(len(b)), row(len(b))
	for j := range old {
		old[j] = j
	}
	for i := 1; i <= len(a); i++ {
		now[0] = i
		for j := 1; j <= len(b); j++ {
			change := old[j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			now[j] = min(old[j]+1, now[j-1]+1, change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				now[j] = min(now[j], older[j-2]+1)
			}
		}
		older, old, now = old, now, older
	}
	return old[len(b)]
}

// wantOneOf gives the tail of a message about a wrong word: the nearest, or all when there are few.
func wantOneOf(word string, known []string) (tail, near string) {
	if near = nearest(word, known); near != "" {
		return fmt.Sprintf("nearest is %q", near), near
	}
	if len(known) == 0 {
		return "there are none", ""
	}
	return "want " + orList(known), ""
}

// orList gives "a, b or c".
func orList(words []string) string { return listOf(words, " or ") }

// andList gives "a, b and c".
func andList(words []string) string { return listOf(words, " and ") }

func listOf(words []string, before string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + before + words[last]
}
