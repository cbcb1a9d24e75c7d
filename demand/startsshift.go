package demand

import "time"

// Shift is the starts so much later, or earlier where by is below 0; see [clock.When.Shift].
func (s StartTimes) Shift(by time.Duration) (StartTimes, error) {
	when, err := s.when.Shift(by)
	return StartTimes{when}, err
}

// Equal reports whether both have the same starts.
func (s StartTimes) Equal(t StartTimes) bool { return s.when.Equal(t.when) }
