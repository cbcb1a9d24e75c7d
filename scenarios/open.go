package scenarios

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
)

// Open opens a file that a scenario names. A relative name is meant from the scenario's own folder.
//
// A scenario is data, and may come from a stranger. What it names is opened for reading alone, must be a plain file
// (reading a pipe or a device could wait for ever, or act), and is read as numbers: of it messages show at most
// a cell. How far it may reach is the caller's choice, [Beside] or [Within].
type Open func(name string) (io.ReadCloser, error)

// dataEndings are those of files that weather and series come in. Outside its folder a scenario may read no others unasked: keys,
// settings and records of a machine are called otherwise.
var dataEndings = []string{".csv", ".tsv", ".txt", ".dat", ".epw", ".tmy", ".tmy3", ".json", ".xlsx"}

// Beside opens what a person's own scenario names: in its folder dir any plain file, elsewhere one with the ending of weather or
// series whose path shows no hidden folder.
func Beside(dir string) Open {
	return func(name string) (io.ReadCloser, error) {
		path := from(dir, name)
		real, err := filepath.EvalSymlinks(path)
		own := inside(real, folder(dir))
		switch {
		case !within(path, dir) && (!data(path) || hidden(name)), err == nil && !own && !data(real):
			return nil, outside(path, "is no CSV, EPW, XLSX or other file of weather or series, and ")
		case err != nil:
			return nil, err
		}
		return plainFile(path, os.Stat, os.OpenFile)
	}
}

// Within opens what a stranger's scenario names: what lies in its folder dir or in one of more, and nothing that a
// link or .. leads to outside them, whoever put the link there.
func Within(dir string, more ...string) Open {
	return func(name string) (io.ReadCloser, error) {
		path := from(dir, name)
		for _, top := range append([]string{dir}, more...) {
			rest, ok := below(path, top)
			if !ok {
				continue
			}
			root, err := os.OpenRoot(top)
			if err != nil {
				return nil, err
			}
			file, err := plainFile(rest, root.Stat, root.OpenFile)
			root.Close()
			if err == nil || errors.Is(err, os.ErrNotExist) || errors.Is(err, os.ErrPermission) || errors.Is(err, errIsFolder) || errors.Is(err, errIsDevice) {
				return file, err
			}
			if real, linked := filepath.EvalSymlinks(path); linked == nil {
				path = real
			}
		}
		return nil, outside(path, "")
	}
}

// Stoppable is open, with files whose reading ends with the context's error once it is done.
func (open Open) Stoppable(ctx context.Context) Open {
	return func(name string) (io.ReadCloser, error) {
		r, err := open(name)
		if file, ok := r.(*os.File); ok && err == nil {
			return stoppable{file, ctx}, nil
		}
		return r, err
	}
}

type stoppable struct {
	*os.File
	ctx context.Context
}

func (s stoppable) Read(p []byte) (int, error) {
	if err := s.ctx.Err(); err != nil {
		return 0, err
	}
	return s.File.Read(p)
}

func (s stoppable) ReadAt(p []byte, at int64) (int, error) {
	if err := s.ctx.Err(); err != nil {
		return 0, err
	}
	return s.File.ReadAt(p, at)
}

// plainFile opens a plain file, and nothing that reading could wait for.
func plainFile(path string, stat func(string) (os.FileInfo, error), open func(string, int, os.FileMode) (*os.File, error)) (io.ReadCloser, error) {
	flags := os.O_RDONLY
	if runtime.GOOS != "windows" {
		flags |= syscall.O_NONBLOCK // else a pipe put there since is waited for
	}
	info, err := stat(path)
	if err == nil {
		err = regular(info)
	}
	if err != nil {
		return nil, err
	}
	file, err := open(path, flags, 0)
	if err != nil {
		return nil, err
	}
	if info, err = file.Stat(); err == nil {
		err = regular(info)
	}
	if err != nil {
		file.Close()
		return nil, err
	}
	return file, nil
}

func regular(info os.FileInfo) error {
	switch {
	case info.IsDir():
		return errIsFolder
	case !info.Mode().IsRegular():
		return errIsDevice
	}
	return nil
}

// OutsideError says that a scenario may not read a file, and how a person allows it.
type OutsideError struct {
	Path string
	why  string
}

func (e *OutsideError) Error() string {
	return fmt.Sprintf("%slies outside the scenario's folder; if it may be read, add --reads %s", e.why, shellWord(filepath.Dir(e.Path)))
}

func outside(path, why string) error { return &OutsideError{path, why} }

// shellWord is a text as one word of a shell: the scenario chose it, and a person may paste it.
func shellWord(s string) string {
	const safe = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_./\\:+,@%-"
	if strings.Trim(s, safe) == "" && !strings.HasPrefix(s, "-") {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}

// from is a name as seen from dir.
func from(dir, name string) string {
	if filepath.IsAbs(name) {
		return filepath.Clean(name)
	}
	return filepath.Join(dir, name)
}

// folder is the path of a folder with its links followed, as far as there is one.
func folder(dir string) string {
	if real, err := filepath.EvalSymlinks(dir); err == nil {
		return real
	}
	return dir
}

// below gives the rest of a path under top, by its letters or with the links before its last part followed.
func below(path, top string) (string, bool) {
	dir, last := filepath.Split(path)
	for _, p := range []string{path, filepath.Join(folder(dir), last)} {
		for _, t := range []string{top, folder(top)} {
			a, err := filepath.Abs(p)
			b, err2 := filepath.Abs(t)
			if rest, err3 := filepath.Rel(b, a); errors.Join(err, err2, err3) == nil && filepath.IsLocal(rest) {
				return rest, true
			}
		}
	}
	return "", false
}

func within(path, top string) bool { _, ok := below(path, top); return ok }

// inside tells the same by the letters alone, of paths whose links are followed.
func inside(path, top string) bool {
	a, err := filepath.Abs(path)
	b, err2 := filepath.Abs(top)
	rest, err3 := filepath.Rel(b, a)
	return errors.Join(err, err2, err3) == nil && filepath.IsLocal(rest)
}

func data(path string) bool {
	return slices.Contains(dataEndings, strings.ToLower(filepath.Ext(path)))
}

// hidden tells whether a name goes through a folder, or to a file, that is not shown: .ssh, .config.
func hidden(name string) bool {
	return slices.ContainsFunc(strings.Split(filepath.ToSlash(name), "/"), func(part string) bool {
		return strings.HasPrefix(part, ".") && part != "." && part != ".."
	})
}

var (
	errNoFiles  = errors.New("a scenario that is not in a folder can name no files")
	errIsFolder = errors.New("is a folder; want a file")
	errIsDevice = errors.New("is a pipe or a device; want a plain file")
)
