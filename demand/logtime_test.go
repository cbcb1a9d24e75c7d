package demand

import (
	"strings"
	"testing"
	"time"

	"noonkeep/plant/clock"
)

var stampTests = []struct {
	text  string
	order DateOrder
	want  string // local, or with its offset
	src   string
}{
	{"2026-12-31 23:45", YearMonthDay, "2026-12-31 23:45:00", "ISO 8601 extended form"},
	{"2026-12-31T23:45:10", YearMonthDay, "2026-12-31 23:45:10", "ISO 8601 extended form"},
	{"2026-12-31T23:45:10.250", YearMonthDay, "2026-12-31 23:45:10.25", "ISO 8601 decimal fraction"},
	{"2026-12-31T23:45:10,5", YearMonthDay, "2026-12-31 23:45:10.5", "ISO 8601: a comma is the other decimal sign"},
	{"20261231 23:45", YearMonthDay, "2026-12-31 23:45:00", "ISO 8601 basic form of a date"},
	{"2026/2/3 4:05", YearMonthDay, "2026-02-03 04:05:00", "common practice, no source"},
	{"2026-12-31T24:00", YearMonthDay, "2027-01-01 00:00:00", "ISO 8601-1:2019/Amd 1: 24:00 is the day's end"},
	{"2026-12-31", YearMonthDay, "2026-12-31 00:00:00", "a day alone is its midnight: our rule"},
	{"2026-12-31T23:45:00Z", YearMonthDay, "2026-12-31 23:45:00 +0", "ISO 8601, Z is UTC"},
	{"2026-12-31T23:45+02:00", YearMonthDay, "2026-12-31 23:45:00 +7200", "ISO 8601 offset"},
	{"2026-12-31 23:45:00-0330", YearMonthDay, "2026-12-31 23:45:00 -12600", "ISO 8601 basic offset"},
	{"2026-12-31 23:45 UTC", YearMonthDay, "2026-12-31 23:45:00 +0", "common practice, no source"},
	{"31.12.2026 23:45", DayMonthYear, "2026-12-31 23:45:00", "DIN 5008 date; common practice"},
	{"1.2.2026 3:04", DayMonthYear, "2026-02-01 03:04:00", "common practice, no source"},
	{"31/12/2026, 23:45:01", DayMonthYear, "2026-12-31 23:45:01", "common practice, no source"},
	{"31.12.26 23:45", DayMonthYear, "2026-12-31 23:45:00", "two digits, with the order said"},
	{"12/31/2026 11:45 PM", MonthDayYear, "2026-12-31 23:45:00", "12-hour clock"},
	{"12/31/2026 12:05 AM", MonthDayYear, "2026-12-31 00:05:00", "12 AM is midnight"},
	{"12/31/2026 12:05:06pm", MonthDayYear, "2026-12-31 12:05:06", "12 PM is noon"},
	{"1/2/2026 3:04", MonthDayYear, "2026-01-02 03:04:00", "common practice, no source"},
	{"31-Dec-2026 23:45", YearMonthDay, "2026-12-31 23:45:00", "a month's name leaves nothing open"},
	{"31 dec 2026 23:45", YearMonthDay, "2026-12-31 23:45:00", "a month's name leaves nothing open"},
	{"1798761600", YearMonthDay, "2027-01-01 00:00:00 epoch", "POSIX.1-2017 4.16: (2027-1970)*365 days and 14 leap days, by 86400 s"},
	{"1798761600250", YearMonthDay, "2027-01-01 00:00:00.25 epoch", "the same in milliseconds"},
	{"25569", YearMonthDay, "1970-01-01 00:00:00", "ISO/IEC 29500-1 18.17.4.1: serial 25569 is 1 Jan 1970"},
	{"46023.75", YearMonthDay, "2026-01-01 18:00:00", "25569 + 56 years of 365 days + 14 leap days, by hand"},
	{"46023,010416667", YearMonthDay, "2026-01-01 00:15:00", "a quarter of an hour is 1/96 of a day, to the second"},
}

