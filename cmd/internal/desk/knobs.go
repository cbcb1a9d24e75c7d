package desk

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"noonkeep/scenarios"
)

// knob is one value of a scenario that a person in a meeting turns.
type knob struct {
	Key     string  // as [scenarios.Rewrite] takes it
	Group   string  // Sun, Store or Fuel
	Label   string  // "Collectors, dishes"
	Written string  // as it stands in the scenario, "" where it is left out
	Number  float64 // of what is written, in Unit; the default where it is left out
	Unit    string  // "" for a plain number

	Min, Max, Step float64 // of a slider, in Unit; Max is 0 where there is none

	Also    string // the same in the page's other unit, "" for none
	Missing bool   // it is left out
	Default string // what counts then, in words
	Note    string // what else is to be known of it, "" for nothing
	// Fixed says why one number cannot be turned here, such as a price by month; "" for a knob that can.
	Fixed string
}

// Setting is the knob at a number, as a person would write it. An empty unit is the knob's own.
func (k knob) Setting(number float64, unit string) scenarios.Setting {
	if unit == "" {
		unit = k.Unit
	}
	return scenarios.Setting{Key: k.Key, Value: strings.TrimSpace(plainNumber(number) + " " + unit)}
}

// plainNumber is a number as a scenario has it: digits and a point, without the dust that a slider's steps leave.
func plainNumber(v float64) string {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 10, 64), 64)
	if err != nil {
		rounded = v
	}
	return strconv.FormatFloat(rounded+0, 'f', -1, 64)
}

// quantityText is a number and what follows it. A list of values is none.
var quantityText = regexp.MustCompile(`^([+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)\s*([^,\s][^,]*)?$`)

// splitQuantity parts what is written into number and unit.
func splitQuantity(s string) (number float64, unit string, ok bool) {
	m := quantityText.FindStringSubmatch(strings.TrimSpace(s))
	if m == nil {
		return 0, "", false
	}
	number, err := strconv.ParseFloat(m[1], 64)
	return number, strings.TrimSpace(m[2]), err == nil
}

// entryKey is the way to an entry of a list, its name in quotes where that is needed: loads["kiln [2]"].
func entryKey(list, name string) string { return list + "[" + inBrackets(name) + "]" }

var wholeNumber = regexp.MustCompile(`^[+-]?[0-9]+$`)

func inBrackets(name string) string {
	if strings.ContainsAny(name, "[]\"\\") || strings.TrimSpace(name) != name || name == "" || name == "+" || wholeNumber.MatchString(name) {
		return strconv.Quote(name)
	}
	return name
}

// writtenValues are the scenario's values by the way to them, as [scenarios.Case.Written] names it: no quotes in the brackets.
type writtenValues map[string]string

func writtenOf(c scenarios.Case) writtenValues {
	w := writtenValues{}
	for _, e := range c.Written() {
		if _, has := w[e.Key]; !has {
			w[e.Key] = e.Value
		}
	}
	return w
}

// under tells whether anything is written below a way.
func (w writtenValues) under(way string) bool {
	for key := range w {
		if key == way || strings.HasPrefix(key, way+".") || strings.HasPrefix(key, way+"[") {
			return true
		}
	}
	return false
}

// knobsOf are the knobs of a scenario: collectors of each field, the varied store, the price of each fuel.
func knobsOf(c scenarios.Case, u units) []knob {
	w := writtenOf(c)
	var list []knob
	for _, f := range c.Fields {
		list = append(list, countKnob(f, w, len(c.Fields) > 1))
	}
	if c.Store != nil {
		list = append(list, storeKnobs(c, u, w)...)
	}
	for _, f := range c.Fuels {
		list = append(list, priceKnob(c, w, fuelPlace{"fuels[" + f.Name + "]", entryKey("fuels", f.Name), "Price of " + f.Name}))
	}
	if c.Power.Name != "" && burnsPower(c) {
		list = append(list, priceKnob(c, w, fuelPlace{"electricity", "electricity", "Price of electricity"}))
	}
	return list
}

func burnsPower(c scenarios.Case) bool {
	for _, b := range c.Boilers {
		if b.Fuel.Power {
			return true
		}
	}
	return false
}

func countKnob(f scenarios.Field, w writtenValues, several bool) knob {
	k := knob{Key: entryKey("fields", f.Name) + ".count", Group: "Sun", Label: "Collectors"}
	if several {
		k.Label += ", " + f.Name
	}
	k.Written = w["fields["+f.Name+"].count"]
	k.Number, k.Unit, _ = splitQuantity(k.Written)
	k.Max = roundTop(k.Number, 20)
	if f.Ground != nil && f.Places > 0 && float64(f.Places) >= k.Number {
		k.Max = float64(f.Places) // no more fit on the ground
		k.Note = fmt.Sprintf("the ground holds %d", f.Places)
	}
	k.Step = 1
	return k
}

// storeKnobs are those of the varied store.
func storeKnobs(c scenarios.Case, u units, w writtenValues) []knob {
	raw, key, of := "store", "store", ""
	if !w.under("store") {
		raw, key, of = "stores["+c.Store.Name+"]", entryKey("stores", c.Store.Name), ", "+c.Store.Name
	}
	return []knob{
		volumeKnob(c, w[raw+".volume"], key+".volume", of),
		workingKnob(c, u, w[raw+".working_pressure"], key+".working_pressure", of),
		perM3Knob(c, w, raw+".cost", key+".cost.per_m3", of),
	}
}

