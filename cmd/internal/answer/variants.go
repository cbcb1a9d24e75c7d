package answer

import (
	"errors"
	"fmt"
	"runtime"
	"strings"
	"sync"

	"noonkeep/scenarios"
)

// Variants gives the plant and each of its variants, made several at once. All that is wrong with them is said.
func Variants(c scenarios.Case) ([]Named, error) {
	var make []func() (Named, error)
	for _, v := range c.Variants {
		make = append(make, func() (Named, error) {
			varied, err := c.Vary(v.Name)
			return Named{v.Name, varied}, err
		})
	}
	return withPlant(c, make)
}

// withPlant puts the plant before what is made of it.
func withPlant(c scenarios.Case, make []func() (Named, error)) ([]Named, error) {
	all := append([]Named{}, Named{c.Name, c})
	made, errs := together(make)
	return append(all, made...), errors.Join(errs...)
}

func together(work []func() (Named, error)) ([]Named, []error) {
	out, errs := make([]Named, len(work)), make([]error, len(work))
	var group sync.WaitGroup
	places := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, f := range work {
		places <- struct{}{}
		group.Go(func() {
			out[i], errs[i] = f()
			<-places
		})
	}
	group.Wait()
	return out, errs
}

// NameApart gives cases of several files their scenario's name, with the file where two are called the same.
func NameApart(cases []scenarios.Case) []Named {
	count := map[string]int{}
	for _, c := range cases {
		count[c.Name]++
	}
	var all []Named
	for _, c := range cases {
		name := c.Name
		if count[name] > 1 {
			name = fmt.Sprintf("%s (%s)", name, strings.TrimSuffix(c.File, ".yaml"))
		}
		all = append(all, Named{name, c})
	}
	return all
}
