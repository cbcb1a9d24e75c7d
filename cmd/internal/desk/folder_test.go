package desk

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"runtime"
	"strings"
	"sync"
	"testing"
)

// filled is a folder with files: names and contents in turn.
func filled(t testing.TB, pairs ...string) (*folder, string) {
	t.Helper()
	dir := t.TempDir()
	for i := 0; i < len(pairs); i += 2 {
		if err := os.WriteFile(filepath.Join(dir, pairs[i]), []byte(pairs[i+1]), 0o640); err != nil {
			t.Fatal(err)
		}
	}
	f, err := openFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.root.Close() })
	return f, dir
}

// holds wants a folder to hold just these files: names and contents in turn.
func holds(t *testing.T, dir string, pairs ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	if len(entries) != len(pairs)/2 {
		t.Errorf("the folder holds %v; want %d files", entries, len(pairs)/2)
	}
	for i := 0; i < len(pairs); i += 2 {
		if got, err := os.ReadFile(filepath.Join(dir, pairs[i])); err != nil || string(got) != pairs[i+1] {
			t.Errorf("%s holds %q, %v; want %q", pairs[i], got, err, pairs[i+1])
		}
	}
}

func TestFolderList(t *testing.T) {
	f, dir := filled(t, "mill.yaml", "", "mill@two shifts.yaml", "", "mill@3.yaml", "", "dairy.yml", "", "dairy@a.yaml", "",
		"mill@3@b.yaml", "", "gone@x.yaml", "", "mill@bad!.yaml", "", "@.yaml", "", ".hidden.yaml", "", "notes.txt", "", "yaml", "", ".noonkeep-1-A.part", "")
	if err := os.Mkdir(filepath.Join(dir, "folder.yaml"), 0o755); err != nil {
		t.Fatal(err)
	}
	os.Symlink(filepath.Join(dir, "mill.yaml"), filepath.Join(dir, "link.yaml"))
	got, _, err := f.listed()
	want := []entry{{"@.yaml", nil}, {"dairy.yml", nil}, {"dairy@a.yaml", nil}, {"gone@x.yaml", nil}, {"mill.yaml", []string{"3", "two shifts"}},
		{"mill@3@b.yaml", nil}, {"mill@bad!.yaml", nil}}
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("got  %v, %v\nwant %v", got, err, want)
	}
}

func TestFolderListIsBounded(t *testing.T) {
	var pairs []string
	for i := range mostListed + 20 {
		pairs = append(pairs, fmt.Sprintf("s%05d.yaml", i), "")
	}
	pairs = append(pairs, "z.yaml", "", "z@late.yaml", "")
	f, _ := filled(t, pairs...)
	if got, more, err := f.listed(); err != nil || len(got) != mostListed || got[0].File != "s00000.yaml" || more != 22 {
		t.Errorf("%d files are listed, and %d more, %v", len(got), more, err)
	}
	if got := f.keptOf("z.yaml"); !reflect.DeepEqual(got, []string{"late"}) {
		t.Errorf("of a file that is not listed the versions %v are found", got)
	}
}

