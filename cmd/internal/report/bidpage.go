package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"

	"noonkeep/cmd/internal/chart"
)

//go:embed bid/page.html
var bidPage string

var bidTemplate = template.Must(template.New("page").Parse(bidPage))

// bidDocument is a bid as sections of blocks.
type bidDocument struct {
	Lang, Title, Subtitle, Paper, Foot string
	Sections                           []bidSection
}

type bidSection struct {
	ID, Title string
	Fresh     bool // it begins a page
	Blocks    []bidBlock
}

// bidBlock is one of its members, the first that is not empty.
type bidBlock struct {
	Head   string
	Para   string
	Class  string
	Lang   string // of a paragraph that is quoted
	Box    string
	List   []string
	Terms  []bidTerm
	Links  []bidSection
	Figure *bidFigure
	Table  *bidTable
}

// bidTerm is a name and what is said of it.
type bidTerm struct{ Name, Text string }

type bidFigure struct {
	Name, What, Alt string
	Caption         string // What with its number
	Flat            bool   // two of them stand on a page
	SVG             template.HTML
	figure          chart.Figure
}

// bidTable is a table; the first column names the rows.
type bidTable struct {
	Caption string
	Class   string
	Head    []bidHead
	Rows    []bidRow
}

type bidHead struct {
	Text, Unit string
	Number     bool // figures, set to the right
	Quoted     bool // English as the check says it
}

type bidRow struct {
	Cells []string
	Class string
}

// Numeric says whether a column holds figures, Quoted whether it is quoted.
func (t bidTable) Numeric(column int) bool { return t.Head[column].Number }
func (t bidTable) Quoted(column int) bool  { return t.Head[column].Quoted }

func (t *bidTable) add(cells ...string) { t.Rows = append(t.Rows, bidRow{Cells: cells}) }

// strong marks the last row.
func (t *bidTable) strong(class string) { t.Rows[len(t.Rows)-1].Class = class }

// write writes the document as one page.
func (d bidDocument) write(w io.Writer) error { return bidTemplate.Execute(w, d) }

// writer makes a document: it numbers figures and tables.
type bidWriter struct {
	manner
	section *bidSection
	doc     bidDocument
	tables  int
	figures []*bidFigure
	files   []bidFile
}

func (w *bidWriter) begin(id, title string) {
	w.doc.Sections = append(w.doc.Sections, bidSection{ID: id, Title: title})
	w.section = &w.doc.Sections[len(w.doc.Sections)-1]
}

// fresh begins a section on a page of its own.
func (w *bidWriter) fresh(id, title string) {
	w.begin(id, title)
	w.section.Fresh = true
}

func (w *bidWriter) add(b bidBlock) { w.section.Blocks = append(w.section.Blocks, b) }

func (w *bidWriter) para(text string) { w.add(bidBlock{Para: text}) }

// into is a paragraph that stays with what follows.
func (w *bidWriter) into(text string) { w.add(bidBlock{Para: text, Class: "into"}) }

func (w *bidWriter) head(text string) { w.add(bidBlock{Head: text}) }

func (w *bidWriter) list(items []string) {
	if len(items) > 0 {
		w.add(bidBlock{List: items})
	}
}

// table numbers a table's caption.
func (w *bidWriter) table(t *bidTable) {
	w.tables++
	t.Caption = w.Say("table.of", "number", w.tables, "text", t.Caption)
	w.add(bidBlock{Table: t})
}

// picture draws a figure into the page; alt is what one who cannot see it is told.
func (w *bidWriter) picture(name string, f chart.Figure, caption, alt string) error {
	svg, err := inlineSVG(f, alt)
	if err != nil {
		return fmt.Errorf("picture %s: %w", name, err)
	}
	_, week := f.(chart.Week)
	fig := &bidFigure{Name: name, What: caption, Alt: alt, SVG: svg, Flat: week, figure: f}
	w.figures = append(w.figures, fig)
	fig.Caption = w.Say("figure.of", "number", len(w.figures), "text", caption)
	w.add(bidBlock{Figure: fig})
	return nil
}
