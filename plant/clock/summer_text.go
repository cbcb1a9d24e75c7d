package clock

import (
	"strconv"
	"strings"
	"time"
)

const (
	summerWhat = "summer time"
	wantSummer = "two changes with .. between, such as last Sun Mar 02:00..last Sun Oct 03:00"
	wantChange = "a day and a time on the clock before it is changed, such as last Sun Mar 02:00, 2nd Sun Mar 02:00, " +
		"Fri on or after 23 Mar 02:00, 31 Mar 00:00 or 2026-03-29 02:00"
	wantNth = "1st, 2nd, 3rd, 4th or last"
)

// ParseSummerTime reads a rule: the change forward, two points, the change back. Each is a day and
// what the clock on the wall shows just before it is changed:
//
//	last Sun Mar 02:00..last Sun Oct 03:00       on the European mainland, Central European Time
//	2nd Sun Mar 02:00..1st Sun Nov 02:00         in the United States and Canada
//	1st Sun Oct 02:00..1st Sun Apr 03:00         in the south-east of Australia: it wraps over new year
//	Fri on or after 23 Mar 02:00..last Sun Oct 02:00
//	21 Mar 00:00..21 Sep 24:00                   the same days every year
//	2026-03-29 02:00..2026-10-25 03:00           in one year only
//
// The clocks go forward by one hour; no other shift is known here. The error is a [*TextError].
func ParseSummerTime(s string) (SummerTime, error) {
	bad := &TextError{What: summerWhat, Saw: s, Want: wantSummer}
	from, to, two := strings.Cut(s, "..")
	if !two || len(s) > 200 {
		return SummerTime{}, bad
	}
	var rule SummerTime
	var err error
	if rule.From, err = parseChange(from); err != nil {
		return SummerTime{}, err
	}
	if rule.To, err = parseChange(to); err != nil {
		return SummerTime{}, err
	}
	return rule, rule.Check()
}

func parseChange(s string) (c Change, err error) {
	bad := func(saw, want, near string) (Change, error) {
		return Change{}, &TextError{What: summerWhat, Saw: saw, Want: want, Near: near}
	}
	word := strings.Fields(s)
	if len(word) < 2 {
		return bad(s, wantChange, "")
	}
	minute, ok := clockMinute(word[len(word)-1])
	if !ok {
		want := wantTime + " at the end"
		if strings.HasSuffix(strings.ToLower(s), "min") {
			want = "two changes of one hour; a shift of other than one hour is not known here"
		}
		return bad(word[len(word)-1], want, "")
	}
	c.Minute = minute
	word = word[:len(word)-1]
	nth := strings.ToLower(word[0])
	switch {
	case len(word) == 3 && !digits(word[0]) && indexName(word[0], dayNames) < 0:
		c.Nth = nthOf(nth)
		weekday, nearDay := matchName(word[1], dayNames)
		month, nearMonth := matchName(word[2], monthNames)
		switch {
		case c.Nth == 0:
			return bad(word[0], wantNth, nearest(nth, []string{"last"}))
		case weekday < 0:
			return bad(word[1], "a day of the week such as Sun", nearDay)
		case month < 0:
			return bad(word[2], "a month such as Mar", nearMonth)
		}
		c.Weekday, c.Date.Month = weekday+1, time.Month(month+1)
		return c, nil
	case len(word) > 4 && strings.EqualFold(strings.Join(word[1:4], " "), "on or after"):
		weekday, near := matchName(word[0], dayNames)
		if weekday < 0 {
			return bad(word[0], "a day of the week such as Sun", near)
		}
		c.Weekday = weekday + 1
		word = word[4:]
	case len(word) > 2:
		return bad(s, wantChange, "")
	}
	date, err := ParseDate(strings.Join(word, " "))
	if err != nil {
		near := err.(*TextError).Near
		return bad(strings.Join(word, " "), wantChange, near)
	}
	c.Date = date
	return c, c.check()
}

func nthOf(s string) int {
	for n, name := range nthNames {
		if s == name {
			return n
		}
	}
	return 0
}

// clockMinute reads "06:00" or "6:00", up to "24:00", as minutes after midnight.
func clockMinute(s string) (minute int, ok bool) {
	hours, minutes, colon := strings.Cut(s, ":")
	if !colon || !digits(hours) || len(hours) > 2 || !digits(minutes) || len(minutes) != 2 {
		return 0, false
	}
	h, _ := strconv.Atoi(hours)
	m, _ := strconv.Atoi(minutes)
	return h*60 + m, m <= 59 && h*60+m <= dayMinutes
}
