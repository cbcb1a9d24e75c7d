package scenarios

// unit is one spelling of a unit: a value in it times mul, over div, is the value in the kind's base unit.
// Two numbers keep "60 min" exactly 1 h.
type unit struct {
	text     string
	mul, div float64
	dim      string // what it is counted by, where a kind allows more than one: energy, mass or volume
}

// kind is a sort of quantity: what it is called, its units (the base unit first) and an example.
type kind struct {
	what  string // "a pressure", as a message says it
	eg    string
	units []unit
	money bool // the unit is a currency code, then "/" and one of units ("" for a plain sum)
	whole bool // no fractions
}

func of(text string, mul, div float64) unit { return unit{text: text, mul: mul, div: div} }

func by(dim, text string, mul, div float64) unit { return unit{text, mul, div, dim} }

// Dimensions of the kinds that have more than one.
const (
	byEnergy  = "energy"
	byGross   = "gross energy"
	byConduct = "conductivity"
	byMass    = "mass"
	byVolume  = "volume"
	byHour    = "hour"
	byDay     = "day"
)

// kinds are all sorts of quantity that a scenario knows. The base units are those of the domain:
// bar, degC, K, m3, m2, m, deg, h, kg/h, kW, m/s, kWh, kg.
var kinds = map[string]kind{
	"number":   {what: "a number", eg: "3", units: []unit{of("", 1, 1)}},
	"count":    {what: "a whole number", eg: "24", units: []unit{of("", 1, 1)}, whole: true},
	"share":    {what: "a share", eg: "85 %", units: []unit{of("", 1, 1), of("%", 1, 100)}},
	"pressure": {what: "a pressure", eg: "6 bar(g)", units: pressureUnits},
	"drop":     {what: "a difference of pressure", eg: "0.3 bar", units: []unit{of("bar", 1, 1), of("mbar", 1, 1000), of("kPa", 1, 100), of("MPa", 10, 1)}},
	// A temperature and a difference of two are not the same thing: 20 degC is no 20 K.
	"temperature": {what: "a temperature", eg: "85 degC", units: []unit{of("degC", 1, 1)}},
	"warmth":      {what: "a difference of temperature", eg: "10 K", units: []unit{of("K", 1, 1)}},
	"volume":      {what: "a volume", eg: "40 m3", units: []unit{of("m3", 1, 1), of("l", 1, 1000)}},
	"area":        {what: "an area", eg: "90 m2", units: []unit{of("m2", 1, 1)}},
	"length":      {what: "a length", eg: "150 mm", units: []unit{of("m", 1, 1), of("cm", 1, 100), of("mm", 1, 1000), of("km", 1000, 1)}},
	"angle":       {what: "an angle", eg: "38.7 deg", units: []unit{of("deg", 1, 1)}},
	// A year counts 8760 h.
	"time": {what: "a time", eg: "60 min", units: []unit{of("h", 1, 1), of("min", 1, 60), of("s", 1, 3600), of("d", 24, 1), of("a", 8760, 1)}},
	"flow": {what: "a mass flow", eg: "900 kg/h", units: []unit{of("kg/h", 1, 1), of("t/h", 1000, 1), of("kg/s", 3600, 1)}},
	"power": {what: "a heat flow", eg: "600 kW",
		units: []unit{of("kW", 1, 1), of("W", 1, 1000), of("MW", 1000, 1)}},
	"ramp":          {what: "a change of heat flow", eg: "500 kW/h", units: []unit{of("kW/h", 1, 1), of("MW/h", 1000, 1), of("kW/min", 60, 1)}},
	"yearly energy": {what: "an amount of heat per year", eg: "500 MWh/a", units: []unit{of("kWh/a", 1, 1), of("MWh/a", 1000, 1), of("GWh/a", 1e6, 1), of("GJ/a", 1000, 3.6), of("TJ/a", 1e6, 3.6)}},
	"energy":        {what: "an amount of heat", eg: "900 kWh", units: []unit{of("kWh", 1, 1), of("MWh", 1000, 1), of("MJ", 1, 3.6), of("GJ", 1000, 3.6)}},
	"mass":          {what: "a mass", eg: "1500 kg", units: []unit{of("kg", 1, 1), of("t", 1000, 1)}},
	"cold": {what: "a cooling load", eg: "400 kW", // a ton of refrigeration is 12 000 Btu/h
		units: []unit{of("kW", 1, 1), of("W", 1, 1000), of("MW", 1000, 1), of("TR", 3.51685284, 1)}},
	"draw": {what: "a draw of water", eg: "12 m3/d", units: []unit{
		by(byHour, "m3/h", 1, 1), by(byHour, "l/h", 1, 1000), by(byHour, "l/min", 60, 1000), by(byDay, "m3/d", 1, 24), by(byDay, "l/d", 1, 24000)}},
	"standing loss": {what: "a standing loss", eg: "6 kWh/d", units: []unit{of("kW", 1, 1), of("W", 1, 1000), of("kWh/d", 1, 24)}},
	"diffusivity":   {what: "a diffusivity of heat", eg: "0.0557 m2/d", units: []unit{of("m2/d", 1, 1), of("mm2/s", 0.0864, 1)}},
	"specific heat": {what: "a specific heat", eg: "4.19 kJ/kgK", units: []unit{of("kJ/kgK", 1, 1), of("J/kgK", 1, 1000), of("Wh/kgK", 3.6, 1), of("kcal/kgK", 4.1868, 1)}},
	"gradient":      {what: "a rate of heating", eg: "2 K/min", units: []unit{of("K/min", 1, 1), of("K/h", 1, 60)}},
	"transfer":      {what: "a heat transfer coefficient", eg: "800 W/m2K", units: []unit{of("W/m2K", 1, 1), of("kW/m2K", 1000, 1)}},
	"solids":        {what: "a content of dissolved solids", eg: "80 ppm", units: []unit{by(byMass, "ppm", 1, 1), by(byMass, "mg/l", 1, 1), by(byConduct, "uS/cm", 1, 1)}},
	"fuel used": {what: "an amount of fuel", eg: "41250 kWh gross", units: []unit{
		by(byEnergy, "kWh net", 1, 1), by(byGross, "kWh gross", 1, 1), by(byEnergy, "MWh net", 1000, 1), by(byGross, "MWh gross", 1000, 1),
		by(byEnergy, "GJ net", 1000, 3.6), by(byGross, "GJ gross", 1000, 3.6),
		by(byVolume, "m3", 1, 1), by(byVolume, "l", 1, 1000), by(byMass, "kg", 1, 1), by(byMass, "t", 1000, 1)}},
	"speed":      {what: "a speed", eg: "12.5 m/s", units: []unit{of("m/s", 1, 1), of("km/h", 1, 3.6)}},
	"irradiance": {what: "a power per area", eg: "250 W/m2", units: []unit{of("W/m2", 1, 1), of("kW/m2", 1000, 1)}},
	"daily sun": {what: "a sum of sun per day", eg: "5.2 kWh/m2d",
		units: []unit{of("kWh/m2d", 1, 1), of("MJ/m2d", 1, 3.6), of("Wh/m2d", 1, 1000)}},
	"film":         {what: "a heat loss coefficient", eg: "10 W/m2K", units: []unit{of("W/m2K", 1, 1)}},
	"film2":        {what: "a second-order loss coefficient", eg: "0.01 W/m2K2", units: []unit{of("W/m2K2", 1, 1)}},
	"film4":        {what: "a fourth-order loss coefficient", eg: "2e-9 W/m2K4", units: []unit{of("W/m2K4", 1, 1)}},
	"wind loss":    {what: "a loss coefficient per wind speed", eg: "0.3 J/m3K", units: []unit{of("J/m3K", 1, 1)}},
	"wind effect":  {what: "an effect per wind speed", eg: "0.02 s/m", units: []unit{of("s/m", 1, 1)}},
	"warm mass":    {what: "a heat capacity per area", eg: "8 kJ/m2K", units: []unit{of("kJ/m2K", 1, 1), of("J/m2K", 1, 1000)}},
	"conductivity": {what: "a heat conductivity", eg: "0.05 W/mK", units: []unit{of("W/mK", 1, 1)}},
	"rating": {what: "a steam rating per water surface and bar(a)", eg: "220 kg/(h m2 bar)",
		units: []unit{of("kg/(h m2 bar)", 1, 1)}},
	"density": {what: "a density", eg: "0.84 kg/l", units: []unit{of("kg/m3", 1, 1), of("kg/l", 1000, 1), of("t/m3", 1000, 1)}},
	"calorific": {what: "a calorific value", eg: "11.2 kWh/kg", units: []unit{
		by(byMass, "kWh/kg", 1, 1), by(byMass, "MWh/t", 1, 1), by(byMass, "kWh/t", 1, 1000), by(byMass, "MJ/kg", 1, 3.6), by(byMass, "GJ/t", 1, 3.6),
		by(byVolume, "kWh/m3", 1, 1), by(byVolume, "MJ/m3", 1, 3.6), by(byVolume, "kWh/l", 1000, 1), by(byVolume, "MJ/l", 1000, 3.6)}},
	"co2": {what: "a CO2 factor", eg: "202 g/kWh", units: []unit{
		by(byEnergy, "kg/kWh", 1, 1), by(byEnergy, "g/kWh", 1, 1000), by(byEnergy, "kg/MWh", 1, 1000), by(byEnergy, "t/MWh", 1, 1),
		by(byEnergy, "t/TJ", 3.6, 1000), by(byEnergy, "kg/GJ", 3.6, 1000),
		by(byMass, "kg/kg", 1, 1), by(byMass, "t/t", 1, 1),
		by(byVolume, "kg/m3", 1, 1), by(byVolume, "kg/l", 1000, 1)}},
	"fuel price": {what: "a price of fuel", eg: "0.045 EUR/kWh", money: true, units: []unit{
		by(byEnergy, "kWh", 1, 1), by(byEnergy, "MWh", 1, 1000), by(byEnergy, "GJ", 3.6, 1000), by(byEnergy, "MJ", 3.6, 1),
		by(byMass, "kg", 1, 1), by(byMass, "t", 1, 1000),
		by(byVolume, "m3", 1, 1), by(byVolume, "l", 1000, 1)}},
	"energy price":  {what: "a price of energy", eg: "0.12 EUR/kWh", money: true, units: []unit{of("kWh", 1, 1), of("MWh", 1, 1000), of("GJ", 3.6, 1000)}},
	"mass price":    {what: "a price per mass", eg: "60 EUR/t", money: true, units: []unit{of("kg", 1, 1), of("t", 1, 1000)}},
	"sum":           {what: "a sum of money", eg: "25000 EUR", money: true, units: []unit{of("", 1, 1)}},
	"yearly sum":    {what: "a sum of money per year", eg: "3000 EUR/a", money: true, units: []unit{of("a", 1, 1)}},
	"price by m3":   {what: "a price per m3", eg: "1500 EUR/m3", money: true, units: []unit{of("m3", 1, 1)}},
	"price by m2":   {what: "a price per m2", eg: "320 EUR/m2", money: true, units: []unit{of("m2", 1, 1)}},
	"daily change":  {what: "a change per day", eg: "0.4 %/d", units: []unit{of("1/d", 1, 1), of("%/d", 1, 100)}},
	"yearly change": {what: "a change per year", eg: "3 %/a", units: []unit{of("1/a", 1, 1), of("%/a", 1, 100)}},
}

