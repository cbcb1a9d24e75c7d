package sky

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
)

// DateOrder is the order of day, month and year in a date.
type DateOrder int

// The orders of a date; 0 is found out, where four figures of a year come first or points part a date's figures.
const (
	YearMonthDay DateOrder = iota + 1
	DayMonthYear
	MonthDayYear
)

// at is the line that is read.
func (f *plain) at() int {
	if f.l == nil {
		return 0
	}
	return f.l.at
}

// moment reads a row's label.
func (f *plain) moment(cells [][]byte) (moment, error) {
	if len(f.time) >= 3 {
		return f.parts(cells)
	}
	label := bytes.TrimSpace(cells[f.time[0]])
	if len(f.time) == 2 {
		label = append(append(bytes.Clone(label), ' '), bytes.TrimSpace(cells[f.time[1]])...)
	}
	m, err := f.label(string(label))
	if err != nil {
		return m, fmt.Errorf("time: %s: %w", shown(label), err)
	}
	return m, m.check()
}

// parts reads year, month, day, hour and minute from columns of their own.
func (f *plain) parts(cells [][]byte) (moment, error) {
	var v [5]int
	for i, c := range f.time {
		n, ok := whole(bytes.TrimSuffix(bytes.TrimSpace(cells[c]), []byte(".0")))
		if !ok {
			return moment{}, fmt.Errorf("time: %s is not a whole number", shown(cells[c]))
		}
		v[i] = n
	}
	if v[4] > 59 {
		return moment{}, fmt.Errorf("time: minute is %d; want 0 to 59", v[4])
	}
	m := moment{v[0], v[1], v[2], 60*v[3] + v[4]}
	return m, m.check()
}

// label reads a date and a time: 2026-01-31T13:30Z, 20260131:1330, 31.1.2026 13:30, 1/31/2026 1:30 PM, with 24:00 for a day's end.
func (f *plain) label(s string) (moment, error) {
	s, afternoon, err := halfDay(s)
	if err != nil {
		return moment{}, err
	}
	if s, err = f.zoned(s); err != nil {
		return moment{}, err
	}
	groups, firstSign, err := figures(s)
	if err != nil {
		return moment{}, err
	}
	m, rest, err := f.date(groups, firstSign)
	if err != nil {
		return m, err
	}
	clock, err := clockOf(rest)
	if err != nil {
		return m, err
	}
	switch {
	case afternoon != "" && (clock < 60 || clock >= 13*60):
		return m, errors.New("is no time of a clock of twelve hours")
	case afternoon == "PM" && clock < 12*60:
		clock += 12 * 60
	case afternoon == "AM" && clock >= 12*60:
		clock -= 12 * 60
	}
	m.minute = clock
	return m, nil
}

// halfDay takes AM or PM off.
func halfDay(s string) (rest, half string, err error) {
	up := strings.ToUpper(strings.TrimSpace(s))
	for _, half := range []string{"AM", "PM"} {
		if strings.HasSuffix(up, half) {
			return strings.TrimSpace(up[:len(up)-2]), half, nil
		}
	}
	return up, "", nil
}

// zoned takes Z or an offset off the end of a label; it must be that of the clock which the labels are said to have.
func (f *plain) zoned(s string) (string, error) {
	zone, at := time.Duration(0), 0
	switch i := strings.LastIndexAny(s, "+-"); {
	case strings.HasSuffix(s, "Z"):
		at = len(s) - 1
	case strings.HasSuffix(s, "UTC"):
		at = len(s) - 3
	case i > 0 && strings.Contains(s[:i], ":"):
		digits := strings.Replace(s[i+1:], ":", "", 1)
		n, ok := whole([]byte(digits))
		if !ok {
			return s, errors.New("ends in no offset from UTC")
		}
		if len(digits) <= 2 {
			n *= 100
		}
		zone = time.Duration(n/100)*time.Hour + time.Duration(n%100)*time.Minute
		if s[i] == '-' {
			zone = -zone
		}
		at = i
	default:
		return s, nil
	}
	if zone != f.zone {
		return s, fmt.Errorf("says UTC%+g h, and the labels' clock is told to be UTC%+g h", zone.Hours(), f.zone.Hours())
	}
	return strings.TrimSpace(s[:at]), nil
}

