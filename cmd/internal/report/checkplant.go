package report

import (
	"fmt"
	"io"
	"strings"
	"time"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

// plantChart is the plant of a scenario as a one-line diagram.
func plantChart(u answer.Understood) chart.Plant {
	s := u.Plant
	d := chart.Plant{Title: u.Scenario, Subtitle: "The plant as it was understood. Steam and heat are the most of any step; a year's heat is MWh/a.", HeatName: "steam"}
	for i, h := range s.Headers {
		x := chart.PlantHeader{Name: h.Name, FromAbove: h.FromAbove, Figures: []string{barG(h.BarG), degC(h.TempC), "feedwater " + degC(h.FeedwaterC)}}
		if h.Carrier != "" {
			x.Figures = []string{h.Carrier, Whole(h.TempC) + " to " + degC(h.FeedwaterC)}
		}
		if h.From != "" {
			x.Figures = append(x.Figures, "heated from "+h.From)
		}
		if h.PeakKW > 0 {
			x.Figures = append(x.Figures, "loads at most "+flow(h.PeakKW, h.PeakKgH))
		}
		switch {
		case !h.FromAbove || i == 0:
		case h.Carrier != "":
			x.ValveName = "exchanger"
		default:
			x.Valve = []string{fmt.Sprintf("%s to %s", short(s.Headers[i-1].BarG), barG(h.BarG))}
		}
		d.Headers = append(d.Headers, x)
	}
	for _, f := range s.Fields {
		d.Fields = append(d.Fields, chart.PlantField{Name: f.Name, Figures: fieldFigures(f), Headers: f.Headers, Stores: f.Stores})
	}
	for _, st := range s.Stores {
		d.Stores = append(d.Stores, storePart(st, s.Headers))
	}
	for _, b := range s.Boilers {
		x := chart.PlantPart{Name: b.Name, Header: b.Header, Figures: []string{flow(b.CapacityKW, b.KgH)}}
		burns := short(100*b.NetEff) + " %"
		if b.Fuel != "" {
			burns = b.Fuel + ", " + burns
		}
		x.Figures = append(x.Figures, burns)
		d.Boilers = append(d.Boilers, x)
	}
	for _, l := range s.Loads {
		d.Loads = append(d.Loads, chart.PlantPart{Name: l.Name, Header: l.Header, Figures: []string{
			"at most " + flow(l.PeakKW, l.PeakKgH), amount(l.KWh/1000) + " MWh/a",
		}})
	}
	return d
}

func storePart(st answer.SchemeStore, headers []answer.SchemeHeader) chart.PlantStore {
	x := chart.PlantStore{FromHeader: st.FromHeaderKW > 0, From: st.From}
	x.PlantPart = chart.PlantPart{Name: st.Name, Header: st.Header, Figures: []string{
		fmt.Sprintf("%s m³, %s kWh", Volume(st.VolumeM3), Whole(st.CapacityKWh)),
		fmt.Sprintf("%s, %s to %s", barG(st.WorkingBarG), Whole(st.HotC), degC(st.FloorC)),
		fmt.Sprintf("gives at most %s kW", Whole(st.DischargeKW)),
	}}
	switch {
	case x.FromHeader && st.From != st.Header:
		x.Figures = append(x.Figures, fmt.Sprintf("charged from %s too, at most %s kW", headers[st.From].Name, Whole(st.FromHeaderKW)))
	case x.FromHeader:
		x.Figures = append(x.Figures, fmt.Sprintf("charged by boilers too, at most %s kW", Whole(st.FromHeaderKW)))
	}
	return x
}

func fieldFigures(f answer.SchemeField) []string {
	size := fmt.Sprintf("%d collectors, %s m²", f.Collectors, Whole(f.AreaM2))
	if f.ApertureM2 > 0 {
		size = fmt.Sprintf("%d of %s m², %s m²", f.Collectors, Volume(f.ApertureM2), Whole(f.AreaM2))
	}
	out := []string{size}
	if f.Tracking != "" {
		out = append(out, f.Tracking)
	}
	if f.WarmsToC > 0 {
		out = append(out, fmt.Sprintf("warms feedwater, %s to %s", Whole(f.WarmsFromC), degC(f.WarmsToC)))
	}
	return append(out, fmt.Sprintf("at most %s kW, %s MWh/a", Whole(f.PeakKW), amount(f.KWh/1000)))
}

func short(v float64) string  { return strings.TrimSuffix(Tenths(v), ".0") }
func barG(bar float64) string { return short(bar) + " bar(g)" }
func degC(tC float64) string  { return Whole(tC) + " °C" }

// flow is heat and, where it is known, the steam that carries it.
func flow(kW, kgH float64) string {
	if kgH == 0 {
		return Whole(kW) + " kW"
	}
	return fmt.Sprintf("%s kW, %s kg/h", Whole(kW), Whole(kgH))
}

// dayRows are the lines of a day's balance.
var dayRows = []struct {
	name, unit string
	of         func(d answer.DesignDay) float64
}{
	{"sun, direct normal", "kWh/m²", func(d answer.DesignDay) float64 { return d.DNIKWhM2 }},
	{"sun on the apertures", "kWh", func(d answer.DesignDay) float64 { return d.SunKWh }},
	{"heat from it at the header", "kWh", func(d answer.DesignDay) float64 { return d.HeaderKWh }},
	{"... at the store's hottest", "kWh", func(d answer.DesignDay) float64 { return d.StoreKWh }},
	{"demand", "kWh", func(d answer.DesignDay) float64 { return d.DemandKWh }},
	{"sun serves as it comes", "kWh", func(d answer.DesignDay) float64 { return d.DirectKWh }},
	{"surplus at the header", "kWh", func(d answer.DesignDay) float64 { return d.SurplusKWh }},
	{"... that a store can take", "kWh", func(d answer.DesignDay) float64 { return d.SurplusStoreKWh }},
	{"store that it fills", "m³", func(d answer.DesignDay) float64 { return d.StoreM3 }},
	{"boilers without a store", "kWh", func(d answer.DesignDay) float64 { return d.BoilersKWh }},
	{"... most of any step", "kW", func(d answer.DesignDay) float64 { return d.BoilersPeakKW }},
	{"... with all surplus stored", "kWh", func(d answer.DesignDay) float64 { return d.BoilersAtBestKWh }},
}

// designDays prints the days' balances side by side.
func designDays(b *strings.Builder, days []answer.DesignDay) {
	if len(days) == 0 {
		return
	}
	t := table{names: 2, head: [][]string{{"", ""}, {"", ""}, {"", ""}}}
	for _, d := range days {
		first, last := d.Which, ""
		if i := strings.Index(d.Which, " "); i > 0 {
			first, last = d.Which[:i], d.Which[i+1:]
		}
		date := d.Date
		if at, err := time.Parse(time.DateOnly, d.Date); err == nil {
			date = at.Format("Mon 2 Jan")
		}
		t.head[0] = append(t.head[0], first)
		t.head[1] = append(t.head[1], last)
		t.head[2] = append(t.head[2], date)
	}
	for _, row := range dayRows {
		cells := []string{row.name, row.unit}
		for _, d := range days {
			v := Whole(row.of(d))
			if row.unit == "kWh/m²" || row.unit == "m³" {
				v = Tenths(row.of(d))
			}
			cells = append(cells, v)
		}
		t.rows = append(t.rows, cells)
	}
	fmt.Fprint(b, "\nDESIGN DAYS: THE DAY'S HEAT, WITH NOTHING SOLVED\n")
	t.write(b)
	entry(b, "", "Heat at the header is what serves and the surplus; demand is what the sun serves and the boilers. A working day asks for half of the busiest day's heat or more.")
}

// CheckFiles draws the plant and its weather into dir, writes what was understood beside them, and returns the paths.
func CheckFiles(dir string, u answer.Understood) ([]string, error) {
	files := []file{{"check.json", func(w io.Writer) error { return JSON(w, u) }}}
	files = append(files, pictures("plant", plantChart(u))...)
	return writeFiles(dir, append(files, pictures("weather", weatherChart(u))...))
}
