package scenarios

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"noonkeep/plant/sky"
)

// weatherFiles reads the weather of one or several files.
func (b *builder) weatherFiles(f weatherFile) {
	if f.Seed.set {
		b.doubtAt(f.Seed.at, "has no effect on a weather file")
	}
	in, late, options, ok := b.weatherInput(f)
	if !ok {
		return
	}
	place := late[0].name.at
	year, err := sky.ReadFiles(in, options)
	failed := false
	for _, file := range late {
		failed = file.close() || failed
	}
	if failed { // which is noted
		return
	}
	if err != nil {
		b.wrap(place, err)
		return
	}
	b.c.Weather = year
	b.weatherNotes(place, late[0].name.s, year)
}

// weatherNotes tells what a weather year has that one should know.
func (b *builder) weatherNotes(place at, name string, year sky.Year) {
	for _, note := range year.Notes {
		said := note.Text
		if note.Line > 0 {
			said = fmt.Sprintf("line %d: %s", note.Line, said)
		}
		if note.File != "" {
			name = note.File
		}
		b.doubtAt(place, "%s: %s", filepath.Base(name), said)
	}
}

// weatherInput gives the files, each opened when its turn comes, and how they are to be read; false for a fault.
func (b *builder) weatherInput(f weatherFile) (in []sky.Input, late []*lateFile, options sky.ReadOptions, ok bool) {
	names := f.Files
	if f.File.set {
		names = []text{f.File}
	}
	for _, name := range names {
		file := &lateFile{b: b, name: name}
		late = append(late, file)
		in = append(in, sky.Input{Name: name.s, R: file})
	}
	options = sky.ReadOptions{
		Axis: b.c.Axis, Place: &b.c.Place, FillLongGaps: f.FillGaps.yes, MostGap: hours(f.MostGap.base()), Year: int(f.Year.base()),
	}
	if f.LightOffset.set {
		offset := hours(f.LightOffset.base())
		options.LightOffset = &offset
	}
	for _, c := range f.Air {
		options.AirC = append(options.AirC, c.base())
	}
	if n := len(f.Air); n > 1 && n != 12 {
		b.add(f.Air[0].at, "stands with %d values; want twelve monthly means, or one", n)
		return nil, nil, options, false
	}
	plain, ok := b.plainWeather(f)
	options.Plain = plain
	return in, late, options, ok && len(in) > 0
}

// lateFile opens a file that a scenario names when it is first read, and closes it at its end.
type lateFile struct {
	b      *builder
	name   text
	r      io.ReadCloser
	failed bool
	done   bool
}

func (l *lateFile) Read(p []byte) (int, error) {
	if l.done || l.failed {
		return 0, io.EOF
	}
	if l.r == nil {
		r, err := l.b.opened(l.name)
		if err != nil {
			l.failed = true
			return 0, err
		}
		l.r = r
	}
	n, err := l.r.Read(p)
	if err != nil {
		l.close()
	}
	return n, err
}

// close closes a file that is open, and tells whether it could not be opened.
func (l *lateFile) close() bool {
	if l.r != nil && !l.done {
		l.r.Close()
	}
	l.done = l.r != nil
	return l.failed
}

// plainWeather turns the keys of a plain CSV into its form; nil where there are none, false for a fault.
func (b *builder) plainWeather(f weatherFile) (*sky.Plain, bool) {
	c := f.Columns
	if c == nil {
		for _, t := range []text{f.Times, f.Clock, f.Dates, f.Decimal, f.Delimiter} {
			if t.set {
				b.doubtAt(t.at, "has no effect without columns, which only a plain CSV has")
			}
		}
		if len(f.Missing) > 0 {
			b.doubtAt(f.Missing[0].at, "has no effect without columns, which only a plain CSV has")
		}
		return nil, true
	}
	before := len(b.faults.list)
	form := &sky.Plain{
		UTC:       f.Clock.s == "UTC",
		Label:     map[string]sky.Label{"start": sky.LabelStart, "end": sky.LabelEnd, "middle": sky.LabelMiddle, "instant": sky.LabelInstant}[f.Times.s],
		Dates:     map[string]sky.DateOrder{"day-month-year": sky.DayMonthYear, "month-day-year": sky.MonthDayYear, "year-month-day": sky.YearMonthDay}[f.Dates.s],
		Decimal:   map[string]byte{"point": '.', "comma": ','}[f.Decimal.s],
		Delimiter: map[string]byte{"comma": ',', "semicolon": ';', "tab": '\t', "bar": '|'}[f.Delimiter.s],
	}
	for _, t := range f.Missing {
		form.Missing = append(form.Missing, t.s)
	}
	if !f.Times.set && !f.Times.bad() {
		b.add(f.Times.at, "is missing, and the sun must be known to the minute; write times: start, end or middle of the interval that a row is the mean of, or times: instant")
	}
	if !f.Clock.set && !f.Clock.bad() {
		b.add(f.Clock.at, "is missing; write clock: standard for the site's local standard time without summer time, or clock: UTC")
	}
	b.plainTime(c, form)
	for _, col := range []struct {
		name string
		from *columnFile
		to   *sky.Column
	}{{"ghi", c.GHI, &form.GHI}, {"dni", c.DNI, &form.DNI}, {"dhi", c.DHI, &form.DHI}, {"air", c.Air, &form.Air}, {"wind", c.Wind, &form.Wind}} {
		if col.from != nil {
			b.plainColumn(col.name, col.from, col.to)
		}
	}
	if len(b.faults.list) == before {
		if err := form.Check(); err != nil {
			b.wrap(c.At, err)
		}
	}
	return form, len(b.faults.list) == before
}

// plainTime sets the columns of the time.
func (b *builder) plainTime(c *columnsFile, form *sky.Plain) {
	switch {
	case c.Time.set && len(c.TimeParts) > 0:
		b.add(c.Time.at, "stands beside time_parts; want one of the two")
	case len(c.TimeParts) > 0:
		for _, t := range c.TimeParts {
			form.Time = append(form.Time, t.s)
		}
		if n := len(form.Time); n < 3 || n > 5 {
			b.add(c.TimeParts[0].at, "stands with %d columns; want year, month, day, and as far as there are such hour and minute", n)
		}
	case !c.Time.set:
		b.add(c.Time.at, "is missing; write the name of the column with date and time, or its number")
	default:
		form.Time = []string{c.Time.s}
		if c.TimeOfDay.set {
			form.Time = append(form.Time, c.TimeOfDay.s)
		}
	}
}

// plainColumn sets a column and its unit, which must be written.
func (b *builder) plainColumn(name string, from *columnFile, to *sky.Column) {
	to.Name = from.Column.s
	if !from.Unit.set {
		eg := map[string]string{"air": "degC", "wind": "m/s"}[name]
		if eg == "" {
			eg = "W/m2"
		}
		if said := sky.UnitInName(name, from.Column.s); said != "" {
			b.add(from.Unit.at, "is missing; the column's name says %s", quoted("unit: "+said))
			return
		}
		b.add(from.Unit.at, "is missing; write for example %s", quoted("unit: "+eg))
		return
	}
	unit, err := sky.ParseUnit(name, from.Unit.s)
	if err != nil {
		b.add(from.Unit.at, "%s", strings.TrimSpace(err.Error())).Err = err
		return
	}
	to.Unit = unit
}
