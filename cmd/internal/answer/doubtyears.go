package answer

import (
	"errors"
	"fmt"
	"sync"

	"noonkeep/scenarios"
)

// doubtYear is a year of weather that cases are drawn from. It is made when the first case of it is solved, and let go after
// the last.
type doubtYear struct {
	name string
	make func() (scenarios.Case, error)

	mu   *sync.Mutex
	held *scenarios.Case
	left int // cases that still want it
}

// use gives the year's plant; done tells that a case no longer wants it.
func (y *doubtYear) use() (scenarios.Case, error) {
	y.mu.Lock()
	defer y.mu.Unlock()
	if y.held == nil {
		c, err := y.make()
		if err != nil {
			return scenarios.Case{}, err
		}
		y.held = &c
	}
	return *y.held, nil
}

func (y *doubtYear) done() {
	y.mu.Lock()
	defer y.mu.Unlock()
	if y.left--; y.left == 0 {
		y.held = nil
	}
}

// doubtYears are the years that weather draws from: so many seeds, or with none each whole year of the files.
func doubtYears(c scenarios.Case, seeds int) (years []doubtYear, leftOut []string, err error) {
	tasks := measuredYears(c)
	if seeds > 0 {
		if tasks, err = seedYears(c, seeds); err != nil {
			return nil, nil, err
		}
	}
	leftOut = []string{}
	for t, err := range tasks.each {
		switch {
		case err != nil:
			return nil, nil, err
		case t.out != "":
			leftOut = append(leftOut, t.name+": "+t.out)
		default:
			years = append(years, doubtYear{name: t.name, make: t.make, mu: new(sync.Mutex)})
		}
	}
	if len(years) < 2 {
		few := [...]string{"no whole year", "one whole year"}[len(years)]
		err = fmt.Errorf("%s: doubt: weather: the files have %s, and there is nothing to draw; want more files, or take weather out of the list", c.File, few)
		for _, why := range leftOut {
			err = errors.Join(err, fmt.Errorf("%s: left out: %s", c.File, why))
		}
		return nil, nil, err
	}
	return years, leftOut, nil
}
