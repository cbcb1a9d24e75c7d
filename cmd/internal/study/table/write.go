package table

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"github.com/parquet-go/parquet-go"
)

// What a group of rows holds. A group ends with the row that reaches one of them, so groups depend on the rows alone.
const (
	groupRows  = 1 << 14
	groupBytes = 1 << 25 // of texts and curves
)

// maxRowBytes is how much texts and curve of one row may take.
const maxRowBytes = 1 << 24

const (
	batchRows     = 64      // rows that go to the columns at once
	pageBytes     = 1 << 18 // about what a page holds
	foldBytes     = 1 << 20 // dictionary from which on a column is written without one
	tableVersion  = "1"
	parquetValues = 2 // definition level of a value in a list
)

// Write writes a whole file. The same head and rows make the same bytes. The rows may be in any order and may be any cases.
// Texts must be UTF-8; in Error, what is not is replaced by U+FFFD, since it may quote anything. A row that cannot be kept is
// an error that names its case; what was written until then is no file.
func Write(w io.Writer, h Head, rows []Row) error {
	t, err := newWriter(w, h)
	if err != nil {
		return err
	}
	for i := range rows {
		if err := t.add(&rows[i]); err != nil {
			return err
		}
	}
	return t.close()
}

// writer writes a file row by row.
type writer struct {
	cols   []column
	meta   []string // by column: of a setting
	seal   *sealer
	file   *parquet.GenericWriter[any]
	values [][]parquet.Value // by column: of rows not yet given to the file
	texts  []parquet.Value   // by column: the last text, since neighbours are often equal

	batch int // rows in values
	rows  int // of this group
	bytes int // of this group
	keys  int
}

func newWriter(w io.Writer, h Head) (*writer, error) {
	if err := h.check(); err != nil {
		return nil, err
	}
	cols := columns(h)
	t := &writer{cols: cols, seal: newSealer(w), values: make([][]parquet.Value, len(cols)), texts: make([]parquet.Value, len(cols)),
		meta: make([]string, len(cols)), keys: len(h.Keys)}
	opts := []parquet.WriterOption{schemaOf(cols), parquet.Compression(&parquet.Snappy), parquet.DataPageVersion(1),
		parquet.CreatedBy("noonkeep", tableVersion, "table"), parquet.WriteBufferSize(0), parquet.PageBufferSize(pageBytes),
		parquet.DictionaryMaxBytes(foldBytes)}
	for k, v := range h.Meta {
		opts = append(opts, parquet.KeyValueMetadata(k, v))
	}
	for i, c := range cols {
		t.meta[i] = h.Meta[c.meta]
		t.texts[i] = parquet.ByteArrayValue(nil)
	}
	config, err := parquet.NewWriterConfig(opts...)
	if err != nil {
		return nil, err
	}
	t.file = parquet.NewGenericWriter[any](t.seal, config)
	return t, nil
}

func (t *writer) add(r *Row) error {
	n, err := t.check(r)
	if err != nil {
		return fmt.Errorf("case %d: %w", r.Case, err)
	}
	for i := range t.cols {
		t.put(i, r)
	}
	t.rows++
	t.bytes += n
	if t.batch++; t.batch == batchRows {
		if err := t.pass(); err != nil {
			return err
		}
	}
	if t.rows >= groupRows || t.bytes >= groupBytes {
		return t.endGroup()
	}
	return nil
}

// check refuses a row that cannot be kept as it is, and tells what its texts and curve take.
func (t *writer) check(r *Row) (int, error) {
	if r.Case < 0 {
		return 0, fmt.Errorf("number: is negative; want 0 or more")
	}
	if len(r.Inputs) != t.keys {
		return 0, fmt.Errorf("inputs: are %d; want one for each of the %d keys", len(r.Inputs), t.keys)
	}
	n := len(r.Curve) * 4 * 8
	for _, c := range t.cols {
		switch c.kind {
		case text, remark:
			s := *c.text(r)
			if c.kind == text && !utf8.ValidString(s) {
				return 0, fmt.Errorf("%s: %.80q is not UTF-8 text", c.name, s)
			}
			n += len(s)
		case flag:
			if v := *c.figure(r); v != 0 && v != 1 && !math.IsNaN(v) {
				return 0, fmt.Errorf("%s: is %g; want 0, 1 or NaN", c.name, v)
			}
		}
	}
	if n > maxRowBytes {
		return 0, fmt.Errorf("texts and curve: take %d bytes; want at most %d", n, maxRowBytes)
	}
	return n, nil
}

// put adds the value of a row to column i.
func (t *writer) put(i int, r *Row) {
	c := &t.cols[i]
	v := parquet.NullValue().Level(0, 0, i)
	switch c.kind {
	case number:
		v = parquet.Int64Value(r.Case).Level(0, 0, i)
	case text:
		v = t.text(i, *c.text(r), 0)
	case setting:
		v = t.text(i, t.meta[i], 0)
	case remark:
		if s := *c.text(r); s != "" {
			v = t.text(i, strings.ToValidUTF8(s, "\uFFFD"), 1)
		}
	case figure:
		if f := *c.figure(r); !math.IsNaN(f) {
			v = parquet.DoubleValue(f).Level(0, 1, i)
		}
	case flag:
		if f := *c.figure(r); !math.IsNaN(f) {
			v = parquet.BooleanValue(f == 1).Level(0, 1, i)
		}
	case list:
		t.putList(i, r.Curve)
		return
	}
	t.values[i] = append(t.values[i], v)
}

// putList adds a list: a null of level 0 if it is empty, and for a point a value of level 2, or a null of level 1.
func (t *writer) putList(i int, curve []Point) {
	if len(curve) == 0 {
		t.values[i] = append(t.values[i], parquet.NullValue().Level(0, 0, i))
	}
	for j := range curve {
		again := min(j, 1)
		v := parquet.NullValue().Level(again, 1, i)
		if f := *t.cols[i].point(&curve[j]); !math.IsNaN(f) {
			v = parquet.DoubleValue(f).Level(again, parquetValues, i)
		}
		t.values[i] = append(t.values[i], v)
	}
}

func (t *writer) text(i int, s string, level int) parquet.Value {
	if string(t.texts[i].ByteArray()) != s {
		t.texts[i] = parquet.ByteArrayValue([]byte(s))
	}
	return t.texts[i].Level(0, level, i)
}

// pass gives the rows at hand to the file.
func (t *writer) pass() error {
	for i, w := range t.file.ColumnWriters() {
		if len(t.values[i]) > 0 {
			if _, err := w.WriteRowValues(t.values[i]); err != nil {
				return fmt.Errorf("%s: %w", t.cols[i].name, err)
			}
			t.values[i] = t.values[i][:0]
		}
	}
	t.batch = 0
	return nil
}

func (t *writer) endGroup() error {
	if err := t.pass(); err != nil {
		return err
	}
	t.rows, t.bytes = 0, 0
	return t.file.Flush()
}

func (t *writer) close() error {
	if err := t.endGroup(); err != nil {
		return err
	}
	t.seal.hold()
	if err := t.file.Close(); err != nil {
		return err
	}
	return t.seal.seal()
}
