package report

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

func TestFolderLeavesNothingOfAFailedRun(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	f, err := NewFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	write := func(text string) func(io.Writer) error {
		return func(w io.Writer) error { _, err := io.WriteString(w, text); return err }
	}
	if err := f.Write(filepath.Join(dir, "one.csv"), write("1")); err != nil {
		t.Fatal(err)
	}
	broken := errors.New("the disk is full")
	if err := f.Write(filepath.Join(dir, "two.csv"), func(io.Writer) error { return broken }); !errors.Is(err, broken) {
		t.Fatalf("got %v, want the writer's own error", err)
	}
	f.Discard()
	if _, err := os.Stat(dir); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the folder this run made still stands: %v", err)
	}
}

func TestFolderKeepsAnOlderFileUntilCommit(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "curve.csv")
	if err := os.WriteFile(path, []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	f, err := NewFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.Write(path, func(w io.Writer) error { _, err := io.WriteString(w, "new"); return err }); err != nil {
		t.Fatal(err)
	}
	if got, _ := os.ReadFile(path); string(got) != "old" {
		t.Errorf("before Commit the file reads %q, want the old text", got)
	}
	paths, err := f.Commit()
	if err != nil || len(paths) != 1 || paths[0] != path {
		t.Fatalf("Commit gave %v, %v", paths, err)
	}
	if got, _ := os.ReadFile(path); string(got) != "new" {
		t.Errorf("after Commit the file reads %q, want the new text", got)
	}
	if entries, _ := os.ReadDir(dir); len(entries) != 1 {
		t.Errorf("%d files stand in the folder, want the one", len(entries))
	}
}

// What only its owner may read stays so when it is written anew.
func TestFolderKeepsPermissions(t *testing.T) {
	path := filepath.Join(t.TempDir(), "my.yaml")
	for _, text := range []string{"old", "new"} {
		err := WriteFile(path, func(w io.Writer) error { _, err := io.WriteString(w, text); return err })
		if err != nil {
			t.Fatal(err)
		}
		info, err := os.Stat(path)
		if err != nil {
			t.Fatal(err)
		}
		if text == "new" && info.Mode().Perm() != 0o600 && runtime.GOOS != "windows" {
			t.Errorf("its permissions became %v", info.Mode())
		}
		if err := os.Chmod(path, 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

func TestFolderRefusesWhatIsNoFolder(t *testing.T) {
	path := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := NewFolder(path); err == nil {
		t.Error("a file was taken for a folder")
	}
	if _, err := NewFolder(filepath.Join(path, "..", "missing", "deep")); err == nil {
		t.Error("a folder whose parent is missing was made")
	}
	if err := WriteFile(filepath.Dir(path), func(io.Writer) error { return nil }); err == nil {
		t.Error("a folder was overwritten as a file")
	}
}

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error { _, err := io.WriteString(w, s); return err }
}

// What a killed run left is recognised by its name and removed by the next; what a living one writes is not.
func TestFolderClearsWhatAKilledRunLeft(t *testing.T) {
	dir := t.TempDir()
	dead := exec.Command("go", "version")
	if err := dead.Run(); err != nil {
		t.Fatal(err)
	}
	names := map[string]bool{ // whether it stays
		fmt.Sprintf(".noonkeep-%d-1.part", dead.Process.Pid):      false,
		fmt.Sprintf(".noonkeep-%d-1.part.part", dead.Process.Pid): false,
		fmt.Sprintf(".noonkeep-%d-2.part", os.Getpid()):           true,
		".noonkeep-x-1.part":        true,
		".noonkeep-999999999-1.txt": true,
		"my.part":                   true,
	}
	for name := range names {
		if err := os.WriteFile(filepath.Join(dir, name), nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := WriteFile(filepath.Join(dir, "a.csv"), text("a")); err != nil {
		t.Fatal(err)
	}
	for name, stays := range names {
		if _, err := os.Stat(filepath.Join(dir, name)); (err == nil) != stays {
			t.Errorf("%s: stands %v, want %v", name, err == nil, stays)
		}
	}
}

// Where the last file cannot be put in place, those before it are as they were.
func TestFolderPutsBackWhatStood(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	at := func(name string) string { return filepath.Join(dir, name) }
	if err := WriteFile(at("a.csv"), text("old")); err != nil {
		t.Fatal(err)
	}
	f, err := NewFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"a.csv", "b.csv", "c.csv"} {
		if err := f.Write(at(name), text("new")); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(at("c.csv"), 0o755); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Commit(); err == nil || !strings.HasPrefix(err.Error(), at("c.csv")+": cannot be put in place: ") {
		t.Errorf("Commit gave %v, want c.csv refused", err)
	}
	entries, _ := os.ReadDir(dir)
	if got, _ := os.ReadFile(at("a.csv")); string(got) != "old" || len(entries) != 2 {
		t.Errorf("a.csv reads %q among %d entries, want the old text, and only c.csv beside it", got, len(entries))
	}
}

func TestFolderNamesAnEndlessPathBriefly(t *testing.T) {
	for _, dir := range []string{strings.Repeat("a", 5000), strings.Repeat("a/", 50000)} {
		if _, err := NewFolder(dir); err == nil || len(err.Error()) > 250 {
			t.Errorf("got %d letters; want a short error", len(fmt.Sprint(err)))
		}
	}
}

func TestPlainLetsNothingDriveATerminal(t *testing.T) {
	for _, row := range []struct{ in, want string }{
		{"40 m³\tEUR/a\n", "40 m³\tEUR/a\n"},
		{"a\x1b[31mred\a\r", `a\u001b[31mred\u0007\u000d`},
		{"\u009b2J\x7f", `\u009b2J\u007f`},
		{"user\u202etxt.exe\u2066", `user\u202e` + `txt.exe\u2066`},
		{"\x9b\xff broken", "\x9b\xff broken"},
	} {
		var b strings.Builder
		if n, err := Plain(&b).Write([]byte(row.in)); b.String() != row.want || n != len(row.in) || err != nil {
			t.Errorf("%q gave %q, %d, %v; want %q", row.in, b.String(), n, err, row.want)
		}
	}
}

func TestNamesAreNoFormulas(t *testing.T) {
	for _, row := range []struct{ in, want string }{
		{"press", "press"}, {"=1+1", "'=1+1"}, {"@SUM(A1)", "'@SUM(A1)"}, {"+20 % load", "'+20 % load"}, {"-cmd|' /C calc'!A0", "'-cmd|' /C calc'!A0"},
		{"-12.5", "-12.5"}, {"+3e2", "+3e2"}, {"", ""}, {"\t=1", "'\t=1"},
	} {
		if got := nameCell(row.in); got != row.want {
			t.Errorf("%q gave %q, want %q", row.in, got, row.want)
		}
	}
}
