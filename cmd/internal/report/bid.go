package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

// BidText prints what a bid's first page says, for the terminal.
func BidText(w io.Writer, b answer.Bid, style BidStyle) error {
	bw := newBidWriter(b, style)
	var text strings.Builder
	fmt.Fprintf(&text, "%s\n%s\n\n", bw.doc.Title, bw.doc.Subtitle)
	for _, s := range bw.answer(b) {
		paragraphAt(&text, "", asciiSpaces(s))
	}
	fmt.Fprintf(&text, "\n%s\n", Cautions)
	_, err := io.WriteString(w, text.String())
	return err
}

// asciiSpaces puts plain spaces in the place of narrow ones, for a terminal.
func asciiSpaces(s string) string { return strings.ReplaceAll(s, "\u202f", " ") }

// BidHTML writes the document as one page that needs nothing else.
func BidHTML(w io.Writer, b answer.Bid, style BidStyle) error {
	bw, err := bidDocumentOf(b, style)
	if err != nil {
		return err
	}
	return bw.doc.write(w)
}

// BidFiles writes the document, its spreadsheet, pictures and data into dir and returns the paths, the page first.
func BidFiles(dir string, b answer.Bid, style BidStyle) ([]string, error) {
	bw, err := bidDocumentOf(b, style)
	if err != nil {
		return nil, err
	}
	var files []file
	for _, f := range bw.files {
		files = append(files, f.file)
	}
	return writeFiles(dir, files)
}

// bidFile is a file beside the page, and what it holds in words.
type bidFile struct {
	file
	what string
}

func newBidWriter(b answer.Bid, style BidStyle) *bidWriter {
	w := &bidWriter{manner: style.manner(b.Curve.Currency)}
	paper := "A4"
	if style.Letter {
		paper = "letter"
	}
	volume := w.short(b.Chosen.VolumeM3)
	w.doc = bidDocument{
		Lang: w.Say("language"), Paper: paper, Title: w.Say("title", "plant", b.Curve.Scenario, "volume", volume),
		Subtitle: w.Say("subtitle", "volume", volume, "area", w.short(b.Place.AreaM2)),
		Foot:     w.Say("foot", "plant", cutText(b.Curve.Scenario, 60), "volume", volume),
	}
	if b.Curve.NoSunFields {
		w.doc.Subtitle = w.Say("subtitle.no_field", "volume", volume)
	}
	return w
}

// bidDocumentOf sets the sections in their order.
func bidDocumentOf(b answer.Bid, style BidStyle) (*bidWriter, error) {
	w := newBidWriter(b, style)
	w.first(b)
	for _, section := range []func(answer.Bid) error{w.curve, w.weeks, w.months, w.moneySection, w.years, w.doubtSection, w.playedSection} {
		if err := section(b); err != nil {
			return nil, err
		}
	}
	w.proof(b)
	w.inputs(b)
	w.doubts(b)
	w.methods(b)
	w.cautions()
	w.allFiles(b)
	w.contents()
	return w, nil
}

// contents fills the list of sections on the first page.
func (w *bidWriter) contents() {
	first := &w.doc.Sections[0]
	for i := range first.Blocks {
		if first.Blocks[i].Class == contentsMark {
			first.Blocks[i] = bidBlock{Links: w.doc.Sections[1:], Class: w.Say("contents")}
		}
	}
}

const contentsMark = "contents"

// allFiles lists the files, and gathers them.
func (w *bidWriter) allFiles(b answer.Bid) {
	w.begin("files", w.Say("files"))
	w.into(w.Say("files.text"))
	add := func(name, what string, write func(io.Writer) error) {
		w.files = append(w.files, bidFile{file{name, write}, what})
	}
	add("bid.html", w.Say("file.html"), func(out io.Writer) error { return w.doc.write(out) })
	add("bid.xlsx", w.Say("file.xlsx"), func(out io.Writer) error { return w.bidBook(out, b) })
	for _, f := range w.figures {
		add(f.Name+".svg", w.Say("file.picture", "what", f.What), func(out io.Writer) error { return chart.WriteSVG(out, f.figure) })
	}
	add("curve.csv", w.Say("file.curve.csv"), func(out io.Writer) error { return CurveCSV(out, b.Curve) })
	add("months.csv", w.Say("file.months.csv"), func(out io.Writer) error { return monthsCSV(out, b.Months) })
	add("schedule.csv", w.Say("file.schedule.csv"), func(out io.Writer) error { return ScheduleCSV(out, b.Plan) })
	if b.Doubt != nil {
		add("doubt.csv", w.Say("file.doubt.csv"), func(out io.Writer) error { return DoubtCSV(out, *b.Doubt) })
	}
	add("inputs.csv", w.Say("file.inputs.csv"), func(out io.Writer) error { return inputsCSV(out, b.Inputs) })
	add("bid.json", w.Say("file.json"), func(out io.Writer) error { return JSON(out, b) })
	t := &bidTable{Caption: w.Say("files"), Head: []bidHead{{Text: w.Say("files.name")}, {Text: w.Say("files.what")}}}
	for _, f := range w.files {
		t.add(f.name, f.what)
	}
	w.table(t)
	for _, f := range w.figures {
		w.files = append(w.files, bidFile{file{f.Name + ".png", func(out io.Writer) error { return chart.WritePNG(out, f.figure, 1) }}, ""})
	}
}

func monthsCSV(w io.Writer, months []answer.MonthHeat) error {
	out := csv.NewWriter(w)
	out.Write([]string{"month", "demand_kWh", "sun_to_header_kWh", "store_out_kWh", "boiler_kWh", "unmet_kWh", "spilled_sun_kWh", "fuel_kWh"})
	for _, m := range months {
		out.Write(append([]string{fmt.Sprint(m.Month)}, numbers(m.DemandKWh, m.SunKWh, m.StoreOutKWh, m.BoilerKWh, m.UnmetKWh, m.SpilledKWh, m.FuelKWh)...))
	}
	out.Flush()
	return out.Error()
}

// inputsCSV writes texts of a scenario's author, which a spreadsheet must not take for formulas.
func inputsCSV(w io.Writer, inputs []answer.Input) error {
	out := csv.NewWriter(w)
	out.Write([]string{"key", "value", "line", "assumed_because"})
	for _, in := range inputs {
		line := ""
		if in.Line > 0 {
			line = fmt.Sprint(in.Line)
		}
		out.Write([]string{harmless(in.Key), harmless(in.Value), line, harmless(in.Assumed)})
	}
	out.Flush()
	return out.Error()
}

// harmless keeps a spreadsheet from running a text that begins as a formula does, by an apostrophe before it.
func harmless(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}
