package demand

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"unicode/utf8"
)

// logRows gives the rows of a log one by one. What cells gives holds until the next row.
type logRows interface {
	next() (line int, ok bool) // not ok at the end, or where reading broke, which is then noted
	cells(all [][]byte) [][]byte
	wanted(columns []int, out []cell) (n int) // the cells of some columns, and how many the row has in all, if known
}

// cell is what stands in a column of a row.
type cell struct {
	text    []byte
	numeric bool // of a workbook: a number with a point, whatever the log's decimal sign
	there   bool
}

const headBytes = 1 << 20 // looked at before reading begins, and the longest line

// csvRows parts lines at a delimiter. Its memory is one buffer.
type csvRows struct {
	in     *bufio.Reader
	faults *tally
	delim  byte
	line   int
	raw    []byte
	ended  bool
	most   int // lines to read, 0 for all
	broken bool
}

func (r *csvRows) next() (int, bool) {
	for !r.ended && (r.most == 0 || r.line < r.most) {
		b, err := r.in.ReadSlice('\n')
		if len(b) > 0 {
			r.line++
		}
		switch {
		case errors.Is(err, bufio.ErrBufferFull):
			r.faults.stop(r.line, nil, "is longer than %d bytes; want a row of a log", headBytes)
			r.ended, r.broken = true, true
			return r.line, false
		case err == io.EOF:
			r.ended = true
		case err != nil:
			r.faults.stop(r.line+1, err, "cannot be read: %v", err)
			r.ended, r.broken = true, true
			return r.line, false
		}
		if r.line == 1 {
			b = bytes.TrimPrefix(b, []byte("\ufeff")) // the mark that spreadsheets put before UTF-8
		}
		if r.raw = trimEnd(b); len(r.raw) > 0 && !blank(r.raw) {
			return r.line, true
		}
	}
	return r.line, false
}

// trimEnd takes the line's end off.
func trimEnd(b []byte) []byte {
	for len(b) > 0 && (b[len(b)-1] == '\n' || b[len(b)-1] == '\r') {
		b = b[:len(b)-1]
	}
	return b
}

func blank(b []byte) bool {
	return (b[0] == ' ' || b[0] == '\t') && len(bytes.TrimSpace(b)) == 0
}

// cells parts the whole row.
func (r *csvRows) cells(all [][]byte) [][]byte {
	rest := r.raw
	for more := true; more; {
		var c []byte
		c, rest, more = nextCell(rest, r.delim)
		all = append(all, c)
	}
	return all
}

// wanted parts the row as far as it must. out stands in the order of columns, which need not rise.
func (r *csvRows) wanted(columns []int, out []cell) int {
	last := 0
	for i, c := range columns {
		out[i].there = false
		last = max(last, c)
	}
	rest, more := r.raw, true
	at := 0
	for ; more && at <= last; at++ {
		var text []byte
		text, rest, more = nextCell(rest, r.delim)
		for i, c := range columns {
			if c == at {
				out[i] = cell{text: text, there: true}
			}
		}
	}
	switch {
	case !more:
		return at
	case bytes.IndexByte(rest, '"') < 0:
		return at + 1 + bytes.Count(rest, []byte{r.delim})
	}
	for ; more; at++ {
		_, rest, more = nextCell(rest, r.delim)
	}
	return at
}

// nextCell takes one cell off a row, without its quotes and the space round it.
func nextCell(row []byte, delim byte) (text, rest []byte, more bool) {
	if len(row) > 0 && row[0] == '"' {
		return quotedCell(row, delim)
	}
	if i := bytes.IndexByte(row, delim); i >= 0 {
		return trimCell(row[:i]), row[i+1:], true
	}
	return trimCell(row), nil, false
}

// trimCell is bytes.TrimSpace for what stands in logs, and returns at once where there is no space.
func trimCell(b []byte) []byte {
	for len(b) > 0 && (b[0] == ' ' || b[0] == '\t') {
		b = b[1:]
	}
	for len(b) > 0 && (b[len(b)-1] == ' ' || b[len(b)-1] == '\t') {
		b = b[:len(b)-1]
	}
	if len(b) > 1 && b[0] == '"' && b[len(b)-1] == '"' { // a space before the quotes
		b = trimCell(b[1 : len(b)-1])
	}
	return b
}

// quotedCell takes a cell in quotes. A quote that is not closed takes the rest of the row.
func quotedCell(row []byte, delim byte) (text, rest []byte, more bool) {
	for i := 1; i < len(row); i++ {
		if row[i] != '"' {
			continue
		}
		if i+1 < len(row) && row[i+1] == '"' { // two stand for one
			i++
			continue
		}
		text = bytes.TrimSpace(row[1:i])
		if j := bytes.IndexByte(row[i:], delim); j >= 0 {
			return text, row[i+j+1:], true
		}
		return text, nil, false
	}
	return row, nil, false
}

// letters gives text as UTF-8: what is none is taken for Latin-1, as older programs write it.
func letters(b []byte) string {
	if utf8.Valid(b) {
		return string(b)
	}
	runes := make([]rune, len(b))
	for i, c := range b {
		runes[i] = rune(c)
	}
	return string(runes)
}

// noText tells what a file is that is no text, "" for text.
func noText(head []byte) string {
	switch {
	case bytes.HasPrefix(head, []byte("PK\x03\x04")):
		return "is a workbook or a zip file; want its name to end in .xlsx, or a CSV file"
	case bytes.HasPrefix(head, []byte("\xd0\xcf\x11\xe0")):
		return "is a workbook of the old form (.xls); save it as .xlsx or as CSV"
	case bytes.HasPrefix(head, []byte("\x1f\x8b")):
		return "is packed (gzip); unpack it first"
	case bytes.HasPrefix(head, []byte("\xff\xfe")), bytes.HasPrefix(head, []byte("\xfe\xff")), nulls(head):
		return "is no UTF-8 text but looks like UTF-16; save it as CSV UTF-8"
	}
	return ""
}

func nulls(head []byte) bool {
	head = head[:min(len(head), 400)]
	return 4*bytes.Count(head, []byte{0}) > len(head) && len(head) > 0
}
