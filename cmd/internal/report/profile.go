package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"
	"time"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

const blockH = 3 // hours of a day that the table of typical days shows as one

// ProfileText prints what a plant's heat demand is.
func ProfileText(w io.Writer, p answer.Profile) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s\n\n", p.Scenario, profileFinding(p))
	loadsTable(&b, p)
	if p.Total.PeakKW > 0 {
		fmt.Fprint(&b, "\nHours of the year with at least so much heat\n\n")
		aboveTable(&b, p)
		fmt.Fprint(&b, "\nTypical days, mean kW from one hour to another, local standard time\n\n")
		daysTable(&b, p)
	}
	partsText(&b, p)
	_, err := io.WriteString(w, b.String())
	return err
}

func profileFinding(p answer.Profile) string {
	if p.Total.PeakKW == 0 {
		return "Asks for no heat at all."
	}
	at, err := time.Parse("2006-01-02 15:04", p.Total.PeakAt)
	when := p.Total.PeakAt
	if err == nil {
		when = at.Format("Mon 2 Jan 15:04")
	}
	return fmt.Sprintf("Asks for %s MWh of heat in the year: %s kW in the mean, %s kW at most (first on %s).\nLoad factor %s %%; some heat is wanted in %s of %s h.",
		amount(p.Total.KWh/1000), amount(p.Total.MeanKW), amount(p.Total.PeakKW), when,
		Share(p.Total.LoadFactor), Whole(p.Total.HoursOn), Whole(float64(p.Steps)*p.StepH))
}

// amount prints a figure with no more digits than it deserves: tenths below a hundred.
func amount(v float64) string {
	if v < 100 {
		return Tenths(v)
	}
	return Whole(v)
}

func loadsTable(w io.Writer, p answer.Profile) {
	t := table{names: 1, head: [][]string{{"load", "heat", "share", "mean", "peak", "load factor", "hours"}, {"", "MWh/a", "%", "kW", "kW", "%", "h/a"}}}
	row := func(d answer.Demand) {
		share := 0.0
		if p.Total.KWh > 0 {
			share = d.KWh / p.Total.KWh
		}
		t.rows = append(t.rows, []string{d.Name, amount(d.KWh / 1000), Share(share), amount(d.MeanKW), amount(d.PeakKW), Share(d.LoadFactor), Whole(d.HoursOn)})
	}
	for _, l := range p.Loads {
		row(l.Demand)
	}
	if len(p.Headers) > 1 {
		for _, h := range p.Headers {
			h.Name = "on header " + h.Name
			row(h)
		}
	}
	row(p.Total)
	t.write(w)
}

func aboveTable(w io.Writer, p answer.Profile) {
	t := table{head: [][]string{{"kW"}, {"h/a"}}}
	for _, a := range p.Above {
		t.head[0] = append(t.head[0], amount(a.KW))
		t.head[1] = append(t.head[1], Whole(a.Hours))
	}
	t.rows, t.head = t.head[1:], t.head[:1]
	t.write(w)
}

func daysTable(w io.Writer, p answer.Profile) {
	head := []string{"season", "days", "n"}
	for h := 0; h < 24; h += blockH {
		head = append(head, fmt.Sprintf("%02d-%02d", h, h+blockH))
	}
	t := table{names: 2, head: [][]string{append(head, "kWh/d")}}
	for _, d := range p.Days {
		row := []string{d.Season, d.Kind, fmt.Sprint(d.Days)}
		for h := 0; h < 24; h += blockH {
			row = append(row, Whole(total(d.HourKW[h:h+blockH])/blockH))
		}
		t.rows = append(t.rows, append(row, Whole(d.DayKWh)))
	}
	t.write(w)
}

// partsText says where each load's heat came from.
func partsText(b *strings.Builder, p answer.Profile) {
	fmt.Fprint(b, "\nWHERE IT COMES FROM\n")
	for _, l := range p.Loads {
		entry(b, l.Name, l.Says)
		for _, part := range l.Parts {
			text := fmt.Sprintf("%s MWh/a: %s", amount(part.KWh/1000), part.Name)
			if part.Text != "" {
				text += "; " + part.Text
			}
			entry(b, "", text)
		}
	}
}

// ProfileCSV writes one row a step: the mean heat of each load and of all, kW; and, for each load of which some was filled
// in, 1 in the steps where it was.
func ProfileCSV(w io.Writer, p answer.Profile) error {
	out := csv.NewWriter(w)
	row := []string{"time"}
	for _, l := range p.Loads {
		row = append(row, nameCell(l.Name+" kW"))
	}
	row = append(row, "all kW")
	var filled []answer.LoadDemand
	for _, l := range p.Loads {
		if l.Filled != nil {
			filled = append(filled, l)
			row = append(row, nameCell(l.Name+" filled"))
		}
	}
	out.Write(row)
	values := make([]float64, len(p.Loads)+1+len(filled))
	for t := range p.Axis.N {
		for j, l := range p.Loads {
			values[j] = l.KW[t]
		}
		values[len(p.Loads)] = p.KW[t]
		for j, l := range filled {
			values[len(p.Loads)+1+j] = 0
			if l.Filled[t] {
				values[len(p.Loads)+1+j] = 1
			}
		}
		out.Write(append([]string{p.Axis.At(t).Format("2006-01-02 15:04")}, numbers(values...)...))
	}
	out.Flush()
	return out.Error()
}

// ProfileFiles draws the demand into dir, writes its figures beside the pictures, and returns the paths.
func ProfileFiles(dir string, p answer.Profile) ([]string, error) {
	files := []file{
		{"demand.csv", func(w io.Writer) error { return ProfileCSV(w, p) }},
		{"demand.json", func(w io.Writer) error { return JSON(w, p) }},
	}
	files = append(files, pictures("demand", profileChart(p))...)
	return writeFiles(dir, append(files, pictures("demand-year", profileYear(p))...))
}

func profileChart(p answer.Profile) chart.Profile {
	title := fmt.Sprintf("%s MWh of heat a year, %s kW in the mean and %s kW at most", amount(p.Total.KWh/1000), amount(p.Total.MeanKW), amount(p.Total.PeakKW))
	c := chart.Profile{Title: title, Subtitle: p.Scenario + "; mean days of each season, local standard time", StepH: p.StepH, KW: p.KW}
	for _, d := range p.Days {
		if n := len(c.Seasons); n == 0 || c.Seasons[n-1].Name != d.Season {
			c.Seasons = append(c.Seasons, chart.Season{Name: d.Season})
		}
		s := &c.Seasons[len(c.Seasons)-1]
		s.Days = append(s.Days, chart.Day{Kind: d.Kind, HourKW: d.HourKW})
	}
	return c
}

// profileYear maps the largest loads, and all together.
func profileYear(p answer.Profile) chart.YearMap {
	const most = 4
	m := chart.YearMap{Title: "The year's heat demand, hour by day", Subtitle: p.Scenario + "; local standard time", Start: p.Axis.At(0), StepH: p.StepH}
	add := func(d answer.Demand, name string, kW []float64) {
		m.Maps = append(m.Maps, chart.Map{Name: name + ", kW", Note: amount(d.KWh/1000) + " MWh a year", Values: kW, Tone: chart.BoilerTone})
	}
	add(p.Total, "All heat", p.KW)
	if len(p.Loads) > 1 && len(p.Loads) <= most {
		for _, l := range p.Loads {
			add(l.Demand, l.Name, l.KW)
		}
	}
	return m
}
