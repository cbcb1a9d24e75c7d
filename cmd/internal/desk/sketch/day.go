package sketch

import (
	"fmt"
	"math"
	"strings"
)

// Day is the plan of some hours, mostly a day: what serves the demand, stacked; below zero the sun that goes into the
// store or is let go; and in a lower panel the heat in the store.
type Day struct {
	ID         string // begins the ids in the picture, "day" when empty
	StartLabel string // the day in words: "Tue 4 Feb"
	StepH      float64

	// In kW, means over the step, each as long as DemandKW; nil counts as none.
	DemandKW, SunKW, StoreKW, BoilerKW, UnmetKW []float64
	SunToStoreKW, SpilledKW                     []float64

	StoredKWh   []float64 // at each step's start and the end of the last; nil leaves the lower panel out
	CapacityKWh float64   // 0 draws none

	HeatUnit, EnergyUnit   string  // "kW", "MWh"
	HeatTimes, EnergyTimes float64 // of one kW, one kWh: 1 and 0.001

	Narrow bool
}

// Check finds lengths that do not match and values that are no heat.
func (d Day) Check() error {
	var f faults
	f.id(d.ID)
	n := len(d.DemandKW)
	f.want(d.StepH > 0 && d.StepH <= 24, "step: is %g h; want more than 0, up to 24", d.StepH)
	f.want(n >= 1 && n <= 2000, "demand: are %d values; want 1 to 2000", n)
	f.flows("demand", d.DemandKW, -1)
	for _, s := range d.flows() {
		if s.kW != nil {
			f.flows(s.text, s.kW, n)
		}
	}
	if d.StoredKWh != nil {
		f.flows("stored heat", d.StoredKWh, n+1)
	}
	f.flows("capacity", []float64{d.CapacityKWh}, 1)
	f.want(d.HeatUnit != "" && d.EnergyUnit != "", "units: are %q and %q; want a name each", d.HeatUnit, d.EnergyUnit)
	f.want(d.HeatTimes > 0 && d.HeatTimes <= largest, "heat in %s: is %g of a kW; want more than 0", d.HeatUnit, d.HeatTimes)
	f.want(d.EnergyTimes > 0 && d.EnergyTimes <= largest, "energy in %s: is %g of a kWh; want more than 0", d.EnergyUnit, d.EnergyTimes)
	return f.join("day")
}

// flow is one kind of heat, with the class of its area and the hatching that tells it apart without colour.
type flow struct {
	text, class, hatch string
	kW                 []float64
	below              bool
}

// flows are in the order in which they are stacked, those below zero last.
func (d Day) flows() []flow {
	return []flow{
		{"sun", "sun", "dots", d.SunKW, false},
		{"store", "store", "rising", d.StoreKW, false},
		{"boilers", "boiler", "", d.BoilerKW, false},
		{"not met", "lack", "cross", d.UnmetKW, false},
		{"sun into the store", "into", "rising", d.SunToStoreKW, true},
		{"sun let go", "spilled", "falling", d.SpilledKW, true},
	}
}

// energy is a series' sum in words.
func (d Day) energy(kW []float64) string {
	sum := 0.0
	for _, v := range kW {
		sum += v
	}
	v := sum * d.StepH * d.EnergyTimes
	if sum*d.StepH < 0.5 { // half a kWh is nothing to tell of
		v = 0
	}
	return figure(v) + " " + d.EnergyUnit
}

// some tells heat from a solver's dust: over a thousandth of the largest flow is seen in the picture.
func (d Day) some(kW []float64) bool {
	most := 0.0
	for _, s := range append(d.flows(), flow{kW: d.DemandKW}) {
		for _, v := range s.kW {
			most = max(most, v)
		}
	}
	for _, v := range kW {
		if v > max(1e-3*most, 1e-6) {
			return true
		}
	}
	return false
}

// title is the finding in words: who serves the demand.
func (d Day) title() string {
	start := d.StartLabel
	if start == "" {
		start = "This day"
	}
	if !d.some(d.DemandKW) {
		return start + ": no heat is asked for"
	}
	var parts []string
	for _, s := range d.flows() {
		if !s.below && s.class != "lack" && d.some(s.kW) {
			parts = append(parts, s.text+" "+d.energy(s.kW))
		}
	}
	out := fmt.Sprintf("%s: %s asked for", start, d.energy(d.DemandKW))
	if len(parts) > 0 {
		out += "; " + strings.Join(parts, ", ")
	}
	if d.some(d.UnmetKW) {
		out += "; " + d.energy(d.UnmetKW) + " not met"
	}
	return out
}

func (d Day) desc() string {
	s := "Heat hour by hour in " + d.HeatUnit + ", stacked from zero up: sun, store, boilers, and what is not met; the demand is a stepped line."
	switch into, gone := d.some(d.SunToStoreKW), d.some(d.SpilledKW); {
	case into && gone:
		s += fmt.Sprintf(" Below zero: %s of sun into the store, %s let go.", d.energy(d.SunToStoreKW), d.energy(d.SpilledKW))
	case into:
		s += fmt.Sprintf(" Below zero: %s of sun into the store; none is let go.", d.energy(d.SunToStoreKW))
	case gone:
		s += fmt.Sprintf(" Below zero: %s of sun let go; none goes into the store.", d.energy(d.SpilledKW))
	}
	if d.StoredKWh == nil {
		return s
	}
	least, most, at := math.Inf(1), math.Inf(-1), 0
	for i, v := range d.StoredKWh {
		least = min(least, v)
		if v > most {
			most, at = v, i
		}
	}
	s += fmt.Sprintf(" Lower panel: the heat in the store lies between %s and %s %s, highest at %s", figure(least*d.EnergyTimes), figure(most*d.EnergyTimes),
		d.EnergyUnit, clockText(float64(at)*d.StepH))
	if d.CapacityKWh > 0 {
		s += fmt.Sprintf("; full is %s %s", figure(d.CapacityKWh*d.EnergyTimes), d.EnergyUnit)
	}
	return s + "."
}

// clockText is an hour as a clock shows it, "06:30"; the end of a day is 24:00.
func clockText(hour float64) string {
	minutes := int(math.Round(hour * 60))
	if minutes > 24*60 {
		minutes -= (minutes - 1) / (24 * 60) * 24 * 60
	}
	return fmt.Sprintf("%02d:%02d", minutes/60, minutes%60)
}
