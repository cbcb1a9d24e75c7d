package demand

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"time"
)

// measured gives the log's steps that are covered in full, as "day hour:value", in base units per hour.
func measured(l *Log) string {
	var all []string
	for i, p := range l.bins.pages {
		if p == nil {
			continue
		}
		for s, b := range p.bin {
			if b.ns == 0 {
				continue
			}
			at := time.Unix((l.bins.day0+int64(i))*daySeconds, 0).UTC().Add(time.Duration(s) * l.form.Step)
			part := ""
			if b.ns < l.bins.stepNS {
				part = fmt.Sprintf("/%.4g", float64(b.ns)/float64(l.bins.stepNS))
			}
			all = append(all, fmt.Sprintf("%s=%.6g%s", at.Format("2 15"), b.sum/float64(b.ns)*l.form.perUnit(), part))
		}
	}
	return strings.Join(all, " ")
}

const handSum = "hand calculation beside it"

var logTests = []struct {
	name, unit, in string
	change         func(*LogForm)
	want           string // of the hours, base units per hour
	notes          string
	src            string
}{
	{"rates, starts", "t/h", "time,t/h\n2026-01-05 00:00,1\n2026-01-05 00:30,3\n2026-01-05 01:00,5\n2026-01-05 01:30,5\n", nil,
		"5 00=2000 5 01=5000", "", handSum + ": (1+3)/2 t/h and 5 t/h"},
	{"rates, ends", "t/h", "time,t/h\n2026-01-05 00:30,1\n2026-01-05 01:00,3\n2026-01-05 01:30,5\n2026-01-05 02:00,5\n", func(f *LogForm) { f.AtEnd = true },
		"5 00=2000 5 01=5000", "", handSum},
	{"rates across hours", "kW", "time,kW\n2026-01-05 00:40,10\n2026-01-05 01:20,40\n", nil,
		"5 00=10/0.3333 5 01=30 ", "", handSum + ": 20 of 60 min at 10, 40 at 40"},
	{"a counter", "kWh", "time;kWh\n05.01.2026 00:00;100\n05.01.2026 00:30;110\n05.01.2026 01:00;150\n13.01.2026 01:00;150\n", func(f *LogForm) { f.Counts = Counter },
		"5 00=50", "5: no rows from 2026-01-05 01:00 to 2026-01-13 01:00", handSum + ": 10 + 40 kWh in the hour"},
	{"by intervals", "kg", "time,kg\n2026-01-05 00:00,100\n2026-01-05 00:30,200\n2026-01-05 01:00,300\n2026-01-05 01:30,0\n", func(f *LogForm) { f.Counts = Interval },
		"5 00=300 5 01=300", "", handSum},
	{"UTC", "kW", "time,kW\n2026-01-05 23:00,1\n2026-01-06 00:00,2\n", func(f *LogForm) { f.Clock = UTC },
		"6 00=1 6 01=2", "", "an hour ahead of UTC"},
	{"offsets", "kW", "time,kW\n2026-01-05T23:00Z,1\n2026-01-06T00:00Z,2\n", nil,
		"6 00=1 6 01=2", "", "an hour ahead of UTC"},
	{"epoch seconds", "kW", "time,kW\n1767657600,1\n1767661200,2\n", nil,
		"6 01=1 6 02=2", "", "1767657600 = 20459*86400: 6 Jan 2026 00:00 UTC"},
	{"a gap in rates", "kW", "time,kW\n2026-01-05 00:00,1\n2026-01-05 01:00,2\n2026-01-05 02:00,3\n2026-01-05 06:00,4\n2026-01-05 07:00,4\n", nil,
		"5 00=1 5 01=2 5 02=3 5 06=4 5 07=4", "5: no rows from 2026-01-05 02:00 to 2026-01-05 06:00", "longer than 1.5 times the usual hour"},
	{"not a gap by the form", "kW", "time,kW\n2026-01-05 00:00,1\n2026-01-05 01:00,2\n2026-01-05 02:00,3\n2026-01-05 06:00,4\n2026-01-05 07:00,4\n", func(f *LogForm) { f.LongestGap = 5 * time.Hour },
		"5 00=1 5 01=2 5 02=3 5 03=3 5 04=3 5 05=3 5 06=4 5 07=4", "", "longest_gap 5 h"},
	{"a row twice, an empty one, and none", "kW", "time,kW\n2026-01-05 00:00,1\n2026-01-05 00:00,1\n2026-01-05 01:00,\n2026-01-05 02:00,3\n2026-01-05 03:00,3\n2026-01-05 04:00,Bad\n,\n2026-01-05 05:00,1\n2026-01-05 06:00,1\n2026-01-05 07:00,1\n", func(f *LogForm) { f.Missing = []string{"Bad"} },
		"5 00=1 5 02=3 5 03=3 5 05=1 5 06=1 5 07=1", "5: no rows from 2026-01-05 00:00 to 2026-01-05 02:00|9: no rows from 2026-01-05 03:00 to 2026-01-05 05:00|0: 1 rows stand twice and were dropped once|0: 3 rows have no value and are left out", handSum},
	{"a roll-over", "t", "time,t\n2026-01-05 00:00,995\n2026-01-05 01:00,998\n2026-01-05 02:00,3\n2026-01-05 03:00,4\n", func(f *LogForm) { f.Counts = Counter; f.RollOver = 1000 },
		"5 00=3000 5 01=5000 5 02=1000", "4: the counter goes from 998 to 3 on 2026-01-05 02:00: a roll-over, 5 counted", handSum + ": 1000-998+3"},
	{"a reset", "t", "time,t\n2026-01-05 00:00,500\n2026-01-05 01:00,503\n2026-01-05 02:00,3\n2026-01-05 03:00,4\n", func(f *LogForm) { f.Counts = Counter; f.RollOver = 1000 },
		"5 00=3000 5 02=1000", "4: the counter falls from 503 to 3 on 2026-01-05 02:00: a reset, the time between is a gap", "500 would be half a counter"},
	{"a roll-over that was not said", "t", "time,t\n2026-01-05 00:00,995\n2026-01-05 01:00,998\n2026-01-05 02:00,3\n2026-01-05 03:00,4\n", func(f *LogForm) { f.Counts = Counter },
		"5 00=3000 5 02=1000", "4: the counter falls from 998 to 3 on 2026-01-05 02:00: a reset, the time between is a gap; if that was a roll-over, write roll_over: 1000", "998 is near 1000"},
	{"a wild reading", "t", "time,t\n2026-01-05 00:00,10\n2026-01-05 01:00,11\n2026-01-05 02:00,99999\n2026-01-05 03:00,13\n2026-01-05 04:00,14\n", func(f *LogForm) { f.Counts = Counter },
		"5 00=1000 5 03=1000", "4: the counter shows 99999 between 11 and 13: a wild reading, left out|5: no rows from 2026-01-05 01:00 to 2026-01-05 03:00", "13-11 counted over two hours"},
	{"the interval changes", "kW", "time,kW\n" + hoursOf(20, func(int) string { return "1" }) + minutes(20, 40), nil,
		"", "23: from here on rows stand 2 min apart, before 60 min", "by the rule of 16 rows"},
	{"below 0", "kW", "time,kW\n2026-01-05 00:00,-0.5\n2026-01-05 01:00,2\n", func(f *LogForm) { f.Negative = true },
		"5 00=0 5 01=2", "0: 1 values below 0 count as 0", "by the form"},
	{"a scale", "kg", "time,pulses\n2026-01-05 00:00,100\n2026-01-05 01:00,150\n2026-01-05 02:00,150\n", func(f *LogForm) { f.Counts = Counter; f.Scale = 2 },
		"5 00=100 5 01=0", "", handSum + ": 50 pulses of 2 kg"},
	{"columns by name, quotes, words before the header", "t/h", "Meter 4711\nfrom;to\n\"Nr\";\"Zeitstempel\";\"Dampf, netto\"\n;;t/h\n\"1\";\"13.01.2026 00:00\";\"1,5\"\n\"2\";\"13.01.2026 01:00\";\"2,5\"\n",
		func(f *LogForm) { f.Time, f.Value = "Zeitstempel", "dampf, netto" },
		"13 00=1500 13 01=2500", "", "common practice, no source"},
	{"day and time of day apart, tabs", "t/h", "Datum\tUhrzeit\tWert\r\n13.01.2026\t00:00\t1,5\r\n13.01.2026\t01:00\t2,5\r\n",
		func(f *LogForm) { f.Time, f.TimeOfDay, f.Value = "Datum", "Uhrzeit", "Wert" },
		"13 00=1500 13 01=2500", "", "common practice, no source"},
	{"Latin-1 in the header", "t/h", "Zeit;W\xe4rme\n2026-01-13 00:00;1,5\n2026-01-13 01:00;2,5\n", func(f *LogForm) { f.Time, f.Value = "Zeit", "Wärme" },
		"13 00=1500 13 01=2500", "", "ISO 8859-1"},
	{"a title alone", "kW", "Steam meter\n2026-01-13 00:00,1.5\n2026-01-13 01:00,2.5\n", nil, "13 00=1.5 13 01=2.5", "", "columns by number; found by the fuzzer"},
	{"no header", "kW", "\ufeff2026-01-13 00:00,1.5\n2026-01-13 01:00,2.5", nil, "13 00=1.5 13 01=2.5", "", "columns by number"},
	{"a unit in the header that is another", "kW", "time,Wärme MW\n2026-01-13 00:00,1.5\n2026-01-13 01:00,2.5", nil, "13 00=1.5 13 01=2.5", `0: column "Wärme MW" seems to be in MW, and the log is read in kW`, "common practice, no source"},
	{"a stuck rate", "kW", "time,kW\n" + hoursOf(40, func(h int) string {
		if h > 20 && h < 30 {
			return "7.25"
		}
		return fmt.Sprint(h)
	}), func(f *LogForm) { f.Stuck = 4 * time.Hour; f.Step = time.Hour }, "", "23: stands at the very same 7.25 for 8 h from 2026-01-05 21:00 on; kept", "stuck 4 h"},
}

