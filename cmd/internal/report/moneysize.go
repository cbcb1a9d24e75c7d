package report

import (
	"fmt"
	"io"
	"strings"

	"noonkeep/cmd/internal/answer"
)

// moneyFinding says which size money chooses.
func moneyFinding(s answer.SizeStore) string {
	m := s.Money
	years := s.Curve.Money.Years
	if m.VolumeM3 == nil {
		return "No tank will do: " + m.Why + "."
	}
	v := Volume(*m.VolumeM3) + " m³"
	edge := ""
	if m.AtEdge {
		edge = ", the largest looked at"
	}
	var first string
	switch m.By {
	case "payback":
		first = fmt.Sprintf("%s pay back soonest, in %s years%s", v, paybackText(m.Earns.PaybackA, years), edge)
	case "largest":
		first = fmt.Sprintf("%s are the largest tank that pays back within %g years%s", v, *m.Years, edge)
		return first + "."
	case "irr":
		first = fmt.Sprintf("Up to %s each further m³ earns %s %% a year or more%s", v, Share(*m.HurdleFrac), edge)
	default:
		first = fmt.Sprintf("%s earn most, %s %s over %d years (net present value)%s", v, Sum3(m.Earns.NPV), s.Currency, years, edge)
	}
	return first + ";\n" + asGood(m) + "."
}

// asGood says which other sizes are as good.
func asGood(m *answer.SizeMoney) string {
	from, to := shortM3(m.AsGood.FromM3), shortM3(m.AsGood.ToM3)
	if from == to {
		return "no other size is within 1 % of that"
	}
	by := "within 1 %"
	if m.Unsure {
		by = "as far as the curve is certain"
	}
	return fmt.Sprintf("anything from %s to %s m³ is as good, %s", from, to, by)
}

// storeCosts says what the sizes leave out, or on what terms they count.
func storeCosts(s answer.SizeStore) string {
	if s.Money == nil {
		return noCost
	}
	return moneyTerms(s.Curve.Money.Words) + "\n"
}

// sizeMoneyText prints what the chosen size earns.
func sizeMoneyText(w io.Writer, s answer.SizeStore) {
	m := s.Money
	if m == nil {
		return
	}
	if m.Earns != nil {
		fmt.Fprintf(w, "THE TANK ALONE, against %s\n", baselineWords(s.Curve))
		for _, r := range earnedRows(s) {
			fmt.Fprintf(w, "  %-60s %16s\n", r[0], r[1])
		}
		if why := m.Earns.IRRWhy; why != "" {
			fmt.Fprintf(w, "%s\n", wrapped("No one return can be given: "+why+"."))
		}
		fmt.Fprintln(w)
	}
	if len(m.Sizes) > 0 {
		fmt.Fprintln(w, "SIZES THAT CAN BE HAD")
		sizesTable(w, s)
		fmt.Fprintln(w)
	}
	notes := append([]string{}, m.Notes...)
	if text := lacksText(s.Curve.Money, s.Curve.NoSunFields, m.Together != nil); text != "" {
		notes = append(notes, strings.TrimSuffix(text, "."))
	}
	for _, n := range notes {
		fmt.Fprintf(w, "%s\n\n", wrapped(sentence(n)))
	}
}

// earnedRows are what the chosen size earns, name and value.
func earnedRows(s answer.SizeStore) [][2]string {
	m, e, years := s.Money, s.Money.Earns, s.Curve.Money.Years
	sum := func(v float64) string { return Sum3(v) + " " + s.Currency }
	rows := [][2]string{{"store", Volume(*m.VolumeM3) + " m³"}, {"costs", sum(e.Capital)}}
	if e.Subsidy > 0 {
		rows = append(rows, [2]string{"  of which subsidy", sum(e.Subsidy)})
	}
	rows = append(rows, [][2]string{
		{"saves in the first year, over " + baselineWords(s.Curve), Whole(m.Saves.SavingsVsNoStorage) + " " + s.Currency},
		{"  less upkeep and insurance", sum(e.SpentFirstYear)},
		{"earns (net present value)", sum(e.NPV)},
		{"pays back in", paybackText(e.PaybackA, years) + " years"},
		{"  with later money discounted", paybackText(e.DiscountedPaybackA, years) + " years"},
		{"return", returnText(e)},
		{"the next m³ may cost up to", sumOr(m.NextWorth, "any sum") + " " + s.Currency},
		{"  and costs", sumOr(m.NextCosts, "not known") + " " + s.Currency}}...)
	if t := m.Together; t != nil {
		rows = append(rows, [2]string{"with the sun, over boilers alone: earns", sum(t.NPV)}, [2]string{"  pays back in", paybackText(t.PaybackA, years) + " years"})
	}
	return rows
}

// returnText is a return with its unit, or the word for none.
func returnText(e *answer.Earned) string {
	if e.IRR == nil {
		return irrText(e)
	}
	return irrText(e) + " % a year"
}

func sizesTable(w io.Writer, s answer.SizeStore) {
	t := table{head: [][]string{{"store", "earns (NPV)", "pays back in", "return"}, {"m³", s.Currency, "years", "% a year"}}}
	for _, r := range s.Money.Sizes {
		irr := "none"
		if r.IRR != nil {
			irr = Share(*r.IRR)
		}
		t.rows = append(t.rows, []string{Volume(r.VolumeM3), Sum3(r.NPV), paybackText(r.PaybackA, s.Curve.Money.Years), irr})
	}
	t.write(w)
}
