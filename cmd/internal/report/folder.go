package report

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"syscall"
	"time"
)

// Folder gathers the files of one run and puts them in place together: each is written whole beside its final name,
// and only Commit renames them. A run that fails or is interrupted before Commit leaves nothing behind once Discard
// ran; of one that was killed the next run removes what it left.
type Folder struct {
	made   string // the folder this run had to create, "" if it stood there
	staged []staged
}

type staged struct{ temp, final, old string } // old is a second name of what stood at final; "" for none

// PartName is what a file is called until it is put in place, with the number of the process that writes it and, for *, any letters.
const PartName = ".noonkeep-%d-*.part"

// NewFolder makes dir if it is missing. Its parent must exist.
func NewFolder(dir string) (*Folder, error) {
	info, err := os.Stat(dir)
	switch {
	case err == nil && !info.IsDir():
		return nil, fmt.Errorf("%s: is a file; want a folder to write into", shortPath(dir))
	case err == nil:
		return &Folder{}, nil
	case !errors.Is(err, os.ErrNotExist):
		return nil, fmt.Errorf("%s: %w", shortPath(dir), reason(err))
	}
	if err := os.Mkdir(dir, 0o755); err != nil {
		return nil, fmt.Errorf("%s: cannot be made: %w", shortPath(dir), reason(err))
	}
	return &Folder{made: dir}, nil
}

// Write stages one file; write fills it. It takes over the permissions of the file in whose place it is put.
func (f *Folder) Write(path string, write func(io.Writer) error) error {
	mode := os.FileMode(0o644)
	if info, err := os.Stat(path); err == nil {
		if !info.Mode().IsRegular() {
			return fmt.Errorf("%s: is not a plain file and is left alone", shortPath(path))
		}
		mode = info.Mode().Perm()
	}
	if len(f.staged) == 0 {
		ClearParts(filepath.Dir(path))
	}
	temp, err := os.CreateTemp(filepath.Dir(path), fmt.Sprintf(PartName, os.Getpid()))
	if err != nil {
		return fmt.Errorf("%s: cannot be written: %w", shortPath(path), reason(err))
	}
	f.staged = append(f.staged, staged{temp: temp.Name(), final: path})
	buffered := bufio.NewWriterSize(temp, 1<<16)
	if err = errors.Join(write(buffered), buffered.Flush()); err == nil {
		err = temp.Chmod(mode)
	}
	if closed := temp.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return fmt.Errorf("%s: cannot be written: %w", shortPath(path), reason(err))
	}
	return nil
}

// Commit renames every staged file to its place and returns their paths in the order written. Where one cannot be put in
// place, what stood there before is put back. Two runs into one folder do so one after the other.
func (f *Folder) Commit() ([]string, error) {
	if len(f.staged) > 0 {
		defer locked(filepath.Dir(f.staged[0].final))()
	}
	var paths []string
	for i := range f.staged {
		s := &f.staged[i]
		s.old = s.temp + ".part" // a name of the parts' kind, and of no other file
		if os.Link(s.final, s.old) != nil {
			s.old = ""
		}
		if err := os.Rename(s.temp, s.final); err != nil {
			f.undo(i)
			f.Discard()
			return nil, fmt.Errorf("%s: cannot be put in place: %w", shortPath(s.final), reason(err))
		}
		paths = append(paths, s.final)
	}
	for _, s := range f.staged {
		if s.old != "" {
			os.Remove(s.old)
		}
	}
	f.staged, f.made = nil, ""
	return paths, nil
}

// undo puts back what the first n files stood in place of.
func (f *Folder) undo(n int) {
	for _, s := range f.staged[:n] {
		if s.old == "" {
			os.Remove(s.final)
		} else {
			os.Rename(s.old, s.final)
		}
	}
	if old := f.staged[n].old; old != "" {
		os.Remove(old)
	}
}

// Discard removes what was staged and not committed. It may be called always.
func (f *Folder) Discard() {
	for _, s := range f.staged {
		os.Remove(s.temp)
	}
	f.staged = nil
	if f.made != "" {
		os.Remove(f.made) // fails, rightly, if something stands in it
		f.made = ""
	}
}

// WriteFile writes one file whole or not at all.
func WriteFile(path string, write func(io.Writer) error) error {
	var f Folder
	defer f.Discard()
	if err := f.Write(path, write); err != nil {
		return err
	}
	_, err := f.Commit()
	return err
}

var started = time.Now()

// ClearParts removes what killed runs left in a folder: parts of processes that are no more.
func ClearParts(dir string) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return
	}
	for _, e := range entries {
		var pid int
		if _, err := fmt.Sscanf(e.Name(), ".noonkeep-%d-", &pid); err != nil || pid <= 0 || filepath.Ext(e.Name()) != ".part" {
			continue
		}
		info, err := e.Info()
		ours := pid == os.Getpid()
		if err == nil && info.Mode().IsRegular() && (ours && info.ModTime().Before(started) || !ours && !running(pid)) {
			os.Remove(filepath.Join(dir, e.Name()))
		}
	}
}

// running tells whether there is a process of a number, true where that cannot be known.
func running(pid int) bool {
	p, err := os.FindProcess(pid)
	if err != nil {
		return false
	}
	err = p.Signal(syscall.Signal(0))
	return !errors.Is(err, os.ErrProcessDone) && !errors.Is(err, syscall.ESRCH)
}

// reason takes the call and the path off a system's error: the message names the file already.
func reason(err error) error {
	var path *os.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		return path.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}

// shortPath is a path as messages show it, cut in the middle where it is longer than any screen.
func shortPath(path string) string {
	const ends = 60
	if r := []rune(path); len(r) > 3*ends {
		return string(r[:ends]) + "..." + string(r[len(r)-ends:])
	}
	return path
}
