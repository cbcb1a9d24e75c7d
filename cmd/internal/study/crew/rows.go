package crew

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"iter"
	"os"
	"path/filepath"

	"noonkeep/cmd/internal/study/table"
)

// gather writes all rows of a folder in the order of their cases into one file. Its bytes do not depend on who solved
// which, nor when.
func gather(ctx context.Context, f *folder) error {
	parts, err := partsOf(f.dir)
	if err != nil {
		return err
	}
	path := filepath.Join(f.dir, ResultsName)
	temp := path + tempEnding
	err = func() error {
		out, err := os.Create(temp)
		if err != nil {
			return err
		}
		if err = table.Gather(ctx, out, f.head, parts, f.done.n); err == nil {
			err = out.Sync()
		}
		if closed := out.Close(); err == nil {
			err = closed
		}
		if err != nil {
			return err
		}
		return os.Rename(temp, path)
	}()
	if err != nil {
		os.Remove(temp)
		if ctx.Err() != nil {
			return err
		}
		return fmt.Errorf("%s: cannot be written: %w", path, bare(err))
	}
	syncDir(f.dir)
	return nil
}

// partsOf lists a folder's parts, each opened when it is wanted and refused if it is not what its name says.
func partsOf(dir string) ([]table.Part, error) {
	names, err := partNames(dir)
	if err != nil {
		return nil, err
	}
	parts := make([]table.Part, 0, len(names))
	for _, name := range names {
		parts = append(parts, table.Part{Name: name, Open: func() (io.ReaderAt, int64, func() error, error) {
			body, err := readPart(dir, name)
			return bytes.NewReader(body), int64(len(body)), func() error { return nil }, err
		}})
	}
	return parts, nil
}

// Rows reads the rows of a folder: all in order once the study is done, and until then those that are there, each once.
func Rows(dir string) (table.Head, iter.Seq2[table.Row, error], error) {
	state, err := ReadState(dir)
	if err != nil {
		return table.Head{}, nil, err
	}
	if state.State == Done {
		return doneRows(dir)
	}
	parts, err := partsOf(dir)
	if err != nil {
		return table.Head{}, nil, err
	}
	if len(parts) == 0 {
		return table.Head{}, nil, fmt.Errorf("%s: has no case that is done yet", dir)
	}
	head, err := headIn(parts[0])
	return head, partRows(parts, state.Of), err
}

// doneRows reads the one file of a study that is done. It is read whole into the caller's loop, a group of rows at a time.
func doneRows(dir string) (table.Head, iter.Seq2[table.Row, error], error) {
	path := filepath.Join(dir, ResultsName)
	in, err := os.Open(path)
	if err != nil {
		return table.Head{}, nil, fmt.Errorf("%s: %w", path, bare(err))
	}
	info, err := in.Stat()
	if err == nil {
		var f *table.File
		if f, err = table.Open(in, info.Size()); err == nil {
			return f.Head(), func(yield func(table.Row, error) bool) {
				defer in.Close()
				for row, err := range f.Rows() {
					if !yield(row, err) {
						return
					}
				}
			}, nil
		}
	}
	in.Close()
	return table.Head{}, nil, fmt.Errorf("%s: %w", path, bare(err))
}

func headIn(p table.Part) (table.Head, error) {
	r, size, done, err := p.Open()
	if err != nil {
		return table.Head{}, fmt.Errorf("%s: %w", p.Name, err)
	}
	defer done()
	f, err := table.Open(r, size)
	if err != nil {
		return table.Head{}, fmt.Errorf("%s: %w", p.Name, err)
	}
	return f.Head(), nil
}

// partRows reads parts one after the other. One that went away since, or is damaged, is passed over: its cases are
// solved again.
func partRows(parts []table.Part, n int64) iter.Seq2[table.Row, error] {
	return func(yield func(table.Row, error) bool) {
		seen := newSet(n)
		for _, p := range parts {
			r, size, done, err := p.Open()
			if errors.Is(err, fs.ErrNotExist) || errors.Is(err, errDamaged) {
				continue
			}
			if err != nil {
				yield(table.Row{}, fmt.Errorf("%s: %w", p.Name, err))
				return
			}
			f, err := table.Open(r, size)
			if err == nil {
				for row, err := range f.Rows() {
					if err == nil && (row.Case < 0 || row.Case >= n || !seen.add(row.Case)) {
						continue
					}
					if !yield(row, err) || err != nil {
						return
					}
				}
			}
			done()
		}
	}
}
