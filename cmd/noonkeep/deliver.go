package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
)

// deliver ends a command: it writes the files if there is a folder for them, and then the value as JSON, or the text
// with the files' names under it.
func deliver(ctx context.Context, s streams, out string, json bool, value any, files func() ([]string, error), text func(io.Writer) error) error {
	var paths []string
	if out != "" {
		if err := ctx.Err(); err != nil {
			return err
		}
		var err error
		if paths, err = files(); err != nil {
			return &answer.Failed{Err: err}
		}
	}
	if json {
		return written(report.JSON(s.out, value))
	}
	if err := text(report.Plain(s.out)); err != nil {
		return written(err)
	}
	return wrote(s, paths)
}

// wrote names the files of a run, last.
func wrote(s streams, paths []string) error {
	if len(paths) == 0 {
		return nil
	}
	_, err := fmt.Fprintf(report.Plain(s.out), "\nWritten: %s\n", strings.Join(paths, " "))
	return written(err)
}