// minutes are rows of two minutes from an hour on, all 2.
func minutes(from, n int) string {
	var b strings.Builder
	for i := range n {
		at := time.Date(2026, 1, 5, from, 2+2*i, 0, 0, time.UTC)
		fmt.Fprintf(&b, "%s,2\n", at.Format(minuteForm))
	}
	return b.String()
}

func hoursOf(n int, value func(int) string) string {
	var b strings.Builder
	for h := range n {
		fmt.Fprintf(&b, "%s,%s\n", time.Date(2026, 1, 5, h, 0, 0, 0, time.UTC).Format(minuteForm), value(h))
	}
	return b.String()
}

func TestReadLog(t *testing.T) {
	for _, tt := range logTests {
		needSource(t, tt.src)
		change := []func(*LogForm){}
		if tt.change != nil {
			change = append(change, tt.change)
		}
		l, err := ReadLog(strings.NewReader(tt.in), logForm(t, tt.unit, change...))
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		var notes []string
		for _, n := range l.Notes {
			notes = append(notes, fmt.Sprintf("%d: %s", n.Line, n.Text))
		}
		if got := strings.Join(notes, "|"); got != tt.notes {
			t.Errorf("%s: notes\n %s\nwant\n %s", tt.name, got, tt.notes)
		}
		if got := measured(l); tt.want != "" && got != strings.TrimSpace(tt.want) {
			t.Errorf("%s: %s; want %s (%s)", tt.name, got, tt.want, tt.src)
		}
	}
}

