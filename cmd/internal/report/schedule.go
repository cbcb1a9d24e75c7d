package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

// column is one column of a schedule file.
type column struct {
	name   string
	values []float64
}

// columns of a schedule file after the time: the first eleven are a contract.
func columns(p answer.Plan) []column {
	c := []column{
		{"demand_kW", p.DemandKW}, {"sun_to_header_kW", p.SunToHeaderKW}, {"sun_to_store_kW", p.SunToStoreKW},
		{"store_out_kW", p.StoreOutKW}, {"boiler_kW", p.BoilerKW}, {"keep_warm_kW", p.KeepWarmKW}, {"unmet_kW", p.UnmetKW},
		{"spilled_sun_kW", p.SpilledSunKW}, {"stored_kWh", p.StoredKWh[1:]}, {"fuel_kW", p.FuelKW}, {"cost", p.StepCost},
		{"store_loss_kW", p.StoreLossKW}, {"boilers_to_store_kW", p.BoilersToStoreKW}, {"vented_kW", p.VentedKW},
		{"stored_heat_price_per_kWh", p.StoredHeatPrice},
	}
	for _, u := range p.Units {
		c = append(c, column{u.Column, u.Values})
	}
	c = append(c, guideColumns(p)...)
	if p.MovedKW != nil {
		c = append(c, column{"moved_kW", p.MovedKW})
	}
	return c
}

// ScheduleCSV writes one row a step. Kilowatts are means over the step that begins at its
// time (local standard time); stored_kWh is at the step's end.
func ScheduleCSV(w io.Writer, p answer.Plan) error {
	cols := columns(p)
	out := csv.NewWriter(w)
	row := []string{"time"}
	for _, c := range cols {
		row = append(row, nameCell(c.name))
	}
	out.Write(row)
	values := make([]float64, len(cols))
	for t := range p.Axis.N {
		for j, c := range cols {
			values[j] = c.values[t]
		}
		out.Write(append([]string{p.Axis.At(t).Format("2006-01-02 15:04")}, numbers(values...)...))
	}
	out.Flush()
	return out.Error()
}

