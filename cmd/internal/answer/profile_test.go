package answer_test

import (
	"math"
	"testing"

	"noonkeep/cmd/internal/answer"
	"noonkeep/scenarios"
)

const twoShifts = `
noonkeep: 1
name: two shifts
site: {latitude: -33 deg, longitude: 150 deg, utc_offset: +10 h}
weather: {monthly: {ghi: [7, 6, 5, 4, 3, 2, 2, 3, 4, 5, 6, 7 kWh/m2d], air: [22, 22, 20, 17, 14, 11, 10, 12, 15, 18, 20, 21 degC]}}
time: {year: 2026, holidays: [1 Jan]}
headers: [{name: main, pressure: 6 bar(g)}]
loads:
  - {name: press, heat: 300 kW, when: "Mon-Fri 06:00-14:00"}
  - {name: wash, heat: 100 kW, when: "Mon-Fri 06:00-22:00; Sat 06:00-12:00"}
fuels: [{name: natural gas, price: 0.05 EUR/kWh}]
boilers: [{name: B1, capacity: 500 kW, efficiency: 0.85}]
money: {currency: EUR}
`

func profileOf(t *testing.T, text string) answer.Profile {
	t.Helper()
	c, err := scenarios.Parse("case.yaml", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	return answer.ProfileOf(c)
}

func TestProfileSumsUpTheYear(t *testing.T) {
	t.Parallel()
	p := profileOf(t, twoShifts)
	for _, row := range []struct {
		what      string
		got, want float64
		src       string
	}{
		{"heat, kWh", p.Total.KWh, 260*8*300 + (260*16+52*6)*100, "261 weekdays of 2026 but the holiday, 52 Saturdays; counted by hand"},
		{"peak, kW", p.Total.PeakKW, 400, "both loads at once"},
		{"hours with heat", p.Total.HoursOn, 260*16 + 52*6, "the wash alone sets them"},
		{"load factor", p.Total.LoadFactor, (260*8*300.0 + (260*16+52*6)*100) / 8760 / 400, "mean over peak: definition"},
		{"hours at the peak", p.Above[len(p.Above)-1].Hours, 260 * 8, "both shifts overlap in the morning"},
		{"hours from 100 kW", hoursFrom(t, p, 100), 260*16 + 52*6, "the wash takes just that much"},
		{"hours from 150 kW", hoursFrom(t, p, 150), 260 * 8, "the press with the wash"},
	} {
		if math.Abs(row.got-row.want) > 1e-9*math.Max(1, math.Abs(row.want)) {
			t.Errorf("%s: %g; want %g (%s)", row.what, row.got, row.want, row.src)
		}
	}
	if p.Total.PeakAt != "2026-01-02 06:00" {
		t.Errorf("the first peak is at %s; want 2026-01-02 06:00, the first weekday that is no holiday", p.Total.PeakAt)
	}
}

func hoursFrom(t *testing.T, p answer.Profile, kW float64) float64 {
	t.Helper()
	for _, a := range p.Above {
		if math.Abs(a.KW-kW) < 1e-9 {
			return a.Hours
		}
	}
	t.Fatalf("no level of %g kW among %v", kW, p.Above)
	return 0
}

func TestTypicalDaysHoldTheYear(t *testing.T) {
	t.Parallel()
	p := profileOf(t, twoShifts)
	days, heat := 0, 0.0
	for _, d := range p.Days {
		days += d.Days
		heat += float64(d.Days) * d.DayKWh
		if d.Kind == "Mon-Fri" && (d.HourKW[7] != 400 || d.HourKW[15] != 100 || d.LeastKW[7] != 400) {
			t.Errorf("%s %s: %v", d.Season, d.Kind, d.HourKW)
		}
	}
	if days != 365 || math.Abs(heat-p.Total.KWh) > 1e-9*p.Total.KWh {
		t.Errorf("the days are %d with %g kWh; want 365 with %g", days, heat, p.Total.KWh)
	}
	if p.Days[0].Season != "Dec-Feb summer" {
		t.Errorf("the first season is %q; want summer, south of the equator", p.Days[0].Season)
	}
}

func TestPartsSumToTheLoads(t *testing.T) {
	t.Parallel()
	for _, s := range scenarios.Starters() {
		c, err := scenarios.Load(s.Name)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range answer.ProfileOf(c).Loads {
			parts := 0.0
			for _, part := range l.Parts {
				parts += part.KWh
			}
			if math.Abs(parts-l.KWh) > 1e-9*l.KWh {
				t.Errorf("%s, %s: parts are %g kWh of %g", s.Name, l.Name, parts, l.KWh)
			}
		}
	}
}
