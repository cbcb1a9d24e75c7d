package scenarios

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"os"
	"path"
	"slices"
	"strings"

	"noonkeep/demand"
	"noonkeep/plant"
	"noonkeep/plant/clock"
)

// mostWorkbookBytes is the size up to which a workbook is held that does not lie in a file of its own.
const mostWorkbookBytes = 64 << 20

// doubtfulFillH is from how many filled hours of a year on the filling is told as a doubt too.
const doubtfulFillH = 876

// logLoad is heat by a meter's log.
func (b *builder) logLoad(f loadFile, load *Consumer) profile {
	g := f.Log
	if f.hasHours() {
		b.add(f.At, "has hours or a season beside a log, which is taken as measured; want one of the two")
		return nil
	}
	form, ok := b.logForm(g)
	kWhPer := b.meterHeat(g, form.Unit, load.Header)
	if !ok || !(kWhPer > 0) || b.logFaulty(g) {
		return nil
	}
	r, err := b.opened(g.File)
	if err != nil {
		return nil
	}
	defer r.Close()
	log, err := readLog(r, form)
	if err != nil {
		b.wrap(g.File.at, err)
		return nil
	}
	use := demand.LogUse{KWhPer: kWhPer, Move: g.Year.s == "shift", Gaps: map[string]demand.GapRule{"fill": demand.FillGaps, "refuse": demand.RefuseGaps, "fill anyway": demand.FillAnyway}[g.Gaps.s]}
	year, err := log.On(b.c.Axis, use)
	if err != nil {
		b.wrap(g.File.at, err)
		return nil
	}
	b.logDoubts(g, log, year)
	load.Says = logSays(log, year)
	if year.FilledH > 0 {
		load.Filled = year.Filled
	}
	load.AtBoiler = g.Meters.s == "fuel" // a boiler's fuel makes the deaerator's steam too
	return func() (clock.KW, []demand.Part, error) { return year.KW, year.Parts, nil }
}

// logFaulty tells whether a fault of the log's keys is noted.
func (b *builder) logFaulty(g *logFile) bool {
	return slices.ContainsFunc(b.faults.list, func(e *Error) bool { return strings.HasPrefix(e.Key, g.At.key) })
}

// readLog reads a log, and a workbook by its content.
func readLog(r io.Reader, form demand.LogForm) (*demand.Log, error) {
	if file, ok := r.(interface {
		io.ReaderAt
		Stat() (os.FileInfo, error)
	}); ok {
		head := make([]byte, 4)
		info, err := file.Stat()
		if n, _ := file.ReadAt(head, 0); err == nil && demand.IsWorkbook(head[:n]) {
			return demand.ReadWorkbookLog(file, info.Size(), form)
		}
		return demand.ReadLog(r, form)
	}
	in := bufio.NewReader(r)
	if head, _ := in.Peek(4); !demand.IsWorkbook(head) {
		return demand.ReadLog(in, form)
	}
	data, err := io.ReadAll(io.LimitReader(in, mostWorkbookBytes+1))
	if err != nil {
		return nil, err
	}
	if len(data) > mostWorkbookBytes {
		return nil, fmt.Errorf("is over %d MB; want a workbook that lies in a file, or CSV", mostWorkbookBytes>>20)
	}
	return demand.ReadWorkbookLog(bytes.NewReader(data), int64(len(data)), form)
}

