package table

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
)

// Part is a table that holds some of the rows.
type Part struct {
	Name string // for errors

	// Open gives a reader, its size, and what closes it. It may be called again after that, and must give the same bytes.
	Open func() (io.ReaderAt, int64, func() error, error)
}

// gatherBytes is about what the rows take that Gather holds at a time.
const gatherBytes = 1 << 26

// Gather writes the rows 0 to n-1 into one file, in the order of their cases. A case that stands in several parts is taken
// from the first of them. Its bytes are those of [Write] with all rows, however they were cut into parts. A case that is in
// no part, or not of 0 to n-1, is an error, and so is a part with another head.
//
// Parts are opened one at a time, and hold about 4 bytes a case and 100 MB. A part whose cases lie together is opened once or
// twice; one whose cases are spread over all n is read again for each 64 MB of rows written.
func Gather(ctx context.Context, w io.Writer, h Head, parts []Part, n int64) error {
	g := &gatherer{head: h, parts: parts, owner: make([]int32, max(n, 0))}
	if err := g.own(ctx); err != nil {
		return err
	}
	out, err := newWriter(w, h)
	if err != nil {
		return err
	}
	rows := make([]Row, min(g.window(), n))
	for from := int64(0); from < n; from += int64(len(rows)) {
		rows = rows[:min(int64(len(rows)), n-from)]
		if err := g.fill(ctx, rows, from); err != nil {
			return err
		}
		for i := range rows {
			if err := out.add(&rows[i]); err != nil {
				return err
			}
			rows[i] = Row{}
		}
	}
	return out.close()
}

// gatherer knows which part has which case.
type gatherer struct {
	head  Head
	parts []Part
	owner []int32 // by case: its part, from 1
	spans []span  // in the order of parts
	bytes int64   // of all groups, unpacked
	rows  int64   // of all groups
}

// span is a group of rows in a part, and the cases between which its own lie.
type span struct {
	part, group int
	least, most int64
}

// own finds the part of each case.
func (g *gatherer) own(ctx context.Context) error {
	have := int64(0)
	for i := range g.parts {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := g.open(i, func(f *File) error {
			more, err := g.claim(i, f)
			have += more
			return err
		}); err != nil {
			return err
		}
	}
	if missing := int64(len(g.owner)) - have; missing > 0 {
		return fmt.Errorf("%d of %d cases are in no part, the first is %d; solve them first", missing, len(g.owner), slices.Index(g.owner, 0))
	}
	return nil
}

// claim gives a part the cases that no part before it has, and tells how many.
func (g *gatherer) claim(part int, f *File) (int64, error) {
	cases, err := f.Cases()
	if err != nil {
		return 0, err
	}
	have := int64(0)
	for i := range f.groups {
		s := span{part: part, group: i, least: int64(len(g.owner)), most: -1}
		of := f.groups[i].NumRows
		for _, c := range cases[:of] {
			if c < 0 || c >= int64(len(g.owner)) {
				return 0, fmt.Errorf("holds case %d; want 0 to %d", c, len(g.owner)-1)
			}
			if g.owner[c] == 0 {
				g.owner[c] = int32(part + 1)
				s.least, s.most = min(s.least, c), max(s.most, c)
				have++
			}
		}
		cases = cases[of:]
		if s.most >= 0 {
			g.spans = append(g.spans, s)
		}
		g.bytes += f.groups[i].TotalByteSize
		g.rows += of
	}
	return have, nil
}

// window is how many rows are held at a time.
func (g *gatherer) window() int64 {
	const bare = 600 // of a Row without its texts and curve
	each := int64(bare)
	if g.rows > 0 {
		each += max(g.bytes/g.rows, 0)
	}
	return max(gatherBytes/each, 64)
}

// fill reads the cases from, from+1 ... into rows.
func (g *gatherer) fill(ctx context.Context, rows []Row, from int64) error {
	to, have := from+int64(len(rows)), 0
	for at := 0; at < len(g.spans); {
		s := g.spans[at]
		if s.least >= to || s.most < from {
			at++
			continue
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		err := g.open(s.part, func(f *File) error {
			for ; at < len(g.spans) && g.spans[at].part == s.part; at++ {
				n, err := g.take(f, g.spans[at], rows, from)
				if err != nil {
					return err
				}
				have += n
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	if have != len(rows) {
		return fmt.Errorf("cases %d to %d: %d rows instead of %d: a part changed while it was read; try again", from, to-1, have, len(rows))
	}
	return nil
}

// take reads those rows of a group that are the part's own and wanted.
func (g *gatherer) take(f *File, s span, rows []Row, from int64) (int, error) {
	if s.group >= len(f.groups) {
		return 0, errors.New("changed while it was read; try again")
	}
	if s.least >= from+int64(len(rows)) || s.most < from {
		return 0, nil
	}
	got, _, err := f.readGroup(s.group, nil)
	if err != nil {
		return 0, err
	}
	n := 0
	for i := range got {
		at := got[i].Case - from
		if at < 0 || at >= int64(len(rows)) || g.owner[got[i].Case] != int32(s.part+1) || rows[at].Inputs != nil {
			continue
		}
		rows[at] = got[i]
		rows[at].Curve = slices.Clone(got[i].Curve)
		rows[at].Inputs = append(make([]string, 0, len(got[i].Inputs)), got[i].Inputs...) // never nil: it marks the row as there
		n++
	}
	return n, nil
}

// open opens a part for do, and puts its name before an error.
func (g *gatherer) open(i int, do func(*File) error) error {
	r, size, done, err := g.parts[i].Open()
	if err == nil {
		var f *File
		if f, err = Open(r, size); err == nil {
			if err = g.fits(f); err == nil {
				err = do(f)
			}
		}
		if closed := done(); err == nil {
			err = closed
		}
	}
	if err != nil {
		return fmt.Errorf("%s: %w", g.parts[i].Name, err)
	}
	return nil
}

func (g *gatherer) fits(f *File) error {
	if !slices.Equal(f.head.Keys, g.head.Keys) || !maps.Equal(f.head.Meta, g.head.Meta) {
		return fmt.Errorf("holds rows of another study or program: keys %q, %q; want %q, %q", f.head.Keys, f.head.Meta, g.head.Keys, g.head.Meta)
	}
	return nil
}
