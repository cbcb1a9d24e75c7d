package sky

import (
	"fmt"
	"strings"
)

// Unit is the unit of a column. The zero value is none; [ParseUnit] makes one.
type Unit struct {
	text    string
	of      measure
	mul     float64
	add     float64 // after mul
	perStep bool    // an energy of the row's interval, Wh/m² after mul
}

// String is the unit as it is written.
func (u Unit) String() string { return u.text }

// measure is what a unit is of.
type measure string

const (
	ofLight measure = "light"
	ofAir   measure = "temperature"
	ofWind  measure = "wind"
)

var units = []Unit{
	{text: "W/m2", of: ofLight, mul: 1}, {text: "kW/m2", of: ofLight, mul: 1000},
	{text: "Wh/m2", of: ofLight, mul: 1, perStep: true}, {text: "kWh/m2", of: ofLight, mul: 1000, perStep: true},
	{text: "kJ/m2", of: ofLight, mul: 1 / 3.6, perStep: true}, {text: "MJ/m2", of: ofLight, mul: 1000 / 3.6, perStep: true},
	{text: "J/m2", of: ofLight, mul: 1. / 3600, perStep: true}, {text: "J/cm2", of: ofLight, mul: 1e4 / 3600, perStep: true},
	{text: "degC", of: ofAir, mul: 1}, {text: "K", of: ofAir, mul: 1, add: -273.15}, {text: "degF", of: ofAir, mul: 5. / 9, add: -160. / 9},
	{text: "m/s", of: ofWind, mul: 1}, {text: "km/h", of: ofWind, mul: 1 / 3.6},
	{text: "kn", of: ofWind, mul: 1852. / 3600}, {text: "mph", of: ofWind, mul: 0.44704},
}

// slips are other spellings, in small letters and without signs, and what is meant.
var slips = map[string]string{
	"w/m2": "W/m2", "wm-2": "W/m2", "w/sqm": "W/m2", "kw/m2": "kW/m2", "kwm-2": "kW/m2", "wh/m2": "Wh/m2", "whm-2": "Wh/m2", "kwh/m2": "kWh/m2", "kj/m2": "kJ/m2",
	"mj/m2": "MJ/m2", "mjm-2": "MJ/m2", "jm-2": "J/m2", "j/m2": "J/m2", "j/cm2": "J/cm2",
	"c": "degC", "degc": "degC", "celsius": "degC", "k": "K", "kelvin": "K", "f": "degF", "degf": "degF", "fahrenheit": "degF",
	"ms-1": "m/s", "m/s": "m/s", "mps": "m/s", "kmh": "km/h", "kph": "km/h", "km/h": "km/h", "kmh-1": "km/h", "knots": "kn", "kt": "kn", "kts": "kn", "kn": "kn", "mph": "mph",
}

// nearUnit gives the unit that a spelling means, "" if none comes near.
func nearUnit(text string) string {
	plain := strings.NewReplacer("²", "2", "^", "", "°", "", " ", "", "⁻¹", "-1", "⁻²", "-2", "**", "", ".", "", "*", "", "·", "").Replace(text)
	return slips[strings.ToLower(plain)]
}

// ParseUnit reads the unit of a column of GHI, DNI or DHI, of air or of wind (as [Plain] calls them). An error says what
// to write.
func ParseUnit(column, text string) (Unit, error) {
	want := map[string]measure{"air": ofAir, "wind": ofWind}[column]
	if want == "" {
		want = ofLight
	}
	var fit []string
	for _, u := range units {
		if u.of != want {
			continue
		}
		if u.text == text {
			return u, nil
		}
		fit = append(fit, u.text)
	}
	for _, u := range units {
		if u.text == text {
			return Unit{}, fmt.Errorf("%q is a unit of %s; want %s", text, u.of, orList(fit))
		}
	}
	near := nearUnit(text)
	for _, f := range fit {
		if f == near {
			return Unit{}, fmt.Errorf("%q is not known; write %q", text, near)
		}
	}
	return Unit{}, fmt.Errorf("%q is not known; want %s", text, orList(fit))
}

// UnitInName gives the unit of a column of ghi, dni, dhi, air or wind that stands in brackets in its name, "" if none does.
func UnitInName(column, name string) string {
	if u, err := ParseUnit(column, unitIn(name)); err == nil {
		return u.text
	}
	return ""
}

func orList(of []string) string {
	last := len(of) - 1
	return strings.Join(of[:last], ", ") + " or " + of[last]
}

// value turns a number of the unit into W/m², °C or m/s, for rows of so many an hour.
func (u Unit) value(v float64, perHour int) float64 {
	v = v*u.mul + u.add
	if u.perStep {
		v *= float64(perHour)
	}
	return v
}
