package table

import (
	"errors"
	"fmt"
	"iter"
	"math"
	"unicode/utf8"

	"github.com/parquet-go/parquet-go"
)

// Rows reads the rows in their order, a group at a time. It ends with the first error.
func (f *File) Rows() iter.Seq2[Row, error] {
	return func(yield func(Row, error) bool) {
		var buf []byte
		for g := range f.groups {
			rows, used, err := f.readGroup(g, buf)
			if err != nil {
				yield(Row{}, err)
				return
			}
			for i := range rows {
				if !yield(rows[i], nil) {
					return
				}
			}
			buf = used
		}
	}
}

// group is a group of rows that is being read.
type group struct {
	rows   []Row
	inputs []string // of all rows
	points []Point  // of all rows
	ends   []int    // by row: where its points end; nil until the first list was read
}

// readGroup reads the rows of a group. buf is room for its bytes, and is given back.
func (f *File) readGroup(g int, buf []byte) ([]Row, []byte, error) {
	from, to := groupExtent(&f.groups[g])
	w, err := f.seal.span(from, to-from, buf)
	if err != nil {
		return nil, buf, err
	}
	n, keys := int(f.groups[g].NumRows), len(f.head.Keys)
	into := &group{rows: make([]Row, n), inputs: make([]string, n*keys)}
	for i := range into.rows {
		into.rows[i].Inputs = into.inputs[i*keys : (i+1)*keys : (i+1)*keys]
	}
	for i := range f.cols {
		if err := f.readColumn(g, i, w, into); err != nil {
			return nil, buf, err
		}
	}
	start := 0
	for i, end := range into.ends {
		if end > start {
			into.rows[i].Curve = into.points[start:end:end]
		}
		start = end
	}
	return into.rows, w.data, nil
}

// readColumn reads one column of a group into its rows.
func (f *File) readColumn(g, i int, w window, into *group) (err error) {
	defer func() {
		if err != nil {
			err = fmt.Errorf("group %d of rows: %s: %w; restore the file or run the study again", g, f.cols[i].name, err)
		}
	}()
	defer refuse(&err)
	c := &f.cols[i]
	if c.kind == list {
		return f.readList(g, i, w, into)
	}
	row, last := 0, ""
	err = f.eachValue(g, i, w, func(values []parquet.Value) error {
		if len(values) > len(into.rows)-row {
			return fmt.Errorf("more values than the %d rows", len(into.rows))
		}
		for _, v := range values {
			if err := c.take(&into.rows[row], v, &last); err != nil {
				return err
			}
			row++
		}
		return nil
	})
	if err == nil && row != len(into.rows) {
		return fmt.Errorf("%d values; want one for each of the %d rows", row, len(into.rows))
	}
	return err
}

// take puts a value into a row. last is the column's last text: neighbours that are equal share one string.
func (c *column) take(r *Row, v parquet.Value, last *string) error {
	switch c.kind {
	case number:
		if r.Case = v.Int64(); r.Case < 0 {
			return fmt.Errorf("is %d; want 0 or more", r.Case)
		}
	case text, remark:
		if string(v.ByteArray()) != *last {
			*last = string(v.ByteArray())
			if !utf8.ValidString(*last) {
				return fmt.Errorf("%.80q is not UTF-8 text", *last)
			}
		}
		*c.text(r) = *last
	case figure:
		*c.figure(r) = double(v)
	case flag:
		*c.figure(r) = math.NaN()
		if !v.IsNull() {
			*c.figure(r) = 0
			if v.Boolean() {
				*c.figure(r) = 1
			}
		}
	}
	return nil
}

func double(v parquet.Value) float64 {
	if v.IsNull() {
		return math.NaN()
	}
	return v.Double()
}

// readList reads one list of the curves. The first makes the points, and the others must have as many.
func (f *File) readList(g, i int, w window, into *group) error {
	c, first := &f.cols[i], into.ends == nil
	if first {
		into.ends = make([]int, 0, len(into.rows))
	}
	row, n := -1, 0 // the row at hand, the points read
	endRow := func() error {
		switch {
		case row < 0:
		case row >= len(into.rows):
			return fmt.Errorf("more lists than the %d rows", len(into.rows))
		case first:
			into.ends = append(into.ends, n)
		case into.ends[row] != n:
			return fmt.Errorf("%d points up to row %d; want %d as in the other lists", n, row, into.ends[row])
		}
		return nil
	}
	err := f.eachValue(g, i, w, func(values []parquet.Value) error {
		for _, v := range values {
			if v.RepetitionLevel() == 0 {
				if err := endRow(); err != nil {
					return err
				}
				row++
			}
			if v.DefinitionLevel() == 0 {
				continue
			}
			if first {
				into.points = append(into.points, Point{})
			}
			if n == len(into.points) {
				return errors.New("more points than the other lists")
			}
			*c.point(&into.points[n]) = double(v)
			n++
		}
		return nil
	})
	if err == nil {
		err = endRow()
	}
	if err == nil && row+1 != len(into.rows) {
		return fmt.Errorf("%d lists; want one for each of the %d rows", row+1, len(into.rows))
	}
	return err
}
