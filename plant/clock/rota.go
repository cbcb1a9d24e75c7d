package clock

import (
	"fmt"
	"strings"
	"time"
)

// rota is a pattern that changes from week to week and begins anew after the last.
type rota struct {
	from  Date // a Monday of the first pattern's week
	weeks []When
}

const (
	rotaWord  = "rota from "
	weekOff   = "off"
	wantRota  = "rota from 2026-01-05: one pattern a week, with | between"
	leastRota = 2
	mostRota  = 100
)

// Rota makes one pattern of several that take turns, a week each, Monday to Sunday as in ISO 8601: the
// first stands in the week of from, the last is followed by the first, and before that week it is the same. The
// zero [When] is a week off. All that takes a When takes a rota.
func Rota(from Date, weeks ...When) (When, error) {
	bad := func(saw, want string) (When, error) {
		return When{}, &TextError{What: "rota", Saw: saw, Want: want}
	}
	if from.Year == 0 || !from.Valid() {
		return bad(from.String(), "a day with its year, such as 2026-01-05, in the week of the first pattern")
	}
	if len(weeks) < leastRota || len(weeks) > mostRota {
		return bad(fmt.Sprintf("a rota of %d", len(weeks)), fmt.Sprintf("%d to %d patterns, one a week", leastRota, mostRota))
	}
	monday := utcOf(from)
	monday = monday.AddDate(0, 0, -weekdayOf(from))
	w := When{rota: &rota{DateOf(monday), weeks}}
	if w.IsZero() {
		return bad("every week is off", "hours in one week at least")
	}
	for i, week := range weeks {
		if week.rota != nil {
			return bad(week.String(), "patterns of a week, not rotas")
		}
		next := weeks[(i+1)%len(weeks)]
		last, first := week.days[weekDays-1], next.days[0]
		if len(last) == 0 || len(first) == 0 {
			continue
		}
		if a, b := last[len(last)-1], first[0]; a.to-dayMinutes > b.from {
			return bad("Sun "+a.String()+" and in the week after it Mon "+b.String(), "times that do not overlap")
		}
	}
	return w, nil
}

// week is the pattern that stands in a day's week.
func (r *rota) week(d Date) When {
	days := int(utcOf(d).Sub(utcOf(r.from)) / day)
	n := len(r.weeks)
	i := days / weekDays % n
	if days < 0 {
		i = (n - 1 - (-days-1)/weekDays%n) % n
	}
	return r.weeks[i]
}

// utcOf is the day's midnight for counting days.
func utcOf(d Date) time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }

// weekdayOf is 0 for Monday to 6.
func weekdayOf(d Date) int { return (int(utcOf(d).Weekday()) + 6) % weekDays } // package time begins its week on Sunday

func (r *rota) String() string {
	part := make([]string, len(r.weeks))
	for i, w := range r.weeks {
		if part[i] = w.String(); w.IsZero() {
			part[i] = weekOff
		}
	}
	return rotaWord + r.from.String() + ": " + strings.Join(part, " | ")
}

// parseRota reads what a rota prints.
func parseRota(s string) (When, error) {
	head, tail, two := strings.Cut(s, ": ")
	if !two {
		return When{}, &TextError{What: "rota", Saw: s, Want: wantRota}
	}
	from, err := ParseDate(head[len(rotaWord):])
	if err != nil {
		return When{}, err
	}
	var weeks []When
	for text := range strings.SplitSeq(tail, "|") {
		w, err := ParseWeek(text)
		if err != nil {
			return When{}, err
		}
		weeks = append(weeks, w)
	}
	return Rota(from, weeks...)
}

// ParseWeek reads one week of a rota: a pattern as [ParseWhen] reads it, or "off" for a week without
// hours, the zero value.
func ParseWeek(s string) (When, error) {
	if strings.EqualFold(strings.TrimSpace(s), weekOff) {
		return When{}, nil
	}
	return ParseWhen(s)
}
