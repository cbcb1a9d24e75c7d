package report

import (
	"fmt"
	"io"
	"strings"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

const (
	mostCheckedHours = 40 // that the text lists; the table in guarantee-hours.csv has all
	mostCheckedDays  = 14
)

// measuredText prints the verdict and what it rests on.
func measuredText(b *strings.Builder, g answer.Guarantee) {
	m := g.Measured
	paragraphAt(b, "", guaranteeFinding(g)+".")
	fmt.Fprintf(b, "\n%s: %s, %s min each, %s; %s\n", m.File, counted(m.Rows, "row"), Volume(m.StepMin), counted(len(m.Hours), "hour"), g.Clock())
	if len(m.Broken) > 0 {
		b.WriteString("\n")
		t := table{head: [][]string{{"hours that do not count, by what they break", "hours"}}, names: 1}
		for _, c := range m.Broken {
			t.rows = append(t.rows, []string{c.Limit, Whole(float64(c.Hours))})
		}
		t.write(b)
		fmt.Fprintf(b, "  %s do not count; some break several limits.\n", counted(len(m.Hours)-m.Valid, "hour"))
	}
	if m.Valid > 0 {
		b.WriteString("\n")
		checkedHoursTable(b, m)
	}
	if len(m.Days) > 0 {
		b.WriteString("\n")
		checkedDaysTable(b, m)
	}
	for i, n := range m.Notes {
		if i == 0 {
			b.WriteString("\n")
		}
		paragraphAt(b, "", sentence(n))
	}
}

// guaranteeFinding says what measurements come to, in a sentence without its full stop.
func guaranteeFinding(g answer.Guarantee) string {
	m := g.Measured
	of := fmt.Sprintf("%s of %s count, %d are wanted", Whole(float64(m.Valid)), counted(len(m.Hours), "hour"), m.LeastHours)
	if m.Ratio == nil {
		return fmt.Sprintf("The guarantee of field %q is %s (%s)", g.Field, m.Verdict, of)
	}
	sums := fmt.Sprintf("measured %s kWh over guaranteed %s kWh is %.3f", Whole(m.MeasuredKWh), Whole(m.ExpectedKWh), *m.Ratio)
	return fmt.Sprintf("The guarantee of field %q is %s: %s (%s)", g.Field, m.Verdict, sums, of)
}

func checkedHoursTable(b *strings.Builder, m *answer.GuaranteeMeasured) {
	t := table{head: [][]string{
		{"hours that count", "beam", "incid.", "air", "wind", "fluid", "change", "measured", "guaranteed", "ratio"},
		{"start", "W/m²", "°", "°C", "m/s", "°C", "K/h", "kW", "kW", ""}}, names: 1}
	left := 0
	for _, h := range m.Hours {
		if !h.Valid {
			continue
		}
		if len(t.rows) == mostCheckedHours {
			left++
			continue
		}
		t.rows = append(t.rows, []string{h.Start, shown(h.BeamWM2, 0), Tenths(h.ThetaDeg), shown(h.AirC, 1), shown(h.WindMS, 1), shown(h.FluidC, 1),
			shown(h.WarmingKH, 1), shown(h.MeasuredKW, 1), shown(h.ExpectedKW, 1), shown(h.Ratio, 3)})
	}
	t.write(b)
	if left > 0 {
		fmt.Fprintf(b, "  and %s more; with --out, guarantee-hours.csv has every hour, and why it does not count\n", counted(left, "hour"))
	}
}

// shown is a value that may not be there.
func shown(v *float64, decimals int) string {
	if v == nil {
		return "-"
	}
	return spaced(*v, decimals)
}

// checkedDaysTable prints days as a whole, which show what the hours of strong sun do not.
func checkedDaysTable(b *strings.Builder, m *answer.GuaranteeMeasured) {
	t := table{head: [][]string{{"whole days", "measured", "by the formula", "ratio"}, {"", "kWh", "kWh", ""}}, names: 1}
	for i, d := range m.Days {
		if i < mostCheckedDays {
			t.rows = append(t.rows, []string{d.Date, Whole(d.MeasuredKWh), Whole(d.ExpectedKWh), shown(d.Ratio, 3)})
		}
	}
	t.write(b)
	if left := len(m.Days) - mostCheckedDays; left > 0 {
		fmt.Fprintf(b, "  and %s more in the JSON\n", counted(left, "day"))
	}
	paragraphAt(b, "", "Whole days are for information and no part of the verdict: all their hours of light, with f_safe, warm-up by the measured change of "+
		"temperature. The standard's own check of daily yields is another procedure, by its headings for fixed collectors without concentration.")
}

// GuaranteeHoursCSV writes every hour, valid or not, and why.
func GuaranteeHoursCSV(w io.Writer, m *answer.GuaranteeMeasured) error {
	rows := [][]string{{"start", "line", "counts", "dni_W_m2", "beam_on_aperture_W_m2", "diffuse_on_aperture_W_m2", "incidence_deg", "kb", "air_degC", "wind_m_s",
		"mean_fluid_degC", "warming_K_h", "measured_kW", "formula_kW", "guaranteed_kW", "ratio", "why_not"}}
	for _, h := range m.Hours {
		counts := "no"
		if h.Valid {
			counts = "yes"
		}
		rows = append(rows, []string{h.Start, fmt.Sprint(h.Line), counts, exact(h.DNIWM2), exact(h.BeamWM2), exact(h.DiffuseWM2), exact(&h.ThetaDeg), exact(&h.Kb),
			exact(h.AirC), exact(h.WindMS), exact(h.FluidC), exact(h.WarmingKH), exact(h.MeasuredKW), exact(h.FormulaKW), exact(h.ExpectedKW), exact(h.Ratio),
			strings.Join(h.Why, "; ")})
	}
	return writeCSV(w, rows)
}

// exact is a value with all its digits, empty where there is none.
func exact(v *float64) string {
	if v == nil {
		return ""
	}
	return numbers(*v)[0]
}

// guaranteeChart is measured over guaranteed heat of every hour that has both.
func guaranteeChart(g answer.Guarantee) chart.Scatter {
	m := g.Measured
	c := chart.Scatter{
		Title:    fmt.Sprintf("The guarantee of field %s is %s", g.Field, m.Verdict),
		Subtitle: fmt.Sprintf("%s; after the method of ISO 24194 with f_safe %.4g; %s of %s count, %d are wanted", g.Scenario, g.SafeFactor, Whole(float64(m.Valid)), counted(len(m.Hours), "hour"), m.LeastHours),
		XName:    "Guaranteed heat in an hour, f_safe in it", YName: "Measured heat in the same hour", Unit: "kW",
		DotsName: "hours that count", RestName: "hours that do not", LineName: "measured = guaranteed",
	}
	if m.Ratio != nil {
		c.Title += fmt.Sprintf(": measured over guaranteed heat is %.3f", *m.Ratio)
		if *m.Ratio > 0 {
			c.Slope, c.SlopeName = *m.Ratio, fmt.Sprintf("sum of the hours that count, %.3f", *m.Ratio)
		}
	}
	left := 0
	for _, h := range m.Hours {
		if h.ExpectedKW == nil || h.MeasuredKW == nil || *h.ExpectedKW < 0 {
			left++
			continue
		}
		dot := chart.Dot{X: *h.ExpectedKW, Y: *h.MeasuredKW}
		if h.Valid {
			c.Dots = append(c.Dots, dot)
			continue
		}
		c.Rest = append(c.Rest, dot)
	}
	if left > 0 {
		c.RestName = fmt.Sprintf("hours that do not (%s without a figure, or below 0, not drawn)", Whole(float64(left)))
	}
	return c
}
