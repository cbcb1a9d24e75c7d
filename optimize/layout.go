package optimize

import (
	"fmt"
	"strings"
)

// index holds the number of a column or row for each step; none where there is no such one. A nil
// index is none in every step.
type index []int32

const none = -1

func (x index) at(t int) int32 {
	if x == nil {
		return none
	}
	return x[t]
}

// group is one kind of column or row for one part, over all steps.
type group struct {
	name string
	num  index
}

// layout numbers the columns and rows of a problem's program, step by step, and names them. Builder,
// reader and MPS writer ask it, and only it.
type layout struct {
	n          int
	cols, rows int
	stamp      func(t int) string

	sun, charge                          [][]index // [field][header], [field][store]
	heat                                 [][]index // [boiler][piece]
	valve, unmet, vent                   []index   // [valve], [header], [header]
	draw, warm, take, stock              []index   // [store]
	move                                 []index   // [move]
	short                                []index   // [take], at the first step
	header, area, balance, room, ramping []index   // rows: [header], [field], [store], [store], [boiler]
	window                               []index   // rows: [move], at each window's first step
	limit, taken                         []index   // rows: [limit]; [take], at the first step

	colGroups, rowGroups []group
}

// newLayout drops what cannot act: sun at night, pieces without capacity, unmet heat where none is asked.
func newLayout(w *work) *layout {
	y := &layout{n: w.n, stamp: stamps(w.p)}
	y.placeColumns(w)
	y.cols = number(y.colGroups, w.n)
	y.placeRows(w)
	y.rows = number(y.rowGroups, w.n)
	return y
}

func (y *layout) placeColumns(w *work) {
	p, tag := w.p, newTags(w.p)
	for i, f := range p.Fields {
		y.sun = append(y.sun, make([]index, len(p.Headers)))
		y.charge = append(y.charge, make([]index, len(p.Stores)))
		for l := range p.Headers {
			y.sun[i][l] = y.col("sun_"+tag.fields[i]+"_"+tag.headers[l], func(t int) bool { return f.AreaM2*f.headerYield(l, t) > 0 })
		}
		for k, s := range p.Stores {
			can := w.acts(k) && s.ChargeKW > 0
			y.charge[i][k] = y.col("charge_"+tag.fields[i]+"_"+tag.stores[k], func(t int) bool { return can && f.AreaM2*f.storeYield(k, t) > 0 })
		}
	}
	for i, b := range p.Boilers {
		y.heat = append(y.heat, make([]index, len(b.Pieces)))
		for j := range b.Pieces {
			y.heat[i][j] = y.col(fmt.Sprintf("heat_%s_%d", tag.boilers[i], j+1), func(t int) bool { return b.capacity(j, t) > 0 })
		}
	}
	for _, v := range p.Valves {
		y.valve = append(y.valve, y.col("valve_"+tag.headers[v.From]+"_"+tag.headers[v.To], func(int) bool { return v.CapacityKW > 0 }))
	}
	for l := range p.Headers {
		y.unmet = append(y.unmet, y.col("unmet_"+tag.headers[l], func(t int) bool { return w.unmetRoom(l, t) > 0 }))
		y.vent = append(y.vent, y.col("vent_"+tag.headers[l], func(int) bool { return w.vents }))
	}
	for k, s := range p.Stores {
		name, acts := tag.stores[k], w.acts(k)
		y.draw = append(y.draw, y.col("draw_"+name, func(int) bool { return acts && s.DischargeKW > 0 }))
		y.warm = append(y.warm, y.col("warm_"+name, func(t int) bool { return s.StandingKW[t] > 0 }))
		y.take = append(y.take, y.col("take_"+name, func(int) bool { return acts && s.HeaderChargeKW > 0 && s.ChargeKW > 0 }))
		y.stock = append(y.stock, y.col("stock_"+name, func(int) bool { return acts }))
	}
	for i := range p.Moves {
		y.move = append(y.move, y.col("move_"+tag.moves[i], func(t int) bool { return w.moveKW[i][t] > 0 }))
	}
	for i, m := range p.Takes {
		y.short = append(y.short, y.col("short_"+tag.takes[i], func(t int) bool { return t == 0 && m.LeastKWh > 0 }))
	}
}

