package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/report"
	"noonkeep/scenarios"
)

type setFlags struct {
	remove        []string
	out           string
	inPlace, json bool
}

const setLong = `Change values of a scenario as a person would: only the value's own letters change; comments,
order, quotes, blank lines and line ends stay. The result is read as a whole first, and a change
that makes it wrong is refused. It is printed, or written with --out or --in-place, whole or not at
all; these say what changed.

KEY is the way to a value: store.volume, fuels[natural gas].price. Entries of lists are found by
their name, and where they have none by their place, the first being 1. A name with brackets of its
own stands in quotes: loads["kiln [2]"].steam. A key that was left out is added where it belongs.
VALUE is what one writes after the key, without the quotes of YAML; mappings and lists as {...} and
[...]. A new name adds an entry, and so does +: time.holidays[+]=26 Dec.

SCENARIO is a file, - for standard input, or a built-in example (noonkeep starter lists them).
The files that it names are meant from its folder, with --out from that of FILE.

` + statuses

func newSet(s streams) *cobra.Command {
	var f setFlags
	cmd := &cobra.Command{
		Use:     "set SCENARIO KEY=VALUE...",
		GroupID: "scenario",
		Short:   "Change values of a scenario, its comments kept",
		Long:    setLong,
		Example: `  $ noonkeep set dyehouse store.volume="60 m3" --out my.yaml
  $ noonkeep set my.yaml "fields[dishes].count=24" "money.discount=7 %" --in-place
  $ noonkeep set my.yaml "loads[kiln]={steam: 300 kg/h, when: Mon-Fri 06:00-14:00}" > kiln.yaml
  $ noonkeep set my.yaml --remove "loads[space and tank heating]" --in-place`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 1 || len(args) == 1 && len(f.remove) > 0 {
				return nil
			}
			return errors.New(`set: want a SCENARIO and what to change, KEY=VALUE or --remove KEY (see noonkeep set --help)`)
		},
		RunE: func(cmd *cobra.Command, args []string) error { return runSet(cmd.Context(), s, args[0], args[1:], f) },
	}
	cmd.Flags().StringArrayVar(&f.remove, "remove", nil, "take out this `KEY` or entry with its own comments, before the rest; repeatable")
	cmd.Flags().StringVar(&f.out, "out", "", "write the changed scenario into this `FILE`")
	cmd.Flags().BoolVar(&f.inPlace, "in-place", false, "write it over SCENARIO itself")
	cmd.Flags().BoolVar(&f.json, "json", false, "print one JSON object with changes and text, and nothing else")
	return cmd
}

// rewritten is what `set --json` prints.
type rewritten struct {
	Changes []setChange `json:"changes"`
	Written string      `json:"written,omitempty"` // the file, if any
	YAML    string      `json:"yaml"`
}

type setChange struct {
	Key  string `json:"key"`
	From string `json:"from"` // empty: it is new
	To   string `json:"to"`   // empty: it was taken out
}

func runSet(ctx context.Context, s streams, name string, settings []string, f setFlags) error {
	target, err := f.target(name)
	if err != nil {
		return err
	}
	var changes []scenarios.Setting
	for _, key := range f.remove {
		changes = append(changes, scenarios.Setting{Key: key, Remove: true})
	}
	for _, text := range settings {
		c, err := scenarios.ParseSetting(text)
		if err != nil {
			return fmt.Errorf("set: %w", err)
		}
		changes = append(changes, c)
	}
	before, err := s.may.text(name, s.in)
	if err != nil {
		return err
	}
	after := before
	if after.Data, err = scenarios.Rewrite(before.Name, before.Data, changes...); err != nil {
		return err
	}
	if target != "" && target != name {
		after.Dir = filepath.Dir(target)
	}
	if err := sound(ctx, s, before, after); err != nil {
		return err
	}
	edits, err := scenarios.Changes(before.Data, after.Data)
	if err != nil {
		return err
	}
	if target != "" {
		err := report.WriteFile(target, func(w io.Writer) error {
			_, err := w.Write(after.Data)
			return err
		})
		if err != nil {
			return written(err)
		}
	}
	return tellSet(s, edits, after.Data, target, f.json)
}

// target is the file to write, "" for standard output.
func (f setFlags) target(name string) (string, error) {
	switch {
	case f.out != "" && f.inPlace:
		return "", errors.New("set: --out and --in-place both say where to write; want one of them")
	case !f.inPlace:
		return f.out, nil
	case name == "-":
		return "", errors.New("set: standard input has no place to write to; want --out FILE, or neither")
	case slices.ContainsFunc(scenarios.Starters(), func(e scenarios.Starter) bool { return e.Name == name }):
		return "", fmt.Errorf("set: %s is built in and stays as it is; want --out FILE", name)
	}
	info, err := os.Lstat(name)
	if err == nil && info.Mode()&os.ModeSymlink != 0 {
		if name, err = filepath.EvalSymlinks(name); err == nil { // the link stays one
			info, err = os.Stat(name)
		}
	}
	if err == nil && info.Mode().IsRegular() && info.Mode().Perm()&0o200 == 0 {
		return "", fmt.Errorf("%s: may not be written; want --out FILE", name)
	}
	return name, nil
}

// sound reads the changed scenario as a whole. Faults that it had before the change are told and do not hinder.
func sound(ctx context.Context, s streams, before, after scenarios.Text) error {
	read := func(t scenarios.Text) error {
		_, err := waited(ctx, func() (scenarios.Case, error) { return s.may.parse(t) })
		return err
	}
	fault := read(after)
	if fault == nil || ctx.Err() != nil {
		return fault
	}
	if fresh := scenarios.NewFaults(read(before), fault); fresh != nil {
		return fresh
	}
	for line := range strings.Lines(fault.Error()) {
		fmt.Fprintf(report.Plain(s.err), "warning: still wrong, as before: %s\n", strings.TrimRight(line, "\n"))
	}
	return ctx.Err()
}

// tellSet prints the text, or what was written into a file.
func tellSet(s streams, edits []scenarios.Edit, text []byte, target string, json bool) error {
	if json {
		out := rewritten{Changes: []setChange{}, Written: target, YAML: string(text)}
		for _, e := range edits {
			out.Changes = append(out.Changes, setChange(e))
		}
		return written(report.JSON(s.out, out))
	}
	if target == "" {
		out := s.out // byte for byte, but for a screen that a stranger's comment could drive
		if terminal(out) {
			out = report.Plain(out)
		}
		_, err := out.Write(text)
		return written(err)
	}
	var b strings.Builder
	for _, e := range edits {
		switch {
		case e.From == "":
			fmt.Fprintf(&b, "%s: new, %s\n", e.Key, e.To)
		case e.To == "":
			fmt.Fprintf(&b, "%s: taken out, was %s\n", e.Key, e.From)
		default:
			fmt.Fprintf(&b, "%s: %s, was %s\n", e.Key, e.To, e.From)
		}
	}
	if len(edits) == 0 {
		b.WriteString("Nothing changed: each value stood there already.\n")
	}
	if _, err := io.WriteString(report.Plain(s.out), b.String()); err != nil {
		return written(err)
	}
	return wrote(s, []string{target})
}
