package desk

import (
	"bytes"
	"cmp"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"syscall"

	"noonkeep/cmd/internal/report"
	"noonkeep/scenarios"
)

const (
	mostText   = 1 << 20 // bytes of a scenario
	mostListed = 1000    // files of a folder that are shown
)

// folder is the one folder whose scenario files the desk reads and writes. Nothing that a link or .. leads to outside is touched.
type folder struct {
	dir  string
	root *os.Root
	mu   sync.Mutex // one save at a time
}

// entry is a scenario file with the names of its kept versions.
type entry struct {
	File string
	Kept []string
}

// conflict is a save that was not made because the file is not what the text came from. Now is what it holds, nil if it is gone.
type conflict struct {
	File string
	Now  []byte
	made bool // the file was to be new
}

func (c *conflict) Error() string {
	switch {
	case c.made:
		return c.File + ": there is such a file already, and it is left as it is; choose another name"
	case c.Now == nil:
		return c.File + ": is no longer in the folder; nothing was saved"
	}
	return c.File + ": was changed on disk since it was opened here; nothing was saved"
}

// openFolder opens a folder for as long as the program runs.
func openFolder(dir string) (*folder, error) {
	root, err := os.OpenRoot(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: there is no such folder", dir)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be opened as a folder: %w", dir, reasonOf(err))
	}
	return &folder{dir: dir, root: root}, nil
}

// name is the folder as a person knows it, from the top.
func (f *folder) name() string {
	if full, err := filepath.Abs(f.dir); err == nil {
		return full
	}
	return f.dir
}

// open is how a scenario of the folder opens the files that it names. The commands' way to allow others is not the desk's.
func (f *folder) open() scenarios.Open {
	within := scenarios.Within(f.dir)
	return func(name string) (io.ReadCloser, error) {
		in, err := within(name)
		var outside *scenarios.OutsideError
		if errors.As(err, &outside) {
			return nil, errors.New("lies outside the folder of this desk, which reads nothing else; put a copy there")
		}
		return in, err
	}
}

// listed gives the folder's plain scenario files, sorted, of very many the first [mostListed], and how many more there are. A version is
// listed under the file that it was kept of, and by itself where that is gone.
func (f *folder) listed() (list []entry, more int, err error) {
	all, err := fs.ReadDir(f.root.FS(), ".")
	if err != nil {
		return nil, 0, fmt.Errorf("%s: cannot be listed: %w", f.dir, reasonOf(err))
	}
	var files []string
	here := map[string]bool{}
	for _, e := range all { // sorted by name already
		switch {
		case !e.Type().IsRegular() || checkFile(e.Name()) != nil:
		case len(files) == mostListed:
			more++
		default:
			files = append(files, e.Name())
			here[e.Name()] = true
		}
	}
	var under func(file string) string // the file under which one is listed, "" for by itself
	under = func(file string) string {
		of, _ := keptOf(file)
		if of == "" || !here[of] || under(of) != "" {
			return ""
		}
		return of
	}
	kept := map[string][]string{}
	for _, file := range files {
		if of := under(file); of != "" {
			_, name := keptOf(file)
			kept[of] = append(kept[of], name)
		} else {
			list = append(list, entry{File: file})
		}
	}
	for i, e := range list {
		list[i].Kept = kept[e.File]
		slices.Sort(list[i].Kept)
	}
	slices.SortFunc(list, func(a, b entry) int { return cmp.Compare(a.File, b.File) })
	return list, more, nil
}

// keptOf gives the names of a file's kept versions, sorted; none where the folder cannot be listed.
func (f *folder) keptOf(file string) (names []string) {
	all, err := fs.ReadDir(f.root.FS(), ".")
	if err != nil {
		return nil
	}
	for _, e := range all {
		if of, name := keptOf(e.Name()); of == file && e.Type().IsRegular() {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// read reads a scenario file of the folder.
func (f *folder) read(file string) ([]byte, error) {
	if err := checkFile(file); err != nil {
		return nil, err
	}
	info, err := f.root.Lstat(file)
	if err == nil {
		err = plain(info)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, reasonOf(err))
	}
	flags := os.O_RDONLY
	if runtime.GOOS != "windows" {
		flags |= syscall.O_NONBLOCK // else a pipe put there since is waited for
	}
	in, err := f.root.OpenFile(file, flags, 0)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, reasonOf(err))
	}
	defer in.Close()
	if info, err = in.Stat(); err == nil {
		err = plain(info)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, reasonOf(err))
	}
	text, err := io.ReadAll(io.LimitReader(in, mostText+1))
	if err == nil && len(text) > mostText {
		err = errLarge
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, reasonOf(err))
	}
	return text, nil
}

