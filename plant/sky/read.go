package sky

import (
	"errors"
	"fmt"
	"io"
	"time"

	"noonkeep/plant/clock"
)

// ReadOptions says how a weather file is to be put on the axis of a study. Only Axis must be given.
type ReadOptions struct {
	// Axis is the study's: whole days from midnight, as a rule [clock.NewYear]'s. The file's rows go to the same month, day
	// and hour, whatever year they were measured in.
	Axis clock.Axis

	// Place is the site. Nil takes the file's own; otherwise the sun is taken here, with UTCOffset as the axis has it, and a
	// file from elsewhere is told in a Note. A plain file, which has no place, needs it.
	Place *Place

	// LightOffset is where the light of a row stands, counted from the row's label. Nil takes the format's rule: -30 min
	// for an hour that ends at its label (TMY3, EPW), the stated offset or none for an instant. A row goes into the step
	// whose middle is nearest, and the sun is taken at the exact instant. Range -2 h to 2 h.
	LightOffset *time.Duration

	// MostGap is the longest gap in light or temperature that is bridged from its neighbours; 0 takes 3 h. Up to 48 h.
	MostGap time.Duration

	// FillLongGaps lets longer gaps be filled with the mean of the same hour in the 7 days before and after. False makes
	// such a gap an error.
	FillLongGaps bool

	// Year picks one of a file of several years; 0 wants a file of one.
	Year int

	// AirC is the temperature for a file that has none: twelve monthly means, or one value for all the year. Nil refuses
	// such a file.
	AirC []float64

	// Plain says how a plain CSV is written, which no content can tell. Nil recognises the known formats.
	Plain *Plain
}

const (
	widestLightOffset = 2 * time.Hour
	widestGap         = 48 * time.Hour
)

func (o ReadOptions) check() error {
	if err := o.Axis.Check(); err != nil {
		return err
	}
	start := o.Axis.Start
	if h, m, s := start.Clock(); h != 0 || m != 0 || s != 0 || start.Nanosecond() != 0 || o.Axis.End().Sub(start)%(24*time.Hour) != 0 {
		return fmt.Errorf("axis: runs from %s for %d steps; want whole days from midnight", start.Format("2 Jan 15:04:05"), o.Axis.N)
	}
	if off := o.LightOffset; off != nil && (*off < -widestLightOffset || *off > widestLightOffset) {
		return fmt.Errorf("light offset: is %v; want -2 h to 2 h from the label", *off)
	}
	if o.MostGap < 0 || o.MostGap > widestGap {
		return fmt.Errorf("most gap: is %v; want 0 to %v", o.MostGap, widestGap)
	}
	if n := len(o.AirC); n != 0 && n != 1 && n != 12 {
		return fmt.Errorf("temperature: has %d values; want twelve monthly means or one", n)
	}
	for _, c := range o.AirC {
		if k := known[air]; !(c >= k.lowest && c <= k.above) {
			return fmt.Errorf("temperature: is %g °C; want %g to %g", c, k.lowest, k.above)
		}
	}
	if o.Plain != nil {
		if err := o.Plain.Check(); err != nil {
			return err
		}
	}
	return o.checkPlace()
}

func (o ReadOptions) checkPlace() error {
	if o.Place == nil {
		return nil
	}
	if err := o.Place.Check(); err != nil {
		return err
	}
	if zone := zoneOf(o.Axis.Start); zone != o.Place.UTCOffset {
		return fmt.Errorf("axis: is at UTC%+g h, the place at UTC%+g h; want one clock", zone.Hours(), o.Place.UTCOffset.Hours())
	}
	return nil
}

func zoneOf(t time.Time) time.Duration {
	_, s := t.Zone()
	return time.Duration(s) * time.Second
}

// Read reads a weather file of one year and puts it on the axis of a study. The format is known by the content: TMY3 csv,
// EPW, PVGIS typical-year csv or json, NSRDB PSM csv, BSRN station-to-archive text; or a plain CSV by opt.Plain.
//
// An error begins with name and line. What can be mended is mended and told in the year's Notes; a file whose light
// looks mistimed is told there too, month by month, and never shifted unasked; so are the rows beyond the published quality
// limits, which stay as they are. TMY3 and EPW give light as the mean of the interval that ends at the label, temperature and
// wind as readings at the label; PVGIS and PSM rows are instants; BSRN's are means of the minute that begins at the label. The
// temperature of a step is the mean of straight lines between readings, its wind the reading at the end of its
// interval, so that no gust is averaged away. The file is read line by line; it takes some 3 MB for an hourly year and 100
// for one by the minute, whatever the file.
func Read(r io.Reader, name string, opt ReadOptions) (Year, error) {
	return ReadFiles([]Input{{Name: name, R: r}}, opt)
}

