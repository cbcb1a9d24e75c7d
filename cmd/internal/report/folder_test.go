package report

import (
	"errors"
	"io"
	"os"
	"path/filepath"
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
