package scenarios

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// What may be unsure, as a scenario writes it.
const (
	UnsureDemand       = "demand"
	UnsureEfficiency   = "boiler efficiency"
	UnsureFuelPrice    = "fuel price"
	UnsurePowerPrice   = "electricity price"
	UnsureCarbonPrice  = "carbon price"
	UnsureCleanliness  = "cleanliness"
	UnsureSoiling      = "soiling"
	UnsureAvailability = "availability"
	UnsureOutput       = "collector output"
	UnsureStoreCost    = "store cost"
	UnsureWeather      = "weather"
)

// Shapes of what may be expected.
const (
	Uniform    = "uniform"    // all of the range is alike
	Triangular = "triangular" // straight up from the low end to the mode, straight down to the high end
	Normal     = "normal"     // the range is its band from 5 to 95 %
)

// Unsure is one input that is not known for sure. Its values are shares of what the scenario has: 1 is the scenario's own.
type Unsure struct {
	What string // one of UnsureDemand and on
	Of   string // the one load, boiler, fuel or field; empty for all of them together

	Low, High float64 // the range; of a normal shape, what 5 % of cases fall below and what 5 % exceed
	Mode      float64 // of a triangular shape
	Shape     string  // Uniform, Triangular or Normal; empty for weather
	Years     int     // of weather from monthly means: how many are generated; 0 for each year of files

	Line int // in the scenario; 0 for one that is assumed
}

// String names it: "demand of dye machines".
func (u Unsure) String() string {
	if u.Of == "" {
		return u.What
	}
	return u.What + " of " + u.Of
}

// Says tells its range and shape: "90..110 %, triangular about 100 %".
func (u Unsure) Says() string {
	if u.What == UnsureWeather {
		if u.Years == 0 {
			return "each year of the weather files"
		}
		return fmt.Sprintf("%d generated years", u.Years)
	}
	show := func(x float64) string { return fmt.Sprintf("%.6g", 100*x) }
	text := show(u.Low) + ".." + show(u.High) + " %, " + u.Shape
	switch u.Shape {
	case Triangular:
		text += " about " + show(u.Mode) + " %"
	case Normal:
		text += " (5 to 95 %)"
	}
	return text
}

// A normal shape is held at its 0.1 and 99.9 % points, three standard deviations from its middle: what lies further out
// belongs to no study of a plant that stands.
const normalTailFrac = 0.001

// At is the value that a share p of all cases stays under: the quantile of the shape. Weather has none and is 1.
func (u Unsure) At(p float64) float64 {
	width := u.High - u.Low
	switch u.Shape {
	case Uniform:
		return u.Low + p*width
	case Triangular:
		// Inverse of the triangular distribution, as in any table of distributions: F(mode) = (mode-low)/(high-low).
		if left := u.Mode - u.Low; p*width <= left {
			return u.Low + math.Sqrt(p*width*left)
		}
		return u.High - math.Sqrt((1-p)*width*(u.High-u.Mode))
	case Normal:
		p = min(max(p, normalTailFrac), 1-normalTailFrac)
		return (u.Low+u.High)/2 + width/2*standardNormal(p)/standardNormal(0.95)
	}
	return 1
}

// standardNormal is the quantile of the standard normal distribution.
func standardNormal(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }

// UsualUnsure is what is taken for unsure of a case that does not say it: common practice, no source. Values that would
// pass what there can be, such as mirrors cleaner than clean, are cut there. Weather files may hold one year alone, so
// weather is in the list only where years are generated.
func (c Case) UsualUnsure() []Unsure {
	list := []Unsure{}
	for _, u := range []Unsure{
		{What: UnsureDemand, Low: 0.9, High: 1.1},
		{What: UnsureEfficiency, Low: 0.97, High: 1.03},
		{What: UnsureFuelPrice, Low: 0.8, High: 1.2},
		{What: UnsureCleanliness, Low: 0.95, High: 1.05},
		{What: UnsureOutput, Low: 0.95, High: 1.05},
		{What: UnsureStoreCost, Low: 0.8, High: 1.2},
	} {
		k := unsureKindOf(u.What)
		if len(k.moves(c, "")) == 0 {
			continue
		}
		most, _ := k.most(c, "")
		u.High, u.Mode, u.Shape = min(u.High, most), 1, Triangular
		if u.High >= u.Mode && u.Low < u.High {
			list = append(list, u)
		}
	}
	if _, generated := c.Seed(); generated {
		list = append(list, Unsure{What: UnsureWeather, Years: usualYears})
	}
	return list
}

