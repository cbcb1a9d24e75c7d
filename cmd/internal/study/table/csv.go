package table

import (
	"encoding/csv"
	"fmt"
	"io"
	"iter"
	"math"
	"strconv"
)

// CSV writes a line of names and one a case, all columns but the curve. A figure that is null is empty, an infinite one
// +Inf or -Inf; others are written so that they read back to the bit. It ends with the first error of rows.
func CSV(w io.Writer, h Head, rows iter.Seq2[Row, error]) error {
	if err := h.check(); err != nil {
		return err
	}
	var cols []column
	var line []string
	for _, c := range columns(h) {
		if c.kind != list {
			cols, line = append(cols, c), append(line, c.name)
		}
	}
	out := csv.NewWriter(w)
	if err := out.Write(line); err != nil {
		return err
	}
	for r, err := range rows {
		if err != nil {
			return err
		}
		if len(r.Inputs) != len(h.Keys) {
			return fmt.Errorf("case %d: inputs: are %d; want one for each of the %d keys", r.Case, len(r.Inputs), len(h.Keys))
		}
		for i := range cols {
			line[i] = cols[i].cell(h, &r)
		}
		if err := out.Write(line); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func (c *column) cell(h Head, r *Row) string {
	switch c.kind {
	case number:
		return strconv.FormatInt(r.Case, 10)
	case text, remark:
		return *c.text(r)
	case setting:
		return h.Meta[c.meta]
	}
	v := *c.figure(r)
	switch {
	case math.IsNaN(v):
		return ""
	case c.kind == flag:
		return strconv.FormatBool(v == 1)
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}