func (y *layout) placeRows(w *work) {
	p, tag := w.p, newTags(w.p)
	for l := range p.Headers {
		y.header = append(y.header, y.row("header_"+tag.headers[l], func(int) bool { return true }))
	}
	for i := range p.Fields {
		y.area = append(y.area, y.row("area_"+tag.fields[i], func(t int) bool { return count(y.sun[i], t)+count(y.charge[i], t) > 1 }))
	}
	for k, s := range p.Stores {
		acts := w.acts(k)
		y.balance = append(y.balance, y.row("store_"+tag.stores[k], func(t int) bool { return acts || s.StandingKW[t] > 0 }))
		y.room = append(y.room, y.row("room_"+tag.stores[k], func(t int) bool { return y.sources(k, t) > 1 }))
	}
	for i, b := range p.Boilers {
		y.ramping = append(y.ramping, y.row("ramp_"+tag.boilers[i], func(t int) bool { return b.RampKW > 0 && t > 0 }))
	}
	for i, m := range p.Moves {
		starts := make([]bool, w.n)
		for _, v := range m.Windows {
			starts[v.From] = v.HeatKWh > 0
		}
		y.window = append(y.window, y.row("window_"+tag.moves[i], func(t int) bool { return starts[t] }))
	}
	for i := range p.Limits {
		y.limit = append(y.limit, y.row("limit_"+tag.limits[i], func(int) bool { return true }))
	}
	for i, m := range p.Takes {
		y.taken = append(y.taken, y.row("take_"+tag.takes[i], func(t int) bool { return t == 0 && m.LeastKWh > 0 }))
	}
}

// sources counts the columns that charge store k in step t, standing loss apart.
func (y *layout) sources(k, t int) int {
	n := 0
	for i := range y.charge {
		if y.charge[i][k].at(t) != none {
			n++
		}
	}
	if y.take[k].at(t) != none {
		n++
	}
	return n
}

func count(groups []index, t int) int {
	n := 0
	for _, g := range groups {
		if g.at(t) != none {
			n++
		}
	}
	return n
}

func (y *layout) col(name string, acts func(t int) bool) index {
	return y.add(&y.colGroups, name, acts)
}
func (y *layout) row(name string, acts func(t int) bool) index {
	return y.add(&y.rowGroups, name, acts)
}

// add marks the steps in which a group acts; number fills in the numbers later.
func (y *layout) add(groups *[]group, name string, acts func(t int) bool) index {
	var num index
	for t := range y.n {
		if !acts(t) {
			continue
		}
		if num == nil {
			num = make(index, y.n)
			for i := range num {
				num[i] = none
			}
		}
		num[t] = 0
	}
	if num != nil {
		*groups = append(*groups, group{name, num})
	}
	return num
}

// number counts through the steps, within a step through the groups, and returns how many there are.
func number(groups []group, n int) int {
	next := int32(0)
	for t := range n {
		for _, g := range groups {
			if g.num[t] != none {
				g.num[t] = next
				next++
			}
		}
	}
	return int(next)
}

// names lists the names of columns or rows in the order of their numbers.
func (y *layout) names(groups []group, total int) []string {
	list := make([]string, 0, total)
	for t := range y.n {
		stamp := y.stamp(t)
		for _, g := range groups {
			if g.num[t] != none {
				list = append(list, g.name+"_"+stamp)
			}
		}
	}
	return list
}

// stamps names steps by month, day and time where that is unique, else by number.
func stamps(p *Problem) func(t int) string {
	n := p.N()
	end := p.Start.AddDate(1, 0, 0)
	wholeMinutes := p.StepH*60 == float64(int(p.StepH*60))
	if p.Start.IsZero() || !wholeMinutes || p.At(n-1).After(end) || p.At(n-1).Equal(end) {
		return func(t int) string { return fmt.Sprintf("t%05d", t) }
	}
	return func(t int) string { return p.At(t).Format("0102T1504") }
}

// tags are the parts' names made fit for MPS: letters, digits, dot and hyphen, none twice in a kind.
type tags struct{ headers, fields, boilers, stores, moves, limits, takes []string }

func newTags(p *Problem) tags {
	return tags{
		tagsOf(p.Headers, func(h Header) string { return h.Name }),
		tagsOf(p.Fields, func(f Field) string { return f.Name }),
		tagsOf(p.Boilers, func(b Boiler) string { return b.Name }),
		tagsOf(p.Stores, func(s Store) string { return s.Name }),
		tagsOf(p.Moves, func(m Move) string { return m.Name }),
		tagsOf(p.Limits, func(m Limit) string { return m.Name }),
		tagsOf(p.Takes, func(m Take) string { return m.Name }),
	}
}

func tagsOf[T any](parts []T, name func(T) string) []string {
	var list []string
	seen := map[string]bool{}
	for i, part := range parts {
		tag := strings.Map(plain, name(part))
		if len(tag) > 24 {
			tag = tag[:24]
		}
		if tag == "" || seen[tag] {
			tag = fmt.Sprintf("%s.%d", tag, i+1)
		}
		seen[tag] = true
		list = append(list, tag)
	}
	return list
}

func plain(r rune) rune {
	if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '.' {
		return r
	}
	return '-'
}