func stampText(s stamp) string {
	text := time.Unix(0, s.day*dayNS+s.ns).UTC().Format("2006-01-02 15:04:05.999")
	switch s.kind {
	case epochStamp:
		return text + " epoch"
	case offsetStamp:
		sign := "+"
		if s.offsetS < 0 {
			sign = ""
		}
		return text + " " + sign + trimFloat(float64(s.offsetS))
	}
	return text
}

func TestStamps(t *testing.T) {
	for _, tt := range stampTests {
		needSource(t, tt.src)
		f := newStampReader(tt.order)
		for range 2 { // the second time from memory
			s, err := f.read([]byte(tt.text))
			if err != nil || stampText(s) != tt.want {
				t.Errorf("%s as %v: %s, %v; want %s (%s)", tt.text, tt.order, stampText(s), err, tt.want, tt.src)
			}
		}
	}
}

func TestWrongStamps(t *testing.T) {
	for _, tt := range []struct {
		text  string
		order DateOrder
		want  string
	}{
		{"31.13.2026 00:00", DayMonthYear, `time: "31.13.2026 00:00" is no day as day-month-year; want one that exists, of 1970 to 2199`},
		{"12/31/2026 00:00", DayMonthYear, `time: "12/31/2026 00:00" is no day as day-month-year; want`},
		{"29.02.2026 00:00", DayMonthYear, `time: "29.02.2026 00:00" is no day as day-month-year`},
		{"2026-02-30 00:00", YearMonthDay, `time: "2026-02-30 00:00" is no day; want one that exists`},
		{"1899-12-31 00:00", YearMonthDay, `time: "1899-12-31 00:00" is no day; want one that exists, of 1970 to 2199`},
		{"31.12.2026 00:00", YearMonthDay, `time: "31.12.2026 00:00" does not begin with the year, as the rows before it do; want one form of dates in a log`},
		{"2026-12-31 25:00", YearMonthDay, `time: "2026-12-31 25:00" has no time of day that can be; want a date and time such as`},
		{"2026-12-31 24:01", YearMonthDay, `has no time of day that can be`},
		{"2026-12-31 13:00 PM", YearMonthDay, `has no time of day that can be`},
		{"2026-12-31 12", YearMonthDay, `has no time of day that can be`},
		{"2026-12-31 12:00 MEZ", YearMonthDay, `time: "2026-12-31 12:00 MEZ" goes on after the time with "MEZ"; want nothing, Z or an offset such as +02:00`},
		{"total", YearMonthDay, `time: "total"; want a date and time such as 2026-12-31 23:45, 31.12.2026 23:45 or 12/31/2026 11:45 PM`},
		{"", YearMonthDay, `time: ""; want a date and time`},
		{"17", YearMonthDay, `time: "17" is neither seconds since 1970 nor a spreadsheet's day number; want`},
		{"2026-12/31 12:00", YearMonthDay, `time: "2026-12/31 12:00"; want`},
	} {
		s, err := newStampReader(tt.order).read([]byte(tt.text))
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %s, %v; want %s", tt.text, stampText(s), err, tt.want)
		}
	}
}

