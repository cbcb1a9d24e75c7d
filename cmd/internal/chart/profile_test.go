package chart

import (
	"math"
	"strings"
	"testing"
)

func sampleProfile() Profile {
	d := Profile{Title: "5 880 MWh of heat a year, 671 kW in the mean and 1 193 kW at most", Subtitle: "A works; mean days of each season", StepH: 1}
	for i, name := range []string{"Dec-Feb winter", "Mar-May spring", "Jun-Aug summer", "Sep-Nov autumn"} {
		s := Season{Name: name}
		for j, kind := range []string{"Mon-Fri", "Saturday", "Sunday", "closed"} {
			day := Day{Kind: kind}
			for h := range day.HourKW {
				if h >= 6 && h < 22-4*j {
					day.HourKW[h] = 1000 - 200*float64(j) - 50*float64(i)
				}
			}
			s.Days = append(s.Days, day)
		}
		d.Seasons = append(d.Seasons, s)
	}
	for t := range 8760 {
		d.KW = append(d.KW, math.Max(0, 1200*math.Sin(float64(t))))
	}
	return d
}

func TestProfileErrors(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		spoil     func(d *Profile)
		want, src string
	}{
		{func(d *Profile) { *d = Profile{StepH: 1} }, "seasons: are 0", "nothing to draw"},
		{func(d *Profile) { d.Seasons = append(d.Seasons, d.Seasons...) }, "seasons: are 8; want 1 to 4", "no room for more"},
		{func(d *Profile) { d.Seasons[0].Days = nil }, "has no days", "an empty panel says nothing"},
		{func(d *Profile) { d.Seasons[1].Days = append(d.Seasons[1].Days, Day{Kind: "fifth"}) }, "kinds of day: are 5", "one stroke a kind"},
		{func(d *Profile) { d.Seasons[0].Days[1].HourKW[3] = -2 }, "Saturday: value 3 is -2; want 0 or more", "heat runs one way"},
		{func(d *Profile) { d.StepH = math.NaN() }, "step: is NaN h", "not a number"},
		{func(d *Profile) { d.KW = nil }, "heat: has no values", "nothing to sort"},
		{func(d *Profile) { d.KW[7] = math.Inf(1) }, "heat: value 7 is +Inf", "not a number"},
	} {
		d := sampleProfile()
		tt.spoil(&d)
		if err := d.Check(); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("error is %v; want %q (%s)", err, tt.want, tt.src)
		}
	}
}

// The line of a load of two levels falls at the hours that it has the higher one, and holds its heat.
func TestDurationOfTwoLevels(t *testing.T) {
	t.Parallel()
	for _, n := range []int{24, 8760, 35040} {
		d := Profile{StepH: 8760 / float64(n), KW: make([]float64, n)}
		for i := range d.KW {
			d.KW[i] = 400
			if i%4 == 0 {
				d.KW[i] = 1000
			}
		}
		edges, values := d.duration()
		heat := 0.0
		for i, v := range values {
			heat += v * (edges[i+1] - edges[i])
			if at := edges[i+1]; at < 2190-8760.0/2000 && v != 1000 || edges[i] > 2190+8760.0/2000 && v != 400 {
				t.Fatalf("%d steps: %g kW up to %g h; want 1000 up to 2190 h and then 400", n, v, at)
			}
		}
		if want := 8760 * 550.0; math.Abs(heat-want) > 1e-9*want {
			t.Errorf("%d steps: %g kWh under the line; want %g", n, heat, want)
		}
	}
}

// A season that lacks a kind keeps the others' strokes.
func TestProfileKindsKeepTheirStrokes(t *testing.T) {
	t.Parallel()
	d := sampleProfile()
	d.Seasons[0].Days = d.Seasons[0].Days[2:]
	if got := strings.Join(d.kinds(), " "); got != "Sunday closed Mon-Fri Saturday" {
		t.Errorf("kinds are %q; want the order in which they appear", got)
	}
	mustSVG(t, d)
}
