package scenarios

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"noonkeep/demand"
	"noonkeep/plant"
	"noonkeep/plant/clock"
)

// Billed is what is known of a load from its bills.
type Billed struct {
	Bills int
	Fit   *demand.DegreeDayFit // nil where nothing was to follow the weather
}

// oneBill is a bill on its way to heat.
type oneBill struct {
	demand.Bill
	used amount
}

// billsLoad is heat from fuel bills, brought onto the hours of work and the weather.
func (b *builder) billsLoad(f loadFile, load *Consumer) profile {
	w := f.Bills
	ok := b.hoursOf(f, load)
	boiler, okBoiler := b.billedBoiler(w, *load)
	bills, source := b.billList(w)
	if !ok || !okBoiler || len(bills) == 0 || !b.billDates(w, bills) {
		return nil
	}
	heat := demand.Bills{Source: source, BaseFrac: 0}
	if w.Base.kind == "power" {
		heat.BaseKW = w.Base.base()
	} else if heat.BaseFrac = w.Base.base(); heat.BaseFrac > 1 {
		b.add(w.Base.at, "%s is more than all; want 100 %% at most", quoted(w.Base.String()))
		return nil
	}
	for _, bill := range bills {
		kWh, ok := b.heatUsed(bill.used, boiler)
		if !ok {
			return nil
		}
		bill.KWh = kWh
		heat.List = append(heat.List, bill.Bill)
	}
	// The share of each step in the hours of work is what a load of 1 kW takes.
	one := load.Load
	one.KW = 1
	hours, err := one.On(b.c.Axis, b.c.Calendar)
	if err != nil {
		b.wrapLoad(f, err)
		return nil
	}
	heat.Hours = hours
	if w.Balance.word == "" && w.Weather.yes {
		balanceC := w.Balance.base()
		heat.BalanceC = &balanceC
	}
	if !w.Weather.yes {
		b.unassume(w.Balance.key)
	}
	load.AtBoiler = true
	load.Billed = &Billed{Bills: len(bills)}
	load.Says = fmt.Sprintf("from %d bills of boiler %s, %s", len(bills), boiler.Name, load.When)
	return b.billed(w, heat, load.Billed)
}

// billed gives what works the bills out once the weather is known.
func (b *builder) billed(w *billsFile, heat demand.Bills, out *Billed) profile {
	return func() (clock.KW, []demand.Part, error) {
		if w.Weather.yes {
			heat.AirC = b.c.Weather.AirC
		}
		got, err := heat.On(b.c.Axis)
		if err != nil {
			b.wrapBills(w, err)
			return make(clock.KW, b.c.Axis.N), nil, nil
		}
		for _, n := range got.Notes {
			switch {
			case w.File.set && n.Line > 0:
				b.doubtAt(w.File.at, "%s: the bill of line %d %s", filepath.Base(w.File.s), n.Line, n.Text)
			case n.Line > 0:
				b.doubtAt(at{line: n.Line, key: w.At.key + ".list"}, "this bill %s", n.Text)
			default:
				b.doubtAt(w.At, "%s", n.Text)
			}
		}
		if got.Fit != nil && got.Fit.Used {
			b.doubtAt(w.At, "the weather year stands for the weather on the bills' own days; degree days are counted in it, by the date")
		}
		out.Fit = got.Fit
		return got.KW, got.Parts, nil
	}
}

// billedBoiler finds the boiler whose fuel is billed.
func (b *builder) billedBoiler(w *billsFile, load Consumer) (plant.Boiler, bool) {
	var names []string
	for _, f := range b.f.Boilers {
		names = append(names, f.Name.s)
	}
	i := b.pick("boiler", w.Boiler, w.At, names)
	if i < 0 {
		return plant.Boiler{}, false
	}
	for _, boiler := range b.c.Boilers {
		if boiler.Name == names[i] {
			if boiler.Header != load.Header {
				b.doubtAt(w.At, "boiler %s is on header %q and the load on %q: all of the boiler's fuel counts as this load's",
					boiler.Name, b.c.Headers[boiler.Header].Name, b.c.Headers[load.Header].Name)
			}
			return boiler.Boiler, true
		}
	}
	return plant.Boiler{}, false // a fault that is noted already
}

// billList gathers the bills as they are written, in the scenario or in a file; source names the file.
func (b *builder) billList(w *billsFile) (bills []oneBill, source string) {
	switch {
	case w.File.set && len(w.List) > 0:
		b.add(w.At, "has a list and a file; want one of the two")
	case w.File.set:
		return b.billFile(w), w.File.s
	case len(w.List) == 0 && !b.faulty(join(w.At.key, "list")):
		b.add(w.At, "has neither a list nor a file; want one of the two")
	}
	whole := true
	for _, f := range w.List {
		one := oneBill{demand.Bill{Line: f.At.line, Estimated: f.Estimated.yes}, f.Used}
		for _, d := range []struct {
			text text
			to   *clock.Date
		}{{f.From, &one.From}, {f.To, &one.To}} {
			date, err := clock.ParseDate(d.text.s)
			switch {
			case !d.text.set:
				whole = false
			case err != nil:
				b.wrap(d.text.at, err)
				whole = false
			case date.Year == 0:
				b.add(d.text.at, "%s has no year; write a day such as 2026-01-27", quoted(d.text.s))
				whole = false
			}
			*d.to = date
		}
		whole = whole && f.Used.set
		bills = append(bills, one)
	}
	if !whole {
		return nil, ""
	}
	return bills, ""
}