// The clock on the wall, brought back to standard time: the nights of central Europe's changes in 2026 by rows of an hour and
// a quarter, stamped with the start and the end.
func TestWallClock(t *testing.T) {
	const src = "Directive 2000/84/EC: 29 Mar and 25 Oct 2026 at 01:00 UTC"
	for _, tt := range []struct {
		name, rows, want string
		atEnd            bool
		step             time.Duration
	}{
		{"spring, starts", "29 01:00, 29 03:00, 29 04:00", "29 01:00, 29 02:00, 29 03:00", false, time.Hour},
		{"spring, ends", "29 01:00, 29 03:00, 29 04:00", "29 01:00, 29 02:00, 29 03:00", true, time.Hour},
		{"spring, ends counted on", "29 01:00, 29 02:00, 29 04:00", "29 01:00, 29 02:00, 29 03:00", true, time.Hour},
		{"autumn, starts", "25 01:00, 25 02:00, 25 02:00, 25 03:00", "25 00:00, 25 01:00, 25 02:00, 25 03:00", false, time.Hour},
		{"autumn, ends", "25 02:00, 25 02:00, 25 03:00, 25 04:00", "25 01:00, 25 02:00, 25 03:00, 25 04:00", true, time.Hour},
		{"autumn, ends counted on", "25 02:00, 25 03:00, 25 03:00, 25 04:00", "25 01:00, 25 02:00, 25 03:00, 25 04:00", true, time.Hour},
		{"autumn, quarters", "25 02:30, 25 02:45, 25 02:00, 25 02:15, 25 03:00", "25 01:30, 25 01:45, 25 02:00, 25 02:15, 25 03:00", false, 15 * time.Minute},
		{"autumn, quarters' ends", "25 02:45, 25 03:00, 25 02:15, 25 02:30, 25 02:45, 25 03:00, 25 03:15", "25 01:45, 25 02:00, 25 02:15, 25 02:30, 25 02:45, 25 03:00, 25 03:15", true, 15 * time.Minute},
		{"autumn, a row twice", "25 02:30, 25 02:30, 25 02:45, 25 02:00", "25 01:30, 25 01:30, 25 01:45, 25 02:00", false, 15 * time.Minute},
	} {
		c := clockReader{clock: WallClock, atEnd: tt.atEnd, zoneNS: hourNS, stepNS: int64(tt.step), summer: summerTable{rule: europe(t)}}
		var got []string
		for row := range strings.SplitSeq(tt.rows, ", ") {
			at, err := time.Parse("2006-01 2 15:04", map[byte]string{'2': "2026-10 ", '9': "2026-03 "}[row[0]]+row)
			if strings.HasPrefix(row, "29") {
				at, err = time.Parse("2006-01 2 15:04", "2026-03 "+row)
			}
			if err != nil {
				t.Fatal(err)
			}
			ns, err := c.standard(stamp{day: at.Unix() / daySeconds, ns: at.UnixNano() % dayNS})
			if err != nil {
				t.Fatalf("%s, %s: %v", tt.name, row, err)
			}
			c.last = ns
			got = append(got, time.Unix(0, ns).UTC().Format("2 15:04"))
		}
		if strings.Join(got, ", ") != tt.want {
			t.Errorf("%s: %v; want %s (%s)", tt.name, got, tt.want, src)
		}
	}
	c := clockReader{clock: WallClock, zoneNS: hourNS, summer: summerTable{rule: europe(t)}}
	at := time.Date(2026, 3, 29, 2, 30, 0, 0, time.UTC)
	_, err := c.standard(stamp{day: at.Unix() / daySeconds, ns: at.UnixNano() % dayNS})
	if want := "time: 2026-03-29 02:30 is left out on the clock on the wall, which goes an hour ahead that night; want clock: standard if the log does not follow summer time"; err == nil || err.Error() != want {
		t.Errorf("%v; want %s", err, want)
	}
}

// The table of summer time agrees with the calendar, at every hour of years of both halves of the earth.
func TestSummerTable(t *testing.T) {
	for _, rule := range []string{"last Sun Mar 02:00..last Sun Oct 03:00", "1st Sun Oct 02:00..1st Sun Apr 03:00", "2026-03-29 02:00..2026-10-25 03:00"} {
		s, err := clock.ParseSummerTime(rule)
		if err != nil {
			t.Fatal(err)
		}
		table, calendar := summerTable{rule: s}, clock.Calendar{Summer: s}
		for at := time.Date(2024, 12, 20, 0, 30, 0, 0, time.UTC); at.Year() < 2028; at = at.Add(time.Hour) {
			if got, want := table.at(at.UnixNano()), calendar.IsSummer(at); got != want {
				t.Fatalf("%s: summer %v on %s; want %v", rule, got, at, want)
			}
		}
	}
}
