package main

import (
	"fmt"
	"strconv"
	"strings"
)

// howMany is a flag of a whole number of things, 0 where it is not given.
type howMany struct {
	n, least, most int
	of             string // "years"
}

func (c *howMany) String() string {
	if c.n == 0 {
		return ""
	}
	return strconv.Itoa(c.n)
}
func (c *howMany) Type() string { return "count" }

func (c *howMany) Set(text string) error {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil || n < c.least || n > c.most {
		return fmt.Errorf("is %q; want a whole number of %s, %d to %d", text, c.of, c.least, c.most)
	}
	c.n = n
	return nil
}

// seed is a flag of a seed.
type seed struct {
	n   uint64
	set bool
}

func (s *seed) String() string { return strconv.FormatUint(s.n, 10) }
func (s *seed) Type() string   { return "number" }

func (s *seed) Set(text string) error {
	n, err := strconv.ParseUint(strings.TrimSpace(text), 10, 64)
	if err != nil {
		return fmt.Errorf("is %q; want a whole number from 0 up", text)
	}
	*s = seed{n, true}
	return nil
}