const good = "time,kW\n2026-01-05 00:00,1\n2026-01-05 01:00,2\n"

var wrongLogs = []struct {
	name, in string
	change   func(*LogForm)
	want     string // whole
}{
	{"empty", "", nil, `meter.csv:1: is empty; want a header and rows with a time and a value`},
	{"wrong delimiter", strings.ReplaceAll(good, ",", ";"), func(f *LogForm) { f.Delimiter = ',' },
		`meter.csv:1: has 1 columns, and column 2 is wanted; want the right delimiter and columns; with delimiter: semicolon it fits`},
	{"no delimiter", strings.ReplaceAll(good, ",", ":"), nil, `meter.csv:1: has 1 columns, and column 2 is wanted; want the right delimiter and columns`},
	{"no such column", good, func(f *LogForm) { f.Time, f.Value = "time", "steam" }, `meter.csv:1: no column is called "steam"; the widest of the first rows has "time", "kW"`},
	{"no times", "time,kW\nmorning,1\nevening,2\n", nil, `meter.csv:1: no row after this begins with a time in column 1; want a date and time such as 2026-12-31 23:45, 31.12.2026 23:45 or 12/31/2026 11:45 PM`},
	{"day or month", "time,kW\n03/04/2026 00:00,1\n03/04/2026 01:00,2\n", nil, `meter.csv:2: time: "03/04/2026 00:00" may have the day or the month first, and so may all rows looked at; write dates: day-month-year or dates: month-day-year`},
	{"day and month alike", "time,kW\n05/05/2026 00:00,1\n05/05/2026 01:00,2\n", nil, `meter.csv:2: time: "05/05/2026 00:00" may have the day or the month first; write dates: day-month-year or dates: month-day-year`},
	{"both orders", "time,kW\n13/04/2026 00:00,1\n04/14/2026 00:00,2\n", nil, `meter.csv:2: time: some dates can only be day-month-year and some only month-day-year; want one order in a log`},
	{"two digits of a year", "time,kW\n13.04.26 00:00,1\n13.04.26 01:00,2\n", nil, `meter.csv:2: time: "13.04.26 00:00" has a year of two digits; write dates: day-month-year, dates: month-day-year or dates: year-month-day`},
	{"thousands or decimals", "time;kW\n2026-01-05 00:00;1,250\n2026-01-05 01:00;2,500\n", nil, `meter.csv:2: value: "1,250" may have a decimal sign or part thousands, and so may all rows looked at; write decimal: point or decimal: comma`},
	{"decimal comma between commas", good + "2026-01-05 02:00,1,5\n", nil, `meter.csv:4: has 3 columns, and the header 2; want as many, and quotes round a number with a decimal comma where commas part the columns`},
	{"the other decimal sign", "time;kW\n2026-01-05 00:00;1,5\n2026-01-05 01:00;2,5\n2026-01-05 02:00;2.75\n", func(f *LogForm) { f.Decimal = ',' }, `meter.csv:4: value: "2.75"; want a number with ',' for its decimal sign; write decimal: point if all have '.'`},
	{"a column too few", good + "2026-01-05 02:00\n", nil, `meter.csv:4: has 1 columns; want at least 2, or another delimiter`},
	{"negative steam", good + "2026-01-05 02:00,-3\n", nil, `meter.csv:4: value: "-3" is below 0; want 0 or more, or below_zero: count as 0 for a meter whose zero drifts`},
	{"text", good + "2026-01-05 02:00,fault\n", nil, `meter.csv:4: value: "fault"; want a number; if that stands for no value, write missing: ["fault"]`},
	{"much", good + "2026-01-05 02:00,3e9\n", nil, `meter.csv:4: value: "3e9" is more than any plant has; want at most 1e+09, or the unit or scale`},
	{"backwards", good + "2026-01-05 00:30,3\n", nil, `meter.csv:4: time: 2026-01-05 00:30 comes after 2026-01-05 01:00; want rising times; sort the log by time`},
	{"summer time unsaid", good + "2026-01-05 02:00,3\n2026-01-05 03:00,3\n2026-01-05 02:00,4\n", nil, `meter.csv:6: time: 2026-01-05 02:00 comes after 2026-01-05 03:00; want rising times; write clock: wall if the log follows summer time, or sort it by time`},
	{"two values", good + "2026-01-05 01:00,3\n", nil, `meter.csv:4: time: 2026-01-05 01:00 stands twice, with 2 and 3; want one value a time; if the column has no seconds, name one that has`},
	{"two zones", "time,kW\n2026-01-05T00:00+01:00,1\n2026-01-05T01:00+02:00,2\n2026-01-05T03:00+01:00,2\n", nil, `meter.csv:3: time: has the offset +02:00, and the first row +01:00: two time zones in one log; cut it in two, or write clock: wall if it follows the plant's summer time`},
	{"a zone in some", "time,kW\n2026-01-05T00:00,1\n2026-01-05T01:00Z,2\n2026-01-05T02:00,2\n", nil, `meter.csv:3: time: has the offset +00:00, and the rows before it has no offset; want one form of times in a log`},
	{"a zone against the clock", "time,kW\n2026-01-05T00:00+01:00,1\n2026-01-05T01:00+01:00,2\n", func(f *LogForm) { f.Clock = UTC }, "meter.csv:2: time: has the offset +01:00, and clock says UTC; want no clock, since the offset says it\n" +
		"meter.csv:3: time: has the offset +01:00, and clock says UTC; want no clock, since the offset says it\nmeter.csv:1: has 0 rows with a value; want 2 at least"},
	{"one row", "time,kW\n2026-01-05 00:00,1\n", nil, `meter.csv:2: has 1 rows with a value; want 2 at least`},
	{"a year that is none", good + "2062-01-05 02:00,3\n2026-01-05 02:00,3\n", nil, `meter.csv:4: time: 2062-01-05 02:00 comes 36 years after 2026-01-05 01:00; want a log of 10 years at most`},
	{"over the roll", "time,t\n2026-01-05 00:00,1\n2026-01-05 01:00,1000\n2026-01-05 02:00,2\n", func(f *LogForm) { f.Counts, f.RollOver = Counter, 1000; f.Unit, _ = ParseLogUnit("t") },
		`meter.csv:3: value: "1000" is not below roll_over; want the reading at which the counter begins at 0 again, such as 10000`},
	{"UTF-16", "\xff\xfet\x00i\x00m\x00e\x00", nil, `meter.csv:1: is no UTF-8 text but looks like UTF-16; save it as CSV UTF-8`},
	{"UTF-16 without a mark", strings.Join(strings.Split(good, ""), "\x00"), nil, `meter.csv:1: is no UTF-8 text but looks like UTF-16; save it as CSV UTF-8`},
	{"an old workbook", "\xd0\xcf\x11\xe0\xa1\xb1", nil, `meter.csv:1: is a workbook of the old form (.xls); save it as .xlsx or as CSV`},
	{"packed", "\x1f\x8b\x08", nil, `meter.csv:1: is packed (gzip); unpack it first`},
	{"a footer", good + "Summe,3\n", nil, `meter.csv:4: time: "Summe"; want a date and time such as 2026-12-31 23:45, 31.12.2026 23:45 or 12/31/2026 11:45 PM`},
	{"one column for both", good, func(f *LogForm) { f.Value = "1" }, `meter.csv: time, time_of_day, value: two of them are one column; want each its own`},
	{"no unit", good, func(f *LogForm) { f.Unit = LogUnit{} }, `meter.csv: unit: is missing; want the unit of the values, such as kg/h`},
	{"the wall without summer time", good, func(f *LogForm) { f.Clock = WallClock }, `meter.csv: clock: is wall, and the plant has no summer time; write time.summer_time, or clock: standard`},
	{"a rate that rolls", good, func(f *LogForm) { f.RollOver = 1000 }, `meter.csv: roll_over: is for a counter, and this log has none; want counts: total, or no roll_over`},
}