// pressureUnits end in (a) for absolute and (g) for gauge; a gauge value lacks the air's own pressure.
var pressureUnits = []unit{
	of("bar(a)", 1, 1), of("bar(g)", 1, 1), of("kPa(a)", 1, 100), of("kPa(g)", 1, 100), of("MPa(a)", 10, 1), of("MPa(g)", 10, 1),
}

// slips are spellings that a person may well write, and what to write instead.
var slips = map[string]string{
	"barg": "bar(g)", "bara": "bar(a)", "bar(abs)": "bar(a)", "bar_g": "bar(g)", "bar_a": "bar(a)", "C": "degC", "degc": "degC", "celsius": "degC",
	"deg": "degC", "m^3": "m3", "m^2": "m2", "cbm": "m3", "qm": "m2", "sqm": "m2", "kw": "kW", "KW": "kW", "kwh": "kWh", "mw": "MW", "Mw": "MW", "kg/hr": "kg/h", "Kg/h": "kg/h", "kg": "kg/h", "t": "t/h",
	"hr": "h", "hours": "h", "hour": "h", "mins": "min", "minutes": "min", "years": "a", "year": "a", "yr": "a", "y": "a",
	"percent": "%", "pct": "%", "degC": "K", "dK": "K", "metres": "m", "meters": "m", "kmh": "km/h", "kph": "km/h", "L": "l", "litres": "l",
}
