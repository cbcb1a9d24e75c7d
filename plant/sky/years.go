package sky

import (
	"errors"
	"fmt"
	"io"
	"iter"
	"math"
	"slices"
	"strings"
)

// Input is one weather file. Name is for messages. R is read once, up to its end, and only when its turn comes.
type Input struct {
	Name string
	R    io.Reader
}

// ReadFiles is [Read] of several files that follow each other, such as twelve months of a station. Files of several years need
// opt.Year; a year of rows that runs over new year, such as July to June, is put together.
func ReadFiles(in []Input, opt ReadOptions) (Year, error) {
	name := "weather"
	if len(in) > 0 {
		name = in[0].Name
	}
	if err := opt.check(); err != nil {
		return Year{}, fmt.Errorf("%s: %w", name, err)
	}
	all := open(in, opt)
	t, err := all.next()
	if errors.Is(err, io.EOF) {
		return Year{}, fmt.Errorf("%s:0: rows: found none; want a year of them", name)
	}
	if err != nil {
		return Year{}, err
	}
	if opt.Year != 0 {
		t, err = pick(t, all, name, opt.Year)
	} else {
		t, err = only(t, all, name)
	}
	if err != nil {
		return Year{}, err
	}
	return t.onAxis(opt)
}

// ReadYears reads files of several years and gives each year in turn, on the axis of the study, with its calendar year in
// Year.Measured. Only one is held at a time. An error beside a year that has Measured is of that year alone (a [PartError] or
// [GapError]) and the next may be asked for; one without it ends the reading. opt.Year is not looked at.
func ReadYears(in []Input, opt ReadOptions) iter.Seq2[Year, error] {
	return func(yield func(Year, error) bool) {
		if err := opt.check(); err != nil {
			yield(Year{}, err)
			return
		}
		all := open(in, opt)
		for n := 0; ; n++ {
			t, err := all.next()
			switch {
			case errors.Is(err, io.EOF):
				if n == 0 {
					yield(Year{}, errors.New("weather: no rows in any file; want years of them"))
				}
				return
			case err != nil:
				yield(Year{}, err)
				return
			}
			measured := t.year
			y, err := t.onAxis(opt)
			if err != nil {
				y = Year{Measured: measured}
			}
			if !yield(y, err) || err != nil && measured == 0 {
				return
			}
		}
	}
}

// pick finds the year that is asked for.
func pick(t *table, all tables, name string, year int) (*table, error) {
	var found years
	for {
		if t.year == year {
			return t, nil
		}
		found.add(t)
		var err error
		if t, err = all.next(); errors.Is(err, io.EOF) {
			return nil, fmt.Errorf("%s:1: years: has no rows of %d; want one of %s", name, year, found)
		} else if err != nil {
			return nil, err
		}
	}
}

// only wants the one year of a file: two parts that make one are put together.
func only(t *table, all tables, name string) (*table, error) {
	more, err := all.next()
	if errors.Is(err, io.EOF) {
		return t, nil
	}
	if err != nil {
		return nil, err
	}
	var found years
	found.add(t)
	found.add(more)
	joint := t.complement(more)
	for {
		more, err = all.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		joint = nil
		found.add(more)
	}
	if joint != nil {
		return joint, nil
	}
	return nil, fmt.Errorf("%s:1: years: has rows of %s; want one picked, such as \"year: %d\"", name, found, slices.Max(found))
}

// complement puts the rows of two years together, where what one lacks the other has; nil where both have rows.
func (t *table) complement(o *table) *table {
	if len(t.absent) == 0 || len(o.absent) == 0 || t.perHour != o.perHour || len(t.files)+len(o.files) > 0 {
		return nil
	}
	leap := t.leap || o.leap
	t.withLeapDay(leap)
	o.withLeapDay(leap)
	mine, theirs := t.has(), o.has()
	var from gap
	for i := range mine {
		switch {
		case mine[i] && theirs[i]:
			return nil
		case theirs[i]:
			if from.n == 0 {
				from.from = i
			}
			from.n++
			for q := range t.columns {
				if t.columns[q] != nil {
					t.columns[q][i] = o.columns[q][i]
				}
			}
			t.lines[i] = o.lines[i]
			mine[i] = true
		}
	}
	t.absent = nil
	for i := 0; i < len(mine); i++ {
		if n := len(t.absent); !mine[i] && n > 0 && t.absent[n-1].from+t.absent[n-1].n == i {
			t.absent[n-1].n++
		} else if !mine[i] {
			t.absent = append(t.absent, gap{i, 1})
		}
	}
	t.note(t.line(from.from), "the rows run over new year: %s to %s are of %d, the others of %d", t.labelOf(from.from), t.labelOf(from.from+from.n-1), o.year, t.year)
	t.year, t.negative.n = 0, t.negative.n+o.negative.n
	return t
}

// has tells the rows that are in the file.
func (t *table) has() []bool {
	has := make([]bool, len(t.lines))
	for i := range has {
		has[i] = true
	}
	for _, g := range t.absent {
		for i := g.from; i < g.from+g.n; i++ {
			has[i] = false
		}
	}
	return has
}

// withLeapDay gives a year without 29 February a place for it, as not in the file.
func (t *table) withLeapDay(leap bool) {
	if !leap || t.leap {
		return
	}
	perDay := 24 * t.perHour
	at := (31 + 28) * perDay
	hole := make([]float64, perDay)
	for i := range hole {
		hole[i] = math.NaN()
	}
	for q := range t.columns {
		if t.columns[q] != nil {
			t.columns[q] = slices.Insert(t.columns[q], at, hole...)
		}
	}
	t.lines = slices.Insert(t.lines, at, slices.Repeat([]int32{t.lines[at]}, perDay)...)
	var absent []gap
	for _, g := range t.absent {
		switch {
		case g.from >= at:
			g.from += perDay
		case g.from+g.n > at:
			g.n += perDay
		}
		absent = append(absent, g)
	}
	t.leap = true
	t.absent = append(absent, gap{at, perDay})
	if t.negative.first >= at {
		t.negative.first += perDay
	}
}

// years lists the years that were found, for a message.
type years []int

func (y *years) add(t *table) { *y = append(*y, t.year) }

func (y years) String() string {
	var parts []string
	for i := 0; i < len(y); {
		j := i
		for j+1 < len(y) && y[j+1] == y[j]+1 && y[j] > 0 {
			j++
		}
		switch {
		case y[i] == 0:
			parts = append(parts, "a typical year")
		case j > i+1:
			parts = append(parts, fmt.Sprintf("%d to %d", y[i], y[j]))
		case j == i+1:
			parts = append(parts, fmt.Sprint(y[i]), fmt.Sprint(y[j]))
		default:
			parts = append(parts, fmt.Sprint(y[i]))
		}
		i = j + 1
	}
	const most = 12
	if len(parts) > most {
		parts = append(parts[:most], "others")
	}
	return strings.Join(parts, ", ")
}
