package demand

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"noonkeep/plant/clock"
)

// airOf is a made-up year: cold in January, warm in July, 8 K from night to day.
func airOf(a clock.Axis) []float64 {
	air := make([]float64, a.N)
	for i := range air {
		h := a.Mid(i).Sub(a.Start).Hours()
		air[i] = 11 - 11*math.Cos(2*math.Pi*(h/24-20)/365) - 4*math.Cos(2*math.Pi*(h-3)/24)
	}
	return air
}

// monthly cuts the time from a date on into bills of one month.
func monthly(from time.Time, n int, kWh func(from, to time.Time) float64) []Bill {
	var list []Bill
	for i := range n {
		lo, hi := from.AddDate(0, i, 0), from.AddDate(0, i+1, 0)
		list = append(list, Bill{From: clock.DateOf(lo), To: clock.DateOf(hi), KWh: kWh(lo, hi), Line: i + 2})
	}
	return list
}

func utc(y int, m time.Month, d int) time.Time { return time.Date(y, m, d, 0, 0, 0, 0, time.UTC) }

// within sums a series over dates of the study's own year.
func within(a clock.Axis, kW clock.KW, from, to clock.Date) float64 {
	sum := 0.0
	for i, v := range kW {
		if n := dayNumber(a.Date(i)); n >= dayNumber(from) && n < dayNumber(to) {
			sum += v * a.StepH()
		}
	}
	return sum
}

func partsSum(parts []Part) float64 {
	sum := 0.0
	for _, p := range parts {
		sum += p.KWh
	}
	return sum
}

// Bills made of a known base, slope and balance temperature give them back, and every bill keeps its heat.
func TestBillsRecoverTheirLaw(t *testing.T) {
	t.Parallel()
	unraced(t)
	for seed := range uint64(12) {
		rng := rand.New(rand.NewPCG(seed, 4))
		step := []time.Duration{time.Hour, 30 * time.Minute, 15 * time.Minute}[seed%3]
		a := mustYear(t, 2026, step)
		air := airOf(a)
		base, slope, balance := 200+800*rng.Float64(), 20+100*rng.Float64(), 10+8*rng.Float64()
		list := monthly(utc(2026, 1, 1), 12, func(from, to time.Time) float64 {
			sum := 0.0
			for i := range air {
				if d := a.Date(i); dayNumber(d) >= from.Unix()/86400 && dayNumber(d) < to.Unix()/86400 {
					sum += (base + slope*max(balance-air[i], 0)) * a.StepH() / 24
				}
			}
			return sum
		})
		hours := mustWhen(t, "Mon-Fri 06:00-22:00").Shares(a, clock.Calendar{})
		for _, given := range []*float64{nil, &balance} {
			got, err := Bills{List: list, Hours: hours, BaseFrac: 0.2, AirC: air, BalanceC: given}.On(a)
			if err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			f := got.Fit
			tol := 1e-9
			if given == nil {
				tol = 2e-4 // the search ends within 1e-4 K
			}
			if !f.Used || math.Abs(f.BalanceC-balance) > 1e-3 || math.Abs(f.BaseKWhD/base-1) > tol || math.Abs(f.SlopeKWhKD/slope-1) > tol || f.R2 < 1-1e-7 {
				t.Errorf("seed %d: %v; made of %.6g kWh/d, %.6g kWh/(K d) under %.4f degC", seed, f, base, slope, balance)
			}
			total := 0.0
			for _, b := range list {
				total += b.KWh
				if sum := within(a, got.KW, b.From, b.To); math.Abs(sum-b.KWh) > 1e-9*b.KWh {
					t.Errorf("seed %d: bill of line %d has %.12g kWh, on the axis %.12g", seed, b.Line, b.KWh, sum)
				}
			}
			if sum := partsSum(got.Parts); math.Abs(sum-total) > 1e-9*total {
				t.Errorf("seed %d: parts sum to %g, bills to %g", seed, sum, total)
			}
		}
	}
}

