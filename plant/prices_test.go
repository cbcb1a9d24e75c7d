package plant

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"noonkeep/plant/clock"
)

// hoursOf writes a file of prices, one for each hour of the clock that wall gives, price the hour's number.
func hoursOf(n int, stamp func(i int) string) string {
	var b strings.Builder
	b.WriteString("time,EUR/MWh\n")
	for i := range n {
		fmt.Fprintf(&b, "%s,%d\n", stamp(i), i)
	}
	return b.String()
}

func central(t *testing.T) (clock.Axis, clock.Calendar) {
	t.Helper()
	axis, err := clock.NewYear(2026, time.Hour, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	summer, err := clock.ParseSummerTime("last Sun Mar 02:00..last Sun Oct 03:00")
	if err != nil {
		t.Fatal(err)
	}
	return axis, clock.Calendar{Summer: summer}
}

// The same market year three ways: in standard time, with offsets, by the clock on the wall.
func TestPricesOneYearThreeWays(t *testing.T) {
	t.Parallel()
	axis, calendar := central(t)
	utc := time.UTC
	for _, c := range []struct {
		name  string
		stamp func(i int) string
	}{
		{"standard time", func(i int) string { return axis.At(i).Format("2006-01-02 15:04") }},
		{"universal time", func(i int) string { return axis.At(i).In(utc).Format("2006-01-02T15:04:05Z07:00") }},
		{"offsets of the wall", func(i int) string { return calendar.Wall(axis.At(i)).Format("2006-01-02T15:04-07:00") }},
		{"clock on the wall", func(i int) string { return calendar.Wall(axis.At(i)).Format("2006-01-02 15:04") }},
	} {
		p, err := ReadPrices(strings.NewReader(hoursOf(axis.N, c.stamp)), "prices.csv")
		if err != nil {
			t.Fatal(c.name, err)
		}
		got, err := p.On(axis, calendar)
		if err != nil {
			t.Fatal(c.name, err)
		}
		for i, x := range got {
			if math.Abs(x-float64(i)/1000) > 1e-12 {
				t.Fatalf("%s: hour %d has %g; want %g, the price of that instant", c.name, i, x, float64(i)/1000)
			}
		}
	}
}

func TestPricesOnOtherSteps(t *testing.T) {
	t.Parallel()
	axis, err := clock.NewYear(2026, 30*time.Minute, 0)
	if err != nil {
		t.Fatal(err)
	}
	file := "time;EUR/kWh\n2025-12-31 22:00;0.5\n\n2026-01-01 00:00;\"0.1\"\n"
	for i := 1; i <= 365*12; i++ {
		file += time.Date(2026, 1, 1, 2*i, 0, 0, 0, time.UTC).Format("2006-01-02 15:04") + ";-0.2\n"
	}
	p, err := ReadPrices(strings.NewReader(file), "prices.csv")
	if err != nil {
		t.Fatal(err)
	}
	got, err := p.On(axis, clock.Calendar{})
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != axis.N || got[0] != 0.1 || got[3] != 0.1 || got[4] != -0.2 || got[axis.N-1] != -0.2 {
		t.Errorf("%d steps, %v ...; want 0.1 in the first two hours and then -0.2", len(got), got[:6])
	}
}

func TestPricesFaults(t *testing.T) {
	t.Parallel()
	axis, calendar := central(t)
	wall := hoursOf(axis.N, func(i int) string { return calendar.Wall(axis.At(i)).Format("2006-01-02 15:04") })
	for _, c := range []struct{ name, file, want string }{
		{"empty", "", "p.csv:1: is empty; want the header line time,EUR/MWh, with any currency, per MWh or kWh"},
		{"no header", "2026-01-01 00:00,5\n", `p.csv:1: is "2026-01-01 00:00,5"; want the header line time,EUR/MWh, with any currency, per MWh or kWh`},
		{"no unit", "time,price\n", `p.csv:1: column "price" is no price of energy; want a currency per MWh or kWh, such as EUR/MWh`},
		{"power", "time,EUR/MW\n", `p.csv:1: column "EUR/MW" is no price of energy; want a currency per MWh or kWh, such as EUR/MWh`},
		{"one row", "time,EUR/MWh\n2026-01-01 00:00,5\n", "p.csv:1: has 1 rows after the header; want 2 at least, to know the step"},
		{"decimal comma", "time,EUR/MWh\n2026-01-01 00:00,5,5\n", `p.csv:2: has 3 columns parted by ","; want 2, as in the header, and a decimal point in the number`},
		{"words", "time,EUR/MWh\n2026-01-01 00:00,much\n2026-01-01 01:00,NaN\n", "p.csv:2: price \"much\" is no number; want one with a decimal point, such as 87.1\np.csv:3: price \"NaN\" is no number; want one with a decimal point, such as 87.1"},
		{"day first", "time,EUR/MWh\n01.02.2026 00:00,5\n", `p.csv:2: time "01.02.2026 00:00" is not known; want it as 2026-01-31 18:00`},
		{"mixed", "time,EUR/MWh\n2026-01-01 00:00Z,5\n2026-01-01 01:00,5\n", `p.csv:3: time "2026-01-01 01:00" has an offset from UTC where the first has none, or the other way round; want all alike`},
		{"twice", "time,EUR/MWh\n2026-01-01 00:00,5\n2026-01-01 00:00,5\n", "p.csv:3: is 0s after the row before it; want steps of 1 min to 24 h"},
		{"gap", "time,EUR/MWh\n2026-01-01 00:00,5\n2026-01-01 01:00,5\n2026-01-01 04:00,5\n", "p.csv:4: 2026-01-01 04:00 is 3h0m0s after the row before it; want 1h0m0s, as before"},
		{"wall without summer time", wall, "p.csv:2092: 2026-03-29 03:00 is 2h0m0s after the row before it; want 1h0m0s, as before; if the file follows the clock on the wall, write time.summer_time"},
		{"half a year", hoursOf(4000, func(i int) string { return axis.At(i).Format("2006-01-02 15:04") }),
			"p.csv:4001: 4000 rows of 60 min run 2026-01-01 00:00 to 2026-06-16 16:00, standard time; want 2026-01-01 00:00 to 2027-01-01 00:00"},
		{"another year", hoursOf(8784, func(i int) string {
			return time.Date(2024, 1, 1, i, 0, 0, 0, time.UTC).Format("2006-01-02 15:04")
		}), "p.csv:8785: 8784 rows of 60 min run 2024-01-01 00:00 to 2025-01-01 00:00, standard time; want 2026-01-01 00:00 to 2027-01-01 00:00; set the study's year to 2024, or give prices of 2026"},
	} {
		p, err := ReadPrices(strings.NewReader(c.file), "p.csv")
		if err == nil {
			_, err = p.On(axis, clock.Calendar{})
		}
		if err == nil || err.Error() != c.want {
			t.Errorf("%s: got %v; want %s", c.name, err, c.want)
		}
	}
}

// What is read has a finite price in every step; what is not has a message with a line.
func FuzzReadPrices(f *testing.F) {
	for _, s := range []string{"", "time,EUR/MWh\n2026-01-01 00:00,5\n2026-01-01 01:00,-5\n", "time;CHF/kWh\n2026-01-01T00:00:00+01:00;0.1\n2026-01-01T00:15:00+01:00;1e-3\n",
		"time,EUR/MWh\n2026-03-29 01:00,1\n2026-03-29 03:00,1\n2026-03-29 04:00,1\n", "\ufefftime,EUR/MWh\n\n\"2026-01-01 00:00\",\"5\"\n0000-01-01 00:00,1\n", "time,EUR/MWh\n9999-12-31 23:59,5\n9999-12-31 23:59,5\n"} {
		f.Add(s)
	}
	axis := clock.Axis{Start: time.Date(2026, 1, 1, 0, 0, 0, 0, time.FixedZone("", 3600)), Step: time.Hour, N: 2}
	summer, err := clock.ParseSummerTime("last Sun Mar 02:00..last Sun Oct 03:00")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, file string) {
		p, err := ReadPrices(strings.NewReader(file), "p.csv")
		if err == nil {
			if math.IsNaN(p.Mean()) || p.Currency == "" {
				t.Fatalf("mean %g in %q", p.Mean(), p.Currency)
			}
			var on []float64
			if on, err = p.On(axis, clock.Calendar{Summer: summer}); err == nil {
				for _, x := range on {
					if math.IsNaN(x) || math.IsInf(x, 0) {
						t.Fatalf("price %g", x)
					}
				}
			}
		}
		if err != nil && !strings.HasPrefix(err.Error(), "p.csv:") {
			t.Fatalf("%v has no place", err)
		}
	})
}

func BenchmarkReadPrices(b *testing.B) {
	file := hoursOf(8760, func(i int) string { return time.Date(2026, 1, 1, i, 0, 0, 0, time.UTC).Format("2006-01-02 15:04") })
	b.SetBytes(int64(len(file)))
	for b.Loop() {
		if _, err := ReadPrices(strings.NewReader(file), "p.csv"); err != nil {
			b.Fatal(err)
		}
	}
}