// save puts a text in the place of what base was read from; base nil makes a file. The error is a [*conflict] where the file is
// another by now. It writes beside the file and renames, so that the file is whole at any time.
func (f *folder) save(file string, base, text []byte) error {
	if err := checkFile(file); err != nil {
		return err
	}
	if len(text) > mostText {
		return fmt.Errorf("%s: %w", file, errLarge)
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if same, err := f.unchanged(file, base, text); err != nil || same {
		return err
	}
	report.ClearParts(f.dir)
	temp := fmt.Sprintf(report.PartName, os.Getpid())
	temp = strings.Replace(temp, "*", rand.Text(), 1)
	defer f.root.Remove(temp) // of no effect once it is renamed
	err := f.stage(temp, file, text)
	if err != nil {
		return fmt.Errorf("%s: cannot be saved: %w", file, reasonOf(err))
	}
	if same, err := f.unchanged(file, base, text); err != nil || same { // again, for writing takes its time
		return err
	}
	if base == nil {
		err = f.root.Link(temp, file) // unlike a rename it fails if there is a file by now
		if err != nil && !errors.Is(err, fs.ErrExist) {
			err = f.root.Rename(temp, file) // a drive that knows no links
		}
	} else {
		err = f.root.Rename(temp, file)
	}
	if err != nil {
		return fmt.Errorf("%s: cannot be saved: %w", file, reasonOf(err))
	}
	f.sync()
	return nil
}

// unchanged checks that a file still holds base, or is still not there for a base of nil. It tells whether the file holds the
// wanted text already, and nothing is to be done.
func (f *folder) unchanged(file string, base, text []byte) (same bool, err error) {
	now, err := f.read(file)
	switch {
	case errors.Is(err, fs.ErrNotExist) && base == nil:
		return false, nil
	case errors.Is(err, fs.ErrNotExist):
		return false, &conflict{File: file}
	case err != nil:
		return false, err
	case base == nil:
		return false, &conflict{File: file, Now: now, made: true}
	case bytes.Equal(now, text):
		return true, nil
	case !bytes.Equal(now, base):
		return false, &conflict{File: file, Now: now}
	}
	return false, nil
}

// stage writes a text beside the file, with the file's permissions, down to the disk.
func (f *folder) stage(temp, file string, text []byte) error {
	info, err := f.root.Lstat(file)
	stands := err == nil
	if stands && info.Mode().Perm()&0o200 == 0 {
		return errors.New("is write-protected; save a kept version, or allow writing")
	}
	out, err := f.root.OpenFile(temp, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = out.Write(text)
	if err == nil && stands {
		err = out.Chmod(info.Mode().Perm())
	}
	if err == nil {
		err = out.Sync()
	}
	return errors.Join(err, out.Close())
}

// sync brings the new name down to the disk. Where a system cannot do that for a folder, the file is still whole after a power
// cut, but may be the old one.
func (f *folder) sync() {
	if d, err := f.root.Open("."); err == nil {
		d.Sync()
		d.Close()
	}
}

// keep writes a version of a file beside it, and gives its name. Another text of the same name is left alone.
func (f *folder) keep(file, name string, text []byte) (string, error) {
	kept, err := keptFile(file, name)
	if err != nil {
		return "", err
	}
	err = f.save(kept, nil, text)
	var stands *conflict
	switch {
	case errors.As(err, &stands) && bytes.Equal(stands.Now, text):
		return kept, nil
	case stands != nil:
		return "", fmt.Errorf("%s: a version of this name is kept already, with another content; choose another name", kept)
	case err != nil:
		return "", err
	}
	return kept, nil
}
