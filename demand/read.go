package demand

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
)

// LineError is a fault of a file at a line.
type LineError struct {
	Source string
	Line   int // from 1
	Text   string
	err    error // what the reader itself said, if it failed
}

func (e *LineError) Error() string { return fmt.Sprintf("%s:%d: %s", e.Source, e.Line, e.Text) }

func (e *LineError) Unwrap() error { return e.err }

const (
	longestLine = 4096    // bytes; a row has about 25
	mostRows    = 4 << 20 // steps of 10 s in a year are 3.2 million
	mostFaults  = 10      // told of one file
)

// ReadSeries reads a measured series from CSV. name stands in front of each message.
//
//	time,kW
//	2026-01-01 00:00,812.5
//	2026-01-01T01:00,790
//
// The header line is "time,kW" or "time,kg/h"; a semicolon may stand for the comma. Times are local
// standard time, the START of each step, with an own regular step of 1 s to 24 h, taken from the first two rows.
// Values are means over the step, 0 to 1e9, with a decimal point. Nothing is guessed: a file without header, unit
// or times, with a gap, a time twice, an empty cell or a number below 0 is an error, each fault a
// [*LineError] with its line, joined if there are several. Empty lines are passed over.
func ReadSeries(r io.Reader, name string) (Series, error) {
	f := seriesReader{in: bufio.NewReaderSize(r, longestLine), s: Series{Source: name}}
	if f.header() {
		for f.row() {
		}
	}
	if len(f.faults) == 0 {
		f.enough()
	}
	if len(f.faults) > 0 {
		return Series{}, errors.Join(f.faults...)
	}
	return f.s, nil
}

// seriesReader walks the lines once. Each of its steps reports false where reading ends.
type seriesReader struct {
	in     *bufio.Reader
	line   int // the one read last
	delim  string
	last   time.Time // of the row before
	s      Series
	faults []error
}

func (f *seriesReader) fault(format string, args ...any) {
	f.faults = append(f.faults, &LineError{Source: f.s.Source, Line: max(f.line, 1), Text: fmt.Sprintf(format, args...)})
}

// next reads up to the next line that is not empty. It never holds more than longestLine bytes.
func (f *seriesReader) next() (text string, ok bool) {
	for {
		b, err := f.in.ReadSlice('\n')
		if len(b) > 0 {
			f.line++
		}
		if errors.Is(err, bufio.ErrBufferFull) {
			f.fault("is longer than %d bytes; want a time and a number", longestLine)
			return "", false
		}
		if err != nil && err != io.EOF {
			text := fmt.Sprintf("cannot be read: %v", err)
			f.faults = append(f.faults, &LineError{Source: f.s.Source, Line: f.line + 1, Text: text, err: err})
			return "", false
		}
		text = string(b)
		if f.line == 1 {
			text = strings.TrimPrefix(text, "\ufeff") // the mark that spreadsheets put before UTF-8
		}
		if text = strings.TrimSpace(text); text != "" {
			return text, true
		}
		if err == io.EOF {
			return "", false
		}
	}
}

const wantHeader = "the header line time,kW or time,kg/h"

// headerCells reads the header line and settles the delimiter by it: a semicolon if it has one, else a comma.
func (f *seriesReader) headerCells(want string) (text string, cell []string, ok bool) {
	if text, ok = f.next(); !ok {
		if len(f.faults) == 0 {
			f.fault("is empty; want %s", want)
		}
		return "", nil, false
	}
	f.delim = ","
	if strings.Contains(text, ";") {
		f.delim = ";"
	}
	return text, f.cells(text), true
}

func (f *seriesReader) header() bool {
	text, cell, ok := f.headerCells(wantHeader)
	if !ok {
		return false
	}
	switch {
	case text[0] >= '0' && text[0] <= '9':
		f.fault("is %s without a header; want %s first", brief(text), wantHeader)
		return false
	case len(cell) != 2 || !strings.EqualFold(cell[0], "time"):
		f.fault("is %s; want %s", brief(text), wantHeader)
		return false
	}
	for _, u := range []Unit{InKW, InKgH} {
		if strings.EqualFold(cell[1], u.String()) {
			f.s.Unit = u
			return true
		}
	}
	f.fault("column %s has no unit that is known here; want kW or kg/h", brief(cell[1]))
	return false
}

// row reads one row. A bad number is told and reading goes on; a bad time ends it, since no
// later time can be judged.
func (f *seriesReader) row() bool {
	text, ok := f.next()
	if !ok {
		return false
	}
	if len(f.s.Values) == mostRows {
		f.fault("is row %d; want %d rows at most", mostRows+1, mostRows)
		return false
	}
	cell := f.cells(text)
	if len(cell) != 2 {
		hint := ""
		if f.delim == "," && len(cell) == 3 {
			hint = ", and a decimal point in the number"
		}
		f.fault("has %d columns parted by %q; want 2, as in the header%s", len(cell), f.delim, hint)
		return false
	}
	if !f.time(cell[0]) {
		return false
	}
	v, err := number(cell[1])
	if err != nil {
		f.fault("%s: %v", f.s.Unit, err)
	}
	f.s.Values = append(f.s.Values, v)
	f.s.lastLine = f.line
	if len(f.faults) == mostFaults {
		f.fault("reading stopped after %d faults", mostFaults)
		return false
	}
	return true
}

// enough is the last look: two rows are needed to know the step.
func (f *seriesReader) enough() {
	if n := len(f.s.Values); n < 2 {
		f.fault("has %d rows after the header; want 2 at least, to know the step", n)
	}
}

// cells parts a line at the delimiter and takes the quotes off.
func (f *seriesReader) cells(text string) []string {
	cell := strings.Split(text, f.delim)
	for i, c := range cell {
		c = strings.TrimSpace(c)
		if len(c) >= 2 && c[0] == '"' && c[len(c)-1] == '"' {
			c = strings.TrimSpace(c[1 : len(c)-1])
		}
		cell[i] = c
	}
	return cell
}