// Nothing outside the folder is read or written, whatever a name or a link says; and each refusal says why.
func TestFolderStaysInside(t *testing.T) {
	f, dir := filled(t, "mill.yaml", "a: 1\n", "large.yaml", strings.Repeat("#", mostText+1), "notes.txt", "secret")
	outside := filepath.Join(filepath.Dir(dir), "outside.yaml")
	if err := os.WriteFile(outside, []byte("secret"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(dir, "sub.yaml"), 0o755); err != nil {
		t.Fatal(err)
	}
	os.Symlink("..", filepath.Join(dir, "up"))
	os.Symlink(outside, filepath.Join(dir, "out.yaml"))
	os.Symlink("mill.yaml", filepath.Join(dir, "in.yaml"))
	if runtime.GOOS != "windows" {
		if out, err := exec.Command("mkfifo", filepath.Join(dir, "pipe.yaml")).CombinedOutput(); err != nil {
			t.Fatalf("mkfifo: %v: %s", err, out)
		}
	}
	const foreign = "is not the name of a file in this folder"
	for _, c := range []struct{ file, want string }{
		{"../outside.yaml", `"../outside.yaml" ` + foreign},
		{outside, fmt.Sprintf("%q ", outside) + foreign},
		{"up/outside.yaml", `"up/outside.yaml" ` + foreign},
		{"..", `".." ` + foreign},
		{"", `"" ` + foreign},
		{`..\outside.yaml`, `"..\\outside.yaml" ` + foreign},
		{"mill.yaml\x00.txt", `"mill.yaml\x00.txt" ` + foreign},
		{"mi\nll.yaml", `"mi\nll.yaml" ` + foreign},
		{"out.yaml", "out.yaml: is a link to another file; want the file itself in this folder"},
		{"in.yaml", "in.yaml: is a link to another file; want the file itself in this folder"},
		{"sub.yaml", "sub.yaml: is a folder; want a file"},
		{"pipe.yaml", "pipe.yaml: is a pipe or a device; want a plain file"},
		{"notes.txt", "notes.txt: is no scenario file; want one whose name ends in .yaml"},
		{".yaml", ".yaml: is no scenario file; want one whose name ends in .yaml"},
		{"none.yaml", "none.yaml: there is no such file in this folder"},
		{"large.yaml", "large.yaml: is larger than 1 MB; want a scenario"},
		{strings.Repeat("a", 300) + ".yaml", strings.Repeat("a", 40) + "...: the file's name is too long; want at most 255 letters"},
	} {
		text, err := f.read(c.file)
		if err == nil || err.Error() != c.want {
			t.Errorf("%q: read %d bytes, %v\nwant %s", c.file, len(text), err, c.want)
		}
		if c.file == "none.yaml" {
			continue
		}
		for _, base := range [][]byte{nil, []byte("secret")} {
			if err := f.save(c.file, base, []byte("b: 2\n")); err == nil || err.Error() != c.want {
				t.Errorf("%q saved: %v\nwant %s", c.file, err, c.want)
			}
		}
		if _, err := keptFile(c.file, "x"); err == nil && strings.Contains(c.want, foreign) {
			t.Errorf("%q has a kept version", c.file)
		}
	}
	if got, _ := os.ReadFile(outside); string(got) != "secret" {
		t.Errorf("the file outside holds %q now", got)
	}
	if _, err := f.open()("../outside.yaml"); err == nil || !strings.Contains(err.Error(), "lies outside the folder of this desk, which reads nothing else") {
		t.Errorf("a scenario's own names lead outside: %v", err)
	}
	if f.name() != dir {
		t.Errorf("the folder is called %q; want %q", f.name(), dir)
	}
	if _, err := openFolder(filepath.Join(dir, "mill.yaml")); err == nil {
		t.Error("a file was opened as a folder")
	}
}

func TestFolderSaves(t *testing.T) {
	f, dir := filled(t, "mill.yaml", "a: 1\n")
	if err := f.save("mill.yaml", []byte("a: 1\n"), []byte("a: 2\n")); err != nil {
		t.Fatal(err)
	}
	if err := f.save("new.yaml", nil, []byte("n: 1\n")); err != nil {
		t.Fatal(err)
	}
	if err := f.save("mill.yaml", []byte("of long ago"), []byte("a: 2\n")); err != nil {
		t.Errorf("what is on disk already cannot be saved: %v", err)
	}
	holds(t, dir, "mill.yaml", "a: 2\n", "new.yaml", "n: 1\n")
	if info, err := os.Stat(filepath.Join(dir, "mill.yaml")); err != nil || info.Mode().Perm() != 0o640 && runtime.GOOS != "windows" {
		t.Errorf("the permissions are %v, %v; want those of before, 640", info.Mode(), err)
	}
	for _, c := range []struct {
		file, base string
		now        []byte
		want       string
	}{
		{"mill.yaml", "a: 1\n", []byte("a: 2\n"), "mill.yaml: was changed on disk since it was opened here; nothing was saved"},
		{"gone.yaml", "a: 1\n", nil, "gone.yaml: is no longer in the folder; nothing was saved"},
		{"new.yaml", "", []byte("n: 1\n"), "new.yaml: there is such a file already, and it is left as it is; choose another name"},
	} {
		var base []byte
		if c.base != "" {
			base = []byte(c.base)
		}
		err := f.save(c.file, base, []byte("mine"))
		var stands *conflict
		if !errors.As(err, &stands) || stands.File != c.file || !bytes.Equal(stands.Now, c.now) || (stands.Now == nil) != (c.now == nil) || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.file, err, c.want)
		}
	}
	if err := f.save("big.yaml", nil, make([]byte, mostText+1)); err == nil || err.Error() != "big.yaml: is larger than 1 MB; want a scenario" {
		t.Errorf("more than can be read again was saved: %v", err)
	}
	if err := os.Chmod(filepath.Join(dir, "new.yaml"), 0o444); err != nil {
		t.Fatal(err)
	}
	want := "new.yaml: cannot be saved: is write-protected; save a kept version, or allow writing"
	if err := f.save("new.yaml", []byte("n: 1\n"), []byte("mine")); err == nil || err.Error() != want {
		t.Errorf("a protected file: %v\nwant %s", err, want)
	}
	holds(t, dir, "mill.yaml", "a: 2\n", "new.yaml", "n: 1\n")
}

