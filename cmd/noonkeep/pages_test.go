package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/spf13/cobra"
)

// Every line that begins with `$ noonkeep` in the README and in the help pages is run, page by
// page and in order, in an empty folder; `make` lines are what CI runs. In the README, the lines
// under a command must stand in what it prints, but for a line of three dots.
func TestPagesRunAsPrinted(t *testing.T) {
	unraced(t)
	readme, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	pages := map[string]string{"readme": string(readme)}
	root := newRoot(streams{})
	pages["noonkeep"] = root.Long
	for _, cmd := range root.Commands() {
		pages[cmd.Name()] = cmd.Long + "\n" + cmd.Example
	}
	dir := t.TempDir()
	for name, text := range pages {
		script := sessionOf(text, name == "readme")
		if script == "" {
			continue
		}
		if err := os.WriteFile(filepath.Join(dir, name+".txtar"), []byte(script), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	testscript.Run(t, testscript.Params{Dir: dir})
}

// sessionOf makes a test script of the commands that a page shows, and of what it shows under them.
func sessionOf(page string, withOutput bool) string {
	var script strings.Builder
	under := false
	for line := range strings.Lines(page) {
		line = strings.TrimRight(line, "\n")
		shown := strings.TrimSpace(line)
		command, isCommand := strings.CutPrefix(shown, "$ ")
		switch {
		case isCommand:
			fmt.Fprintf(&script, "exec sh -c '%s'\n", strings.ReplaceAll(command, "'", "''"))
			under = true
		case !strings.HasPrefix(line, "    ") && shown != "":
			under = false
		case under && withOutput && shown != "" && shown != "...":
			fmt.Fprintf(&script, "stdout '%s'\n", strings.ReplaceAll(regexp.QuoteMeta(shown), "'", "''"))
		}
	}
	return script.String()
}

// Help is read by tired people: short lines, the statuses, the cautions.
func TestHelpPages(t *testing.T) {
	t.Parallel()
	var walk func(cmd *cobra.Command)
	walk = func(cmd *cobra.Command) {
		if len(cmd.Short) >= 60 || strings.HasSuffix(cmd.Short, ".") {
			t.Errorf("%s: its short text %q must be under 60 characters and end in no full stop", cmd.Name(), cmd.Short)
		}
		if cmd.Long != "" && !strings.Contains(cmd.Long, "Exit status") {
			t.Errorf("%s: its help names no exit status", cmd.Name())
		}
		for line := range strings.Lines(cmd.Long + "\n" + cmd.Example) {
			if n := len([]rune(line)); n > 101 {
				t.Errorf("%s: a help line has %d characters: %s", cmd.Name(), n, line)
			}
		}
		for _, sub := range cmd.Commands() {
			walk(sub)
		}
	}
	for _, cmd := range newRoot(streams{}).Commands() {
		walk(cmd)
	}
}
