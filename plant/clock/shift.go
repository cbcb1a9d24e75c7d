package clock

import (
	"slices"
	"time"
)

// Shift is the pattern with every stretch by so much later, or earlier where by is below 0; whole minutes, a
// week at most. What leaves a day goes on in the next, Sunday in Monday; in a rota, in the next week's pattern. A
// stretch that reached over midnight and no longer does belongs to the day on which it now begins: before a
// holiday that makes a difference. A whole day is parted at midnight. Holidays' own hours move with the rest
// where they stay on the holiday; else that is an error. A move through which nothing changes is none:
// "always" stays as it is.
func (w When) Shift(by time.Duration) (When, error) {
	if by%time.Minute != 0 || by < -weekDays*day || by > weekDays*day {
		return When{}, &TextError{What: "move", Saw: by.String(), Want: "whole minutes, a week at most"}
	}
	weeks := []When{w}
	if w.rota != nil {
		weeks = w.rota.weeks
	}
	moved := make([]When, len(weeks))
	for i, week := range weeks {
		for d, list := range week.days {
			for _, s := range list {
				if err := place(moved, i, d, s, int(by/time.Minute)); err != nil {
					return When{}, err
				}
			}
		}
	}
	for i := range moved {
		for d := range moved[i].days {
			moved[i].days[d] = joined(moved[i].days[d])
		}
	}
	if w.rota == nil {
		return moved[0], nil
	}
	return Rota(w.rota.from, moved...)
}

// place puts a stretch that began on a day of one of the weeks where it begins after the move.
func place(weeks []When, week, d int, s stretch, by int) error {
	from, length := s.from+by, s.to-s.from
	if d == onHolidays {
		if from < 0 || from >= dayMinutes || length == dayMinutes && by != 0 {
			return &TextError{What: "move", Saw: "holidays " + s.String(), Want: "a move that leaves it on the holiday, whose neighbours have no name here"}
		}
		weeks[week].days[d] = append(weeks[week].days[d], stretch{from, from + length})
		return nil
	}
	ring := len(weeks) * weekDays * dayMinutes
	from = ((week*weekDays+d)*dayMinutes + from + ring) % ring
	on, from := from/dayMinutes, from%dayMinutes
	if length == dayMinutes && from > 0 { // no stretch that is as long as a day begins within one
		next := (on + 1) % (len(weeks) * weekDays)
		weeks[next/weekDays].days[next%weekDays] = append(weeks[next/weekDays].days[next%weekDays], stretch{0, from})
		length = dayMinutes - from
	}
	list := &weeks[on/weekDays].days[on%weekDays]
	*list = append(*list, stretch{from, from + length})
	return nil
}

// joined sorts a day's stretches and makes a whole day of parts that a move made of whole days.
func joined(list []stretch) []stretch {
	slices.SortFunc(list, func(a, b stretch) int { return a.from - b.from })
	if n := len(list); n == 2 && list[0].from == 0 && list[0].to == list[1].from && list[1].to == dayMinutes {
		return []stretch{{0, dayMinutes}}
	}
	return list
}