// Of many who save on the same base one does, and the others are told what it saved.
func TestFolderSavesOneAtATime(t *testing.T) {
	f, dir := filled(t, "mill.yaml", "base")
	for _, c := range []struct {
		file string
		base []byte
	}{{"mill.yaml", []byte("base")}, {"new.yaml", nil}} {
		var all sync.WaitGroup
		errs := make([]error, 20)
		for i := range errs {
			all.Go(func() { errs[i] = f.save(c.file, c.base, fmt.Appendf(nil, "by %d", i)) })
		}
		all.Wait()
		by := -1
		for i, err := range errs {
			var stands *conflict
			switch {
			case err == nil && by < 0:
				by = i
			case err == nil:
				t.Errorf("%s: both %d and %d saved", c.file, by, i)
			case !errors.As(err, &stands):
				t.Errorf("%s: %d: %v", c.file, i, err)
			}
		}
		if got, _ := f.read(c.file); string(got) != fmt.Sprint("by ", by) {
			t.Errorf("%s holds %q; %d saved", c.file, got, by)
		}
	}
	if entries, _ := os.ReadDir(dir); len(entries) != 2 {
		t.Errorf("the folder holds %v", entries)
	}
}

// What a killed server left beside the file goes with the next save; what another running one writes stays.
func TestFolderSaveClearsAfterTheDead(t *testing.T) {
	dead := exec.Command(os.Args[0], "-test.run=^$")
	if err := dead.Run(); err != nil {
		t.Fatal(err)
	}
	other := fmt.Sprintf(".noonkeep-%d-X.part", os.Getppid())
	f, dir := filled(t, "mill.yaml", "a", fmt.Sprintf(".noonkeep-%d-X.part", dead.Process.Pid), "half", other, "under way")
	if err := f.save("mill.yaml", []byte("a"), []byte("b")); err != nil {
		t.Fatal(err)
	}
	holds(t, dir, "mill.yaml", "b", other, "under way")
}

func TestFolderKeeps(t *testing.T) {
	f, dir := filled(t, "mill.yaml", "a")
	for _, text := range []string{"b", "b"} {
		if kept, err := f.keep("mill.yaml", "two shifts", []byte(text)); err != nil || kept != "mill@two shifts.yaml" {
			t.Errorf("kept as %q, %v", kept, err)
		}
	}
	want := "mill@two shifts.yaml: a version of this name is kept already, with another content; choose another name"
	if _, err := f.keep("mill.yaml", "two shifts", []byte("c")); err == nil || err.Error() != want {
		t.Errorf("kept over another: %v\nwant %s", err, want)
	}
	holds(t, dir, "mill.yaml", "a", "mill@two shifts.yaml", "b")
	for _, c := range []struct{ file, name, want string }{
		{"mill.yaml", "", "the version has no name; give it one, as: two shifts"},
		{"mill.yaml", strings.Repeat("é", 41), "the version's name has 41 letters; want at most 40"},
		{"mill.yaml", " a", `the version's name is " a"; want one that neither begins nor ends with a space or a full stop`},
		{"mill.yaml", "a.", `the version's name is "a."; want one that neither begins nor ends with a space or a full stop`},
		{"mill.yaml", "..", `the version's name is ".."; want one that neither begins nor ends with a space or a full stop`},
		{"mill.yaml", "a/../../b", `the version's name is "a/../../b"; want letters, digits, spaces and - _ . alone`},
		{"mill.yaml", "a@b", `the version's name is "a@b"; want letters, digits, spaces and - _ . alone`},
		{"mill.yaml", "a\x00b", `the version's name is "a\x00b"; want letters, digits, spaces and - _ . alone`},
		{"mill.yaml", "a\xffb", `the version's name is "a\xffb"; want letters, digits, spaces and - _ . alone`},
		{"../mill.yaml", "a", `"../mill.yaml" is not the name of a file in this folder`},
	} {
		if _, err := f.keep(c.file, c.name, []byte("b")); err == nil || err.Error() != c.want {
			t.Errorf("%q of %q: %v\nwant %s", c.name, c.file, err, c.want)
		}
	}
}

// FuzzKeptFile: a version's file is a plain name of the folder, taken apart again to what it was made of.
func FuzzKeptFile(f *testing.F) {
	for _, s := range [][2]string{{"mill.yaml", "two shifts"}, {"a@b.yml", "3"}, {"../x.yaml", "../y"}, {"<b>.yaml", "Nächte 2.0"}, {".yaml", "x"}, {"C:x.yaml", "x"}} {
		f.Add(s[0], s[1])
	}
	f.Fuzz(func(t *testing.T, file, name string) {
		kept, err := keptFile(file, name)
		if err != nil {
			return
		}
		if filepath.Base(kept) != kept || !fs.ValidPath(kept) && strings.ToValidUTF8(kept, "") == kept || checkFile(kept) != nil || len(kept) > mostName {
			t.Errorf("%q of %q is the file %q", name, file, kept)
		}
		if of, n := keptOf(kept); of != file || n != name {
			t.Errorf("%q is taken apart to %q and %q; want %q and %q", kept, of, n, file, name)
		}
	})
}
