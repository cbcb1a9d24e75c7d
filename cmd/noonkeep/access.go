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

// load reads a scenario by its name, or from in where the name is -.
func (a *access) load(name string, in io.Reader) (scenarios.Case, error) {
	if name != "-" {
		return scenarios.LoadBy(name, a.open)
	}
	here := scenarios.Within(".", a.folders...).Stoppable(a.ctx)
	return scenarios.Read("-", stoppable{a.ctx, in}, here)
}

// stoppable reads until the context is done, even where the reader waits for a person to type.
type stoppable struct {
	ctx context.Context
	r   io.Reader
}

func (s stoppable) Read(p []byte) (int, error) {
	type got struct {
		n   int
		err error
	}
	done := make(chan got, 1)
	text := make([]byte, len(p)) // of its own, for a read that ends after its time
	go func() {
		n, err := s.r.Read(text)
		done <- got{n, err}
	}()
	select {
	case g := <-done:
		return copy(p, text[:g.n]), g.err
	case <-s.ctx.Done():
		return 0, s.ctx.Err()
	}
}
