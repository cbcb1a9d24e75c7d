package scenarios

import (
	"embed"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
)

//go:embed dyehouse.yaml cannery.yaml winery.yaml
var starters embed.FS

// Starter is a built-in example: a commented scenario to begin from.
type Starter struct {
	Name string // "dyehouse"
	Text string // what it shows, in one line
}

// Starters lists the built-in examples, in a new slice.
func Starters() []Starter {
	return []Starter{
		{"dyehouse", "three shifts, dishes, flash-steam store; monthly means of a dry, sunny place"},
		{"cannery", "harvest season south of the equator, troughs on a north-south axis, oil by the tonne, two boilers"},
		{"winery", "absorption chiller fired at 165 degC, troughs on an east-west axis, store behind an exchanger"},
	}
}

// Source gives a built-in example as it is written, comments and all.
func Source(name string) ([]byte, error) {
	var names []string
	for _, s := range Starters() {
		if s.Name == name {
			return starters.ReadFile(name + ".yaml")
		}
		names = append(names, s.Name)
	}
	tail, _ := wantOneOf(name, names)
	return nil, fmt.Errorf("no built-in example is called %s; %s", quoted(name), tail)
}

// Load reads a scenario: a file by its path, or a built-in example by its name. A file that has an
// example's name is meant when it is written with its folder, ./dyehouse. The files that it names are opened by [Beside].
func Load(ref string) (Case, error) { return LoadBy(ref, Beside) }

// LoadBy is [Load] with a choice of which files the scenario may name: open is given its folder, which for a pipe is
// the current one.
func LoadBy(ref string, open func(dir string) Open) (Case, error) {
	t, err := Find(ref)
	if err != nil {
		return Case{}, err
	}
	return Parse(t.Name, t.Data, open(t.Dir))
}

// Text is a scenario as it is written.
type Text struct {
	Name string // as it stands in messages
	Data []byte
	Dir  string // from which the files that it names are meant; of a pipe or a built-in example the current one
}

// Find finds the text that [Load] reads.
func Find(ref string) (Text, error) {
	for _, s := range Starters() {
		if s.Name == ref {
			data, err := Source(ref)
			return Text{ref + ".yaml", data, "."}, err
		}
	}
	info, err := os.Stat(ref)
	switch {
	case err != nil && !strings.ContainsAny(ref, `/\.`):
		tail, near := wantOneOf(ref, starterNames())
		return Text{}, &Error{File: ref, Text: "is neither a file nor a built-in example; " + tail, Near: near, Err: err}
	case err != nil:
		return Text{}, &Error{File: ref, Text: cause(err).Error(), Err: err}
	case info.IsDir():
		return Text{}, &Error{File: ref, Text: "is a folder; want a scenario file"}
	}
	f, err := os.Open(ref)
	if err != nil {
		return Text{}, &Error{File: ref, Text: cause(err).Error(), Err: err}
	}
	defer f.Close()
	t := Text{Name: ref, Dir: "."}
	if info.Mode().IsRegular() {
		t.Dir = filepath.Dir(ref)
	}
	t.Data, err = readAll(ref, f)
	return t, err
}

// Read reads a scenario from r; name stands in messages. See Parse.
func Read(name string, r io.Reader, open Open) (Case, error) {
	t, err := TextFrom(name, r)
	if err != nil {
		return Case{}, err
	}
	return Parse(name, t.Data, open)
}

// TextFrom takes a scenario's text from r; name stands in messages, and the files that it names are meant from the current folder.
func TextFrom(name string, r io.Reader) (Text, error) {
	data, err := readAll(name, r)
	return Text{name, data, "."}, err
}

// Parse reads a scenario from its text; name stands in messages, open opens the files that it names
// (nil: it may name none). What is wrong comes back joined, each fault an [*Error], in file order.
func Parse(name string, data []byte, open Open) (Case, error) {
	f, d := read(name, data)
	b := builder{decoder: d, f: f, open: open}
	if d.fatal {
		return Case{}, d.err()
	}
	if open == nil {
		b.open = func(string) (io.ReadCloser, error) { return nil, errNoFiles }
	}
	return b.build()
}

func starterNames() []string {
	var names []string
	for _, s := range Starters() {
		names = append(names, s.Name)
	}
	return names
}