// billFile reads bills from CSV.
func (b *builder) billFile(w *billsFile) []oneBill {
	r, err := b.opened(w.File)
	if err != nil {
		return nil
	}
	defer r.Close()
	table, err := demand.ReadBills(io.LimitReader(r, mostFileBytes), w.File.s)
	if err != nil {
		b.wrap(w.File.at, err)
		return nil
	}
	unit, err := parse("1 "+table.Unit, "fuel used")
	if err != nil {
		b.add(w.File.at, "%s: the column used: %v", table.Source, err)
		return nil
	}
	var bills []oneBill
	for _, row := range table.Rows {
		used := amount{at: w.File.at, quantity: unit}
		used.num = row.Used
		bills = append(bills, oneBill{demand.Bill{From: row.From, To: row.To, Estimated: row.Estimated, Line: row.Line}, used})
	}
	return bills
}

// billDates makes To the day after the last, by what is written or by how the bills touch; false for a fault.
func (b *builder) billDates(w *billsFile, bills []oneBill) bool {
	says := w.Dates.s
	if !w.Dates.set {
		sorted := slices.Clone(bills)
		slices.SortStableFunc(sorted, func(x, y oneBill) int { return strings.Compare(x.From.String(), y.From.String()) })
		readings, whole := 0, 0 // lines at which the one and the other is seen
		for i := 1; i < len(sorted); i++ {
			switch sorted[i].From {
			case sorted[i-1].To:
				readings = sorted[i].Line
			case dayAfter(sorted[i-1].To):
				whole = sorted[i].Line
			}
		}
		switch {
		case readings > 0 && whole > 0:
			b.add(w.At, "the bill of line %d begins on the day on which the one before it ends, and that of line %d on the day after; write dates: readings, or dates: whole days", readings, whole)
			return false
		case readings == 0 && whole == 0:
			b.add(w.At, "no two bills touch, so that it is not clear whether the day at a bill's end belongs to it; write dates: readings (it does not), or dates: whole days (it does)")
			return false
		case readings > 0:
			says = "readings"
			b.note(w.Dates.key, says, "each bill begins on the day on which the one before it ends")
		default:
			says = "whole days"
			b.note(w.Dates.key, says, "each bill begins on the day after the last of the one before it")
		}
	}
	if says == "whole days" {
		for i := range bills {
			bills[i].To = dayAfter(bills[i].To)
		}
	}
	return true
}

func dayAfter(d clock.Date) clock.Date {
	return clock.DateOf(time.Date(d.Year, d.Month, d.Day+1, 0, 0, 0, 0, time.UTC))
}

// heatUsed is the heat that a boiler made of the fuel of a bill.
func (b *builder) heatUsed(used amount, boiler plant.Boiler) (kWh float64, ok bool) {
	f := slices.IndexFunc(b.f.Fuels, func(f fuelFile) bool { return f.Name.s == boiler.Fuel.Name })
	if f < 0 { // electricity has neither mass nor volume, and counts one way
		if dim := used.unit.dim; dim != byEnergy && dim != byGross {
			b.add(used.at, "%s is no electricity; want kWh or MWh", quoted(used.String()))
		}
		return used.base() * boiler.NetEfficiency(), true
	}
	u, ok := b.burnt(b.f.Fuels[f])
	if !ok {
		return 0, false
	}
	net := 1.0 // kWh of net heat in one of the unit's base
	switch used.unit.dim {
	case byEnergy:
	case byGross:
		if !(u.gross >= 1) {
			b.add(used.at, "%s counts gross, and fuel %s has no gross_per_net, the gross over the net calorific value; write it there", quoted(used.String()), quoted(boiler.Fuel.Name))
			return 0, false
		}
		net = 1 / u.gross
		if !u.Gross.set {
			b.noteOnce(u.At.key+".gross_per_net", fmt.Sprintf("%g", u.gross), "that of "+u.like.Name+", "+u.like.RatioSource)
		}
	default:
		net = b.heatPer(u, used.unit.dim, used)
		if !(net > 0) {
			return 0, false
		}
		if gas := u.generic && u.like.KgPerM3 > 0 && u.like.KgPerM3 < 10; gas && used.unit.dim == byVolume && u.Calorific.unit.dim != byVolume {
			b.doubtOnce(used.at, "m3 of gas are taken at the density's own state, 0 degC and 1.01325 bar(a) for a generic gas; a warmer meter's m3 hold less, one under pressure more")
		}
	}
	b.fullLoad(used.at, boiler)
	return used.base() * net * boiler.NetEfficiency(), true
}

// doubtOnce doubts what many values may lead to, at the first of them.
func (b *builder) doubtOnce(p at, text string) {
	if !slices.ContainsFunc(b.doubts, func(w Warning) bool { return strings.HasSuffix(w.Text, text) }) {
		b.doubtAt(p, "%s", text)
	}
}

// wrapBills notes what is wrong with the bills, each at its line.
func (b *builder) wrapBills(w *billsFile, err error) {
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		for _, one := range many.Unwrap() {
			b.wrapBills(w, one)
		}
		return
	}
	var line *demand.LineError
	if errors.As(err, &line) && !w.File.set {
		b.add(at{line: line.Line, key: w.At.key + ".list"}, "%s", "this bill "+line.Text).Err = err
		return
	}
	if line != nil {
		b.add(w.File.at, "%s", line.Source+":"+strconv.Itoa(line.Line)+": this bill "+line.Text).Err = err
		return
	}
	b.wrap(w.At, err)
}
