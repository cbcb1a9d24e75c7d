package answer

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"noonkeep/scenarios"
)

// mostMoves is how many combinations are tried: some 15 s of a year with hourly steps.
const mostMoves = 200

// Moves gives the plant and its loads at other hours: every combination of what each entry allows. A shift is
// "load:-3h..+3h" or "load:-3h..+3h/30min", a try "load:Mon-Fri 06:00-14:00|Mon-Sat 06:00-22:00".
func Moves(c scenarios.Case, shifts, tries []string) ([]Named, error) {
	var choices [][]choice
	used := map[string]bool{}
	add := func(flag, text string, read func(c scenarios.Case, load, rest string) ([]choice, error)) error {
		load, rest, err := loadOf(c, text)
		if err == nil && used[load] {
			err = fmt.Errorf("load %q is moved twice; give it one --shift or --try", load)
		}
		var list []choice
		if err == nil {
			used[load] = true
			list, err = read(c, load, rest)
		}
		if err != nil {
			return fmt.Errorf("%s %q: %w", flag, text, err)
		}
		choices = append(choices, list)
		return nil
	}
	for _, text := range shifts {
		if err := add("--shift", text, shiftsOf); err != nil {
			return nil, err
		}
	}
	for _, text := range tries {
		if err := add("--try", text, triesOf); err != nil {
			return nil, err
		}
	}
	count := 1
	for _, list := range choices {
		if count *= len(list); count > mostMoves {
			return nil, fmt.Errorf("compare: these moves have more than %d combinations; want longer steps, or fewer loads at once", mostMoves)
		}
	}
	return combine(c, choices)
}

// choice is one place of a load, and how it is called; no move is the plant as it is.
type choice struct {
	name string
	move *scenarios.Move
}

// combine makes the case of every combination but that in which nothing moves.
func combine(c scenarios.Case, choices [][]choice) ([]Named, error) {
	combinations := [][]choice{nil}
	for _, list := range choices {
		var longer [][]choice
		for _, head := range combinations {
			for _, x := range list {
				longer = append(longer, append(slices.Clone(head), x))
			}
		}
		combinations = longer
	}
	var make []func() (Named, error)
	for _, list := range combinations {
		var names []string
		var moves []scenarios.Move
		for _, x := range list {
			if x.move != nil {
				names, moves = append(names, x.name), append(moves, *x.move)
			}
		}
		if len(moves) == 0 {
			continue
		}
		name := strings.Join(names, "; ")
		make = append(make, func() (Named, error) {
			moved, err := c.Rearranged(name, moves...)
			return Named{name, moved}, err
		})
	}
	all, err := withPlant(c, make)
	if err != nil {
		return nil, firstOf(err)
	}
	if len(all) < 2 {
		return nil, fmt.Errorf("compare: these moves leave every load where it is; want another place for one")
	}
	all[0].Name = "as it is"
	return all, nil
}

// firstOf takes the first of joined errors: moves of one load all fail alike.
func firstOf(err error) error {
	for {
		many, ok := err.(interface{ Unwrap() []error })
		if !ok || len(many.Unwrap()) == 0 {
			return err
		}
		err = many.Unwrap()[0]
	}
}

// loadOf parts a text into the name of a load and what follows its colon. A name may have a colon in it.
func loadOf(c scenarios.Case, text string) (load, rest string, err error) {
	var names []string
	for _, l := range c.Loads {
		names = append(names, l.Name)
		after, named := strings.CutPrefix(strings.TrimSpace(text), l.Name)
		after, colon := strings.CutPrefix(strings.TrimSpace(after), ":")
		if named && colon && len(l.Name) > len(load) {
			load, rest = l.Name, strings.TrimSpace(after)
		}
	}
	if load != "" {
		return load, rest, nil
	}
	name, _, colon := strings.Cut(text, ":")
	if !colon {
		return "", "", fmt.Errorf("has no colon; want a load, a colon and its moves, as %q", append(names, "load")[0]+":-3h..+3h")
	}
	return "", "", c.HasLoad(strings.TrimSpace(name))
}

// shiftsOf reads "-3h..+3h/30min".
func shiftsOf(_ scenarios.Case, load, text string) ([]choice, error) {
	span, stepText, has := strings.Cut(text, "/")
	fromText, toText, two := strings.Cut(span, "..")
	if !two {
		return nil, fmt.Errorf("%q is no range; want for example -3h..+3h", text)
	}
	from, err := move(fromText)
	if err != nil {
		return nil, err
	}
	to, err := move(toText)
	if err != nil {
		return nil, err
	}
	step := time.Hour
	if has {
		if step, err = move(stepText); err != nil {
			return nil, err
		}
	}
	switch {
	case step <= 0:
		return nil, fmt.Errorf("the step is %q; want more than nothing, as 30min", strings.TrimSpace(stepText))
	case from > to:
		return nil, fmt.Errorf("%q falls; want the earliest first", strings.TrimSpace(span))
	case int((to-from)/step) >= mostMoves:
		return nil, fmt.Errorf("these are %d moves; want at most %d, by a longer step", (to-from)/step+1, mostMoves)
	}
	list := []choice{{"", nil}}
	for by := from; by <= to; by += step {
		if by != 0 {
			list = append(list, choice{load + " " + spanText(by), &scenarios.Move{Load: load, By: by}})
		}
	}
	return list, nil
}

// triesOf reads patterns with | between.
func triesOf(c scenarios.Case, load, text string) ([]choice, error) {
	list := []choice{{"", nil}}
	for when := range strings.SplitSeq(text, "|") {
		when = strings.TrimSpace(when)
		if when == "" {
			return nil, fmt.Errorf("a pattern is empty; want hours such as Mon-Fri 06:00-14:00, with | between")
		}
		if when != c.Hours(load) {
			list = append(list, choice{load + " " + when, &scenarios.Move{Load: load, When: when}})
		}
	}
	return list, nil
}

// move reads "-3h", "+90 min" or "0".
func move(text string) (time.Duration, error) {
	s := strings.ReplaceAll(strings.TrimSpace(text), " ", "")
	number, unit := s, time.Hour
	switch {
	case strings.HasSuffix(s, "min"):
		number, unit = strings.TrimSuffix(s, "min"), time.Minute
	case strings.HasSuffix(s, "h"):
		number = strings.TrimSuffix(s, "h")
	case s != "0":
		return 0, fmt.Errorf("%q is no span of time; want hours or minutes, as -3h or 30min", strings.TrimSpace(text))
	}
	v, err := strconv.ParseFloat(number, 64)
	by := time.Duration(v * float64(unit))
	if err != nil || !(v >= -1e4 && v <= 1e4) || by%time.Minute != 0 {
		return 0, fmt.Errorf("%q is no span of whole minutes; want hours or minutes, as -3h or 30min", strings.TrimSpace(text))
	}
	return by, nil
}

// spanText says a move: "+3 h", "-90 min".
func spanText(by time.Duration) string {
	if by%time.Hour == 0 {
		return fmt.Sprintf("%+d h", by/time.Hour)
	}
	return fmt.Sprintf("%+d min", by/time.Minute)
}