// ScheduleText prints the year's sums of a plan.
func ScheduleText(w io.Writer, p answer.Plan) error {
	h := p.Axis.StepH()
	mwh := func(kW []float64) string { return Tenths(total(kW) * h / 1000) }
	var b strings.Builder
	title := "Plan of least cost"
	if p.OnOff != nil && p.OnOff.AnnualCost != nil {
		title = "Plan with boilers on and off"
	}
	fmt.Fprintf(&b, "%s\n%s with %s m³ of store%s (%s kWh when full), %d steps from %s\n\n",
		p.Scenario, title, Volume(p.VolumeM3), map[bool]string{true: " in all"}[len(p.Kept) > 0], Whole(p.CapacityKWh), p.Axis.N, p.Axis.At(0).Format("2 Jan 2006"))
	rows := []struct{ name, value string }{
		{"heat asked for", mwh(p.DemandKW)},
		{"  sun straight to the header", mwh(p.SunToHeaderKW)},
		{"  out of the store", mwh(p.StoreOutKW)},
		{"  boilers", mwh(p.BoilerKW)},
		{"  not delivered", mwh(p.UnmetKW)},
		{"sun into the store", mwh(p.SunToStoreKW)},
		{"boilers keep the store warm with", mwh(p.KeepWarmKW)},
		{"boilers charge the store with", mwh(p.BoilersToStoreKW)},
		{"the store loses", mwh(p.StoreLossKW)},
		{"sun left unused", mwh(p.SpilledSunKW)},
		{"fuel, net calorific value", mwh(p.FuelKW)},
	}
	if p.OnOff != nil {
		rows = append(rows, struct{ name, value string }{"boilers at their lowest fire let go", mwh(p.VentedKW)})
	}
	if p.MovedKW != nil {
		rows = slices.Insert(rows, 1, struct{ name, value string }{"  of it at hours that the plan chose", mwh(p.MovedKW)})
	}
	for _, r := range rows {
		fmt.Fprintf(&b, "%-36s %12s MWh/a\n", r.name, r.value)
	}
	fmt.Fprintf(&b, "%-36s %12s %s/a\n", "fuel and power cost", Whole(p.AnnualCost), p.Currency)
	onOffText(&b, p.OnOff, p.Currency)
	movableText(&b, p.Movable, p.Currency)
	idleText(&b, p.Idle)
	guideText(&b, p)
	what := "Proven the least cost to %s of itself"
	if p.OnOff != nil {
		what = "The bound is proven to %s of itself"
	}
	fmt.Fprintf(&b, "\n"+what+", with the whole year's sun and load known beforehand:\nan operator without that knowledge saves less.\n%s\n",
		Tiny(p.Proof.DualityGap), Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

func total(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum
}

// ScheduleFiles draws a week and the year of the plan into dir and the guide line as a sheet for
// the wall, writes their figures beside them, and returns the paths.
func ScheduleFiles(dir string, p answer.Plan, week answer.Week) ([]string, error) {
	files := []file{{"schedule.csv", func(w io.Writer) error { return ScheduleCSV(w, p) }}}
	files = append(files, pictures("week", weekChart(p, week))...)
	files = append(files, pictures("year", yearChart(p))...)
	files = append(files, guideFiles(p)...)
	slices.SortFunc(files, func(a, b file) int { return strings.Compare(a.name, b.name) })
	return writeFiles(dir, files)
}

func weekChart(p answer.Plan, week answer.Week) chart.Week {
	n := pictured(p.Axis.StepH())
	part := func(v []float64) []float64 { return meansOf(v[week.From:week.To], n) }
	first, last := p.Axis.At(week.From), p.Axis.At(week.To-1)
	c := chart.Week{
		Title:    fmt.Sprintf("Sun, store and boilers from %s to %s", first.Format("2 January"), last.Format("2 January 2006")),
		Subtitle: fmt.Sprintf("%s, %s m³; plan of least fuel cost; means of %s min, local standard time", p.Scenario, Volume(p.VolumeM3), Volume(float64(n)*p.Axis.StepH()*60)),
		Start:    first, StepH: float64(n) * p.Axis.StepH(),
		DemandKW: part(p.DemandKW), SunKW: part(p.SunToHeaderKW), StoreKW: part(p.StoreOutKW), BoilerKW: part(p.BoilerKW),
		SunToStoreKW: part(p.SunToStoreKW), SpilledKW: part(p.SpilledSunKW),
	}
	if p.CapacityKWh > 0 {
		for t := week.From; t <= week.To; t += n {
			c.StoredKWh = append(c.StoredKWh, p.StoredKWh[t])
		}
		c.CapacityKWh = p.CapacityKWh
		c.HoldKWh = meansOf(weekHold(p, week), n)
	}
	return c
}

// pictured is how many steps a picture of a week draws as one: none shows less than 5 min.
func pictured(stepH float64) int {
	const leastMin = 5
	n := 1
	for stepMin := stepH * 60; float64(n)*stepMin < leastMin-1e-9 || !whole(60/(float64(n)*stepMin)); n++ {
	}
	return n
}

func whole(x float64) bool { return math.Abs(x-math.Round(x)) < 1e-9 }

// meansOf is the mean of each n values; nil stays nil.
func meansOf(v []float64, n int) []float64 {
	if n == 1 || v == nil {
		return v
	}
	out := make([]float64, len(v)/n)
	for i := range out {
		out[i] = total(v[i*n:(i+1)*n]) / float64(n)
	}
	return out
}

func yearChart(p answer.Plan) chart.YearMap {
	h := p.Axis.StepH()
	sum := func(kW []float64) string { return Whole(total(kW)*h/1000) + " MWh a year" }
	m := chart.YearMap{
		Title:    "The year, hour by day",
		Subtitle: fmt.Sprintf("%s, %s m³; plan of least fuel cost; local standard time", p.Scenario, Volume(p.VolumeM3)),
		Start:    p.Axis.At(0), StepH: h,
		Maps: []chart.Map{
			{Name: "Sun to the header, kW", Note: sum(p.SunToHeaderKW), Values: p.SunToHeaderKW, Tone: chart.SunTone},
			{Name: "Out of the store, kW", Note: sum(p.StoreOutKW), Values: p.StoreOutKW, Tone: chart.StoreTone},
			{Name: "Heat in the store, kWh", Values: p.StoredKWh[1:], Tone: chart.StoreTone},
			{Name: "Boilers, kW", Note: sum(p.BoilerKW), Values: p.BoilerKW, Tone: chart.BoilerTone},
		},
	}
	return m
}
