package demand

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"noonkeep/plant/clock"
)

var central = time.FixedZone("UTC+01:00", 3600)

// europe is the summer time of central Europe.
func europe(t testing.TB) clock.SummerTime {
	t.Helper()
	s, err := clock.ParseSummerTime("last Sun Mar 02:00..last Sun Oct 03:00")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// logForm is a plain form that tests change.
func logForm(t testing.TB, unit string, change ...func(*LogForm)) LogForm {
	t.Helper()
	f := LogForm{Source: "meter.csv", Time: "1", Value: "2", Step: time.Hour, Zone: central}
	for _, c := range change {
		c(&f)
	}
	var err error
	if f.Unit, err = ParseLogUnit(unit); err != nil {
		t.Fatal(err)
	}
	return f
}

func yearAxis(t testing.TB, year int, step time.Duration) clock.Axis {
	t.Helper()
	a, err := clock.NewYear(year, step, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// works is a plant's heat, kW: two shifts on weekdays, less on Saturdays, a base on Sundays, more in winter.
func works(at time.Time, noise *rand.Rand) float64 {
	kW := 150.0
	h := at.Hour()
	switch d := at.Weekday(); {
	case d == time.Sunday:
	case d == time.Saturday && h >= 6 && h < 14:
		kW += 500
	case d != time.Saturday && h >= 6 && h < 22:
		kW += 900 + 100*math.Sin(float64(h))
	}
	kW *= 1 + 0.15*math.Cos(2*math.Pi*float64(at.YearDay())/365)
	return kW * (1 + 0.05*noise.NormFloat64())
}

// A log of a known profile in all its disorder is read back: what was measured to 1e-9, what was filled within 5 %.
func TestLogRecovers(t *testing.T) {
	noise := rand.New(rand.NewPCG(4, 26))
	calendar := clock.Calendar{Summer: europe(t)}
	a := yearAxis(t, 2026, 15*time.Minute)
	truth := make([]float64, a.N)
	for i := range truth {
		truth[i] = works(calendar.Wall(a.At(i)), noise)
	}
	var b strings.Builder
	b.WriteString("Zeitstempel;Dampf MWh\n")
	const roll = 1000
	counter := 990.0 // MWh
	gap := func(i int) bool { return i > 5000 && i < 5200 || i > 20000 && i < 20009 || i%3001 == 7 }
	gapKWh, wantKWh := 0.0, 0.0
	for i := 0; i <= a.N; i++ {
		if !gap(i) || i == 0 {
			at := calendar.Wall(a.At(i))
			row := fmt.Sprintf("%s;%s\n", at.Format("02.01.2006 15:04"), strings.ReplaceAll(fmt.Sprintf("%.9f", counter), ".", ","))
			b.WriteString(row)
			if i%997 == 0 {
				b.WriteString(row)
			}
		}
		if i == a.N {
			break
		}
		wantKWh += truth[i] / 4
		if gap(i) || gap(i+1) {
			gapKWh += truth[i] / 4
		}
		if counter += truth[i] / 4000; counter >= roll {
			counter -= roll
		}
	}
	form := logForm(t, "MWh", func(f *LogForm) {
		f.Counts, f.RollOver, f.Clock, f.Calendar, f.Step = Counter, roll, WallClock, calendar, 15*time.Minute
		f.Time, f.Value = "Zeitstempel", "Dampf MWh"
	})
	l, err := ReadLog(strings.NewReader(b.String()), form)
	if err != nil {
		t.Fatal(err)
	}
	y, err := l.On(a, LogUse{KWhPer: 1})
	if err != nil {
		t.Fatal(err)
	}
	sum := y.KW.EnergyKWh(0.25)
	t.Logf("rows %d, dup %d, roll-overs %d, %v, notes %v, parts %+v", l.Rows, l.Duplicates, l.RollOvers, l.Interval, l.Notes, y.Parts)
	if math.Abs(sum/wantKWh-1) > 1e-9 {
		t.Errorf("%g kWh; want %g", sum, wantKWh)
	}
	off, in := 0.0, 0.0
	for i, kW := range y.KW {
		if gap(i) || gap(i+1) {
			off += math.Abs(kW - truth[i])
			in += truth[i]
		} else if math.Abs(kW-truth[i]) > 1e-5*truth[i]+1e-4 {
			t.Fatalf("%s: %g kW; want %g", a.Label(i), kW, truth[i])
		}
	}
	t.Logf("gaps miss by %g", off/in)
}
