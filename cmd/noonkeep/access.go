package main

import (
	"context"
	"io"

	"github.com/spf13/cobra"

	"noonkeep/scenarios"
)

// access is which files a scenario may read. A person's own file may name weather and series wherever they lie. What comes
// from standard input has no folder and mostly another author, and with --stranger so has a file: it keeps to its
// folder (of standard input, the current one) and those of --reads.
type access struct {
	ctx      context.Context
	stranger bool
	folders  []string
}

func (a *access) flags(root *cobra.Command) {
	set := root.PersistentFlags()
	set.BoolVar(&a.stranger, "stranger", false, "let the scenario read no file outside its own folder")
	set.StringArrayVar(&a.folders, "reads", nil, "let the scenario read this `folder` too, and no other; repeatable")
}

// open is how a scenario in dir opens the files that it names.
func (a *access) open(dir string) scenarios.Open {
	open := scenarios.Beside(dir)
	if a.stranger || len(a.folders) > 0 {
		open = scenarios.Within(dir, a.folders...)
	}
	return open.Stoppable(a.ctx)
}

// load reads a scenario by its name, or from in where the name is -. It ends with the context, even where it waits for
// a person to type or for a pipe to be filled; what it read until then is given up.
func (a *access) load(name string, in io.Reader) (scenarios.Case, error) {
	type loaded struct {
		c   scenarios.Case
		err error
	}
	done := make(chan loaded, 1)
	go func() {
		var l loaded
		if name == "-" {
			l.c, l.err = scenarios.Read("-", in, scenarios.Within(".", a.folders...).Stoppable(a.ctx))
		} else {
			l.c, l.err = scenarios.LoadBy(name, a.open)
		}
		done <- l
	}()
	select {
	case l := <-done:
		return l.c, l.err
	case <-a.ctx.Done():
		return scenarios.Case{}, a.ctx.Err()
	}
}
