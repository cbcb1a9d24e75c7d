package main

import (
	"fmt"
	"io"
	"strings"
	"time"

	"noonkeep/cmd/internal/report"
	"noonkeep/optimize"
)

// progressLine is one line of a terminal that is written over, ten times a second at most; done wipes it away. say is
// nil where w is no terminal.
func progressLine(w io.Writer) (say func(format string, args ...any), done func()) {
	if !terminal(w) {
		return nil, func() {}
	}
	last := time.Time{}
	return func(format string, args ...any) {
		if now := time.Now(); now.Sub(last) > 100*time.Millisecond {
			last = now
			fmt.Fprintf(w, "\r"+format+"   ", args...)
		}
	}, func() { fmt.Fprintf(w, "\r%s\r", strings.Repeat(" ", 70)) }
}

// progress shows how far a curve is.
func progress(w io.Writer) (show optimize.Progress, done func()) {
	say, done := progressLine(w)
	if say == nil {
		return nil, done
	}
	return func(s optimize.Step) {
		say("%d volumes solved, now %s m³, widest gap %.3f %%", s.Solved, report.Volume(s.AtM3), 100*s.GapFrac)
	}, done
}

// cellProgress shows how far a map is.
func cellProgress(w io.Writer) (show optimize.Progress, done func()) {
	say, done := progressLine(w)
	if say == nil {
		return nil, done
	}
	return func(s optimize.Step) { say("%d of %d cells solved", s.Solved, s.Planned) }, done
}

// countProgress shows how many of some things are done: "years solved". Where it is not known of how many, of is 0.
func countProgress(w io.Writer, what string) (show func(done, of int), done func()) {
	say, done := progressLine(w)
	if say == nil {
		return nil, done
	}
	return func(n, of int) {
		if of > 0 {
			say("%d of %d %s", n, of, what)
		} else {
			say("%d %s", n, what)
		}
	}, done
}
