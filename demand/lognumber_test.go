package demand

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

func TestLogNumbers(t *testing.T) {
	for _, tt := range []struct {
		text    string
		decimal byte
		known   bool
		want    float64 // NaN where it is none
	}{
		{"12.5", '.', false, 12.5}, {"-12.5", '.', false, -12.5}, {"+7", '.', false, 7}, {".5", '.', false, 0.5}, {"5.", '.', false, 5},
		{"12,5", ',', false, 12.5}, {"0,001", ',', false, 0.001}, {"1e3", '.', false, 1000}, {"1,5E-3", ',', false, 0.0015},
		{"1,234.5", '.', true, 1234.5}, {"1.234,5", ',', true, 1234.5}, {"1.234.567", ',', true, 1234567}, {"1'234", '.', true, 1234}, {"1 234,5", ',', true, 1234.5},
		{"123456789012345678", '.', false, 123456789012345678}, {"0.1234567890123456789", '.', false, 0.1234567890123456789},
		{"1,234.5", '.', false, math.NaN()}, {"12,5", '.', true, math.NaN()}, {"12.5", ',', true, math.NaN()}, {"1234,567.8", '.', true, math.NaN()},
		{"1,23,456", '.', true, math.NaN()}, {"1.5.2", '.', false, math.NaN()}, {"", '.', false, math.NaN()}, {"-", '.', false, math.NaN()}, {"NaN", '.', false, math.NaN()},
		{"Inf", '.', false, math.NaN()}, {"0x10", '.', false, math.NaN()}, {"1_000", '.', true, math.NaN()}, {"--5", '.', false, math.NaN()}, {"5 t/h", '.', true, math.NaN()}, {",500", '.', true, math.NaN()},
	} {
		v, ok := numberReader{tt.decimal, tt.known}.read([]byte(tt.text))
		if ok != !math.IsNaN(tt.want) || ok && v != tt.want {
			t.Errorf("%q with %q: %v, %v; want %v", tt.text, tt.decimal, v, ok, tt.want)
		}
	}
	if v, _ := (numberReader{decimal: '.'}).read([]byte("-0")); math.Signbit(v) {
		t.Error("minus nought stays one")
	}
}

// The quick way gives the nearest number, as strconv does.
func TestLogNumbersAreNearest(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 20000 {
		text := strconv.FormatFloat(r.Float64()*math.Pow10(r.IntN(9)), 'f', r.IntN(9), 64)
		want, _ := strconv.ParseFloat(text, 64)
		if v, ok := (numberReader{decimal: '.'}).read([]byte(text)); !ok || v != want {
			t.Fatalf("%s: %v; want %v (strconv)", text, v, want)
		}
	}
}

func TestDecimals(t *testing.T) {
	for _, tt := range []struct {
		values string
		sign   byte
		known  bool
		want   string // of the error
	}{
		{"1.5 2.25", '.', true, ""}, {"1,5 2", ',', true, ""}, {"1 2 3", '.', false, ""}, {"0.125 1.250", '.', true, ""}, {"0,125 1,250", ',', true, ""},
		{"1.250 1.300 1250.5", '.', true, ""}, {"1.234,5", ',', true, ""}, {"1,234.5", '.', true, ""}, {"1.234.567", ',', true, ""}, {"1.250 1800", '.', true, ""},
		{"1.250 2.500", 0, false, `"1.250" may have a decimal sign or part thousands, and so may all rows looked at; write decimal: point or decimal: comma`},
		{"1,250 2.500", 0, false, `may have a decimal sign or part thousands`},
		{"1.5 2,5", 0, false, `some numbers have a decimal point and some a comma; want one of them, or write decimal: point or decimal: comma`},
	} {
		var d decimals
		for v := range strings.SplitSeq(tt.values, " ") {
			d.see([]byte(v))
		}
		sign, known, err := d.decide()
		if sign != tt.sign || known != tt.known || (err != nil) != (tt.want != "") || err != nil && !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %q, %v, %v; want %q, %v, %s", tt.values, sign, known, err, tt.sign, tt.known, tt.want)
		}
	}
}

func TestLogUnits(t *testing.T) {
	for _, tt := range []struct {
		text string
		dim  Dimension
		base float64
		want string
		src  string
	}{
		{"t/h", Mass, 1000, "", "SI"}, {"kg/h", Mass, 1, "", "SI"}, {"kW", Energy, 1, "", "SI"}, {"GJ", Energy, 1 / 0.0036, "", "1 kWh = 3.6 MJ"}, {"m³", Volume, 1, "", "SI"}, {"m^3/h", Volume, 1, "", "SI"}, {"kg/hr", Mass, 1, "", "SI"}, {"L", Volume, 0.001, "", "SI"},
		{"lb/h", 0, 0, `"lb/h" is not taken; write kg/h and a scale of 0.45359237`, "international pound, 0.45359237 kg"},
		{"MMBtu/h", 0, 0, `write kW and a scale of 293.07107`, "Btu(IT) = 1055.05585262 J"},
		{"KW", 0, 0, `"KW" is no unit; write kW`, "SI"},
		{"kwh", 0, 0, `"kwh" is no unit; write kWh`, "SI"},
		{"tons", 0, 0, `"tons" is not known; want one of kg/h, t/h, kg/s, kW, MW, m3/h, l/h, kg, t, kWh, MWh, GJ, m3 or l`, "our list"},
	} {
		needSource(t, tt.src)
		u, err := ParseLogUnit(tt.text)
		if u.Dim != tt.dim || u.Base != tt.base || (err != nil) != (tt.want != "") || err != nil && !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %+v, %v; want %v, %g %s", tt.text, u, err, tt.dim, tt.base, tt.want)
		}
	}
	for name, want := range map[string]string{"Dampf t/h": "t/h", "steam [kg/h]": "kg/h", "Wärme (kWh)": "kWh", "flow, lb/h": "lb/h", "reactor t": "t", "time": "", "t": "", "": "", "value": ""} {
		if got := unitIn(name); got != want {
			t.Errorf("%q: %q; want %q", name, got, want)
		}
	}
}