// onAxis judges a table, fills it and puts it on the axis.
func (t *table) onAxis(opt ReadOptions) (Year, error) {
	if err := t.settle(opt); err != nil {
		return Year{}, err
	}
	rule := opt.gaps()
	if err := t.present(rule); err != nil {
		return Year{}, err
	}
	offset := t.rule
	if opt.LightOffset != nil {
		offset = *opt.LightOffset
		t.note(0, "light is taken at the label %s, as told; the rule of the %s format is %s", minutes(offset), t.kind, minutes(t.rule))
	} else {
		t.sayStated()
	}
	if t.negative.n > 0 {
		t.noteRow(t.negative.first, "light is a little below 0 in %d rows, taken as 0; the first is line %d", t.negative.n, t.line(t.negative.first))
	}
	calendar := t.calendar(opt.Axis.Start.Year())
	suns := Suns(t.place, t.ownAxis(calendar), t.label-t.step()/2+offset)
	judged := t.judge(suns)
	if err := t.fill(suns, rule); err != nil {
		return Year{}, err
	}
	t.split(suns)
	t.checkTiming(calendar, offset)
	t.sayQuality(judged)
	return t.onto(opt, offset), nil
}

// settle makes the file's place and step sound, or refuses them.
func (t *table) settle(opt ReadOptions) error {
	name := t.name
	switch err := t.place.Check(); {
	case t.placeless && opt.Place == nil:
		return fmt.Errorf("%s:1: place: the file has none; want it given", name)
	case t.placeless:
		t.place = *opt.Place
	case err != nil && opt.Place == nil:
		return fmt.Errorf("%s:1: %w", name, err)
	case err != nil:
		t.note(1, "the file's place is not sound (%v): the site's is taken", err)
		t.place = *opt.Place
	}
	if opt.Place == nil {
		onClock := t.place
		onClock.UTCOffset = zoneOf(opt.Axis.Start)
		if err := onClock.Check(); err != nil {
			return fmt.Errorf("%s:1: the study's clock: %w", name, err)
		}
	}
	return t.compatible(opt.Axis)
}

// present refuses a year of which longer stretches are not in the file, and counts the rows that are not.
func (t *table) present(rule gapRule) error {
	rows, longest := 0, gap{}
	for _, g := range t.absent {
		rows += g.n
		if g.n > longest.n {
			longest = g
		}
	}
	if rows == 0 {
		return nil
	}
	line := t.line(longest.from)
	if time.Duration(longest.n)*t.step() > rule.most && !rule.long {
		return &PartError{File: t.fileOf(longest.from), Line: line, Year: t.year, Rows: rows, From: t.labelOf(longest.from), To: t.labelOf(longest.from + longest.n - 1)}
	}
	t.noteRow(t.absent[0].from, "%d rows of the year are not in the file and count as missing, the first after line %d", rows, t.line(t.absent[0].from))
	return nil
}

// labelOf is the label of row i, without its year.
func (t *table) labelOf(i int) string {
	year := 2001
	if t.leap {
		year = 2000
	}
	return time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(i)*t.step() + t.label).Format("2 Jan 15:04")
}

// PartError is a year of which the file has only a part.
type PartError struct {
	File     string
	Line     int
	Year     int    // 0 for a typical year
	Rows     int    // that are not in the file
	From, To string // labels of the longest part that is not
}

func (e *PartError) Error() string {
	year := "the year"
	if e.Year > 0 {
		year = fmt.Sprint(e.Year)
	}
	return fmt.Sprintf("%s:%d: rows: %d of %s are not in the file, from %s to %s; want a whole year", e.File, e.Line, e.Rows, year, e.From, e.To)
}

// sayStated tells what a comment says of the light, which does not count from the labels of its own file.
func (t *table) sayStated() {
	if t.statedAt == 0 {
		return
	}
	const hourEnds = 1. // such comments count from the hour's start; the label is its end
	told := time.Duration((t.stated + hourEnds) * float64(time.Hour)).Round(time.Second)
	t.note(t.statedAt, "the comment's light offset of %+.4g h counts as if labels were an hour later; from the labels as they are it is %s: if the months' light agrees, write \"light_offset: %s\"",
		t.stated, minutes(told), minutes(told))
}

// calendar is the year in which the table's sun is looked for: that of the rows where a format dates them, as nearly as the
// study's otherwise.
func (t *table) calendar(study int) int {
	if t.trueYear && t.year > 0 {
		return t.year
	}
	return study
}

// ownAxis is the file's year in its own clock: the calendar year nearest to the given one that has the file's days.
func (t *table) ownAxis(year int) clock.Axis {
	for d := 0; ; d++ {
		if isLeap(year+d) == t.leap {
			year += d
			break
		}
		if isLeap(year-d) == t.leap {
			year -= d
			break
		}
	}
	zone := time.FixedZone("file", int(t.zone/time.Second))
	return clock.Axis{Start: time.Date(year, 1, 1, 0, 0, 0, 0, zone), Step: t.step(), N: t.wanted()}
}

// compatible wants steps of which one is a multiple of the other.
func (t *table) compatible(a clock.Axis) error {
	if a.Step%t.step() == 0 || t.step()%a.Step == 0 {
		return nil
	}
	return fmt.Errorf("%s: step: the file has %d rows an hour, the study steps of %v; want one to be a multiple of the other",
		t.name, t.perHour, a.Step)
}

// minutes prints a duration as a scenario would write it: "+10 min".
func minutes(d time.Duration) string { return fmt.Sprintf("%+.4g min", d.Minutes()) }

// readTable reads a file of one year; for those who need no axis.
func readTable(r io.Reader, name string) (*table, error) {
	t, err := open([]Input{{Name: name, R: r}}, ReadOptions{}).next()
	if errors.Is(err, io.EOF) {
		return nil, fmt.Errorf("%s:0: rows: found none; want a year of them", name)
	}
	return t, err
}
