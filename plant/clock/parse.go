package clock

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

const (
	wantDays  = "a day such as Mon, Mon-Fri, daily or holidays, or always"
	wantTimes = "times such as 06:00-14:00"
	wantTime  = "a time such as 06:00, up to 24:00"
)

// longestWhen is far more than a week can hold; a longer text is some other file.
const longestWhen = 10_000

// ParseWhen reads a weekly pattern:
//
//	always
//	Mon-Sat 06:00-22:00
//	Mon-Fri 22:00-06:00                               the small hours belong to the day before
//	daily 08:00-12:00, 13:00-17:00; Sat 06:00-14:00   Saturday has its own hours instead
//	Mon, Wed 08:00-16:00; holidays 10:00-12:00        and so have holidays
//	rota from 2026-01-05: Mon-Fri 06:00-14:00 | Mon-Fri 14:00-22:00 | off   see [Rota]
//
// A clause is days, then times. Days are English names, short or whole, single, in a list or as
// a range (Sat-Mon too), or "daily": every day of the week that no other clause names. Two clauses
// may name the same day, but no two stretches may overlap. Holidays have no hours unless a clause
// names them; "always" is daily 00:00-24:00, so it stops on holidays and in shutdowns too. An
// end before the start is on the next day; 24:00 is the day's end. The error is a [*TextError].
func ParseWhen(s string) (When, error) {
	if strings.TrimSpace(s) == "" {
		return When{}, &TextError{What: "when", Saw: s, Want: wantDays + ", then " + wantTimes}
	}
	if len(s) > longestWhen {
		return When{}, &TextError{What: "when", Saw: s, Want: fmt.Sprintf("at most %d letters", longestWhen)}
	}
	if strings.EqualFold(strings.TrimSpace(s), "always") {
		return Always(), nil
	}
	if text := strings.TrimSpace(s); len(text) > len(rotaWord) && strings.EqualFold(text[:len(rotaWord)], rotaWord) {
		return parseRota(text)
	}
	var w, daily When
	for clause := range strings.SplitSeq(s, ";") {
		p := whenParser{clause: clause, rest: clause}
		if err := p.into(&w, &daily); err != nil {
			return When{}, err
		}
	}
	if !daily.IsZero() && !w.takeFree(daily) {
		return When{}, whenError(s, "a day left for daily; the other clauses name all seven")
	}
	for d := range w.days {
		slices.SortFunc(w.days[d], func(a, b stretch) int { return a.from - b.from })
	}
	if err := w.overlap(); err != nil {
		return When{}, err
	}
	return w, nil
}

// takeFree gives daily's hours to the days that no clause has named, and reports whether there were any.
func (w *When) takeFree(daily When) (some bool) {
	for d := range weekDays {
		if len(w.days[d]) == 0 {
			w.days[d], some = daily.days[d], true
		}
	}
	return some
}

// whenParser reads one clause from the left.
type whenParser struct {
	clause, rest string
	daily        bool // "daily" stands among its days
}

// into adds the clause's stretches: to daily those that "daily" gave, to w those of named days.
func (p *whenParser) into(w, daily *When) error {
	days, err := p.days()
	if err != nil {
		return err
	}
	for {
		s, err := p.stretch()
		if err != nil {
			return err
		}
		for d, named := range days {
			switch {
			case named && p.daily && d < weekDays:
				daily.days[d] = append(daily.days[d], s)
			case named:
				w.days[d] = append(w.days[d], s)
			}
		}
		switch token := p.next(); token {
		case "":
			return nil
		case ",":
			if t := p.peek(); t != "" && unicode.IsLetter(rune(t[0])) {
				return whenError(t, wantTimes+", or ; before other days")
			}
		default:
			return whenError(token, "a comma before more times, or ; before other days")
		}
	}
}

// days reads names up to the first time.
func (p *whenParser) days() (in [dayKinds]bool, err error) {
	for {
		from, to, err := p.dayRange()
		if err != nil {
			return in, err
		}
		for d := from; ; d = (d + 1) % weekDays {
			if in[d] {
				return in, whenError(strings.TrimSpace(p.clause), "each day named once")
			}
			in[d] = true
			if d == to {
				break
			}
		}
		switch token := p.peek(); {
		case token == ",":
			p.next()
		case token == "":
			return in, whenError(strings.TrimSpace(p.clause), wantTimes+" after the days, 00:00-24:00 for all day")
		default:
			return in, nil
		}
	}
}

