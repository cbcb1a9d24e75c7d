package report

import (
	"fmt"
	"io"

	"noonkeep/cmd/internal/answer"
)

// bidBook writes the spreadsheet: what it is, the money with live formulas, the curve, the months, the inputs.
func (w *bidWriter) bidBook(out io.Writer, b answer.Bid) error {
	book := &workbook{paper: 9}
	if w.doc.Paper == "letter" {
		book.paper = 1
	}
	read := book.add(w.Say("sheet.read"), &sheet{widths: []float64{92}, tall: true})
	w.readSheet(read, b)
	w.moneySheets(book, b)
	w.curveSheet(book.add(w.Say("sheet.curve"), &sheet{frozen: [2]int{4, 0}}), b)
	w.monthsSheet(book.add(w.Say("sheet.months"), &sheet{frozen: [2]int{3, 1}}), b)
	w.inputsSheet(book.add(w.Say("sheet.inputs"), &sheet{frozen: [2]int{3, 0}, tall: true}), b)
	for _, s := range book.sheets {
		read.row(lookText(s.name, wrapLook))
	}
	return book.write(out)
}

// readSheet says what the file is, as the page does.
func (w *bidWriter) readSheet(s *sheet, b answer.Bid) {
	s.row(lookText(w.doc.Title, titleLook))
	s.row(lookText(w.doc.Subtitle, noteLook))
	s.row()
	for _, line := range w.answer(b) {
		s.row(lookText(line, wrapLook))
	}
	s.row()
	s.row(lookText(w.Say("caution.short", "section", w.Say("cautions")), wrapLook))
	s.row()
	s.row(lookText(w.Say("sheet.how"), wrapLook))
	s.row()
	s.row(lookText(w.Say("sheet.list"), headLook))
}

// curveSheet works the savings out of the costs.
func (w *bidWriter) curveSheet(s *sheet, b answer.Bid) {
	a := b.Curve
	s.widths = []float64{14, 18, 18, 18, 18, 14, 18}
	s.row(lookText(w.Say("curve"), titleLook))
	perYear := a.Currency + "/a"
	s.row(lookText(w.Say("sheet.boilers_only"), noteLook), number(a.Baseline.BoilersOnlyCost, inputWhole), lookText(perYear, noteLook),
		lookText(w.Say("sheet.no_store"), noteLook), number(a.Baseline.NoStorageCost, inputWhole), lookText(perYear, noteLook))
	s.row()
	s.row(lookText(w.Say("curve.volume")+", m³", headLook), lookText(w.Say("sheet.cost")+", "+perYear, headLook), lookText(w.Say("curve.saved")+", "+perYear, headLook),
		lookText(w.Say("curve.both")+", "+perYear, headLook), lookText(w.Say("curve.next")+", "+perYear, headLook), lookText(w.Say("curve.share"), headLook),
		lookText(w.Say("curve.spilled")+", MWh/a", headLook))
	for _, p := range a.Points {
		n := len(s.rows) + 1
		s.row(number(p.VolumeM3, exactLook), number(p.AnnualCost, wholeLook), formula(fmt.Sprintf("%s-B%d", at(4, 2), n), a.Baseline.NoStorageCost-p.AnnualCost, wholeLook),
			formula(fmt.Sprintf("%s-B%d", at(1, 2), n), a.Baseline.BoilersOnlyCost-p.AnnualCost, wholeLook), number(p.MarginalSavingsPerM3, wholeLook),
			number(p.SolarFraction, shareLook), number(p.SpilledSunKWh/1000, wholeLook))
	}
}

// monthsSheet has the months and their sums.
func (w *bidWriter) monthsSheet(s *sheet, b answer.Bid) {
	s.row(lookText(w.Say("source"), titleLook))
	s.row(lookText(w.Say("source.table"), noteLook))
	head := []cell{lookText(w.Say("source.month"), headLook)}
	s.widths = []float64{12}
	for _, key := range []string{"demand", "sun", "store", "boilers", "unmet", "spilled", "fuel"} {
		head, s.widths = append(head, lookText(w.Say("source."+key), headLook)), append(s.widths, 14)
	}
	first := s.row(head...) + 1
	var sums [7]float64
	for i, m := range b.Months {
		row := []cell{plainText(w.month(i + 1))}
		for j, v := range []float64{m.DemandKWh, m.SunKWh, m.StoreOutKWh, m.BoilerKWh, m.UnmetKWh, m.SpilledKWh, m.FuelKWh} {
			row = append(row, number(v/1000, tenthLook))
			sums[j] += v / 1000
		}
		s.row(row...)
	}
	last := len(s.rows)
	row := []cell{lookText(w.Say("source.year"), sumWhole)}
	for j, v := range sums {
		row = append(row, formula(fmt.Sprintf("SUM(%s%d:%s%d)", columnName(j+1), first, columnName(j+1), last), v, sumWhole))
	}
	s.row(row...)
}

// inputsSheet lists what was written and what was filled in, as texts.
func (w *bidWriter) inputsSheet(s *sheet, b answer.Bid) {
	s.widths = []float64{46, 40, 8, 70}
	s.row(lookText(w.Say("inputs"), titleLook))
	s.row(lookText(w.Say("inputs.text", "file", b.Place.File), noteLook))
	s.row(lookText(w.Say("inputs.key"), headLook), lookText(w.Say("inputs.value"), headLook), lookText(w.Say("inputs.line"), headLook), lookText(w.Say("assumed.why"), headLook))
	for _, in := range b.Inputs {
		line := plainText("")
		if in.Line > 0 {
			line = number(float64(in.Line), yearLook)
		}
		s.row(lookText(in.Key, wrapLook), lookText(in.Value, wrapLook), line, lookText(in.Assumed, wrapLook))
	}
}