const usualYears = 30 // a climate normal has as many

// unsureKind is a sort of unsure input: what there is of it, how far it may go and what it turns.
type unsureKind struct {
	what string
	of   string                                                // what `of` names; empty where there is one alone
	all  func(c *Case) []string                                // names of all that have it
	most func(c Case, of string) (times float64, what string)  // the largest factor, and what limits it
	turn func(c *Case, this func(name string) bool, x float64) // multiplies what has such a name
	lack string                                                // what to write where nothing has it
}

// moves are the names of what it turns.
func (k unsureKind) moves(c Case, of string) []string {
	return slices.DeleteFunc(k.all(&c), func(name string) bool { return of != "" && name != of })
}

// mostTimes is the largest factor of all: beyond it lies a slip of the finger.
const mostTimes = 10

func anyTimes(Case, string) (float64, string) { return mostTimes, "" }

// unsureKinds are all sorts, in the order in which a scenario's list of words has them.
func unsureKinds() []unsureKind {
	carbon := func(c *Case, _ func(string) bool, x float64) { c.CarbonPerKg *= x }
	vessel := func(c *Case, _ func(string) bool, x float64) { c.vesselTimes(x) }
	nothing := func(*Case, func(string) bool, float64) {}
	return []unsureKind{
		{UnsureDemand, "load", loadNames, anyTimes, turnLoads, "it has no loads"},
		{UnsureEfficiency, "boiler", boilerNames, mostEfficient, turnBoilers, "it has no boilers"},
		{UnsureFuelPrice, "fuel", fuelsOf, anyTimes, turnFuels, "it has no fuels"},
		{UnsurePowerPrice, "", powered, anyTimes, turnPower, "write electricity: {price: ...}"},
		{UnsureCarbonPrice, "", carbonPriced, anyTimes, carbon, "it has no price of CO2"},
		{UnsureCleanliness, "field", fieldNames, mostClean, turnClean, "it has no fields"},
		{UnsureSoiling, "field", soiledFields, anyTimes, turnSoiling, "no field has soiling and wash"},
		{UnsureAvailability, "field", fieldNames, mostAvailable, turnAvailable, "it has no fields"},
		{UnsureOutput, "field", fieldNames, anyTimes, turnOutput, "it has no fields"},
		{UnsureStoreCost, "", storePriced, anyTimes, vessel, "write store.cost and money.life"},
		{UnsureWeather, "", always, anyTimes, nothing, ""},
	}
}

func unsureKindOf(what string) unsureKind {
	all := unsureKinds()
	return all[slices.IndexFunc(all, func(k unsureKind) bool { return k.what == what })]
}

func always(*Case) []string { return []string{""} }

// once gives one nameless thing where it is there, none where it is not.
func once(there bool) []string {
	if there {
		return []string{""}
	}
	return nil
}

func powered(c *Case) []string      { return once(c.Power.Name != "") }
func carbonPriced(c *Case) []string { return once(c.CarbonPerKg > 0) }

func storePriced(c *Case) []string {
	return once(c.Store != nil && c.Store.Cost.Known && c.Business.Has)
}

// UnsureText lists inputs with their ranges, for one line: "demand 90..110 %, triangular about 100 %; ...".
func UnsureText(list []Unsure) string {
	var all []string
	for _, u := range list {
		all = append(all, u.String()+" "+u.Says())
	}
	return strings.Join(all, "; ")
}