// dayRange reads "Mon", "Mon-Fri", "daily" or "holidays".
func (p *whenParser) dayRange() (from, to int, err error) {
	token := p.next()
	switch strings.ToLower(token) {
	case "daily":
		p.daily = true
		return 0, weekDays - 1, nil
	case "holidays":
		return onHolidays, onHolidays, nil
	case "always":
		return 0, 0, whenError(p.clause, `"always" alone, or daily 00:00-24:00`)
	}
	if from, err = p.day(token); err != nil {
		return 0, 0, err
	}
	if p.peek() != "-" {
		return from, from, nil
	}
	p.next()
	to, err = p.day(p.next())
	return from, to, err
}

func (p *whenParser) day(token string) (int, error) {
	if token == "" {
		return 0, whenError(p.clause, wantDays)
	}
	d, near := matchName(token, dayNames)
	if d >= 0 {
		return d, nil
	}
	if near == "" {
		near = nearest(token, []string{"daily", "always", "holidays"})
	}
	return 0, &TextError{What: "when", Saw: token, Want: wantDays, Near: near}
}

// stretch reads "06:00-14:00".
func (p *whenParser) stretch() (s stretch, err error) {
	if s.from, err = p.time(); err != nil {
		return s, err
	}
	if s.from == dayMinutes {
		return s, whenError("24:00", "a start before 24:00; write 00:00 of the next day")
	}
	if dash := p.next(); dash != "-" {
		return s, whenError(orClause(dash, p.clause), "a dash between two times, as in 06:00-14:00")
	}
	if s.to, err = p.time(); err != nil {
		return s, err
	}
	if s.to == s.from {
		return s, whenError(s.String(), "an end that differs from the start; write 00:00-24:00 for all day")
	}
	if s.to < s.from {
		s.to += dayMinutes
	}
	return s, nil
}

// time reads "06:00" or "6:00" as minutes after midnight.
func (p *whenParser) time() (int, error) {
	token := p.next()
	if minute, ok := clockMinute(token); ok {
		return minute, nil
	}
	return 0, whenError(orClause(token, p.clause), wantTime)
}

// next takes a token: a run of letters, digits, colons and points, or any single other sign.
// An en dash counts as a dash. At the end it is empty.
func (p *whenParser) next() string {
	text := strings.TrimSpace(p.rest)
	end := strings.IndexFunc(text, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != ':' && r != '.'
	})
	switch {
	case end < 0:
		end = len(text)
	case end == 0:
		for i := range text { // the first sign may be several bytes long
			if end = i; i > 0 {
				break
			}
		}
		if end == 0 {
			end = len(text)
		}
	}
	p.rest = text[end:]
	if token := text[:end]; token != "–" {
		return token
	}
	return "-"
}

func (p *whenParser) peek() string {
	saved := p.rest
	token := p.next()
	p.rest = saved
	return token
}

func whenError(saw, want string) error {
	return &TextError{What: "when", Saw: saw, Want: want}
}

// orClause shows the whole clause where it ended too early.
func orClause(token, clause string) string {
	if token == "" {
		return strings.TrimSpace(clause)
	}
	return token
}

// overlap reports the first two stretches that share a minute, over midnight too. Holidays are compared
// among themselves: whether one meets a weekday's night shift depends on the year, and
// Shares counts such a minute once.
func (w When) overlap() error {
	for d, list := range w.days {
		for i := range list {
			if i > 0 && list[i-1].to > list[i].from {
				return overlapError(d, list[i-1], d, list[i])
			}
		}
		next := d
		if d < weekDays {
			next = (d + 1) % weekDays
		}
		if len(list) == 0 || len(w.days[next]) == 0 {
			continue
		}
		last, first := list[len(list)-1], w.days[next][0]
		if last.to-dayMinutes > first.from {
			return overlapError(d, last, next, first)
		}
	}
	return nil
}

func overlapError(d int, a stretch, e int, b stretch) error {
	return &TextError{What: "when", Saw: kindName(d) + " " + a.String() + " and " + kindName(e) + " " + b.String(),
		Want: "times that do not overlap"}
}

func kindName(d int) string {
	if d == onHolidays {
		return "holidays"
	}
	return dayNames[d][:3]
}