func TestWrongLogs(t *testing.T) {
	for _, tt := range wrongLogs {
		f := logForm(t, "kW")
		if tt.change != nil {
			tt.change(&f)
		}
		l, err := ReadLog(strings.NewReader(tt.in), f)
		if err == nil || err.Error() != tt.want {
			t.Errorf("%s:\n got %v\nwant %s", tt.name, err, tt.want)
		}
		if l != nil {
			t.Errorf("%s: an error, and a log too", tt.name)
		}
	}
}

// Of each kind the first twenty faults are told, and the rest counted.
func TestManyFaults(t *testing.T) {
	in := "time,kW\n" + hoursOf(200, func(h int) string { return []string{"1", "x", "-2"}[h%3] })
	_, err := ReadLog(strings.NewReader(in), logForm(t, "kW"))
	if err == nil {
		t.Fatal("no error")
	}
	lines := strings.Split(err.Error(), "\n")
	if len(lines) != 42 || !strings.Contains(lines[40], "values that cannot be read: 47 more like the first 20") || !strings.Contains(lines[41], "values below 0: 46 more like the first 20") {
		t.Errorf("%d lines: %s", len(lines), strings.Join(lines[max(0, len(lines)-3):], "\n"))
	}
	var at *LineError
	if !errors.As(err, &at) || at.Line != 3 {
		t.Errorf("first at %+v; want line 3", at)
	}
}