// The shape inside one bill, by hand: two days of 24 h, 480 kWh, work for 8 h of each day, a fifth at all hours.
func TestBillsShapeByHand(t *testing.T) {
	t.Parallel()
	a := clock.Axis{Start: time.Date(2026, 3, 2, 0, 0, 0, 0, time.FixedZone("", 0)), Step: time.Hour, N: 48}
	hours := mustWhen(t, "daily 06:00-14:00").Shares(a, clock.Calendar{})
	bill := []Bill{{From: clock.Date{Year: 2026, Month: 3, Day: 2}, To: clock.Date{Year: 2026, Month: 3, Day: 4}, KWh: 480}}
	for _, row := range []struct {
		what        string
		b           Bills
		night, work float64
		src         string
	}{
		{"share", Bills{BaseFrac: 0.2}, 2, 26, "hand: 96/48 = 2 kW; 384/16 = 24 kW more at work"},
		{"power", Bills{BaseKW: 4}, 4, 22, "hand: 4 kW by 48 h is 192; 288/16 = 18 kW more at work"},
		{"power above all", Bills{BaseKW: 50}, 10, 10, "hand: 480/48"},
		{"no base", Bills{}, 0, 30, "hand: 480/16"},
	} {
		needSource(t, row.src)
		row.b.List, row.b.Hours = bill, hours
		got, err := row.b.On(a)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.KW[2]-row.night) > 1e-12 || math.Abs(got.KW[30]-row.work) > 1e-12 {
			t.Errorf("%s: night %g, work %g; want %g and %g (%s)", row.what, got.KW[2], got.KW[30], row.night, row.work, row.src)
		}
	}
}

// What bills are short of, and what is made of it.
func TestBillsAsTheyCome(t *testing.T) {
	t.Parallel()
	a := mustYear(t, 2026, time.Hour)
	flat := func(from, to time.Time) float64 { return 240 * to.Sub(from).Hours() / 24 } // 10 kW
	always := clock.Always().Shares(a, clock.Calendar{})
	year := monthly(utc(2025, 12, 28), 12, flat)
	gap := append(append([]Bill{}, year[:4]...), year[5:]...)
	guessed := append([]Bill{}, year...)
	guessed[3].KWh, guessed[3].Estimated = guessed[3].KWh+9000, true
	guessed[4].KWh -= 9000 // below nothing
	last := append([]Bill{}, year...)
	last[11].Estimated = true
	for _, row := range []struct {
		what            string
		list            []Bill
		filled, outside float64
		note            string
		src             string
	}{
		{"a year that begins in December", year, 0, 0, "4 days of the year 2025 stand for the same days of the study's", "365 days of 240 kWh"},
		{"a missing bill", gap, 30 * 240, 0, "2026-04-28 to 2026-05-27 have no bill: 30 days are filled in", "28 Apr to 27 May has 30 days of 240 kWh"},
		{"an estimated bill", guessed, 0, 0, "is taken as one with the estimated bill before it, from 2026-03-28 to 2026-05-28", "the two sum to what was used"},
		{"an estimated last bill", last, 0, 0, "is estimated, and no later bill puts it right", "its heat is kept"},
		{"thirteen bills", monthly(utc(2025, 12, 28), 13, flat), 0, 31 * 240, "other years for the rest; 960 of its 7440 kWh are left out",
			"one month too many: 28 Dec 2025 to 27 Jan 2026 and 28 Dec 2026 to 27 Jan 2027 share days"},
		{"a leap year's bills", monthly(utc(2024, 1, 1), 12, flat), 0, 0, "365 days of the year 2024 stand for", "29 February's heat stays in its bill"},
	} {
		needSource(t, row.src)
		got, err := Bills{List: row.list, Hours: always}.On(a)
		if err != nil {
			t.Errorf("%s: %v", row.what, err)
			continue
		}
		billed, filled := 0.0, 0.0
		for _, b := range row.list {
			billed += b.KWh
		}
		for _, p := range got.Parts {
			if strings.HasPrefix(p.Name, "filled") {
				filled += p.KWh
			}
		}
		if sum := got.KW.EnergyKWh(1); math.Abs(sum-filled+got.OutsideKWh-billed) > 1e-9*billed || math.Abs(partsSum(got.Parts)-sum) > 1e-9*sum {
			t.Errorf("%s: %g kWh on the axis, %g filled, %g outside; bills %g, parts %g", row.what, sum, filled, got.OutsideKWh, billed, partsSum(got.Parts))
		}
		if math.Abs(filled-row.filled) > 1e-6 || math.Abs(got.OutsideKWh-row.outside) > 1e-6 {
			t.Errorf("%s: filled %g, outside %g; want %g and %g (%s)", row.what, filled, got.OutsideKWh, row.filled, row.outside, row.src)
		}
		if s := fmt.Sprint(got.Notes); !strings.Contains(s, row.note) {
			t.Errorf("%s: notes %s; want %q", row.what, s, row.note)
		}
	}
}

