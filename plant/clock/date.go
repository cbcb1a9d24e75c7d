package clock

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Date is a day. Year 0 stands for every year; then 29 Feb comes in leap years only.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// DateOf is the day of t on t's own calendar.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return Date{y, m, d}
}

// Valid reports whether the day exists: 29 Feb does in leap years and as a day of every year.
func (d Date) Valid() bool {
	year := d.Year
	if year == 0 {
		year = 2000 // a leap year, so that 29 Feb of every year passes
	}
	if year < firstYear || year > lastYear || d.Month < 1 || d.Month > 12 || d.Day < 1 {
		return false
	}
	return DateOf(time.Date(year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)) == Date{year, d.Month, d.Day}
}

// String writes "2026-12-25", or "25 Dec" for every year; [ParseDate] reads it back.
func (d Date) String() string {
	if d.Year == 0 {
		return fmt.Sprintf("%d %.3s", d.Day, d.Month)
	}
	return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day)
}

// is reports whether d, which may stand for every year, is the day on.
func (d Date) is(on Date) bool {
	return d.Month == on.Month && d.Day == on.Day && (d.Year == 0 || d.Year == on.Year)
}

// order is a number that grows from day to day; within one year if Year is 0.
func (d Date) order() int { return (d.Year*16+int(d.Month))*32 + d.Day }

const wantDate = "a day such as 2026-12-25, or 25 Dec for every year"

// ParseDate reads "2026-12-25", or "25 Dec" for every year. Month names are English, short or whole,
// in any case.
func ParseDate(s string) (Date, error) {
	text := strings.TrimSpace(s)
	bad := &TextError{What: "date", Saw: s, Want: wantDate}
	d, ok := isoDate(text)
	if !ok {
		dayText, monthText, two := strings.Cut(text, " ")
		monthText = strings.TrimSpace(monthText)
		if !two || !digits(dayText) || len(dayText) > 2 {
			return Date{}, bad
		}
		month, near := matchName(monthText, monthNames)
		if month < 0 {
			bad.Near = near
			return Date{}, bad
		}
		d = Date{Month: time.Month(month + 1)}
		d.Day, _ = strconv.Atoi(dayText)
	}
	if !d.Valid() {
		bad.Want = "a day that exists"
		return Date{}, bad
	}
	return d, nil
}

func isoDate(s string) (Date, bool) {
	part := strings.Split(s, "-")
	if len(part) != 3 || len(part[0]) != 4 || len(part[1]) != 2 || len(part[2]) != 2 {
		return Date{}, false
	}
	var n [3]int
	for i, p := range part {
		if !digits(p) {
			return Date{}, false
		}
		n[i], _ = strconv.Atoi(p)
	}
	// Year 0 has its own meaning here; as a written year it is out of range.
	return Date{n[0], time.Month(n[1]), n[2]}, n[0] != 0
}

// Span is a run of days, both ends inside. With Year 0 at both ends it comes every year and
// may wrap over new year: 24 Dec..6 Jan has days at both ends of a study's year.
type Span struct{ From, To Date }

// ParseSpan reads "2026-08-03..2026-08-16", "15 Jul..30 Sep" or a single day.
func ParseSpan(s string) (Span, error) {
	from, to, two := strings.Cut(s, "..")
	first, err := ParseDate(from)
	if err != nil {
		return Span{}, spanError(s, err)
	}
	span := Span{first, first}
	if two {
		if span.To, err = ParseDate(to); err != nil {
			return Span{}, spanError(s, err)
		}
	}
	if err := span.Check(); err != nil {
		return Span{}, err
	}
	return span, nil
}

func spanError(s string, err error) error {
	if strings.TrimSpace(s) == "" {
		return &TextError{What: "days", Saw: s, Want: "a day, or two with .. between, such as 15 Jul..30 Sep"}
	}
	return err
}

// Check reports a day that does not exist, a year at one end only, or an end before its start.
func (s Span) Check() error {
	want := ""
	switch {
	case !s.From.Valid() || !s.To.Valid():
		want = "days that exist"
	case (s.From.Year == 0) != (s.To.Year == 0):
		want = "a year at both ends or at neither"
	case s.From.Year != 0 && s.From.order() > s.To.order():
		want = "the earlier day first; only days without a year may run over new year"
	default:
		return nil
	}
	return &TextError{What: "days", Saw: s.String(), Want: want}
}

// Has reports whether the day lies in the span.
func (s Span) Has(d Date) bool {
	if s.From.Year == 0 {
		d.Year = 0
	}
	from, to, at := s.From.order(), s.To.order(), d.order()
	if from > to { // over new year
		return at >= from || at <= to
	}
	return from <= at && at <= to
}

// Meets reports whether a day of the axis lies in the span.
func (s Span) Meets(a Axis) bool {
	last := a.At(a.N - 1)
	for t := a.Start; !t.After(last); t = t.AddDate(0, 0, 1) {
		if s.Has(DateOf(t)) {
			return true
		}
	}
	return s.Has(DateOf(last))
}

// String writes "15 Jul..30 Sep", or the one day; [ParseSpan] reads it back.
func (s Span) String() string {
	if s.From == s.To {
		return s.From.String()
	}
	return s.From.String() + ".." + s.To.String()
}
