package report

import (
	"archive/zip"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// workbook is a spreadsheet file in the form of ISO/IEC 29500-1 (SpreadsheetML), as far as we need it: texts, numbers and
// formulas with their values, a handful of looks, column widths, frozen heads and print set-up. Texts are never formulas.
//
// A library would bring eight modules, among them one of ciphers and two for a format of the last century, for these
// hundred lines, and would write no formula's value beside it.
type workbook struct {
	sheets []*sheet
	paper  int // 9 is A4, 1 is US letter
}

// sheet is rows of cells.
type sheet struct {
	name   string
	widths []float64 // of columns, in characters
	rows   [][]cell
	frozen [2]int // rows and columns that stay in view
	tall   bool   // printed upright
}

// cell is a text, a number, or a formula with its value.
type cell struct {
	text    string
	number  float64
	formula string
	has     cellKind
	look    look
}

type cellKind int

const (
	emptyCell cellKind = iota
	textCell
	numberCell
	formulaCell // its value is number
)

// look is a cell's style; the order is that of cellFormats.
type look int

const (
	plainLook look = iota
	titleLook
	headLook
	noteLook
	wrapLook
	wholeLook
	tenthLook
	fineLook // six digits after the mark
	shareLook
	yearLook
	inputWhole // to be changed by the reader: on a tinted ground
	inputFine
	inputShare
	sumWhole // a result: bold under a line
	sumShare
	sumFine
	exactLook // as many digits as there are
)

func plainText(s string) cell        { return cell{text: s, has: textCell} }
func lookText(s string, l look) cell { return cell{text: s, has: textCell, look: l} }

// number is a value; what is no number is told by a dash.
func number(v float64, l look) cell {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return cell{text: "–", has: textCell, look: l}
	}
	return cell{number: v, has: numberCell, look: l}
}

// formula is a formula, without its equals sign, and the value that it has.
func formula(f string, value float64, l look) cell {
	return cell{formula: f, number: value, has: formulaCell, look: l}
}

func (s *sheet) row(cells ...cell) int {
	s.rows = append(s.rows, cells)
	return len(s.rows)
}

// columnName is A, B, ... AA of the column at i, the first 0.
func columnName(i int) string {
	name := ""
	for i++; i > 0; i = (i - 1) / 26 {
		name = string(rune('A'+(i-1)%26)) + name
	}
	return name
}

// at is a cell's place, fixed in column and row: $C$7.
func at(column, row int) string { return "$" + columnName(column) + "$" + strconv.Itoa(row) }

// sheetNameMost is what spreadsheets allow.
const sheetNameMost = 31

// add puts a sheet in, under a name that spreadsheets take and that no other has.
func (b *workbook) add(name string, s *sheet) *sheet {
	name = strings.Map(func(r rune) rune {
		if strings.ContainsRune(`[]:*?/\'`, r) || r < ' ' {
			return ' '
		}
		return r
	}, name)
	name = cutText(strings.TrimSpace(name), sheetNameMost)
	for n, base := 2, name; b.has(name) || name == ""; n++ {
		name = fmt.Sprintf("%s %d", cutText(base, sheetNameMost-4), n)
	}
	s.name = name
	b.sheets = append(b.sheets, s)
	return s
}

func (b *workbook) has(name string) bool {
	for _, s := range b.sheets {
		if strings.EqualFold(s.name, name) {
			return true
		}
	}
	return false
}

// write writes the file; equal books give equal bytes.
func (b *workbook) write(w io.Writer) error {
	z := zip.NewWriter(w)
	parts := []struct{ name, text string }{
		{"[Content_Types].xml", b.contentTypes()}, {"_rels/.rels", packageRels}, {"xl/workbook.xml", b.bookXML()},
		{"xl/_rels/workbook.xml.rels", b.bookRels()}, {"xl/styles.xml", stylesXML()},
	}
	for i, s := range b.sheets {
		parts = append(parts, struct{ name, text string }{fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1), s.xml(b.paper)})
	}
	for _, p := range parts {
		f, err := z.Create(p.name)
		if err != nil {
			return err
		}
		if _, err := io.WriteString(f, p.text); err != nil {
			return err
		}
	}
	return z.Close()
}

// escaped is a text for XML, without what XML 1.0 cannot hold.
func escaped(s string) string {
	var b strings.Builder
	if !utf8.ValidString(s) {
		s = strings.ToValidUTF8(s, "?")
	}
	xml.EscapeText(&b, []byte(s)) // control characters become U+FFFD
	return b.String()
}

// mostCellText is the longest text that a cell may have.
const mostCellText = 32767

func (s *sheet) xml(paper int) string {
	var b strings.Builder
	b.WriteString(xmlHead + `<worksheet xmlns="` + sheetSpace + `"><sheetPr><pageSetUpPr fitToPage="1"/></sheetPr>`)
	b.WriteString(`<sheetViews><sheetView workbookViewId="0" showGridLines="0">`)
	if rows, columns := s.frozen[0], s.frozen[1]; rows+columns > 0 {
		b.WriteString("<pane")
		pane := "bottomRight"
		if columns > 0 {
			fmt.Fprintf(&b, ` xSplit="%d"`, columns)
		} else {
			pane = "bottomLeft"
		}
		if rows > 0 {
			fmt.Fprintf(&b, ` ySplit="%d"`, rows)
		} else {
			pane = "topRight"
		}
		fmt.Fprintf(&b, ` topLeftCell="%s%d" activePane="%s" state="frozen"/>`, columnName(columns), rows+1, pane)
	}
	b.WriteString(`</sheetView></sheetViews><sheetFormatPr defaultRowHeight="15"/>`)
	if len(s.widths) > 0 {
		b.WriteString("<cols>")
		for i, width := range s.widths {
			fmt.Fprintf(&b, `<col min="%d" max="%d" width="%g" customWidth="1"/>`, i+1, i+1, width)
		}
		b.WriteString("</cols>")
	}
	b.WriteString("<sheetData>")
	for i, row := range s.rows {
		fmt.Fprintf(&b, `<row r="%d">`, i+1)
		for j, c := range row {
			c.xml(&b, columnName(j)+strconv.Itoa(i+1))
		}
		b.WriteString("</row>")
	}
	orientation := "landscape"
	if s.tall {
		orientation = "portrait"
	}
	fmt.Fprintf(&b, `</sheetData><pageMargins left="0.6" right="0.6" top="0.7" bottom="0.7" header="0.3" footer="0.3"/>`+
		`<pageSetup paperSize="%d" orientation="%s" fitToWidth="1" fitToHeight="0"/><headerFooter><oddFooter>&amp;L&amp;A&amp;R&amp;P / &amp;N</oddFooter></headerFooter></worksheet>`, paper, orientation)
	return b.String()
}

func (c cell) xml(b *strings.Builder, place string) {
	value := strconv.FormatFloat(c.number, 'g', -1, 64)
	switch c.has {
	case textCell:
		fmt.Fprintf(b, `<c r="%s" s="%d" t="inlineStr"><is><t xml:space="preserve">%s</t></is></c>`, place, c.look, escaped(cutText(c.text, mostCellText)))
	case numberCell:
		fmt.Fprintf(b, `<c r="%s" s="%d"><v>%s</v></c>`, place, c.look, value)
	case formulaCell:
		fmt.Fprintf(b, `<c r="%s" s="%d"><f>%s</f>`, place, c.look, escaped(c.formula))
		if !math.IsNaN(c.number) && !math.IsInf(c.number, 0) {
			fmt.Fprintf(b, `<v>%s</v>`, value)
		}
		b.WriteString("</c>")
	}
}
