package chart

import (
	"time"

	"gonum.org/v1/plot/vg"
)

// Week is the plan of some days, step by step: above zero what serves the header,
// below zero the sun that goes into the store or is spilled, and under it the heat
// in the store.
type Week struct {
	Locale
	Title, Subtitle string

	Start time.Time // start of the first step, in local standard time
	Flat  bool      // less tall, so that two stand on a page
	StepH float64   // length of a step in hours, more than 0 and at most 24

	// All in kW, means over the step, each as long as DemandKW; nil counts as none.
	// Sun, store and boiler are stacked. They add up to the demand but where heat is
	// short (the stack stays below the line) or where steam also warms or charges
	// the store (it rises above).
	DemandKW                 []float64
	SunKW, StoreKW, BoilerKW []float64
	SunToStoreKW, SpilledKW  []float64

	// StoredKWh is the heat in the store at each step's start and at the end of the
	// last, one more than DemandKW; nil leaves the lower panel out.
	StoredKWh   []float64
	CapacityKWh float64 // drawn as a level; 0 for none

	// HoldKWh is the heat below which the store should give nothing, by step; nil for none. It is drawn
	// with StoredKWh.
	HoldKWh []float64
}

const (
	mostWeekSteps = 3000 // a month of 15-minute steps; more are a [YearMap]
	weekHeight    = 675
	flowsHeight   = 480 // without the lower panel
	flatHeight    = 510 // with both, where two stand on a page
)

func (k Week) heading() string { return k.Title }

func (k Week) size() (w, h vg.Length) {
	if k.StoredKWh == nil {
		return figureWidth, flowsHeight
	}
	if k.Flat {
		return figureWidth, flatHeight
	}
	return figureWidth, weekHeight
}

// Check finds lengths that do not match, values that are not numbers or run backwards,
// and more steps than one picture can show.
func (k Week) Check() error {
	var f faults
	n := len(k.DemandKW)
	f.require(n >= 1 && n <= mostWeekSteps, "demand: has %d steps; want 1 to %d, a longer span is a map of the year", n, mostWeekSteps)
	f.require(k.StepH > 0 && k.StepH <= 24, "step: is %g h; want more than 0 and at most 24", k.StepH)
	f.require(k.StepH*float64(n) <= 366*24, "span: is %g h; want at most a year", k.StepH*float64(n))
	f.flows("demand", k.DemandKW, n)
	for _, s := range []struct {
		name string
		kW   []float64
	}{
		{"sun to header", k.SunKW}, {"from the store", k.StoreKW}, {"boilers", k.BoilerKW},
		{"sun to store", k.SunToStoreKW}, {"spilled sun", k.SpilledKW},
	} {
		if s.kW != nil {
			f.flows(s.name, s.kW, n)
		}
	}
	if k.StoredKWh != nil {
		f.flows("stored heat", k.StoredKWh, n+1)
	}
	if k.HoldKWh != nil {
		f.flows("hold-back level", k.HoldKWh, n)
		f.require(k.StoredKWh != nil, "hold-back level: stands without stored heat; want both")
	}
	f.flows("capacity", []float64{k.CapacityKWh}, 1)
	return f.join("week")
}

// stack adds up the layers that serve the header: result i is the sum of the first i+1.
func (k Week) stack() [][]float64 {
	sums := make([][]float64, 0, 3)
	sum := make([]float64, len(k.DemandKW))
	for _, layer := range [][]float64{k.SunKW, k.StoreKW, k.BoilerKW} {
		next := append([]float64(nil), sum...)
		for i, v := range layer {
			next[i] += max(v, 0)
		}
		sums = append(sums, next)
		sum = next
	}
	return sums
}

// below gives the two edges under zero: the sun into the store, and with it what is spilled.
func (k Week) below() (into, spilled []float64) {
	into, spilled = make([]float64, len(k.DemandKW)), make([]float64, len(k.DemandKW))
	for i := range into {
		if k.SunToStoreKW != nil {
			into[i] = -max(k.SunToStoreKW[i], 0)
		}
		spilled[i] = into[i]
		if k.SpilledKW != nil {
			spilled[i] -= max(k.SpilledKW[i], 0)
		}
	}
	return into, spilled
}

// edges are the steps' ends in hours from the start.
func (k Week) edges() []float64 {
	e := make([]float64, len(k.DemandKW)+1)
	for i := range e {
		e[i] = float64(i) * k.StepH
	}
	return e
}

// A timeMark is a place on the time axis, in hours from the start.
type timeMark struct {
	hour  float64
	label string // "" for a tick alone
	day   bool   // midnight
}

// marks finds the midnights and, where there is room, the hours between them.
func (k Week) marks(ptPerHour vg.Length) []timeMark {
	every := 24
	switch perDay := 24 * ptPerHour; {
	case perDay >= 88:
		every = 6
	case perDay >= 40:
		every = 12
	}
	span := k.StepH * float64(len(k.DemandKW))
	var marks []timeMark
	day := time.Date(k.Start.Year(), k.Start.Month(), k.Start.Day(), 0, 0, 0, 0, k.Start.Location())
	for h := -k.Start.Sub(day).Hours(); h <= span+1e-9; h += float64(every) {
		if h < -1e-9 {
			continue
		}
		at := day.Add(k.Start.Sub(day) + time.Duration(h*float64(time.Hour))).Round(time.Second)
		m := timeMark{hour: h, day: at.Hour() == 0}
		if !m.day {
			m.label = at.Format("15")
		}
		marks = append(marks, m)
	}
	return marks
}

// days gives a label for each calendar day in the middle of its visible part, thinned
// out so that the labels keep apart.
func (k Week) days(ptPerHour vg.Length) []timeMark {
	span := k.StepH * float64(len(k.DemandKW))
	midnight := time.Date(k.Start.Year(), k.Start.Month(), k.Start.Day(), 0, 0, 0, 0, k.Start.Location())
	first := -k.Start.Sub(midnight).Hours()
	format, roomPt := "Mon 2 Jan", vg.Length(86)
	if 24*ptPerHour < roomPt {
		format, roomPt = "2 Jan", 56
	}
	step := 1
	for vg.Length(step)*24*ptPerHour < roomPt {
		step++
	}
	var days []timeMark
	for d := 0; ; d += step {
		from, to := first+float64(24*d), first+float64(24*(d+1))
		if from >= span {
			return days
		}
		from, to = max(from, 0), min(to, span)
		if vg.Length(to-from)*ptPerHour >= min(roomPt, 24*ptPerHour)*0.8 {
			days = append(days, timeMark{hour: (from + to) / 2, label: k.Date(midnight.AddDate(0, 0, d), format)})
		}
	}
}
