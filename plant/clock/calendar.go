package clock

import (
	"errors"
	"fmt"
	"time"
)

// Calendar is what takes days out of the weekly pattern, and what the clock on the wall does.
type Calendar struct {
	Holidays  []Date     // single days; a [When] may have hours of its own for them
	Shutdowns []Span     // nothing that follows a [When] begins on these days
	Summer    SummerTime // by which the hours of a [When] move; the zero value is none
}

// Closed reports whether t's day by the clock on the wall is a holiday and whether it lies in a shutdown.
func (c Calendar) Closed(t time.Time) (holiday, shutdown bool) { return c.closedOn(DateOf(c.Wall(t))) }

func (c Calendar) closedOn(d Date) (holiday, shutdown bool) {
	for _, h := range c.Holidays {
		holiday = holiday || h.is(d)
	}
	for _, s := range c.Shutdowns {
		shutdown = shutdown || s.Has(d)
	}
	return holiday, shutdown
}

// Check reports every holiday that does not exist and every shutdown that cannot be.
func (c Calendar) Check() error {
	var faults []error
	for i, h := range c.Holidays {
		if !h.Valid() {
			faults = append(faults, fmt.Errorf("holidays[%d]: %s; want a day that exists", i, h))
		}
	}
	for i, s := range c.Shutdowns {
		if err := s.Check(); err != nil {
			faults = append(faults, fmt.Errorf("shutdown[%d]: %w", i, err))
		}
	}
	faults = append(faults, c.Summer.Check())
	return errors.Join(faults...)
}
