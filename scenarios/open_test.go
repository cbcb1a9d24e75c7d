package scenarios

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// A tree with a scenario's folder, data beside it, and what a stranger would like to see.
//
//	top/secret           top/shared/sun.csv       top/.keys/id.csv
//	top/own/load.csv     top/own/deep/load.csv    top/own/notes (no ending)
//	top/own/out.csv -> ../secret        top/own/sun.csv -> ../shared/sun.csv     top/own/round -> ..
func tree(t testing.TB) (top string) {
	t.Helper()
	top = t.TempDir()
	for _, name := range []string{"secret", "shared/sun.csv", ".keys/id.csv", "own/load.csv", "own/deep/load.csv", "own/notes"} {
		path := filepath.Join(top, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(name), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for _, link := range [][2]string{{"../secret", "own/out.csv"}, {"../shared/sun.csv", "own/sun.csv"}, {"..", "own/round"}} {
		if err := os.Symlink(link[0], filepath.Join(top, link[1])); err != nil {
			t.Skipf("links cannot be made here: %v", err)
		}
	}
	return top
}

// contents opens a name and reads it.
func contents(open Open, name string) (string, error) {
	r, err := open(name)
	if err != nil {
		return "", err
	}
	defer r.Close()
	text, err := io.ReadAll(r)
	return string(text), err
}

func TestWhichFilesAScenarioMayRead(t *testing.T) {
	top := tree(t)
	own, shared := filepath.Join(top, "own"), filepath.Join(top, "shared")
	const ends = "is no CSV, EPW, XLSX or other file of weather or series, and "
	const out = "lies outside the scenario's folder; if it may be read, add --reads "
	for _, tt := range []struct {
		name, beside, within, shared string // what is read, or how the error begins; TOP stands for the tree's folder
	}{
		{"load.csv", "own/load.csv", "own/load.csv", "own/load.csv"},
		{"deep/load.csv", "own/deep/load.csv", "own/deep/load.csv", "own/deep/load.csv"},
		{"deep/../load.csv", "own/load.csv", "own/load.csv", "own/load.csv"},
		{"notes", "own/notes", "own/notes", "own/notes"},
		{"../own/load.csv", "own/load.csv", "own/load.csv", "own/load.csv"},
		{own + "/load.csv", "own/load.csv", "own/load.csv", "own/load.csv"},
		{"../shared/sun.csv", "shared/sun.csv", out + "TOP/shared", "shared/sun.csv"},
		{shared + "/sun.csv", "shared/sun.csv", out + "TOP/shared", "shared/sun.csv"},
		{"sun.csv", "shared/sun.csv", out + "TOP/shared", "shared/sun.csv"},
		{"round/shared/sun.csv", "shared/sun.csv", out + "TOP/shared", "shared/sun.csv"},
		{"out.csv", ends + out + "TOP/own", out + "TOP", out + "TOP"},
		{"round/secret", ends + out + "TOP/own/round", out + "TOP", out + "TOP"},
		{"../secret", ends + out + "TOP", out + "TOP", out + "TOP"},
		{"../.keys/id.csv", ends + out + "TOP/.keys", out + "TOP/.keys", out + "TOP/.keys"},
		{"/etc/passwd", ends + out + "/etc", out + "/etc", out + "/etc"},
		{"/dev/zero", ends + out + "/dev", out + "/dev", out + "/dev"},
		{"deep", "is a folder", "is a folder", "is a folder"},
		{"none.csv", "no such file", "no such file", "no such file"},
		{"../shared/none.csv", "no such file", out + "TOP/shared", "no such file"},
		{"../none/none.csv", "no such file", out + "TOP/none", out + "TOP/none"},
	} {
		for i, open := range []Open{Beside(own), Within(own), Within(own, shared)} {
			want := strings.ReplaceAll([]string{tt.beside, tt.within, tt.shared}[i], "TOP", top)
			got, err := contents(open, tt.name)
			if err != nil {
				got = cause(err).Error()
			}
			if err == nil && got != want || err != nil && !strings.HasPrefix(got, want) {
				t.Errorf("%s by %s: %q; want %q", tt.name, []string{"Beside", "Within", "Within with shared"}[i], got, want)
			}
		}
	}
}

// A person may paste what a message offers, and the scenario chose the path.
func TestShellWord(t *testing.T) {
	for _, row := range [][2]string{
		{"../shared/weather", "../shared/weather"}, {"a b", "'a b'"}, {"x;rm -rf .", "'x;rm -rf .'"}, {"it's", `'it'\''s'`}, {"$(id)", "'$(id)'"}, {"-x", "'-x'"}, {"", ""},
	} {
		if got := shellWord(row[0]); got != row[1] {
			t.Errorf("%q gave %q, want %q", row[0], got, row[1])
		}
	}
}

func TestReadingEndsWithTheContext(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "a.csv"), []byte("abc"), 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	r, err := Beside(dir).Stoppable(ctx)("a.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	cancel()
	if _, err := r.Read(make([]byte, 1)); !errors.Is(err, context.Canceled) {
		t.Errorf("reading on gave %v, want the context's error", err)
	}
}

// Whatever a stranger's scenario names, what is opened lies in its folder.
func FuzzWithin(f *testing.F) {
	for _, s := range []string{"load.csv", "../secret", "round/secret", "deep/../../secret", "out.csv", "sun.csv", "/etc/passwd", "./round/./own/round/own/load.csv", "\x00", "deep/", "..", ".", "//load.csv", "~/load.csv", `..\secret`, "round/own/notes"} {
		f.Add(s)
	}
	top := tree(f)
	open := Within(filepath.Join(top, "own"))
	f.Fuzz(func(t *testing.T, name string) {
		if runtime.GOOS != "windows" && len(name) > 4096 {
			return
		}
		text, err := contents(open, name)
		if err == nil && !strings.HasPrefix(text, "own/") {
			t.Fatalf("%q opened %q", name, text)
		}
		if err == nil {
			return
		}
		if said := cause(err).Error(); strings.Contains(said, "--reads") && !strings.Contains(said, "lies outside the scenario's folder") {
			t.Fatalf("%q: poor error %q", name, said)
		}
	})
}
