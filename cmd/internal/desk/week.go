package desk

import (
	"errors"
	"fmt"
	"time"

	"noonkeep/plant/clock"
	"noonkeep/scenarios"
)

// loadWeek is the week of one load as a page paints it.
type loadWeek struct {
	Load, Header string
	Key          string // where the hours stand, as [scenarios.Rewrite] takes it; "" where no weekly hours belong to the load
	When         string // the hours or starts as written; "" where none are
	PerDay       int
	Week         clock.Week // not set where Paintable is false
	Paintable    bool
	Why          string // why it is not painted here, in a sentence; "" where it is
	FinerPerDay  int    // slots a day that would show its hours; 0 where that is not what stands in the way

	KW           [7][]float64 // mean heat of the year by slot, Monday first, by the clock on the wall; 0 out of season
	MostKW       float64      // the most of KW
	HoursPerWeek float64      // in which it takes heat: of its pattern in a week without holidays, else the mean of the year
}

// finerGrids are the slots a day that a page offers.
var finerGrids = []int{24, 48, 96}

// weeksOf are the weeks of all loads in slots of a day, 24, 48 or 96.
func weeksOf(c scenarios.Case, perDay int) []loadWeek {
	w := writtenOf(c)
	slots := slotsOf(c, perDay)
	list := make([]loadWeek, len(c.Loads))
	for i, load := range c.Loads {
		list[i] = weekOf(c, load, w, perDay)
		list[i].meanHeat(load, slots, c.Axis.StepH())
	}
	return list
}

// weekOf is the week of one load without its heat.
func weekOf(c scenarios.Case, load scenarios.Consumer, w writtenValues, perDay int) loadWeek {
	k := loadWeek{Load: load.Name, Header: c.Headers[load.Header].Name, When: c.Hours(load.Name), PerDay: perDay}
	raw, key := "loads["+load.Name+"]", entryKey("loads", load.Name)
	if k.Key, k.Why = hoursKey(w, raw, key); k.Why != "" {
		return k
	}
	when := load.When
	if when.IsZero() {
		k.Why = "Its hours are not known here."
		return k
	}
	k.HoursPerWeek = when.HoursPerWeek()
	week, err := when.Week(perDay)
	if err == nil {
		k.Week, k.Paintable = week, true
		return k
	}
	k.Why, k.FinerPerDay = offGrid(when, perDay, err)
	return k
}

// hoursKey is where the hours of a load stand, and why they are not painted, "" where they are.
func hoursKey(w writtenValues, raw, key string) (at, why string) {
	for _, kind := range []struct{ key, at, why string }{
		{"rota", "rota", "Its hours are a rota that changes by week; change the rota in the text."},
		{"bills", "when", "Its heat comes from fuel bills; its hours only shape what does not follow the weather."},
		{"series", "series", "It is a measured series; its hours are those of the file."},
		{"batch", "batch.starts", "It works in batches; change when they start in the text."},
		{"hot_water.profile", "hot_water.profile", "Its draw is spread by a profile of the day; change that in the text."},
		{"cooling.design", "when", "Its cold follows the weather within its hours; change those in the text."},
		{"cooling.series", "cooling.series", "Its cold is a measured series; its hours are those of the file."},
		{"log", "log.file", "It is a meter's log; its hours are those of the log."},
		{"movable", "movable.within", "The plan chooses its hours within windows; change the windows in the text."},
	} {
		if w.under(raw + "." + kind.key) {
			return key + "." + kind.at, kind.why
		}
	}
	return key + ".when", ""
}

