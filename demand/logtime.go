package demand

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"time"
)

// stamp is a time as a log writes it, before its clock is looked at.
type stamp struct {
	day     int64 // since 1 Jan 1970 on the log's own calendar
	ns      int64 // of the day; 24:00 is the whole day
	offsetS int   // from UTC, where the stamp says it
	kind    stampKind
}

type stampKind uint8

const (
	bareStamp   stampKind = iota // a date and a time
	offsetStamp                  // with Z or +02:00
	epochStamp                   // seconds since 1970, in UTC by definition
)

const (
	daySeconds = 86400
	dayNS      = daySeconds * int64(time.Second)

	firstLogYear, lastLogYear = 1970, 2199 // far outside any log
)

// stampReader reads the times of one log.
type stampReader struct {
	order     DateOrder
	excelDay0 float64 // day of 1970 that a spreadsheet's serial number 0 stands for
	memo      [10]byte
	memoDay   int64
}

func newStampReader(order DateOrder) *stampReader {
	// Serial 25569 is 1 Jan 1970 in the calendar that begins with 1900 (ISO/IEC 29500-1, 18.17.4).
	return &stampReader{order: order, excelDay0: -25569}
}

// read reads one time. Most logs write one form of ten and eight letters throughout, which is read at sight.
func (f *stampReader) read(b []byte) (stamp, error) {
	if s, ok := f.fixed(b); ok {
		return s, nil
	}
	return f.free(b)
}

// fixed reads "2026-12-31 23:45" or "31.12.2026 23:45:10" at their places; ok is false for anything else.
func (f *stampReader) fixed(b []byte) (stamp, bool) {
	if len(b) != 16 && len(b) != 19 || b[13] != ':' || b[10] != ' ' && b[10] != 'T' {
		return stamp{}, false
	}
	h, m, s := twoDigits(b, 11), twoDigits(b, 14), 0
	if len(b) == 19 {
		if b[16] != ':' {
			return stamp{}, false
		}
		s = twoDigits(b, 17)
	}
	if uint(h) > 23 || uint(m) > 59 || uint(s) > 59 {
		return stamp{}, false
	}
	if [10]byte(b[:10]) != f.memo {
		day, ok := f.fixedDate(b[:10])
		if !ok {
			return stamp{}, false
		}
		f.memo, f.memoDay = [10]byte(b[:10]), day
	}
	return stamp{day: f.memoDay, ns: int64(h*3600+m*60+s) * int64(time.Second)}, true
}

func (f *stampReader) fixedDate(b []byte) (day int64, ok bool) {
	var y, m, d int
	switch {
	case f.order == YearMonthDay && dateSign(b[4]) && b[7] == b[4]:
		y, m, d = twoDigits(b, 0)*100+twoDigits(b, 2), twoDigits(b, 5), twoDigits(b, 8)
	case f.order == DayMonthYear && dateSign(b[2]) && b[5] == b[2]:
		d, m, y = twoDigits(b, 0), twoDigits(b, 3), twoDigits(b, 6)*100+twoDigits(b, 8)
	case f.order == MonthDayYear && dateSign(b[2]) && b[5] == b[2]:
		m, d, y = twoDigits(b, 0), twoDigits(b, 3), twoDigits(b, 6)*100+twoDigits(b, 8)
	default:
		return 0, false
	}
	return dayOf(y, m, d)
}

func dateSign(c byte) bool { return c == '-' || c == '.' || c == '/' }

// twoDigits is a number of two digits, or far below 0.
func twoDigits(b []byte, i int) int {
	x, y := b[i]-'0', b[i+1]-'0'
	if x > 9 || y > 9 {
		return -1 << 20
	}
	return int(x)*10 + int(y)
}

// dayOf gives the day since 1 Jan 1970; false for a day that does not exist or a year of no log.
func dayOf(y, m, d int) (int64, bool) {
	if y < firstLogYear || y > lastLogYear || m < 1 || m > 12 || d < 1 {
		return 0, false
	}
	t := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	return t.Unix() / daySeconds, t.Day() == d
}

const wantTime = "a date and time such as 2026-12-31 23:45, 31.12.2026 23:45 or 12/31/2026 11:45 PM"

