package report

import (
	"fmt"
	"io"
	"math"
	"slices"
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
		if h.PeakKW > 0 {
			x.Figures = append(x.Figures, "loads at most "+flow(h.PeakKW, h.PeakKgH))
		}
		if h.FromAbove && i > 0 {
			x.Valve = []string{fmt.Sprintf("%s to %s", short(s.Headers[i-1].BarG), barG(h.BarG))}
		}
		d.Headers = append(d.Headers, x)
	}
	for _, f := range s.Fields {
		d.Fields = append(d.Fields, chart.PlantField{Name: f.Name, Figures: fieldFigures(f), Headers: f.Headers, Stores: f.Stores})
	}
	for _, st := range s.Stores {
		x := chart.PlantStore{FromHeader: st.FromHeaderKW > 0, From: st.From}
		x.PlantPart = chart.PlantPart{Name: st.Name, Header: st.Header, Figures: []string{
			fmt.Sprintf("%s m³, %s kWh", Volume(st.VolumeM3), Whole(st.CapacityKWh)),
			fmt.Sprintf("%s, %s to %s", barG(st.WorkingBarG), Whole(st.HotC), degC(st.FloorC)),
			fmt.Sprintf("gives at most %s kW", Whole(st.DischargeKW)),
		}}
		switch {
		case x.FromHeader && st.From != st.Header:
			x.Figures = append(x.Figures, fmt.Sprintf("charged from %s too, at most %s kW", s.Headers[st.From].Name, Whole(st.FromHeaderKW)))
		case x.FromHeader:
			x.Figures = append(x.Figures, fmt.Sprintf("charged by boilers too, at most %s kW", Whole(st.FromHeaderKW)))
		}
		d.Stores = append(d.Stores, x)
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
	for _, row := range []struct {
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
	} {
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

// lightText says how the weather's light lies to the sun.
func lightText(b *strings.Builder, l answer.SkyWay) {
	months := [2][]string{{"month"}, {"min"}}
	for m, v := range l.ClearDaysMin {
		months[0] = append(months[0], monthNames[m])
		if v == nil {
			months[1] = append(months[1], "-")
		} else {
			months[1] = append(months[1], signed(*v))
		}
	}
	fmt.Fprint(b, "\nTHE WEATHER'S CLOCK: MIDDLE OF CLEAR DAYS' LIGHT AFTER THE SUN'S NOON\n")
	table{names: 1, head: months[:1], rows: months[1:]}.write(b)
	entry(b, "", lightVerdict(l))
}

var monthNames = [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}

// mistimedMin is how far the middle of clear days' light may lie from noon before that is told; weather scatters it by
// some 10 min.
const mistimedMin = 20

func lightVerdict(l answer.SkyWay) string {
	var off []string
	var lo, hi float64
	for m, v := range l.ClearDaysMin {
		if v == nil || math.Abs(*v) < mistimedMin {
			continue
		}
		if off = append(off, monthNames[m]); len(off) == 1 {
			lo, hi = *v, *v
		}
		lo, hi = min(lo, *v), max(hi, *v)
	}
	text := "It follows the sun"
	if len(off) > 0 {
		by := signed(lo)
		if signed(hi) != by {
			by += " to " + signed(hi)
		}
		when := andList(off)
		if len(off) == len(monthNames) {
			when = "every month"
		}
		text = fmt.Sprintf("In %s it is off the sun's noon by %s min: look at weather.svg (--out), and under DOUBTFUL", when, by)
	}
	if l.DarkDNI < leastDark && l.DarkGHI < leastDark {
		return text + "; no light stands where the sun is down."
	}
	return text + fmt.Sprintf("; %s %% of the direct and %s %% of the global light stand where the sun is down.", darkShare(l.DarkDNI), darkShare(l.DarkGHI))
}

// lightDoubtful tells whether the light is off the sun's noon in some month, or stands in the dark.
func lightDoubtful(l answer.SkyWay) bool {
	return l.DarkDNI >= leastDark || l.DarkGHI >= leastDark || slices.ContainsFunc(l.ClearDaysMin[:], func(v *float64) bool { return v != nil && math.Abs(*v) >= mistimedMin })
}

// signed prints whole minutes with their sign.
func signed(v float64) string {
	if v = math.Round(v); v == 0 {
		return "0"
	}
	return fmt.Sprintf("%+.0f", v)
}

// leastDark is a share of light in the dark that rounding and refraction explain.
const leastDark = 5e-5

func darkShare(frac float64) string {
	switch {
	case frac == 0:
		return "0"
	case frac < leastDark:
		return "under 0.01"
	}
	return fmt.Sprintf("%.2f", 100*frac)
}

// CheckFiles draws the plant and its weather into dir, writes what was understood beside them, and returns the paths.
func CheckFiles(dir string, u answer.Understood) ([]string, error) {
	files := []file{{"check.json", func(w io.Writer) error { return JSON(w, u) }}}
	for _, f := range []struct {
		name   string
		figure chart.Figure
	}{{"plant", plantChart(u)}, {"weather", weatherChart(u)}} {
		files = append(files,
			file{f.name + ".svg", func(w io.Writer) error { return chart.WriteSVG(w, f.figure) }},
			file{f.name + ".png", func(w io.Writer) error { return chart.WritePNG(w, f.figure, 1) }})
	}
	return writeFiles(dir, files)
}

func weatherChart(u answer.Understood) chart.SkyMap {
	l := u.Light
	title := "The light follows the sun's way"
	if lightDoubtful(l) {
		title = "The light does not follow the sun's way: the weather's clock is doubtful"
	}
	return chart.SkyMap{
		YearMap: chart.YearMap{
			Title: title, Subtitle: l.Source + "; local standard time. Light outside the lines, or lopsided about noon, shows a file whose clock is off.",
			Start: l.Axis.At(0), StepH: l.Axis.StepH(),
			Maps: []chart.Map{
				{Name: "Direct normal, W/m²", Note: fmt.Sprintf("%s kWh/m² in the year, %s %% of it where the sun is down", Whole(l.DNIKWhM2), darkShare(l.DarkDNI)), Values: l.DNI, Tone: chart.SunTone},
				{Name: "Global horizontal, W/m²", Note: fmt.Sprintf("%s kWh/m² in the year, %s %% of it where the sun is down", Whole(l.GHIKWhM2), darkShare(l.DarkGHI)), Values: l.GHI, Tone: chart.BoilerTone},
			},
		},
		RiseH: l.RiseH, NoonH: l.NoonH, SetH: l.SetH,
	}
}