// A poor fit is said, and all heat then runs by the hours of work.
func TestBillsPoorFit(t *testing.T) {
	t.Parallel()
	a := mustYear(t, 2026, time.Hour)
	air, hours := airOf(a), mustWhen(t, "Mon-Fri 08:00-16:00").Shares(a, clock.Calendar{})
	for _, row := range []struct {
		what string
		list []Bill
		why  string
		src  string
	}{
		{"more every other month", monthly(utc(2026, 1, 1), 12, func(from, _ time.Time) float64 {
			return 9000 + 4000*float64(from.Month()%2) + 200*math.Abs(float64(from.Month())-7)
		}), "R2 is under 0.6", "little weather in it"},
		{"more in summer", monthly(utc(2026, 1, 1), 12, func(from, _ time.Time) float64 { return 9000 - 1200*math.Abs(float64(from.Month())-7) }),
			"heat does not rise as the air grows colder", "a cannery's harvest"},
		{"few bills", []Bill{{From: clock.Date{Year: 2026, Month: 1, Day: 1}, To: clock.Date{Year: 2027, Month: 1, Day: 1}, KWh: 9e5}},
			"too few to part heat by the weather from the rest; want 6 or more", "one bill a year"},
	} {
		needSource(t, row.src)
		got, err := Bills{List: row.list, Hours: hours, AirC: air}.On(a)
		if err != nil {
			t.Fatal(err)
		}
		if got.Fit.Used || got.Fit.Why != row.why || !strings.Contains(fmt.Sprint(got.Notes), "no part is taken to follow the weather: "+row.why) {
			t.Errorf("%s: %v, notes %v; want %q (%s)", row.what, got.Fit, got.Notes, row.why, row.src)
		}
		for i, kW := range got.KW {
			if hours[i] == 0 && kW != 0 {
				t.Fatalf("%s: %g kW at %s, out of the hours of work", row.what, kW, a.Label(i))
			}
		}
	}
}

func TestBillsWrong(t *testing.T) {
	t.Parallel()
	a := mustYear(t, 2026, time.Hour)
	flat := func(from, to time.Time) float64 { return to.Sub(from).Hours() }
	year := func() []Bill { return monthly(utc(2026, 1, 1), 12, flat) }
	for _, row := range []struct {
		spoil func(*Bills)
		want  string
	}{
		{func(b *Bills) { b.List = append(b.List, b.List[3]) }, "gas.csv:5: is a second bill from 2026-04-01 to 2026-05-01 in line 5; keep one"},
		{func(b *Bills) { b.List[3].From.Month = 3; b.List[3].From.Day = 20 }, "gas.csv:5: begins on 2026-03-20, and the bill before it in line 4 ends on 2026-04-01; want no day twice"},
		{func(b *Bills) { b.List[3].To = b.List[3].From }, "gas.csv:5: ends on 2026-04-01 and begins on 2026-04-01; want a day at least"},
		{func(b *Bills) { b.List[11].To.Year = 2028 }, "gas.csv:13: runs from 2026-12-01 to 2028-01-01, over a year; want a year at most"},
		{func(b *Bills) { b.List[2].KWh = -5 }, "gas.csv:4: is -5 kWh of heat from 2026-03-01 to 2026-04-01; want 0 or more, but in the bill after an estimated one"},
		{func(b *Bills) { b.List = b.List[:3] }, "gas.csv:2: and the other bills cover 90 days of the study's year; want 180 at least, and better all"},
		{func(b *Bills) { b.List = nil }, "bills: there is none; want twelve months of them"},
		{func(b *Bills) { b.BaseFrac = 2 }, "base: is 2; want 0 to 1"},
		{func(b *Bills) { b.Hours = b.Hours[:5] }, "hours: are 5; want 8760, one a step"},
	} {
		b := Bills{Source: "gas.csv", List: year(), Hours: clock.Always().Shares(a, clock.Calendar{})}
		row.spoil(&b)
		if _, err := b.On(a); err == nil || err.Error() != row.want {
			t.Errorf("got %v\nwant %s", err, row.want)
		}
	}
}

