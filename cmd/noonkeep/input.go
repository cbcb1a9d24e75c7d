package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"runtime/debug"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
	"noonkeep/optimize"
	"noonkeep/scenarios"
)

const engines = optimize.EngineClp + " or " + optimize.EngineOneStore

// load reads the scenario that a command was given.
func load(s streams, name string) (scenarios.Case, error) {
	c, err := s.may.load(name, s.in)
	if err == nil && c.Axis.N > manySteps {
		debug.SetGCPercent(tidyPercent)
	}
	return c, err
}

const storeFlag = "of several stores, the `name` of the one whose volume is varied (default: the first with steps)"

// loadVarying reads the scenario with the store whose volume is varied.
func loadVarying(s streams, name, store string) (scenarios.Case, error) {
	c, err := load(s, name)
	if err != nil {
		return c, err
	}
	return c.Varying(store)
}

// A year by the minute keeps some 30 MB for each volume solved. Collecting more often costs no time
// that one would notice and saves a third of the memory: 2.0 instead of 2.9 GB for the dyehouse's curve.
const (
	manySteps   = 100000
	tidyPercent = 20
)

// one wants exactly one argument, by name.
func one(name string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) == 1 {
			return nil
		}
		return fmt.Errorf("%s: got %d arguments; want one %s (see noonkeep %s --help)", cmd.Name(), len(args), name, cmd.Name())
	}
}

// volume is a flag of cubic metres: "40", "40 m3". Unset is the scenario's own.
type volume struct {
	value float64
	set   bool
}

func (v *volume) String() string {
	if !v.set {
		return ""
	}
	return report.Volume(v.value) + " m3"
}
func (v *volume) Type() string { return "m3" }

func (v *volume) Set(text string) error {
	m3, err := scenarios.Volume(text)
	if err != nil {
		return err
	}
	*v = volume{m3, true}
	return nil
}

func (v volume) m3() float64 { return v.value }

// orNone is the volume, or -1 if none was given.
func (v volume) orNone() float64 {
	if !v.set {
		return -1
	}
	return v.value
}

// percent is a flag written in %, held as a fraction.
type percent float64

func (p *percent) String() string { return strconv.FormatFloat(100*float64(*p), 'g', 6, 64) + " %" }
func (p *percent) Type() string   { return "%" }

func (p *percent) Set(text string) error {
	v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "%")), 64)
	if err != nil || math.IsNaN(v) || !(v > 0 && v <= 100) {
		return fmt.Errorf("is %q; want a percentage above 0, as 0.1 or \"0.1 %%\"", text)
	}
	*p = percent(v / 100)
	return nil
}

// warn prints what is doubtful in a scenario, once, before the answer.
func warn(w io.Writer, c scenarios.Case) {
	w = report.Plain(w)
	for _, n := range c.Warnings {
		if n.Line > 0 {
			fmt.Fprintf(w, "%s:%d: warning: %s\n", c.File, n.Line, n.Text)
		} else {
			fmt.Fprintf(w, "%s: warning: %s\n", c.File, n.Text)
		}
	}
}

// unicode says whether the terminal's language setting can show more than ASCII.
func unicode() bool {
	for _, key := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if v := os.Getenv(key); v != "" {
			return strings.Contains(strings.ToLower(v), "utf")
		}
	}
	return false
}

// written marks an error of writing a result: the input was right.
func written(err error) error {
	if err == nil {
		return nil
	}
	return &answer.Failed{Err: err}
}
