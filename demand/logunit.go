package demand

import (
	"fmt"
	"strings"
)

// Dimension is what a meter counts.
type Dimension int

const (
	Mass   Dimension = iota + 1 // kg, of steam or of fuel
	Energy                      // kWh
	Volume                      // m3 of fuel
)

// LogUnit is the unit of a log's values.
type LogUnit struct {
	Text  string
	Total bool // a quantity, else a rate
	Dim   Dimension
	Base  float64 // kg, kWh or m3 in one unit, or per hour in one of a rate
}

// logUnits are all that are known. 1 kWh is 3.6 MJ.
var logUnits = []LogUnit{
	{"kg/h", false, Mass, 1}, {"t/h", false, Mass, 1000}, {"kg/s", false, Mass, 3600},
	{"kW", false, Energy, 1}, {"MW", false, Energy, 1000},
	{"m3/h", false, Volume, 1}, {"l/h", false, Volume, 0.001},
	{"kg", true, Mass, 1}, {"t", true, Mass, 1000},
	{"kWh", true, Energy, 1}, {"MWh", true, Energy, 1000}, {"GJ", true, Energy, 1 / 0.0036},
	{"m3", true, Volume, 1}, {"l", true, Volume, 0.001},
}

// otherUnits are not taken, and what to write for them: exact factors of the international pound and inch.
var otherUnits = map[string]string{
	"lb/h": "write kg/h and a scale of 0.45359237", "lbs/h": "write kg/h and a scale of 0.45359237",
	"pph": "write kg/h and a scale of 0.45359237", "klb/h": "write kg/h and a scale of 453.59237",
	"mlb/h": "write kg/h, and a scale of 453.59237 if a thousand pounds are meant",
	"lb":    "write kg and a scale of 0.45359237", "short ton": "write kg and a scale of 907.18474",
	"mmbtu/h": "write kW and a scale of 293.07107", "btu/h": "write kW and a scale of 0.00029307107",
	"mmbtu": "write kWh and a scale of 293.07107", "therm": "write kWh and a scale of 29.307107, if it is one of 100 000 Btu(IT)",
	"mj": "write GJ and a scale of 0.001", "mj/h": "write kW and a scale of 0.2777777777777778",
	"gj/h": "write kW and a scale of 277.7777777777778", "w": "write kW and a scale of 0.001",
	"wh": "write kWh and a scale of 0.001", "g/s": "write kg/h and a scale of 3.6",
	"t/d": "write t/h and a scale of 0.041666666666666664", "kcal/h": "write kW and a scale of 0.001163",
	"nm3": "write m3: the fuel's calorific value must then be per normal m3", "nm3/h": "write m3/h: the fuel's calorific value must then be per normal m3",
}

var unitLetters = strings.NewReplacer("³", "3", "^3", "3", " ", "", "hr", "h", "Liter", "l", "L", "l")

// ParseLogUnit finds a unit.
func ParseLogUnit(text string) (LogUnit, error) {
	plain := unitLetters.Replace(text)
	var want, near []string
	for _, u := range logUnits {
		if u.Text == plain {
			return u, nil
		}
		want = append(want, u.Text)
		if strings.EqualFold(u.Text, plain) {
			near = append(near, u.Text)
		}
	}
	if hint := otherUnits[strings.ToLower(plain)]; hint != "" {
		return LogUnit{}, fmt.Errorf("%s is not taken; %s", brief(text), hint)
	}
	if len(near) > 0 {
		return LogUnit{}, fmt.Errorf("%s is no unit; write %s", brief(text), near[0])
	}
	last := len(want) - 1
	return LogUnit{}, fmt.Errorf("%s is not known; want one of %s or %s", brief(text), strings.Join(want[:last], ", "), want[last])
}

// unitIn finds a unit at the end of a column's name, as in "Dampf t/h" or "steam [kg/h]"; "" for none.
func unitIn(name string) string {
	words := strings.FieldsFunc(name, func(r rune) bool { return strings.ContainsRune(" []()_,;", r) })
	if len(words) == 0 {
		return ""
	}
	last := unitLetters.Replace(words[len(words)-1])
	for _, u := range logUnits {
		if strings.EqualFold(u.Text, last) && (len(last) > 1 || u.Text == last && len(words) > 1) {
			return u.Text
		}
	}
	if _, other := otherUnits[strings.ToLower(last)]; other && len(last) > 1 {
		return last
	}
	return ""
}
