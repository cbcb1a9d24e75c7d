package report

import (
	"regexp"
	"strconv"
	"strings"

	"noonkeep/cmd/internal/answer"
)

// moneySheets puts each case's table in with live formulas.
func (w *bidWriter) moneySheets(book *workbook, b answer.Bid) {
	for _, s := range []*answer.MoneySheet{b.TankMoney, b.PlantMoney} {
		if s != nil {
			name := w.caseName(b, s)
			w.ledgerSheet(book.add(w.Say("sheet.money", "case", name), &sheet{}), s, b.Curve.Currency)
		}
	}
}

// Columns of a ledger's sheet: name, unit, how, and from the fourth on values by year.
const (
	unitColumn = 1
	howColumn  = 2
	firstYear  = 3
)

// ledger is where each key of a table stands in its sheet.
type ledger struct {
	inputRow, columnRow map[string]int
	years               int
}

// ledgerSheet lays a case out: results on top, then inputs, then year by year. Every figure that follows from others is a
// formula, with the value that we worked out beside it.
func (w *bidWriter) ledgerSheet(s *sheet, m *answer.MoneySheet, currency string) {
	const top = 4 // rows before the results
	l := ledger{inputRow: map[string]int{}, columnRow: map[string]int{}, years: len(m.Columns[0].Values)}
	inputs := top + len(m.Totals) + 3
	for i, in := range m.Inputs {
		l.inputRow[in.Key] = inputs + i
	}
	columns := inputs + len(m.Inputs) + 2
	for i, c := range m.Columns {
		l.columnRow[c.Key] = columns + i
	}
	s.widths = []float64{40, 11, 44}
	for range l.years {
		s.widths = append(s.widths, 12)
	}
	s.frozen = [2]int{0, firstYear}

	s.row(lookText(w.Say("sheet.money", "case", m.Project), titleLook))
	s.row(lookText(w.Say("sheet.against", "baseline", m.Against), noteLook))
	s.row()
	w.ledgerHead(s, "sheet.results")
	for _, t := range m.Totals {
		value := number(t.Value, sumLook(t.Unit))
		if t.Formula != "" {
			value = formula(l.refer(t.Formula, 0), t.Value, sumLook(t.Unit))
		}
		s.row(plainText(t.Name), lookText(unitIn(t.Unit, currency), noteLook), lookText(t.Words, noteLook), value)
	}
	s.row()
	w.ledgerHead(s, "sheet.figures")
	for _, in := range m.Inputs {
		value := number(in.Value, inputLook(in.Unit))
		if in.Formula != "" {
			value = formula(l.refer(in.Formula, 0), in.Value, plainLookOf(in.Unit))
		}
		s.row(plainText(in.Name), lookText(unitIn(in.Unit, currency), noteLook), plainText(""), value)
	}
	l.byYear(w, s, m, currency)
}

// byYear lays the columns out, each as a row of years.
func (l ledger) byYear(w *bidWriter, s *sheet, m *answer.MoneySheet, currency string) {
	s.row()
	s.row(lookText(w.Say("sheet.by_year"), headLook), lookText(w.Say("sheet.unit"), headLook), lookText(w.Say("sheet.formula"), headLook))
	for _, c := range m.Columns {
		row := []cell{plainText(c.Name), lookText(unitIn(c.Unit, currency), noteLook), lookText(c.Words, noteLook)}
		for t, v := range c.Values {
			f := c.Formula
			if t == 0 {
				f = c.Start
			}
			if f == "" {
				row = append(row, number(v, inputLook(c.Unit)))
			} else {
				row = append(row, formula(l.refer(f, t), v, plainLookOf(c.Unit)))
			}
		}
		s.row(row...)
	}
}

func (w *bidWriter) ledgerHead(s *sheet, key string) {
	s.row(lookText(w.Say(key), headLook), lookText(w.Say("sheet.unit"), headLook), lookText(w.Say("sheet.formula"), headLook), lookText(w.Say("sheet.value"), headLook))
}

var reference = regexp.MustCompile(`\{(#?)([a-z0-9_]+)(<|:|@[0-9]+)?\}`)

// refer turns a ledger's formula into one of the sheet, for the year at a place in the table.
func (l ledger) refer(f string, year int) string {
	return reference.ReplaceAllStringFunc(f, func(ref string) string {
		m := reference.FindStringSubmatch(ref)
		rows := l.columnRow
		if m[1] == "#" {
			rows = l.inputRow
		}
		row, has := rows[m[2]]
		if !has {
			panic("report: no row for " + ref) // a programmer's slip: tests make every kind of case
		}
		switch {
		case m[1] == "#":
			return at(firstYear, row)
		case m[3] == "":
			return columnName(firstYear+year) + strconv.Itoa(row)
		case m[3] == "<":
			return columnName(firstYear+year-1) + strconv.Itoa(row)
		case m[3] == ":":
			return at(firstYear, row) + ":" + at(firstYear+l.years-1, row)
		}
		n, _ := strconv.Atoi(strings.TrimPrefix(m[3], "@"))
		return at(firstYear+n, row)
	})
}

// unitIn puts the currency in and names a yearly share.
func unitIn(unit, currency string) string {
	switch unit {
	case "1/a":
		return "%/a"
	case "share":
		return "%"
	}
	return strings.Replace(unit, "money", currency, 1)
}

// plainLookOf, inputLook and sumLook are how figures of a unit look.
func plainLookOf(unit string) look {
	switch unit {
	case "1/a":
		return shareLook
	case "share":
		return fineLook
	case "a":
		return exactLook
	case "money/kWh":
		return fineLook
	}
	return wholeLook
}

func inputLook(unit string) look {
	switch unit {
	case "1/a", "share":
		return inputShare
	case "money", "kWh":
		return inputWhole
	}
	return inputFine
}

func sumLook(unit string) look {
	switch unit {
	case "1/a", "share":
		return sumShare
	case "money/kWh", "a":
		return sumFine
	}
	return sumWhole
}