// free reads any of the forms.
func (f *stampReader) free(b []byte) (stamp, error) {
	b = bytes.TrimSpace(b)
	if plainNumber(b) {
		return f.numeric(b)
	}
	s := timeScan{b: b}
	d, ok := s.date()
	if !ok {
		return stamp{}, fmt.Errorf("time: %s; want %s", brief(string(b)), wantTime)
	}
	day, err := f.civil(d, b)
	if err != nil {
		return stamp{}, err
	}
	out := stamp{day: day}
	if s.dateEnd(); s.i == len(s.b) {
		return out, nil // a day alone is its midnight
	}
	if out.ns, ok = s.timeOfDay(); !ok {
		return stamp{}, fmt.Errorf("time: %s has no time of day that can be; want %s", brief(string(b)), wantTime)
	}
	if s.i == len(s.b) {
		return out, nil
	}
	if out.offsetS, ok = s.offset(); !ok || s.i != len(s.b) {
		return stamp{}, fmt.Errorf("time: %s goes on after the time with %s; want nothing, Z or an offset such as +02:00", brief(string(b)), brief(string(s.b[s.i:])))
	}
	out.kind = offsetStamp
	return out, nil
}

// civil turns the three numbers of a date into a day, by the log's order.
func (f *stampReader) civil(d dateParts, b []byte) (int64, error) {
	order := f.order
	if d.yearFirst || d.named {
		order = UnknownOrder
	}
	y, m, day := d.x, d.y, d.z // as a date that begins with the year has them
	switch {
	case d.named:
		day, m, y = d.x, d.y, d.z
	case d.yearFirst:
	case d.shortYear && f.order == YearMonthDay:
		y += 2000
	case order == DayMonthYear:
		day, m, y = d.x, d.y, d.z
	case order == MonthDayYear:
		m, day, y = d.x, d.y, d.z
	default:
		return 0, fmt.Errorf("time: %s does not begin with the year, as the rows before it do; want one form of dates in a log", brief(string(b)))
	}
	if d.shortYear && y < 100 {
		y += 2000
	}
	n, ok := dayOf(y, m, day)
	if !ok {
		said := ""
		if order != UnknownOrder {
			said = " as " + f.order.String()
		}
		return 0, fmt.Errorf("time: %s is no day%s; want one that exists, of %d to %d", brief(string(b)), said, firstLogYear, lastLogYear)
	}
	return n, nil
}

// numeric reads seconds or milliseconds since 1970, or a spreadsheet's serial number of days.
func (f *stampReader) numeric(b []byte) (stamp, error) {
	v, err := strconv.ParseFloat(string(bytes.Replace(b, []byte{','}, []byte{'.'}, 1)), 64)
	switch {
	case err != nil:
	case v >= 1e11 && v < 1e13:
		v /= 1000
		fallthrough
	case v >= 1e8 && v < 7.26e9: // 1973 to 2200
		whole := math.Floor(v)
		frac := int64(math.Round((v-whole)*1000)) * int64(time.Millisecond)
		return stamp{int64(whole) / daySeconds, int64(whole)%daySeconds*int64(time.Second) + frac, 0, epochStamp}, nil
	case v >= 18264 && v < 110000: // 1950 to 2201; a formula that adds up steps drifts, so whole seconds are meant
		s := int64(math.Round((v + f.excelDay0) * daySeconds))
		if s >= 0 {
			return stamp{s / daySeconds, s % daySeconds * int64(time.Second), 0, bareStamp}, nil
		}
	}
	return stamp{}, fmt.Errorf("time: %s is neither seconds since 1970 nor a spreadsheet's day number; want %s", brief(string(b)), wantTime)
}

// plainNumber tells whether b is digits with at most one decimal sign, but no date of eight digits.
func plainNumber(b []byte) bool {
	signs := 0
	for _, c := range b {
		if c == '.' || c == ',' {
			signs++
		} else if !isDigit(c) {
			return false
		}
	}
	return len(b) > 0 && signs <= 1 && isDigit(b[0]) && !(len(b) == 8 && signs == 0)
}
