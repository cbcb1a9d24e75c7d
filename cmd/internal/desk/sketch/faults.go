package sketch

import (
	"errors"
	"fmt"
	"math"
)

// faults gathers what keeps a picture from being drawn.
type faults []error

func (f *faults) want(ok bool, format string, args ...any) bool {
	if !ok {
		*f = append(*f, fmt.Errorf(format, args...))
	}
	return ok
}

// largest is the size beyond which a number is refused; sums of such stay finite.
const largest = 1e15

// id wants what may begin an id in a page.
func (f *faults) id(s string) {
	for _, r := range s {
		if !f.want(r == '-' || r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z', "id: is %q; want letters, digits and - alone", s) {
			return
		}
	}
}

// series wants n finite values; -1 takes any count.
func (f *faults) series(name string, v []float64, n int) bool {
	if n >= 0 && !f.want(len(v) == n, "%s: are %d values; want %d", name, len(v), n) {
		return false
	}
	for i, x := range v {
		if !f.want(math.Abs(x) <= largest, "%s: value %d is %g; want a number within ±1e15", name, i+1, x) {
			return false
		}
	}
	return true
}

// flows wants finite values of no less than 0, but for a solver's rounding.
func (f *faults) flows(name string, v []float64, n int) {
	if !f.series(name, v, n) {
		return
	}
	most := 1.0
	for _, x := range v {
		most = max(most, x)
	}
	for i, x := range v {
		if !f.want(x >= -1e-6*most, "%s: value %d is %g; want 0 or more", name, i+1, x) {
			return
		}
	}
}

// volumes wants two or more that rise from 0 or more.
func (f *faults) volumes(name string, v []float64) bool {
	if !f.want(len(v) >= 2, "%s: are %d; want 2 or more", name, len(v)) || !f.series(name, v, -1) ||
		!f.want(v[0] >= 0, "%s: start at %g m³; want 0 or more", name, v[0]) {
		return false
	}
	for i := 1; i < len(v); i++ {
		if !f.want(v[i] > v[i-1], "%s: %g m³ follows %g m³; want them rising", name, v[i], v[i-1]) {
			return false
		}
	}
	return true
}

func (f faults) join(picture string) error {
	if len(f) == 0 {
		return nil
	}
	return fmt.Errorf("%s: %w", picture, errors.Join(f...))
}