func volumeKnob(c scenarios.Case, written, key, of string) knob {
	k := knob{Key: key, Group: "Store", Label: "Volume" + of, Written: written, Number: c.Store.VolumeM3, Unit: "m3"}
	perUnit := 1.0
	if number, unit, ok := splitQuantity(written); ok {
		k.Number, k.Unit = number, unit
		if strings.HasPrefix(unit, "l") {
			perUnit = 1000
		}
	}
	k.missing(c, "the middle of the volumes that the curve covers")
	k.Min, k.Max = 0, math.Max(c.Store.ToM3*perUnit, k.Number)
	k.Step = roundStepFor(k.Number, k.Max)
	return k
}

// barPer are how many bar a unit of pressure is.
var barPer = map[string]float64{"bar": 1, "kPa": 0.01, "MPa": 10}

func workingKnob(c scenarios.Case, u units, written, key, of string) knob {
	k := knob{Key: key, Group: "Store", Label: "Working pressure" + of, Written: written}
	number, unit, ok := splitQuantity(written)
	k.Number, k.Unit = number, unit
	gauge := strings.HasSuffix(unit, "(g)")
	name, _, _ := strings.Cut(unit, "(")
	per := barPer[strings.TrimSpace(name)]
	if !ok || per == 0 {
		k.Fixed = fmt.Sprintf("%q is not read here; change it in the text", written)
		return k
	}
	barA := number * per
	lowest := lowestWorking(c)
	if gauge {
		barA += c.AirBarA
		lowest = math.Max(0, lowest-c.AirBarA)
	}
	k.Min = math.Min(math.Ceil(lowest+0.1), math.Floor(number*per)) / per
	k.Max = roundTop(number, 20/per)
	k.Step = roundStepFor(number, k.Max)
	if other := (units{Pressure: u.filled().Pressure}); gauge != (other.Pressure == barGauge) {
		k.Also = other.pressureText(barA, c.AirBarA)
	}
	return k
}

// lowestWorking is the pressure, bar(a), at which the varied store would hold no heat: that of the vessel when it is empty, or of
// the header over its line, and the margin on it.
func lowestWorking(c scenarios.Case) float64 {
	bar := c.Store.PressureAt(0).BarAbs()
	if p := c.Headers[c.Store.Header].Pressure; p.Valid() {
		bar = math.Max(bar, p.BarAbs()+c.Store.Spec.LineDropBar)
	}
	return bar + c.Store.Spec.MarginBar
}

func perM3Knob(c scenarios.Case, w writtenValues, rawCost, key, of string) knob {
	k := knob{Key: key, Group: "Store", Label: "Price of one more m³" + of, Written: w[rawCost+".per_m3"], Unit: c.Currency + "/m3"}
	for _, other := range []struct{ key, is string }{{"table", "a table of prices"}, {"reference", "a vessel of known price"}} {
		if w.under(rawCost + "." + other.key) {
			k.Fixed = "the vessel is priced by " + other.is + "; change it in the text"
			return k
		}
	}
	if number, unit, ok := splitQuantity(k.Written); ok {
		k.Number, k.Unit = number, unit
	} else if c.Currency == "" {
		k.Fixed = "no price names a currency yet; write money.currency in the text"
		return k
	}
	if k.Written == "" {
		k.Missing, k.Default = true, "no price: what a tank earns is not counted"
	}
	// Up to where a slider goes without a price: common practice, no source.
	k.Max = roundTop(k.Number, 5000)
	k.Step = roundStepFor(k.Number, k.Max)
	return k
}

// fuelPlace is where the price of a fuel stands.
type fuelPlace struct{ raw, key, label string }

// topPrices are how far a slider goes for a fuel that costs nothing, by what it is counted in: common practice, no source.
var topPrices = map[string]float64{"kWh": 0.2, "MWh": 200, "GJ": 50, "MJ": 0.05, "kg": 2, "t": 2000, "m3": 2, "l": 2}

func priceKnob(c scenarios.Case, w writtenValues, at fuelPlace) knob {
	k := knob{Key: at.key + ".price", Group: "Fuel", Label: at.label, Written: w[at.raw+".price"], Unit: c.Currency + "/kWh"}
	number, unit, one := splitQuantity(k.Written)
	switch {
	case w.under(at.raw + ".price_series"):
		k.Fixed = "its price follows a file; change that or name another in the text"
	case w.under(at.raw + ".tariff"):
		k.Fixed = "its price goes by the clock; change the tariff in the text"
	case k.Written == "" && c.Currency == "":
		k.Fixed = "no price names a currency yet; write money.currency in the text"
	case k.Written == "":
		k.missing(c, "it costs nothing")
	case !one:
		k.Fixed = "its price goes by month; change the twelve values in the text"
	default:
		k.Number, k.Unit = number, unit
	}
	if k.Fixed != "" {
		return k
	}
	_, per, _ := strings.Cut(k.Unit, "/")
	top, known := topPrices[strings.NewReplacer(" ", "", "³", "3").Replace(per)]
	if !known {
		top = 1
	}
	k.Max = roundTop(k.Number, top)
	k.Step = roundStepFor(k.Number, k.Max)
	return k
}

// missing notes that a value is left out, and what counts then: what the scenario's reader says, else fallback.
func (k *knob) missing(c scenarios.Case, fallback string) {
	if k.Written != "" {
		return
	}
	k.Missing, k.Default = true, fallback
	for _, a := range c.Assumptions {
		if plainKey(a.Key) == plainKey(k.Key) {
			k.Default = a.Value + ": " + a.Text
		}
	}
}