func TestReadBills(t *testing.T) {
	t.Parallel()
	got, err := ReadBills(strings.NewReader("\ufefffrom;to;used kWh gross;estimated\r\n28.12.2025;27.01.2026;41250,5;\r\n\r\n2026-01-27;2026-02-26;38100;yes\r\n"), "gas.csv")
	if err != nil {
		t.Fatal(err)
	}
	want := BillRow{clock.Date{Year: 2025, Month: 12, Day: 28}, clock.Date{Year: 2026, Month: 1, Day: 27}, 41250.5, false, 2}
	if got.Unit != "kWh gross" || len(got.Rows) != 2 || got.Rows[0] != want || !got.Rows[1].Estimated || got.Rows[1].Line != 4 {
		t.Errorf("got %+v", got)
	}
	const head = "from,to,used m3\n"
	for _, row := range [][2]string{
		{"", "b.csv:1: is empty; want " + wantBillHeader},
		{"date,kWh\n", `b.csv:1: is "date,kWh"; want ` + wantBillHeader},
		{"from,to,used\n", `b.csv:1: column "used" has no unit; want used and a unit, such as used kWh gross, used m3, used l or used t`},
		{head, "b.csv:1: has no bill after the header; want one a row"},
		{head + "2026-01-01,2026-02-01\n", `b.csv:2: has 2 columns parted by ","; want 3, as in the header`},
		{head + "27/01/2026,2026-02-01,5\n", `b.csv:2: from: "27/01/2026" may have its day first or its month; write 2026-01-27`},
		{head + "2026-01-01,1 Feb,5\n", `b.csv:2: to: "1 Feb"; want a day such as 2026-01-27`},
		{head + "2026-01-01,2026-02-30,5\n", `b.csv:2: to: "2026-02-30"; want a day such as 2026-01-27`},
		{head + "2026-01-01,2026-02-01,\n", "b.csv:2: used: is empty; want a number, or no row for a bill that is missing"},
		{head + "2026-01-01,2026-02-01,5 m3\n", `b.csv:2: used: "5 m3"; want a number alone, its unit in the header`},
		{head + "2026-01-01,2026-02-01,1.234.567\n", `b.csv:2: used: "1.234.567"; want at most a decimal mark and no thousands mark`},
		{head + "2026-01-01,2026-02-01,41.250\n", "b.csv:2: used: a mark with three digits after it may mark thousands; write the number without a mark, or with another number of decimals in some row"},
		{"from;to;used m3\n2026-01-01;2026-02-01;1,5\n2026-02-01;2026-03-01;1.5\n", "b.csv:3: used: has a decimal point and line 2 a decimal comma, or the reverse; want one in all rows"},
		{"from,to,used t,estimated\n2026-01-01,2026-02-01,5,maybe\n", `b.csv:2: estimated: "maybe"; want yes, no or nothing`},
	} {
		if _, err := ReadBills(strings.NewReader(row[0]), "b.csv"); err == nil || err.Error() != row[1] {
			t.Errorf("%q: got %v\nwant %s", row[0], err, row[1])
		}
	}
}

// Whatever the text, it is read whole or refused with a line, and what is read can be written and read again.
func FuzzReadBills(f *testing.F) {
	for _, s := range []string{"from,to,used kWh gross\n2025-12-28,2026-01-27,41250\n", "from;to;used m3;estimated\n28.12.2025;27.01.2026;41,5;yes\n", "from,to,used t\n1/2/2026,2026-03-01,-1e5\n", "\ufefffrom,to,used l\n\n\"2026-01-01\",2026-02-01,41.250"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, err := ReadBills(strings.NewReader(s), "b.csv")
		if err != nil {
			var one *LineError
			if !errors.As(err, &one) || one.Line < 1 || one.Text == "" || len(err.Error()) > 20000 {
				t.Fatalf("%q: %v", s, err)
			}
			return
		}
		var b strings.Builder
		fmt.Fprintf(&b, "from,to,used %s,estimated\n", got.Unit)
		for _, r := range got.Rows {
			fmt.Fprintf(&b, "%s,%s,%g,%t\n", r.From, r.To, r.Used, r.Estimated)
		}
		again, err := ReadBills(strings.NewReader(b.String()), "b.csv")
		if err != nil || len(again.Rows) != len(got.Rows) {
			if strings.ContainsAny(got.Unit, ",;\"") || strings.Contains(fmt.Sprint(err), "three digits") {
				return
			}
			t.Fatalf("%q: written out anew: %v", s, err)
		}
		for i, r := range got.Rows {
			if q := again.Rows[i]; q.From != r.From || q.To != r.To || q.Used != r.Used || q.Estimated != r.Estimated {
				t.Fatalf("%q: %+v, again %+v", s, r, q)
			}
		}
	})
}