// logForm turns the keys into what the reader must know; false for a fault.
func (b *builder) logForm(g *logFile) (demand.LogForm, bool) {
	form := demand.LogForm{
		Source: path.Base(strings.ReplaceAll(g.File.s, `\`, "/")), Time: g.Time.s, TimeOfDay: g.TimeOfDay.s, Value: g.Value.s, Sheet: g.Sheet.s,
		Scale: g.Scale.base(), RollOver: g.RollOver.base(), AtEnd: g.Times.s == "end", Negative: g.BelowZero.s == "count as 0",
		LongestGap: hours(g.Longest.base()), Stuck: hours(g.Stuck.base()),
		Dates:     map[string]demand.DateOrder{"day-month-year": demand.DayMonthYear, "month-day-year": demand.MonthDayYear, "year-month-day": demand.YearMonthDay}[g.Dates.s],
		Decimal:   map[string]byte{"point": '.', "comma": ','}[g.Decimal.s],
		Delimiter: map[string]byte{"comma": ',', "semicolon": ';', "tab": '\t', "bar": '|'}[g.Delimiter.s],
		Step:      b.c.Axis.Step, Zone: b.c.Axis.Start.Location(), Calendar: b.c.Calendar,
	}
	for _, t := range g.Missing {
		form.Missing = append(form.Missing, t.s)
	}
	if !g.Unit.set {
		return form, false
	}
	unit, err := demand.ParseLogUnit(g.Unit.s)
	if err != nil {
		b.add(g.Unit.at, "%v", err)
		return form, false
	}
	form.Unit = unit
	return form, b.logCounts(g, &form) && b.logClock(g, &form)
}

// logCounts sets what a value is, which a quantity alone does not say.
func (b *builder) logCounts(g *logFile, form *demand.LogForm) bool {
	switch counts := g.Counts.s; {
	case counts == "" && form.Unit.Total:
		b.add(g.Counts.at, "is missing, and %s may be a counter's reading or what came in each interval; write counts: total or counts: interval", quoted(form.Unit.Text))
		return false
	case counts == "rate" && form.Unit.Total:
		b.add(g.Counts.at, "is rate, and %s is a quantity; want a unit such as t/h, or counts: total or counts: interval", quoted(form.Unit.Text))
		return false
	case counts != "" && counts != "rate" && !form.Unit.Total:
		b.add(g.Counts.at, "is %s, and %s is a rate; want a unit such as t, or counts: rate", counts, quoted(form.Unit.Text))
		return false
	case counts == "total":
		form.Counts = demand.Counter
		if g.Times.set {
			b.doubtAt(g.Times.at, "has no effect on a counter, which is read in a moment")
		}
		b.unassume(g.Times.key)
		return true
	case counts == "interval":
		form.Counts = demand.Interval
	}
	if g.RollOver.set {
		b.add(g.RollOver.at, "is for a counter, and the log has none; want counts: total, or no roll_over")
		return false
	}
	return true
}

// logClock sets the clock, which must be written where the plant's wall has another.
func (b *builder) logClock(g *logFile, form *demand.LogForm) bool {
	summer := !b.c.Calendar.Summer.IsZero()
	switch g.Clock.s {
	case "":
		if summer {
			b.add(g.Clock.at, "is missing, and the plant has summer time; write clock: wall if the log follows it, clock: standard if not, or clock: UTC")
			return false
		}
		b.note(g.Clock.key, "standard", "the log is stamped in local standard time all year")
	case "wall":
		if !summer {
			b.add(g.Clock.at, "is wall, and the plant has no summer time; write time.summer_time, or clock: standard")
			return false
		}
		form.Clock = demand.WallClock
	case "UTC":
		form.Clock = demand.UTC
	}
	return true
}

// logDoubts tells what the log has that one should know.
func (b *builder) logDoubts(g *logFile, log *demand.Log, year demand.LogYear) {
	for _, n := range log.Notes {
		place := log.Source
		if n.Line > 0 {
			place = fmt.Sprintf("%s:%d", log.Source, n.Line)
		}
		b.doubtAt(g.File.at, "%s: %s", place, n.Text)
	}
	for _, text := range year.Notes {
		b.doubtAt(g.Year.at, "%s: %s", log.Source, text)
	}
	if year.FilledH >= doubtfulFillH {
		b.doubtAt(g.Gaps.at, "%.0f h of the year have no rows and are filled from other weeks", year.FilledH)
	}
}

// logSays is the log in a few words.
func logSays(log *demand.Log, year demand.LogYear) string {
	text := fmt.Sprintf("as logged in %s, %d rows %s to %s", log.Source, log.Rows, log.First.Format("2006-01-02"), log.Last.Format("2006-01-02"))
	if year.FilledH > 0 {
		text += fmt.Sprintf(", %.4g h filled", year.FilledH)
	}
	return text
}

// meterHeat is the heat at the header, kWh, in a kg, kWh or m3 of what the meter counts; 0 with a fault noted when it cannot be known.
func (b *builder) meterHeat(g *logFile, unit demand.LogUnit, header int) float64 {
	if unit.Base == 0 {
		return 0
	}
	if g.Meters.s == "fuel" {
		return b.fuelMeter(g, unit, header)
	}
	for _, t := range []text{g.Boiler, g.Basis} {
		if t.set {
			b.doubtAt(t.at, "has no effect on a meter of steam")
		}
	}
	switch unit.Dim {
	case demand.Mass:
		if h := b.c.Headers[header]; h.Medium != nil {
			b.add(g.Unit.at, "%s is of steam, and header %s carries %v; want heat", quoted(unit.Text), quoted(h.Name), h.Medium)
		}
		return b.c.Headers[header].HeatKJKg / 3600
	case demand.Volume:
		b.add(g.Unit.at, "%s is of fuel; want the steam's mass or heat, or meters: fuel", quoted(unit.Text))
		return 0
	}
	return 1
}

// fuelMeter is the same for a meter of fuel: its net calorific value times the boiler's efficiency.
func (b *builder) fuelMeter(g *logFile, unit demand.LogUnit, header int) float64 {
	var names []string
	for _, x := range b.f.Boilers {
		names = append(names, x.Name.s)
	}
	if !g.Boiler.set && len(names) > 1 {
		b.add(g.Boiler.at, "is missing, and there are %d; write the one whose fuel is metered, of %s", len(names), andList(names))
		return 0
	}
	i := b.pick("boiler", g.Boiler, g.At, names)
	if i < 0 {
		return 0
	}
	for _, x := range b.c.Boilers {
		if x.Name != names[i] {
			continue
		}
		if x.Header != header {
			b.doubtAt(g.Boiler.at, "%s feeds header %s, and the load takes from %s", quoted(x.Name), quoted(b.c.Headers[x.Header].Name), quoted(b.c.Headers[header].Name))
		}
		b.fullLoad(g.Boiler.at, x.Boiler)
		return b.netPer(g, unit, x.Fuel) * x.NetEfficiency()
	}
	return 0 // the boiler has a fault, which is noted
}

// netPer is the net heat in a kg, kWh or m3 of fuel.
func (b *builder) netPer(g *logFile, unit demand.LogUnit, fuel plant.Fuel) float64 {
	if unit.Dim == demand.Energy {
		switch {
		case !g.Basis.set:
			b.add(g.Basis.at, "is missing; write basis: gross if the meter counts by gross calorific value, as gas is mostly billed, or basis: net")
			return 0
		case g.Basis.s == "net":
			return 1
		case !(fuel.GrossPerNet >= 1):
			b.add(g.Basis.at, "is gross; write gross_per_net of the fuel %s, the gross over the net calorific value", quoted(fuel.Name))
			return 0
		}
		return 1 / fuel.GrossPerNet
	}
	if g.Basis.set {
		b.doubtAt(g.Basis.at, "has no effect on fuel metered in %s", unit.Text)
	}
	dim := map[demand.Dimension]string{demand.Mass: byMass, demand.Volume: byVolume}[unit.Dim]
	for _, f := range b.f.Fuels {
		if f.Name.s != fuel.Name {
			continue
		}
		u := burnt{fuelFile: f, gross: f.Gross.base()}
		name := f.Name.s
		if f.Like.set {
			name = f.Like.s
		}
		if like, err := plant.FuelKindByName(name); err == nil {
			u.like, u.generic = like, true
		}
		by := amount{at: g.Unit.at, quantity: quantity{num: 1, unit: unitOf(unit.Text)}}
		return b.heatPer(u, dim, by)
	}
	return 0
}

func unitOf(text string) unit { return of(text, 1, 1) }
