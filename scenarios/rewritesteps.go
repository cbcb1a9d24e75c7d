package scenarios

import (
	"fmt"
	"strconv"
	"strings"
)

// step is one part of a way: a key, or what stands in the brackets after it.
type step struct {
	word   string
	inside bool // in brackets: an entry of a list, by its name or its place
	quoted bool // the name stood in quotes, so that it is no place and no sign
}

const newEntry = "+" // in brackets: an entry after the last

// stepsOf reads a way such as store.volume, loads[night shift].when or site.horizon[2].height. A name with brackets or
// quotes of its own stands in quotes.
func stepsOf(way string) ([]step, error) {
	var steps []step
	if i := strings.IndexFunc(way, unseen); i >= 0 {
		return nil, fmt.Errorf("%s has a sign that is not seen; write it without", quoted(way))
	}
	rest := strings.TrimSpace(way)
	for rest != "" {
		if rest[0] != '[' {
			end := strings.IndexAny(rest, ".[")
			if end < 0 {
				end = len(rest)
			}
			word := strings.TrimSpace(rest[:end])
			if word == "" {
				return nil, fmt.Errorf("%s has a point with no key; write for example %q", quoted(way), "store.volume")
			}
			steps, rest = append(steps, step{word: word}), rest[end:]
		} else {
			s, left, err := insideOf(rest[1:], way)
			if err != nil {
				return nil, err
			}
			steps, rest = append(steps, s), left
		}
		after, point := strings.CutPrefix(rest, ".")
		switch {
		case point && (after == "" || after[0] == '['):
			return nil, fmt.Errorf("%s has a point with no key after it; write for example %q", quoted(way), "store.volume")
		case point:
			rest = after
		case rest != "" && rest[0] != '[':
			return nil, fmt.Errorf("%s goes on after the bracket; want a point before the next key", quoted(way))
		}
	}
	if len(steps) == 0 {
		return nil, fmt.Errorf("no key; write for example %q", "store.volume")
	}
	if steps[0].inside {
		return nil, fmt.Errorf("%s begins with a bracket; want the list's key before it, as in %q", quoted(way), "loads[night shift].when")
	}
	return steps, nil
}

// insideOf reads what stands in brackets, after the first of them.
func insideOf(rest, way string) (s step, left string, err error) {
	open := fmt.Errorf("%s has a bracket that is not closed", quoted(way))
	rest = strings.TrimLeft(rest, " ")
	if !strings.HasPrefix(rest, `"`) {
		name, left, closed := strings.Cut(rest, "]")
		switch name = strings.TrimSpace(name); {
		case !closed:
			return s, "", open
		case name == "":
			return s, "", fmt.Errorf("%s has empty brackets; want a name or a place in them, or + for a new entry", quoted(way))
		}
		return step{word: name, inside: true}, left, nil
	}
	prefix, err := strconv.QuotedPrefix(rest)
	if err != nil {
		return s, "", open
	}
	name, err := strconv.Unquote(prefix)
	left, closed := strings.CutPrefix(strings.TrimLeft(rest[len(prefix):], " "), "]")
	switch {
	case err != nil || !closed:
		return s, "", open
	case strings.ContainsFunc(name, unseen):
		return s, "", fmt.Errorf("%s has a sign that is not seen; write it without", quoted(way))
	}
	return step{word: name, inside: true, quoted: true}, left, nil
}
