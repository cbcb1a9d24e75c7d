package plant

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"
)

// rowsReader walks the lines of a file of cells once, and gathers what is wrong with them.
type rowsReader struct {
	source string
	scan   *bufio.Scanner
	line   int
	delim  string // a comma, or a semicolon where the first line has one
	faults []error
}

func newRowsReader(r io.Reader, source string, longestLine int) rowsReader {
	in := rowsReader{source: source, scan: bufio.NewScanner(r)}
	in.scan.Buffer(make([]byte, longestLine), longestLine)
	return in
}

func (in *rowsReader) fault(format string, args ...any) {
	in.faultAt(max(in.line, 1), format, args...)
}

func (in *rowsReader) faultAt(line int, format string, args ...any) {
	in.faults = append(in.faults, fmt.Errorf("%s:%d: "+format, append([]any{in.source, line}, args...)...))
}

// next is the next line that is not empty, in its cells.
func (in *rowsReader) next() (cells []string, ok bool) {
	for in.scan.Scan() {
		in.line++
		text := in.scan.Text()
		if in.line == 1 {
			text = strings.TrimPrefix(text, "\ufeff") // the mark that spreadsheets put before UTF-8
		}
		if text = strings.TrimSpace(text); text == "" {
			continue
		}
		if in.delim == "" {
			in.delim = ","
			if strings.Contains(text, ";") {
				in.delim = ";"
			}
		}
		cells := strings.Split(text, in.delim)
		for i := range cells {
			cells[i] = strings.TrimSpace(strings.Trim(strings.TrimSpace(cells[i]), `"`))
		}
		return cells, true
	}
	return nil, false
}

// stopped adds what ended the reading before its time, unless there are so many faults already; want is what a line should be.
func (in *rowsReader) stopped(mostFaults, longestLine int, want string) {
	err := in.scan.Err()
	if err == nil || len(in.faults) >= mostFaults {
		return
	}
	in.line++
	if errors.Is(err, bufio.ErrTooLong) {
		err = fmt.Errorf("is longer than %d bytes; want %s", longestLine, want)
	}
	in.fault("%w", err)
}
