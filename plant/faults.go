package plant

import (
	"errors"
	"fmt"
)

// faults gathers everything that is wrong with one value, in the order of its fields.
type faults struct {
	place string // "collector", "field", ... with the name when there is one
	found []error
}

func newFaults(what, name string) faults {
	if name == "" {
		return faults{place: what}
	}
	return faults{place: fmt.Sprintf("%s %q", what, name)}
}

// require notes a fault unless ok holds. ok says what must be so, which a NaN never is.
func (f *faults) require(ok bool, key, format string, args ...any) {
	if !ok {
		f.found = append(f.found, fmt.Errorf("%s: %s: %s", f.place, key, fmt.Sprintf(format, args...)))
	}
}

func (f *faults) err() error { return errors.Join(f.found...) }
