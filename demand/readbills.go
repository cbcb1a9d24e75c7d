package demand

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"noonkeep/plant/clock"
)

// BillTable is a file of fuel bills as it was read: fuel, not heat.
type BillTable struct {
	Source string
	Unit   string // of Used, as the header writes it: "kWh gross"
	Rows   []BillRow
}

// BillRow is one bill of a table. To is as written; whether it is the last day or the morning after is
// not known here.
type BillRow struct {
	From, To  clock.Date
	Used      float64 // fuel; below 0 in a bill that puts an estimated one right
	Estimated bool
	Line      int
}

// ReadBills reads a table of bills from CSV. name stands in front of each message.
//
//	from,to,used kWh gross,estimated
//	2025-12-28,2026-01-27,41250,
//	2026-01-27,2026-02-26,38100,yes
//
// The last column may be left out. A semicolon may stand for the comma; then numbers may have a decimal comma. Dates are
// 2026-01-27 or 27.01.2026; one with slashes is refused, since the day may come first or second. So is a number
// like 41.250 in a file in which no number tells whether that is a thousands mark.
// Each fault is a [*LineError], joined if there are several.
func ReadBills(r io.Reader, name string) (BillTable, error) {
	f := billReader{seriesReader: seriesReader{in: bufio.NewReaderSize(r, longestLine), s: Series{Source: name}}}
	f.table.Source = name
	if f.header() {
		for f.row() {
		}
	}
	f.doubtfulMarks()
	if len(f.faults) == 0 && len(f.table.Rows) == 0 {
		f.fault("has no bill after the header; want one a row")
	}
	if len(f.faults) > 0 {
		return BillTable{}, errors.Join(f.faults...)
	}
	return f.table, nil
}

type billReader struct {
	seriesReader // for its lines and faults
	table        BillTable
	columns      int
	commaLine    int // first line with a decimal comma, 0 for none
	pointLine    int // first with a decimal point
	threeLine    int // first whose mark has three digits after it
	otherwise    bool
}

const wantBillHeader = "the header line from,to,used kWh gross (or another unit), with ,estimated behind it if need be"

func (f *billReader) header() bool {
	text, cell, ok := f.headerCells(wantBillHeader)
	if !ok {
		return false
	}
	f.columns = len(cell)
	if f.columns < 3 || f.columns > 4 || !strings.EqualFold(cell[0], "from") || !strings.EqualFold(cell[1], "to") ||
		f.columns == 4 && !strings.EqualFold(cell[3], "estimated") {
		f.fault("is %s; want %s", brief(text), wantBillHeader)
		return false
	}
	what, unit, _ := strings.Cut(cell[2], " ")
	if f.table.Unit = strings.TrimSpace(unit); !strings.EqualFold(what, "used") || f.table.Unit == "" {
		f.fault("column %s has no unit; want used and a unit, such as used kWh gross, used m3, used l or used t", brief(cell[2]))
		return false
	}
	return true
}

func (f *billReader) row() bool {
	text, ok := f.next()
	if !ok {
		return false
	}
	if len(f.table.Rows) == mostBills || len(f.faults) == mostFaults {
		f.fault("reading stopped after %d bills and %d faults", len(f.table.Rows), len(f.faults))
		return false
	}
	cell := f.cells(text)
	if len(cell) != f.columns {
		f.fault("has %d columns parted by %q; want %d, as in the header", len(cell), f.delim, f.columns)
		return true
	}
	row := BillRow{Line: f.line}
	var err [4]error
	row.From, err[0] = billDate("from", cell[0])
	row.To, err[1] = billDate("to", cell[1])
	row.Used, err[2] = f.used(cell[2])
	if f.columns == 4 {
		row.Estimated, err[3] = estimated(cell[3])
	}
	for _, e := range err {
		if e != nil {
			f.fault("%v", e)
		}
	}
	f.table.Rows = append(f.table.Rows, row)
	return true
}

func estimated(cell string) (bool, error) {
	switch strings.ToLower(cell) {
	case "", "no", "false", "0":
		return false, nil
	case "yes", "true", "1":
		return true, nil
	}
	return false, fmt.Errorf("estimated: %s; want yes, no or nothing", brief(cell))
}

// billDate reads 2026-01-27 or 27.01.2026.
func billDate(what, text string) (clock.Date, error) {
	if t, err := time.Parse("2.1.2006", text); err == nil {
		text = t.Format(time.DateOnly)
	}
	if strings.Count(text, "/") == 2 {
		return clock.Date{}, fmt.Errorf("%s: %s may have its day first or its month; write 2026-01-27", what, brief(text))
	}
	d, err := clock.ParseDate(text)
	if err != nil || d.Year == 0 {
		return clock.Date{}, fmt.Errorf("%s: %s; want a day such as 2026-01-27", what, brief(text))
	}
	return d, nil
}

// used reads a number and remembers how it is marked.
func (f *billReader) used(text string) (float64, error) {
	mark := strings.IndexAny(text, ".,")
	switch {
	case text == "":
		return 0, errors.New("used: is empty; want a number, or no row for a bill that is missing")
	case strings.Trim(text, "+-.,0123456789eE") != "":
		return 0, fmt.Errorf("used: %s; want a number alone, its unit in the header", brief(text))
	case strings.Count(text, ".")+strings.Count(text, ",") > 1:
		return 0, fmt.Errorf("used: %s; want at most a decimal mark and no thousands mark", brief(text))
	}
	if mark >= 0 {
		at := &f.pointLine
		if text[mark] == ',' {
			at = &f.commaLine
		}
		if *at == 0 {
			*at = f.line
		}
		if len(text)-mark-1 != 3 {
			f.otherwise = true
		} else if f.threeLine == 0 {
			f.threeLine = f.line
		}
	}
	v, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || !(v >= -1e12 && v <= 1e12) {
		return 0, fmt.Errorf("used: %s; want a number", brief(text))
	}
	return v, nil
}

// doubtfulMarks refuses what may be a thousands mark as well as a decimal one.
func (f *billReader) doubtfulMarks() {
	say := func(line int, format string, args ...any) {
		f.faults = append(f.faults, &LineError{Source: f.table.Source, Line: line, Text: fmt.Sprintf(format, args...)})
	}
	switch {
	case f.commaLine > 0 && f.pointLine > 0:
		say(max(f.commaLine, f.pointLine), "used: has a decimal point and line %d a decimal comma, or the reverse; want one in all rows", min(f.commaLine, f.pointLine))
	case f.threeLine > 0 && !f.otherwise:
		say(f.threeLine, "used: a mark with three digits after it may mark thousands; write the number without a mark, or with another number of decimals in some row")
	}
}