// offGrid says why a pattern is not to be painted in slots, and which slots would do.
func offGrid(when clock.When, perDay int, err error) (why string, finer int) {
	for _, n := range finerGrids {
		if n <= perDay || n%perDay != 0 {
			continue
		}
		if _, bad := when.Week(n); bad == nil {
			return fmt.Sprintf("Its hours are finer than these slots; in slots of %d min they can be painted.", 24*60/n), n
		}
	}
	var word *clock.TextError
	switch _, rota := when.Week(24 * 60); {
	case rota == nil:
		return "Its hours are finer than any slot here; change them in the text.", 0
	case errors.As(err, &word):
		return fmt.Sprintf("%s cannot be painted: a page shows %s.", word.Saw, word.Want), 0
	}
	return "It cannot be painted: " + err.Error() + ".", 0
}

// slotsOf are the slots of the week that each step of the case falls into, by the clock on the wall: as many for
// a step as it has slots, one for a step within a slot.
func slotsOf(c scenarios.Case, perDay int) [][]int {
	slot := 24 * time.Hour / time.Duration(perDay)
	parts := int(max(1, c.Axis.Step/slot))
	part := c.Axis.Step / time.Duration(parts)
	list := make([][]int, c.Axis.N)
	for t := range list {
		start := c.Axis.At(t)
		for p := range parts {
			wall := c.Calendar.Wall(start.Add(time.Duration(p)*part + part/2))
			day := (int(wall.Weekday()) + 6) % 7 // Monday first
			minute := wall.Hour()*60 + wall.Minute()
			list[t] = append(list[t], day*perDay+minute*perDay/(24*60))
		}
	}
	return list
}

// meanHeat sets the mean heat of each slot over the year, and how many hours a week have any, where no pattern says it.
func (k *loadWeek) meanHeat(load scenarios.Consumer, slots [][]int, stepH float64) {
	sum, count := make([]float64, 7*k.PerDay), make([]float64, 7*k.PerDay)
	busyH := 0.0
	for t, kW := range load.KW {
		if kW > 0 {
			busyH += stepH
		}
		for _, s := range slots[t] {
			sum[s] += kW
			count[s]++
		}
	}
	for d := range k.KW {
		k.KW[d] = make([]float64, k.PerDay)
		for i := range k.KW[d] {
			if n := count[d*k.PerDay+i]; n > 0 {
				k.KW[d][i] = sum[d*k.PerDay+i] / n
			}
			k.MostKW = max(k.MostKW, k.KW[d][i])
		}
	}
	if k.HoursPerWeek == 0 && len(load.KW) > 0 {
		k.HoursPerWeek = busyH * 7 * 24 / (float64(len(load.KW)) * stepH)
	}
}

// painted is the change that gives a load the hours of a painted week. The error is a [*scenarios.Error] at the load's hours.
func painted(c scenarios.Case, load string, w clock.Week) (scenarios.Setting, error) {
	key := entryKey("loads", load) + ".when"
	bad := func(format string, args ...any) (scenarios.Setting, error) {
		return scenarios.Setting{}, &scenarios.Error{File: c.File, Key: key, Text: fmt.Sprintf(format, args...)}
	}
	if err := c.HasLoad(load); err != nil {
		return scenarios.Setting{}, err
	}
	if err := w.Check(); err != nil {
		return bad("%v", err)
	}
	for _, l := range c.Loads {
		if l.Name != load {
			continue
		}
		if k := weekOf(c, l, writtenOf(c), w.PerDay); !k.Paintable { // or what slots cannot show would be lost
			return bad("is not painted here: %s", k.Why)
		}
	}
	if empty(w) {
		return bad("has no hour painted; want one hour at least, or take the load out")
	}
	text, err := clock.WriteWhen(w)
	if err != nil {
		return bad("%v", err)
	}
	return scenarios.Setting{Key: key, Value: text}, nil
}

// removed is the change that takes a load out.
func removed(load string) scenarios.Setting {
	return scenarios.Setting{Key: entryKey("loads", load), Remove: true}
}

// empty tells whether nothing of a week is painted.
func empty(w clock.Week) bool {
	for _, day := range append(w.Days[:], w.Holidays) {
		for _, on := range day {
			if on {
				return false
			}
		}
	}
	return true
}