// figures cuts a label into its groups of figures, and gives the sign after the first.
func figures(s string) (groups []string, sign byte, err error) {
	start := -1
	for i := 0; i <= len(s); i++ {
		digit := i < len(s) && isDigit(s[i])
		switch {
		case digit && start < 0:
			start = i
		case !digit && start >= 0:
			groups = append(groups, s[start:i])
			start = -1
			if i < len(s) && sign == 0 {
				sign = s[i]
			}
		}
		if !digit && i < len(s) && strings.IndexByte("-/.: T,", s[i]) < 0 {
			return nil, 0, errors.New("is no date and time, such as 2026-01-31 13:30")
		}
		if len(groups) > 7 {
			return nil, 0, errors.New("is no date and time, such as 2026-01-31 13:30")
		}
	}
	return groups, sign, nil
}

// date takes the date off the groups.
func (f *plain) date(g []string, sign byte) (m moment, rest []string, err error) {
	bad := errors.New("is no date and time, such as 2026-01-31 13:30")
	if len(g) == 0 {
		return m, nil, bad
	}
	if n := len(g[0]); n == 8 || n == 10 || n == 12 || n == 14 { // 20260131, and hours, minutes and seconds behind
		m.year, m.month, m.day = atoi(g[0][:4]), atoi(g[0][4:6]), atoi(g[0][6:8])
		rest = g[1:]
		for i := n; i > 8; i -= 2 {
			rest = append([]string{g[0][i-2 : i]}, rest...)
		}
		return m, rest, nil
	}
	if len(g) < 3 {
		return m, nil, bad
	}
	order := f.Dates
	switch {
	case order == 0 && len(g[0]) == 4:
		order = YearMonthDay
	case order == 0 && sign == '.':
		order, f.Dates = DayMonthYear, DayMonthYear
		f.notes = append(f.notes, Note{Line: f.at(), Text: fmt.Sprintf("the date %s.%s.%s is taken for day, month and year, as no year comes first in it", g[0], g[1], g[2])})
	case order == 0:
		return m, nil, errors.New("may be day/month or month/day; want the order of dates told")
	}
	switch order {
	case YearMonthDay:
		m.year, m.month, m.day = atoi(g[0]), atoi(g[1]), atoi(g[2])
	case DayMonthYear:
		m.day, m.month, m.year = atoi(g[0]), atoi(g[1]), atoi(g[2])
	case MonthDayYear:
		m.month, m.day, m.year = atoi(g[0]), atoi(g[1]), atoi(g[2])
	}
	if m.year < 100 {
		return m, nil, errors.New("has a year of two figures; want four")
	}
	return m, g[3:], nil
}

// clockOf is the minutes of the groups of a time: hour, minute, second, fraction; or 1330.
func clockOf(g []string) (int, error) {
	if len(g) == 1 && len(g[0]) == 4 {
		g = []string{g[0][:2], g[0][2:]}
	}
	var v [4]int
	for i, s := range g {
		if i >= len(v) || i < 3 && len(s) > 2 {
			return 0, errors.New("is no date and time, such as 2026-01-31 13:30")
		}
		v[i] = atoi(s)
	}
	switch {
	case v[0] > 24 || v[1] > 59 || v[0] == 24 && v[1] > 0:
		return 0, fmt.Errorf("is %02d:%02d; want 00:00 to 24:00", v[0], v[1])
	case v[2] != 0 || v[3] != 0:
		return 0, errors.New("has seconds; want whole minutes")
	}
	return 60*v[0] + v[1], nil
}

// atoi reads figures; too many of them give a number that no date has.
func atoi(s string) int {
	n, err := strconv.Atoi(s)
	if err != nil {
		return -1
	}
	return n
}
