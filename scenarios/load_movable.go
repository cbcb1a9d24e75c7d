package scenarios

import (
	"fmt"
	"slices"
	"strings"

	"noonkeep/demand"
	"noonkeep/optimize"
	"noonkeep/plant/clock"
)

// Moved is a load whose hours the plan chooses. The Consumer's KW is then the work done as soon as it may be.
type Moved struct {
	demand.Movable
	Windows []demand.Window
}

// movableLoad is heat within windows of a weekly pattern.
func (b *builder) movableLoad(f loadFile, load *Consumer) profile {
	m := f.Movable
	if m.At.key == "" { // no keys and values, which is noted
		return nil
	}
	ok := true
	if f.When.set || f.Rota != nil {
		b.add(f.hoursAt(), "stands beside movable, whose hours are its key within; want one of the two")
		ok = false
	}
	switch given := (m.Heat.kind != "") != (m.Steam.kind != ""); {
	case given || b.faulty(m.Heat.key) || b.faulty(m.Steam.key):
	case m.Heat.kind != "":
		b.add(m.At, "has heat and steam; want one of the two")
	default:
		b.add(m.At, "says not how much; write heat or steam")
	}
	within, okWithin := b.windowHours(m.Within)
	season, okSeason := b.seasonsOf(f)
	h := b.c.Headers[load.Header]
	if !ok || !okWithin || !okSeason || m.Heat.set == m.Steam.set || !m.Most.set || m.Least.kind == "" || !h.known() {
		return nil
	}
	work := demand.Movable{Name: f.Name.s, Within: within, Seasons: season, HeatKWh: m.Heat.base(), MostKW: heatOf(m.Most, h), LeastKW: heatOf(m.Least, h)}
	if m.Steam.set {
		work.HeatKWh = m.Steam.base() * h.HeatKJKg / 3600 // kg by kJ/kg is kJ
	}
	if work.LeastKW > work.MostKW {
		b.add(m.Least.at, "%s is more than the most, %s; want less", m.Least, m.Most)
		return nil
	}
	windows, err := work.Windows(b.c.Axis, b.c.Calendar)
	if err != nil {
		b.wrapMovable(f, err)
		return nil
	}
	load.Moved = &Moved{work, windows}
	load.Says = fmt.Sprintf("%.4g kWh in each window of %s, at the hours that the plan chooses", work.HeatKWh, within)
	if cut := cutWindows(windows); len(cut) > 0 {
		load.Says += fmt.Sprintf("; %d cut by the year's ends, with its share of the heat", len(cut))
	}
	return func() (clock.KW, []demand.Part, error) { return work.Soonest(b.c.Axis, windows), partsOf(windows), nil }
}

func (b *builder) windowHours(t text) (clock.When, bool) {
	if !t.set {
		return clock.When{}, false
	}
	when, err := clock.ParseWhen(t.s)
	if err != nil {
		b.wrap(t.at, err)
	}
	return when, err == nil
}

// heatOf is a power or a flow of a header's steam as heat, kW.
func heatOf(a amount, h Header) float64 {
	if a.kind == "flow" {
		return a.base() * h.HeatKJKg / 3600 // kg/h by kJ/kg is kJ/h
	}
	return a.base()
}

// wrapMovable notes a fault at the key that it is of.
func (b *builder) wrapMovable(f loadFile, err error) {
	said := strings.TrimPrefix(err.Error(), fmt.Sprintf("load %q: ", f.Name.s))
	place := f.Movable.At
	for what, at := range map[string]at{"season: ": f.Season.at, "within: ": f.Movable.Within.at} {
		if strings.HasPrefix(said, what) {
			place, said = at, strings.TrimPrefix(said, what)
		}
	}
	b.add(place, "%s", said).Err = err
}

func cutWindows(windows []demand.Window) []demand.Window {
	var cut []demand.Window
	for _, w := range windows {
		if w.Cut() {
			cut = append(cut, w)
		}
	}
	return cut
}

// cutText says which windows the year's ends cut, and what they get.
func cutText(cut []demand.Window) string {
	var list []string
	for _, w := range cut {
		list = append(list, fmt.Sprintf("the window of %s lies with %.4g of its %.4g h in the year and gets that share, %.4g kWh",
			w.From.Format("2 Jan 2006 15:04"), w.YearH, w.H(), w.HeatKWh))
	}
	return strings.Join(list, "; ")
}

// partsOf keeps what the year's ends cut apart from the rest.
func partsOf(windows []demand.Window) []demand.Part {
	whole, part := 0.0, 0.0
	cut := cutWindows(windows)
	for _, w := range windows {
		whole += w.HeatKWh
	}
	for _, w := range cut {
		part += w.HeatKWh
	}
	parts := []demand.Part{{Name: "work that may be moved", KWh: whole - part,
		Text: fmt.Sprintf("%d windows; shown done as soon as it may be, while the plan chooses the hours", len(windows)-len(cut))}}
	if len(cut) > 0 {
		parts = append(parts, demand.Part{Name: "work in windows cut by the year's ends", KWh: part, Text: cutText(cut)})
	}
	return parts
}

// moves gives the work that may be moved. Windows of one load that share a step, as where one ends and the next
// begins within it, become works of their own: those of one must share none.
func (c Case) moves() []optimize.Move {
	var all []optimize.Move
	for _, load := range c.Loads {
		if load.Moved == nil {
			continue
		}
		first := len(all)
		for _, w := range load.Moved.Windows {
			from, to := w.Steps()
			i := first
			for i < len(all) && all[i].Windows[len(all[i].Windows)-1].To > from {
				i++
			}
			if i == len(all) {
				m := optimize.Move{Name: load.Name, Header: load.Header, LeastKW: make([]float64, c.Axis.N), MostKW: make([]float64, c.Axis.N)}
				for more := i - first + 1; i > first && slices.ContainsFunc(c.Loads, func(x Consumer) bool { return x.Name == m.Name }); more++ {
					m.Name = fmt.Sprintf("%s (%d)", load.Name, more)
				}
				all = append(all, m)
			}
			m := &all[i]
			m.Windows = append(m.Windows, optimize.Window{From: from, To: to, HeatKWh: w.HeatKWh})
			for s, share := range w.Shares {
				m.LeastKW[from+s], m.MostKW[from+s] = share*load.Moved.LeastKW, share*load.Moved.MostKW
			}
		}
	}
	return all
}

// PlannedKW is what the header's loads take, with the work that may be moved done as soon as it may be.
func (h Header) PlannedKW() clock.KW {
	if h.MovableKW == nil {
		return h.DemandKW
	}
	sum := make(clock.KW, len(h.DemandKW))
	for t, kW := range h.DemandKW {
		sum[t] = kW + h.MovableKW[t]
	}
	return sum
}

// mostKW is the most that the header's loads can take at once, wherever the plan moves work.
func (b *builder) mostKW(header int) float64 {
	sum := append(clock.KW(nil), b.c.Headers[header].DemandKW...)
	for _, load := range b.c.Loads {
		if load.Header != header || load.Moved == nil {
			continue
		}
		for _, w := range load.Moved.Windows {
			for i, share := range w.Shares {
				sum[w.First+i] += min(share*load.Moved.MostKW, w.HeatKWh/b.c.Axis.StepH())
			}
		}
	}
	return peak(sum)
}
