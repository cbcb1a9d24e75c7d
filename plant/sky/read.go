package sky

import (
	"fmt"
	"io"
	"math"
	"time"

	"noonkeep/plant/clock"
)

// ReadOptions says how a weather file is to be put on the axis of a study. Only Axis must be given.
type ReadOptions struct {
	// Axis is the study's: whole days from midnight, as a rule [clock.NewYear]'s. The file's rows go to the same month, day
	// and hour, whatever year they were measured in.
	Axis clock.Axis

	// Place is the site. Nil takes the file's own; otherwise the sun is taken here, with UTCOffset as the axis has it, and a
	// file from elsewhere is told in a Note.
	Place *Place

	// LightOffset is where the light of a row stands, counted from the row's label: -30 min for an hour that ends at
	// its label, which is the rule of both formats and what nil means. A row goes into the step whose middle is
	// nearest, and the sun is taken at the exact instant. Range -2 h to 2 h.
	LightOffset *time.Duration

	// FillLongGaps lets gaps of more than 3 h in light or temperature be filled with the mean of the same hour in the 7
	// days before and after. False makes such a gap an error.
	FillLongGaps bool
}

const widestLightOffset = 2 * time.Hour

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
	if o.Place == nil {
		return nil
	}
	if err := o.Place.Check(); err != nil {
		return err
	}
	if zone := zoneOf(start); zone != o.Place.UTCOffset {
		return fmt.Errorf("axis: is at UTC%+g h, the place at UTC%+g h; want one clock", zone.Hours(), o.Place.UTCOffset.Hours())
	}
	return nil
}

func zoneOf(t time.Time) time.Duration {
	_, s := t.Zone()
	return time.Duration(s) * time.Second
}

// Read reads a weather file of one year, TMY3 csv or EPW by its content, and puts it on the axis of a study.
//
// An error begins with name and line. What can be mended is mended and told in the year's Notes; a file whose light
// looks mistimed is told there too, month by month, and never shifted unasked. Both formats give light as the mean
// of the interval that ends at the label, temperature and wind as readings at the label: the temperature of a step is the mean of
// straight lines between readings, its wind the reading at the end of its interval, so that no gust is averaged away.
// The file is read line by line; it takes some 3 MB for an hourly year, whatever the file.
func Read(r io.Reader, name string, opt ReadOptions) (Year, error) {
	if err := opt.check(); err != nil {
		return Year{}, fmt.Errorf("%s: %w", name, err)
	}
	t, err := readTable(r, name)
	if err != nil {
		return Year{}, err
	}
	if err := t.place.Check(); err != nil {
		if opt.Place == nil {
			return Year{}, fmt.Errorf("%s:1: %w", name, err)
		}
		t.note(1, "the file's place is not sound (%v): the site's is taken", err)
		t.place = *opt.Place
	}
	if opt.Place == nil {
		onClock := t.place
		onClock.UTCOffset = zoneOf(opt.Axis.Start)
		if err := onClock.Check(); err != nil {
			return Year{}, fmt.Errorf("%s:1: the study's clock: %w", name, err)
		}
	}
	if err := t.compatible(opt.Axis); err != nil {
		return Year{}, err
	}
	offset := t.lightRule()
	if opt.LightOffset != nil {
		offset = *opt.LightOffset
		t.note(0, "light is taken at the label %s, as told; the rule of the %s format is %s", minutes(offset), t.kind, minutes(t.lightRule()))
	}
	suns := Suns(t.place, t.ownAxis(opt.Axis.Start.Year()), offset+t.step()/2)
	if err := t.fill(suns, opt.FillLongGaps); err != nil {
		return Year{}, err
	}
	measured := t.columns[dni] != nil && t.columns[dhi] != nil
	t.split(suns)
	t.checkTiming(opt.Axis.Start.Year(), offset, measured)
	return t.onto(opt, offset), nil
}

// readTable finds out what kind of file it is and reads it whole.
func readTable(r io.Reader, name string) (*table, error) {
	l := newLines(r, name)
	line, err := l.must("its first line")
	if err != nil {
		return nil, err
	}
	first := append([]byte(nil), line...)
	var t *table
	var f format
	var has [quantities]bool
	switch {
	case hasWord(first, "LOCATION"):
		t, f, has, err = openEPW(l, first)
	case hasWord(first, "Latitude (decimal degrees)"):
		err = l.fail("format: looks like a PVGIS csv, which is not read; want the same year as EPW, or a TMY3 csv")
	case hasWord(first, "Source,Location ID"):
		err = l.fail("format: looks like an NSRDB csv, which is not read; want an EPW or a TMY3 csv")
	case len(words(first)) >= 7:
		t, f, has, err = openTMY3(l, first)
	default:
		err = l.fail("format: the first line is %s; want an EPW (LOCATION,...) or a TMY3 csv (station,name,state,...)", shown(first))
	}
	if err != nil {
		return nil, err
	}
	if err := t.readRows(l, f, has); err != nil {
		return nil, err
	}
	if t.negative.n > 0 {
		t.note(t.negative.first, "light is a little below 0 in %d rows, taken as 0; the first is line %d", t.negative.n, t.negative.first)
	}
	return t, nil
}

// ownAxis is the file's year in its own clock: the calendar year nearest to the study's that has the file's days.
func (t *table) ownAxis(year int) clock.Axis {
	isLeap := func(y int) bool { return y%4 == 0 && (y%100 != 0 || y%400 == 0) }
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
	zone := time.FixedZone("file", int(t.place.UTCOffset/time.Second))
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

// split makes the parts of the light that the file does not have, and says so.
func (t *table) split(suns []Sun) {
	c := &t.columns
	hadBeam, hadDiffuse := c[dni] != nil, c[dhi] != nil
	if hadBeam && hadDiffuse {
		return
	}
	n := len(c[ghi])
	beam, diffuse := make([]float64, n), make([]float64, n)
	for i, s := range suns {
		normal, cosZ := ExtraterrestrialWM2(s.DistanceAU), s.CosZenith()
		l := SplitGHI(c[ghi][i], cosZ, normal)
		switch {
		case hadBeam:
			l.DNI = c[dni][i]
			l.DHI = math.Max(0, l.GHI-l.DNI*math.Max(0, cosZ))
		case hadDiffuse:
			l.DHI = c[dhi][i]
			l.DNI = 0
			if cosZ > math.Sin(rad(lowestBeamDeg)) {
				l.DNI = math.Min(normal, math.Max(0, (l.GHI-l.DHI)/cosZ))
			}
		}
		beam[i], diffuse[i] = l.DNI, l.DHI
	}
	c[dni], c[dhi] = beam, diffuse
	switch {
	case hadBeam:
		t.note(0, "the file has no diffuse light: it is GHI - DNI cos z")
	case hadDiffuse:
		t.note(0, "the file has no beam: DNI is (GHI - DHI)/cos z, and 0 while the sun is under %d deg", lowestBeamDeg)
	default:
		t.note(0, "the file has global light only: it is parted into beam and diffuse by the hourly curve of Erbs, "+
			"which hits the year's beam within some 10 %% and single hours not")
	}
}

// minutes prints a duration as a scenario would write it: "+10 min".
func minutes(d time.Duration) string { return fmt.Sprintf("%+.4g min", d.Minutes()) }
