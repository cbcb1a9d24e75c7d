package clock

import (
	"slices"
	"strings"
)

// Short writes the pattern so that [ParseWhen] reads back an equal one, in fewer letters than [When.String] where there are:
// days may go round the week's end (Sun-Thu), the commonest hours may be those of the days left ("daily"), and hours that
// several days share may stand once for all of them. "" for the zero value.
func (w When) Short() string {
	if w.rota != nil {
		part := make([]string, len(w.rota.weeks))
		for i, week := range w.rota.weeks {
			if part[i] = week.Short(); week.IsZero() {
				part[i] = weekOff
			}
		}
		return rotaWord + w.rota.from.String() + ": " + strings.Join(part, " | ")
	}
	if w.Equal(Always()) {
		return "always"
	}
	best := ""
	better := func(clauses []string) {
		if text := strings.Join(clauses, "; "); best == "" || len(text) < len(best) {
			best = text
		}
	}
	groups := w.byDays()
	better(clausesOf(groups))
	full := !slices.ContainsFunc(w.days[:weekDays], func(list []stretch) bool { return len(list) == 0 })
	for i, g := range groups {
		if !full || g.in == [dayKinds]bool{onHolidays: true} {
			continue
		}
		days := "daily"
		if g.in[onHolidays] {
			days += ", holidays"
		}
		clauses := []string{days + " " + stretchesText(g.hours)}
		better(append(clauses, clausesOf(slices.Delete(slices.Clone(groups), i, i+1))...))
	}
	better(clausesOf(w.byHours()))
	return best
}

// clause is days with the hours that they have.
type clause struct {
	in    [dayKinds]bool
	hours []stretch
}

func clausesOf(list []clause) (texts []string) {
	for _, c := range list {
		days := ringText(c.in)
		if len(list) > 1 { // beside others daily is the days that no other clause names
			days = strings.Replace(days, "daily", "Mon-Sun", 1)
		}
		texts = append(texts, days+" "+stretchesText(c.hours))
	}
	return texts
}

// byDays puts days together that have all hours in common.
func (w When) byDays() (list []clause) {
	for d, hours := range w.days {
		if len(hours) == 0 {
			continue
		}
		i := slices.IndexFunc(list, func(c clause) bool { return slices.Equal(c.hours, hours) })
		if i < 0 {
			i, list = len(list), append(list, clause{hours: hours})
		}
		list[i].in[d] = true
	}
	return list
}

// byHours puts hours together that have all days in common.
func (w When) byHours() (list []clause) {
	var all []stretch
	for _, hours := range w.days {
		for _, s := range hours {
			if !slices.Contains(all, s) {
				all = append(all, s)
			}
		}
	}
	slices.SortFunc(all, func(a, b stretch) int { return a.from - b.from })
	for _, s := range all {
		var in [dayKinds]bool
		for d, hours := range w.days {
			in[d] = slices.Contains(hours, s)
		}
		if i := slices.IndexFunc(list, func(c clause) bool { return c.in == in }); i >= 0 {
			list[i].hours = append(list[i].hours, s)
			continue
		}
		list = append(list, clause{in, []stretch{s}})
	}
	return list
}

// ringText names days, from Saturday on to Monday too: "Sun-Thu", "Sat, Sun", "daily", "Wed, holidays".
func ringText(in [dayKinds]bool) string {
	var part []string
	for d := range weekDays {
		if !in[d] || in[(d+weekDays-1)%weekDays] {
			continue // a run begins after a day without
		}
		last := d
		for in[(last+1)%weekDays] {
			last++
		}
		switch first, end := dayNames[d][:3], dayNames[last%weekDays][:3]; last - d {
		case 0:
			part = append(part, first)
		case 1:
			part = append(part, first, end)
		default:
			part = append(part, first+"-"+end)
		}
	}
	if len(part) == 0 && in[0] {
		part = []string{"daily"}
	}
	if in[onHolidays] {
		part = append(part, "holidays")
	}
	return strings.Join(part, ", ")
}
