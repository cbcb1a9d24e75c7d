package answer

import (
	"errors"
	"fmt"
	"runtime"
	"slices"
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

// variantsOf says what each variant changes. One that is wrong is an error: nothing else reads it before it is compared.
func variantsOf(c scenarios.Case) (Section, error) {
	all, err := Variants(c)
	if err != nil {
		return Section{}, err
	}
	s := Section{Title: "variants"}
	for _, v := range all[1:] {
		name := v.Name
		for _, e := range v.Case.Edits {
			s.add(name, "%s", changeOf(e))
			name = ""
		}
	}
	return s, nil
}

func changeOf(e scenarios.Edit) Change { return Change{e.Key, e.From, e.To} }

// String says the change: "store.volume: 60 m3 instead of 40 m3".
func (c Change) String() string {
	switch {
	case c.From == "":
		return c.Key + ": " + shortened(c.To, 70)
	case c.To == "":
		return c.Key + ": without " + shortened(c.From, 70)
	}
	return fmt.Sprintf("%s: %s instead of %s", c.Key, shortened(c.To, 60), shortened(c.From, 60))
}

// shortened cuts a text that is too long for its place.
func shortened(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
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

// NameApart gives cases of several files their scenario's name, with the file where two are called the same, and with
// their place where that too is the same.
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
		if slices.ContainsFunc(all, func(n Named) bool { return n.Name == name }) {
			name = fmt.Sprintf("%s, plant %d", name, len(all)+1)
		}
		all = append(all, Named{name, c})
	}
	return all
}
