package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/study"
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
	return waited(a.ctx, func() (scenarios.Case, error) {
		t, err := a.find(name, in)
		if err != nil {
			return scenarios.Case{}, err
		}
		return a.parse(t)
	})
}

// text finds a scenario's text alone.
func (a *access) text(name string, in io.Reader) (scenarios.Text, error) {
	return waited(a.ctx, func() (scenarios.Text, error) { return a.find(name, in) })
}

func (a *access) find(name string, in io.Reader) (scenarios.Text, error) {
	if name == "-" {
		return scenarios.TextFrom("-", in)
	}
	return scenarios.Find(name)
}

// parse reads a text with the files that it names.
func (a *access) parse(t scenarios.Text) (scenarios.Case, error) {
	open := a.open(t.Dir)
	if t.Name == "-" {
		open = scenarios.Within(".", a.folders...).Stoppable(a.ctx)
	}
	return scenarios.Parse(t.Name, t.Data, open)
}

// study reads a study file with all that it names.
func (a *access) study(path string) (study.Plan, study.Inputs, error) {
	type made struct {
		plan   study.Plan
		inputs study.Inputs
	}
	m, err := waited(a.ctx, func() (made, error) {
		data, err := os.ReadFile(path)
		if err != nil {
			return made{}, fmt.Errorf("%s: %w", path, bareError(err))
		}
		f, err := study.Read(path, data)
		if err != nil {
			return made{}, err
		}
		plan, inputs, err := study.Make(f, study.Source{Dir: filepath.Dir(path), Open: a.open})
		return made{plan, inputs}, err
	})
	return m.plan, m.inputs, err
}

// bareError takes the path off a file's error: the message has it already.
func bareError(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// waited ends with the context, even where the work waits for a person to type or for a pipe to be filled; what it read
// until then is given up.
func waited[T any](ctx context.Context, work func() (T, error)) (T, error) {
	type result struct {
		value T
		err   error
	}
	done := make(chan result, 1)
	go func() {
		value, err := work()
		done <- result{value, err}
	}()
	select {
	case r := <-done:
		return r.value, r.err
	case <-ctx.Done():
		var none T
		return none, ctx.Err()
	}
}