// A line without an end is an error after a buffer or two, and a reader that fails is told with its line.
func TestLogReaders(t *testing.T) {
	endless := &counted{rest: good, more: func() string { return strings.Repeat("7", 1<<12) }}
	_, err := ReadLog(endless, logForm(t, "kW"))
	if want := "meter.csv:4: is longer than 1048576 bytes; want a row of a log"; err == nil || err.Error() != want {
		t.Errorf("%v; want %s", err, want)
	}
	if endless.taken > 4*headBytes {
		t.Errorf("%d bytes were taken", endless.taken)
	}
	broken := errors.New("the disk is gone")
	_, err = ReadLog(io.MultiReader(strings.NewReader(good), failing{broken}), logForm(t, "kW"))
	if !errors.Is(err, broken) || err.Error() != "meter.csv:4: cannot be read: the disk is gone" {
		t.Errorf("%v", err)
	}
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }

// A rate by the second, folded to hours, has the energy of its rows to 1e-9; and hours drawn by the second fold back to themselves.
func TestLogKeepsEnergy(t *testing.T) {
	log := newSecondLog(3 * daySeconds * secondRow)
	want := 0.0
	for i := range 3 * daySeconds {
		want += (10 + float64(i%daySeconds*7919%89999)/10000) * 1000 / 3600
	}
	for _, step := range []time.Duration{time.Minute, 15 * time.Minute, time.Hour} {
		l, err := ReadLog(newSecondLog(3*daySeconds*secondRow), logForm(t, "t/h", func(f *LogForm) { f.Step = step }))
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(l.Quantity/want-1) > 1e-9 || l.Rows != 3*daySeconds {
			t.Errorf("%v: %v kg in %d rows; want %v", step, l.Quantity, l.Rows, want)
		}
	}
	_ = log
	hours := make([]float64, 48)
	var b strings.Builder
	b.WriteString("time,kW\n")
	for h := range hours {
		hours[h] = 1000 / 3.0 * float64(1+h*h%7)
		for s := range 3600 {
			fmt.Fprintf(&b, "%s,%v\n", time.Date(2026, 1, 5, h, 0, s, 0, time.UTC).Format(secondForm), hours[h])
		}
	}
	l, err := ReadLog(strings.NewReader(b.String()), logForm(t, "kW"))
	if err != nil {
		t.Fatal(err)
	}
	for h, kW := range hours {
		m, _ := l.bins.at(time.Date(2026, 1, 5, h, 0, 0, 0, time.UTC).UnixNano() / hourNS)
		if got := m.sum / float64(hourNS); math.Abs(got/kW-1) > 1e-9 {
			t.Fatalf("hour %d: %v; want %v", h, got, kW)
		}
	}
}
