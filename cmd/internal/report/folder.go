package report

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// Folder gathers the files of one run and puts them in place together: each is
// written whole beside its final name, and only Commit renames them. A run that
// fails or is interrupted before Commit leaves nothing behind once Discard ran.
type Folder struct {
	made   string // the folder this run had to create, "" if it stood there
	staged []staged
}

type staged struct{ temp, final string }

// NewFolder makes dir if it is missing. Its parent must exist.
func NewFolder(dir string) (*Folder, error) {
	info, err := os.Stat(dir)
	switch {
	case err == nil && !info.IsDir():
		return nil, fmt.Errorf("%s: is a file; want a folder to write into", dir)
	case err == nil:
		return &Folder{}, nil
	case !errors.Is(err, os.ErrNotExist):
		return nil, err
	}
	if err := os.Mkdir(dir, 0o755); err != nil {
		return nil, fmt.Errorf("%s: cannot be made: %w", dir, err)
	}
	return &Folder{made: dir}, nil
}

// Write stages one file; write fills it.
func (f *Folder) Write(path string, write func(io.Writer) error) error {
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return fmt.Errorf("%s: is not a plain file and is left alone", path)
	}
	temp, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*.part")
	if err != nil {
		return fmt.Errorf("%s: cannot be written: %w", path, err)
	}
	f.staged = append(f.staged, staged{temp.Name(), path})
	buffered := bufio.NewWriterSize(temp, 1<<16)
	err = errors.Join(write(buffered), buffered.Flush(), temp.Chmod(0o644), temp.Close())
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return nil
}

// Commit renames every staged file to its place and returns their paths in the order written.
func (f *Folder) Commit() ([]string, error) {
	var paths []string
	for _, s := range f.staged {
		if err := os.Rename(s.temp, s.final); err != nil {
			f.Discard()
			return paths, err
		}
		paths = append(paths, s.final)
	}
	f.staged, f.made = nil, ""
	return paths, nil
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
