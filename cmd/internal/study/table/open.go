package table

import (
	"fmt"
	"io"
	"maps"
	"math"
	"slices"

	"github.com/parquet-go/parquet-go"
	"github.com/parquet-go/parquet-go/format"
)

// maxGroupBytes is more than a group can take on disk or unpacked: texts, curves and figures as they are.
const maxGroupBytes = 1 << 28

// File is an open table. Its methods may be called by several goroutines at once, if its reader may.
type File struct {
	seal   *sealed
	file   *parquet.File
	head   Head
	cols   []column
	groups []format.RowGroup
	len    int64
}

// Open opens a table of size bytes. It reads the end of the file alone; the rest is checked as it is read. A file that
// [Write] or [Gather] did not make, or that changed since, is an error.
func Open(r io.ReaderAt, size int64) (*File, error) {
	s, err := unseal(r, size)
	if err != nil {
		return nil, err
	}
	f := &File{seal: s}
	if err := f.readFooter(); err != nil {
		return nil, err
	}
	return f, nil
}

// refuse makes an error of a panic: the library panics at some of what is wrong in a file. With a seal that is right, it is
// a file made wrong on purpose.
func refuse(err *error) {
	if p := recover(); p != nil {
		*err = fmt.Errorf("is no table of cases: %v; restore it or run the study again", p)
	}
}

func (f *File) readFooter() (err error) {
	defer refuse(&err)
	end := window{data: f.seal.footer, at: f.seal.size - int64(len(f.seal.footer))}
	f.file, err = parquet.OpenFile(end, f.seal.size, &parquet.FileConfig{SkipMagicBytes: true, SkipPageIndex: true, SkipBloomFilters: true,
		ReadBufferSize: 1 << 12})
	if err != nil {
		return fmt.Errorf("footer: %w", err)
	}
	if err := f.readHead(); err != nil {
		return err
	}
	meta := f.file.Metadata()
	f.groups = meta.RowGroups
	for i := range f.groups {
		if err := f.checkGroup(&f.groups[i]); err != nil {
			return fmt.Errorf("group %d of rows: %w", i, err)
		}
		f.len += f.groups[i].NumRows
	}
	if f.len != meta.NumRows {
		return fmt.Errorf("footer: counts %d rows, its groups %d; restore the file or run the study again", meta.NumRows, f.len)
	}
	return nil
}

// readHead finds the keys in the names of the columns, and holds the columns against those of a table with these keys.
func (f *File) readHead() error {
	f.head.Meta = make(map[string]string)
	for _, kv := range f.file.Metadata().KeyValueMetadata {
		f.head.Meta[kv.Key] = kv.Value
	}
	fields := f.file.Root().Columns()
	before, all := len(lead()), len(fixed())
	if len(fields) < all {
		return fmt.Errorf("columns: are %d; want at least %d: no table of cases, or of another version of noonkeep", len(fields), all)
	}
	for _, c := range fields[before : len(fields)-all+before] {
		f.head.Keys = append(f.head.Keys, keyOf(c.Name()))
	}
	if err := f.head.check(); err != nil {
		return err
	}
	f.cols = columns(f.head)
	for i, c := range f.cols {
		if fields[i].Name() != c.name {
			return fmt.Errorf("columns: number %d is %q; want %q: no table of cases, or of another version of noonkeep", i+1, fields[i].Name(), c.name)
		}
		if !parquet.EqualNodes(fields[i], c.node()) {
			return fmt.Errorf("%s: holds %s; want %s: no table of cases, or of another version of noonkeep", c.name, fields[i], c.node())
		}
	}
	return nil
}

// checkGroup refuses a group that lies outside of the body, or that is larger than any that was written.
func (f *File) checkGroup(g *format.RowGroup) error {
	if g.NumRows < 1 || g.NumRows > groupRows {
		return fmt.Errorf("counts %d rows; want 1 to %d", g.NumRows, groupRows)
	}
	if len(g.Columns) != len(f.cols) {
		return fmt.Errorf("has %d columns; want %d", len(g.Columns), len(f.cols))
	}
	for i := range g.Columns {
		off, n := extent(g, i)
		if off < 0 || n < 0 || n > maxGroupBytes || off > f.seal.body-n {
			return fmt.Errorf("%s: %d bytes from byte %d on do not lie in the file", f.cols[i].name, n, off)
		}
		if codec := g.Columns[i].MetaData.Codec; codec != format.Snappy {
			return fmt.Errorf("%s: is packed by %s; want SNAPPY", f.cols[i].name, codec)
		}
	}
	if from, to := groupExtent(g); to-from > maxGroupBytes {
		return fmt.Errorf("takes %d bytes; want at most %d", to-from, maxGroupBytes)
	}
	return nil
}

// extent is where the pages of a column lie.
func extent(g *format.RowGroup, i int) (off, n int64) {
	m := &g.Columns[i].MetaData
	off = m.DataPageOffset
	if m.DictionaryPageOffset != 0 {
		off = m.DictionaryPageOffset
	}
	return off, m.TotalCompressedSize
}

func groupExtent(g *format.RowGroup) (from, to int64) {
	from = math.MaxInt64
	for i := range g.Columns {
		off, n := extent(g, i)
		from, to = min(from, off), max(to, off+n)
	}
	return from, to
}

// Head is what all rows share. Changing it changes no file.
func (f *File) Head() Head {
	return Head{Keys: slices.Clone(f.head.Keys), Meta: maps.Clone(f.head.Meta)}
}

// Len is how many rows there are.
func (f *File) Len() int64 { return f.len }

// Cases reads the numbers of the cases alone, in the order of the rows.
func (f *File) Cases() ([]int64, error) {
	var cases []int64
	var buf []byte
	for g := range f.groups {
		off, n := extent(&f.groups[g], 0)
		w, err := f.seal.span(off, n, buf)
		if err != nil {
			return nil, err
		}
		buf = w.data
		rows := make([]Row, f.groups[g].NumRows)
		if err := f.readColumn(g, 0, w, &group{rows: rows}); err != nil {
			return nil, err
		}
		for i := range rows {
			cases = append(cases, rows[i].Case)
		}
	}
	return cases, nil
}
