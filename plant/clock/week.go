package clock

import (
	"fmt"
	"slices"
)

// Week is a week painted in equal slots: those in which something runs, in a week without holidays. Slots are of the clock
// on the wall; the small hours after a night shift's evening are slots of the day on which the clock shows them.
type Week struct {
	PerDay   int       // slots of a day: 24 are hours, 48 half hours, 96 quarters; any divisor of 1440
	Days     [7][]bool // Monday first, PerDay each
	Holidays []bool    // of a holiday, PerDay long; nil where holidays have no hours of their own
}

// Week paints the pattern. The error, a [*TextError], is of a pattern that slots of this length cannot show, of a
// rota, whose weeks differ, and of hours that run from a holiday over midnight, since the next day's slots are not the holiday's.
func (w When) Week(perDay int) (Week, error) {
	bad := func(saw, want string) (Week, error) {
		return Week{}, &TextError{What: "painted week", Saw: saw, Want: want}
	}
	k := Week{PerDay: perDay}
	if err := k.divides(); err != nil {
		return Week{}, err
	}
	if w.rota != nil {
		return bad(w.String(), "one week, not a rota of several")
	}
	var on [weekDays * dayMinutes]bool
	for d, list := range w.days[:weekDays] {
		for _, s := range list {
			for m := s.from; m < s.to; m++ {
				on[(d*dayMinutes+m)%len(on)] = true
			}
		}
	}
	for d := range weekDays {
		var whole bool
		if k.Days[d], whole = slots(on[d*dayMinutes:(d+1)*dayMinutes], perDay); !whole {
			return bad(w.String(), fmt.Sprintf("hours on slots of %d min, or finer slots", dayMinutes/perDay))
		}
	}
	if len(w.days[onHolidays]) == 0 {
		return k, nil
	}
	var holiday [dayMinutes]bool
	for _, s := range w.days[onHolidays] {
		if s.to > dayMinutes {
			return bad("holidays "+s.String(), "hours of a holiday that end by 24:00")
		}
		for m := s.from; m < s.to; m++ {
			holiday[m] = true
		}
	}
	var whole bool
	if k.Holidays, whole = slots(holiday[:], perDay); !whole {
		return bad("holidays "+stretchesText(w.days[onHolidays]), fmt.Sprintf("hours on slots of %d min, or finer slots", dayMinutes/perDay))
	}
	return k, nil
}

// slots are a day's minutes by slots, and whether each is of one kind.
func slots(minutes []bool, perDay int) (list []bool, whole bool) {
	long := len(minutes) / perDay
	for i := range perDay {
		first := minutes[i*long]
		if slices.Contains(minutes[i*long:(i+1)*long], !first) {
			return nil, false
		}
		list = append(list, first)
	}
	return list, true
}

func (k Week) divides() error {
	if k.PerDay < 1 || dayMinutes%k.PerDay != 0 {
		return &TextError{What: "painted week", Saw: fmt.Sprintf("%d slots a day", k.PerDay), Want: "a divisor of 1440, such as 24, 48 or 96"}
	}
	return nil
}

// Check tells whether each day has its slots.
func (k Week) Check() error {
	if err := k.divides(); err != nil {
		return err
	}
	for d, list := range append(k.Days[:], k.Holidays) {
		if len(list) != k.PerDay && (d < weekDays || list != nil) {
			return &TextError{What: "painted week", Saw: fmt.Sprintf("%s with %d slots", kindName(d), len(list)), Want: fmt.Sprintf("%d", k.PerDay)}
		}
	}
	return nil
}

// longCuts are how long after its beginning a run of a day or more may be cut each day, minutes: none is at midnight.
// A planner who writes shifts from 06:00 cuts where the night shift begins.
var longCuts = []int{0, 16 * 60, 12 * 60, 8 * 60, dayMinutes}

// When is the painted week as a pattern that paints the same, that of the shortest text. What runs over midnight belongs to
// the day on which it begins; a run of a day or more is cut at midnight, or every day at the hour at which it begins and at
// another, whichever is shorter to write. Nothing painted is an error, since a pattern without hours cannot be written.
func (k Week) When() (When, error) {
	if err := k.Check(); err != nil {
		return When{}, err
	}
	var best When
	for _, cut := range longCuts {
		if w := k.cut(cut); best.IsZero() || len(w.Short()) < len(best.Short()) {
			best = w
		}
	}
	if best.IsZero() {
		return When{}, &TextError{What: "painted week", Saw: "", Want: "one hour at least"}
	}
	return best, nil
}

// WriteWhen writes a painted week as [ParseWhen] reads it, in the shortest text that a planner would write.
func WriteWhen(k Week) (string, error) {
	w, err := k.When()
	return w.Short(), err
}

// cut makes a pattern with long runs cut in one way.
func (k Week) cut(long int) When {
	var w When
	if k.Holidays != nil {
		for _, r := range runs(k.Holidays, dayMinutes/k.PerDay) {
			w.days[onHolidays] = append(w.days[onHolidays], stretch(r))
		}
	}
	ring := slices.Concat(k.Days[:]...)
	if !slices.Contains(ring, false) {
		always := Always()
		always.days[onHolidays] = w.days[onHolidays]
		return always
	}
	first := slices.Index(ring, false) // so that no run goes on from the end
	slot := dayMinutes / k.PerDay
	for _, r := range runs(append(slices.Clone(ring[first:]), ring[:first]...), slot) {
		for _, s := range pieces(r.from+first*slot, r.to+first*slot, long) {
			d := s.from / dayMinutes
			w.days[d%weekDays] = append(w.days[d%weekDays], stretch{s.from - d*dayMinutes, s.to - d*dayMinutes})
		}
	}
	for d := range weekDays {
		slices.SortFunc(w.days[d], func(a, b stretch) int { return a.from - b.from })
	}
	return w
}

// run is a stretch in minutes from the beginning of the week.
type run struct{ from, to int }

func runs(on []bool, slot int) (list []run) {
	for i := 0; i < len(on); i++ {
		if !on[i] {
			continue
		}
		j := i
		for j < len(on) && on[j] {
			j++
		}
		list = append(list, run{i * slot, j * slot})
		i = j
	}
	return list
}

// pieces cuts a run into stretches that a pattern can have.
func pieces(from, to, long int) (list []run) {
	begins := from % dayMinutes
	if long == dayMinutes {
		long -= begins // at midnight as well as at the hour of the beginning
	}
	switch daily := begins > 0 && long > 0 && begins+long <= dayMinutes; {
	case to-from < dayMinutes:
		return []run{{from, to}}
	case daily:
		for ; to-from >= dayMinutes; from += dayMinutes {
			list = append(list, run{from, from + long}, run{from + long, from + dayMinutes})
		}
	default:
		for next := from - begins + dayMinutes; from < to; next += dayMinutes {
			list = append(list, run{from, min(next, to)})
			from = next
		}
		return list
	}
	if from < to {
		list = append(list, run{from, to})
	}
	return list
}
