package demand

import (
	"bytes"
	"io"
	"strconv"
)

// workbookRows gives the rows of a sheet.
type workbookRows struct {
	book     *workbook
	from1904 bool
	faults   *tally
	in       io.ReadCloser
	x        *sheetXML
	line     int
	most     int // rows to read, 0 for all
	ended    bool
	row      []sheetCell // by column, up to count
	count    int
	text     []byte // of the row's cells, one after another
}

// sheetCell is where a cell's text lies in the row's.
type sheetCell struct {
	from, to int
	numeric  bool
	there    bool
}

const (
	mostSheetRows = 1 << 20 // of a sheet, in spreadsheets that write the format
	mostUnpacked  = 1 << 30 // bytes of a part: a million rows of ten cells have 400 MB; a small file can unpack to a thousand times its size
)

// mostColumns is how far to the right cells are kept; a sheet has 16384.
const mostColumns = 1024

func (b *workbook) rows(faults *tally, most int) *workbookRows {
	r := &workbookRows{book: b, from1904: b.from1904, faults: faults, most: most}
	in, err := b.sheet.Open()
	if err != nil {
		faults.stop(1, err, "the sheet cannot be read: %v", err)
		r.ended = true
		return r
	}
	r.in, r.x = in, newSheetXML(&bounded{in, mostUnpacked})
	return r
}

func (r *workbookRows) close() {
	if r.in != nil {
		r.in.Close()
	}
}

// next reads up to the end of the next row that has a cell.
func (r *workbookRows) next() (int, bool) {
	for !r.ended && (r.most == 0 || r.line < r.most) {
		err := r.x.next()
		if err != nil && err != io.EOF {
			r.faults.stop(r.line+1, err, "the sheet cannot be read here: %v; save the workbook anew, or as CSV", err)
		}
		if err != nil || r.x.closes && string(r.x.name) == "sheetData" {
			r.ended = true
			break
		}
		if r.x.closes || string(r.x.name) != "row" {
			continue
		}
		r.line++
		if n, err := strconv.Atoi(string(r.x.attr("r"))); err == nil && n >= r.line && n <= 1<<24 {
			r.line = n
		}
		if r.line > mostSheetRows {
			r.faults.stop(mostSheetRows, nil, "the sheet goes on beyond row %d, the last that a sheet can have", mostSheetRows)
			r.ended = true
			break
		}
		if r.x.alone {
			continue
		}
		r.row, r.count, r.text = r.row[:0], 0, r.text[:0]
		if !r.cellsOfRow() {
			break
		}
		if r.count > 0 {
			return r.line, true
		}
	}
	return r.line, false
}

// cellsOfRow reads to the row's end.
func (r *workbookRows) cellsOfRow() bool {
	column, kind, aside := -1, cellKind(0), false
	from := 0
	for {
		if err := r.x.next(); err != nil {
			if err == io.EOF {
				err = io.ErrUnexpectedEOF
			}
			r.faults.stop(r.line, err, "the sheet ends within a row: %v; save the workbook anew, or as CSV", err)
			r.ended = true
			return false
		}
		switch string(r.x.name) {
		case "c":
			if !r.x.closes {
				column, kind, from = columnOf(r.x.attr("r"), column+1), kindOf(r.x.attr("t")), len(r.text)
			}
			if r.x.closes || r.x.alone {
				r.put(column, kind, from)
			}
		case "v", "t":
			if r.x.closes && !aside && len(r.text) < mostXMLToken {
				r.text = append(r.text, r.x.text...)
			}
		case "rPh":
			aside = !r.x.closes && !r.x.alone
		case "row", "sheetData":
			if !r.x.closes || string(r.x.name) == "sheetData" {
				r.faults.stop(r.line, nil, "the sheet's row has no end; save the workbook anew, or as CSV")
				r.ended = true
				return false
			}
			return true
		}
	}
}

// cellKind is what a cell's text is.
type cellKind int

const (
	numberCell cellKind = iota
	textCell
	sharedCell
)

func kindOf(t []byte) cellKind {
	switch string(t) {
	case "", "n":
		return numberCell
	case "s":
		return sharedCell
	}
	return textCell
}

// put keeps a cell that has a text.
func (r *workbookRows) put(column int, kind cellKind, from int) {
	if column < 0 || column >= mostColumns {
		return
	}
	text := r.text[from:]
	if kind == sharedCell {
		i, err := strconv.Atoi(string(bytes.TrimSpace(text)))
		shared, ok := r.book.shared.at(i)
		if err != nil || !ok {
			shared = []byte("a text that the workbook lacks")
		}
		r.text = append(r.text[:from], shared...)
	}
	for len(r.row) <= column {
		r.row = append(r.row, sheetCell{})
	}
	r.row[column] = sheetCell{from, len(r.text), kind == numberCell, true}
	if len(r.text) > from {
		r.count = max(r.count, column+1)
	}
}

// columnOf reads the letters of a cell's place, "AB12", from 0; the column after the last where there is none.
func columnOf(place []byte, next int) int {
	n := 0
	for i := 0; i < len(place) && place[i] >= 'A' && place[i] <= 'Z' && n < mostColumns; i++ {
		n = n*26 + int(place[i]-'A') + 1
	}
	if n == 0 {
		return next
	}
	return n - 1
}

func (r *workbookRows) textAt(c sheetCell) []byte { return bytes.TrimSpace(r.text[c.from:c.to]) }

func (r *workbookRows) cells(all [][]byte) [][]byte {
	for _, c := range r.row[:r.count] {
		all = append(all, r.textAt(c))
	}
	return all
}

// wanted gives no count of the columns: cells beside the table are nobody's fault.
func (r *workbookRows) wanted(columns []int, out []cell) int {
	for i, c := range columns {
		out[i] = cell{there: true} // a cell that is not written is empty
		if c < r.count && r.row[c].there {
			out[i] = cell{r.textAt(r.row[c]), r.row[c].numeric, true}
		}
	}
	return 0
}
