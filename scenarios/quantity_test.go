package scenarios

import (
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

func TestParseBase(t *testing.T) {
	for _, c := range []struct {
		in, kind string
		want     float64
		src      string
	}{
		{"6 bar(g)", "pressure", 6, "definition"},
		{"700 kPa(a)", "pressure", 7, "1 bar = 100 kPa, definition"},
		{"1.8 MPa(g)", "pressure", 18, "1 MPa = 10 bar, definition"},
		{"85 degC", "temperature", 85, "definition"},
		{"85°C", "temperature", 85, "definition"},
		{"-5.5 °C", "temperature", -5.5, "definition"},
		{"1.7 t/h", "flow", 1700, "definition"},
		{"1.2 MW", "power", 1200, "definition"},
		{"150 mm", "length", 0.15, "definition"},
		{"60 min", "time", 1, "definition"},
		{"20 a", "time", 175200, "a year counted 8760 h"},
		{"+5.5 h", "time", 5.5, "definition"},
		{"82 %", "share", 0.82, "definition"},
		{"0.82", "share", 0.82, "definition"},
		{"45 km/h", "speed", 12.5, "checks-sun.md 5.11"},
		{"18 MJ/m2d", "daily sun", 5, "1 kWh = 3.6 MJ"},
		{"10 W/(m2 K)", "film", 10, "definition"},
		{"10 W/m²K", "film", 10, "definition"},
		{"0.05 W/m/K", "conductivity", 0.05, "definition"},
		{"220 kg/(h m2 bar)", "rating", 220, "definition"},
		{"48 GJ/t", "calorific", 48 / 3.6, "1 kWh = 3.6 MJ"},
		{"10 kWh/l", "calorific", 10000, "1 m3 = 1000 l"},
		{"56.1 t/TJ", "co2", 0.20196, "checks-heat.md 5.1.10: 201.96 g/kWh"},
		{"77.4 t/TJ", "co2", 0.27864, "checks-heat.md 5.1.10: 278.64 g/kWh"},
		{"202 g/kWh", "co2", 0.202, "definition"},
		{"0.045 EUR/kWh", "fuel price", 0.045, "definition"},
		{"45 TRY/MWh", "fuel price", 0.045, "definition"},
		{"10 USD/GJ", "fuel price", 0.036, "1 kWh = 3.6 MJ"},
		{"620 EUR/t", "fuel price", 0.62, "definition"},
		{"0.9 EUR/l", "fuel price", 900, "1 m3 = 1000 l"},
		{"60 EUR/t", "mass price", 0.06, "definition"},
		{"3 %/a", "yearly change", 0.03, "definition"},
		{"1e3 kW", "power", 1000, "definition"},
	} {
		if c.src == "" {
			t.Errorf("%s: no source", c.in)
		}
		q, err := parse(c.in, c.kind)
		if err != nil {
			t.Errorf("%s: %v", c.in, err)
			continue
		}
		if got := q.base(); math.Abs(got-c.want) > 1e-12*math.Abs(c.want) {
			t.Errorf("%s: got %v, want %v (%s)", c.in, got, c.want, c.src)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct{ in, kind, want string }{
		{"18 bar", "pressure", `"18 bar" is neither gauge nor absolute; write "18 bar(g)" or "19 bar(a)"`},
		{"600 kPa", "pressure", `"600 kPa" is neither gauge nor absolute; write "600 kPa(g)" or "701 kPa(a)"`},
		{"6 barg", "pressure", `"6 barg" is not a pressure; write "6 bar(g)"`},
		{"6", "pressure", `"6" is neither gauge nor absolute; write "6 bar(g)" or "7.01 bar(a)"`},
		{"900 kg", "flow", `"900 kg" is not a mass flow; write "900 kg/h"`},
		{"900", "flow|power", `"900" is not a mass flow or a heat flow; write for example "900 kg/h" or "600 kW"`},
		{"0,045 EUR/kWh", "fuel price", `"0,045 EUR/kWh" has a comma; write the decimal point, "0.045 EUR/kWh", and no thousands mark`},
		{"1,200,000 kg/h", "flow", `"1,200,000 kg/h" has commas; write the digits without a thousands mark, "1200000 kg/h"`},
		{"1 200 kg/h", "flow", `"1 200 kg/h" has gaps between its digits; write "1200 kg/h"`},
		{".nan", "share", `".nan" is not a finite number; want digits`},
		{"NaN kW", "power", `"NaN kW" is not a finite number; want digits`},
		{"-Inf kW", "power", `"-Inf kW" is not a finite number; want digits`},
		{"1e999 kW", "power", `"1e999 kW" is too large a number`},
		{"1e308 MW", "power", `"1e308 MW" is too large a number`},
		{"900 km", "flow", `"900 km" is not a mass flow; want it in kg/h, t/h or kg/s`},
		{"many", "count", `"many" is not a whole number; write for example "24"`},
		{"2.5", "count", `"2.5" is not a whole number`},
		{"10 degC", "warmth", `"10 degC" is not a difference of temperature; write "10 K"`},
		{"85 C", "temperature", `"85 C" is not a temperature; write "85 degC"`},
		{"0.045 /kWh", "fuel price", `"0.045 /kWh" has no currency; write for example "0.045 EUR/kWh"`},
		{"0.045 EUR", "fuel price", `"0.045 EUR" is not a price of fuel; write for example "0.045 EUR/kWh"`},
		{"5 %", "number", `"5 %" is not a number; write it without a unit`},
		{strings.Repeat("9", 400), "number", `"` + strings.Repeat("9", 57) + `..." is too large a number`},
	} {
		q, err := parse(c.in, strings.Split(c.kind, "|")...)
		if err == nil {
			t.Errorf("%s: understood as %v", c.in, q)
		} else if err.Error() != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.in, err, c.want)
		}
	}
}

// Every quantity prints in a form that parses to the same quantity.
func TestQuantityPrintsAndParsesEqual(t *testing.T) {
	unraced(t)
	rng := rand.New(rand.NewPCG(2, 7))
	for name, k := range kinds {
		for _, u := range k.units {
			for range 200 {
				q := quantity{num: (rng.Float64() - 0.3) * math.Pow(10, float64(rng.IntN(24)-9)), unit: u, kind: name}
				if k.whole {
					q.num = float64(rng.IntN(1_000_000))
				}
				if math.Abs(q.base()) > mostNumber {
					continue // is refused
				}
				if k.money {
					q.cur = []string{"EUR", "TRY", "USD", "e", "Rs"}[rng.IntN(5)]
				}
				again, err := parse(q.String(), name)
				if err != nil || again != q {
					t.Fatalf("%s: %q reads as %#v, %v; was %#v", name, q, again, err, q)
				}
			}
		}
	}
}

// The schema's pattern takes what the parser takes: the unit as we print it and as a person may.
func TestUnitPatternTakesSpellings(t *testing.T) {
	for name, k := range kinds {
		pattern := regexp.MustCompile("^" + numberPattern + " *" + kindPattern(name) + "$")
		for _, u := range k.units {
			text := u.text
			if k.money {
				text = strings.TrimSuffix("EUR/"+text, "/")
			}
			over, under, _ := strings.Cut(text, "/")
			for _, s := range []string{text, strings.ReplaceAll(text, "2", "²"), strings.ReplaceAll(text, "deg", "°"), over + "/(" + under + ")", over + " / " + under} {
				s = "3 " + s
				if _, err := parse(s, name); err == nil && !pattern.MatchString(s) {
					t.Errorf("%s: %q is read, but the schema's pattern %s refuses it", name, s, pattern)
				}
			}
			if u.text != "" && pattern.MatchString("3 "+text+"x") {
				t.Errorf("%s: pattern takes %q", name, text+"x")
			}
		}
	}
}

func FuzzQuantity(f *testing.F) {
	for name, k := range kinds {
		f.Add(k.eg, name)
	}
	f.Add("1 200,5 bar", "pressure")
	f.Add("1e-400 W/(m² K)", "film")
	f.Fuzz(func(t *testing.T, s, name string) {
		if _, ok := kinds[name]; !ok {
			return
		}
		q, err := parse(s, name)
		if err != nil {
			if err.Error() == "" || len(err.Error()) > 1000 {
				t.Fatalf("%q: message of %d bytes", s, len(err.Error()))
			}
			return
		}
		if math.IsNaN(q.base()) || math.IsInf(q.base(), 0) {
			t.Fatalf("%q reads as %v", s, q.base())
		}
		again, err := parse(q.String(), name)
		if err != nil || again != q {
			t.Fatalf("%q prints %q, which reads as %#v, %v; was %#v", s, q.String(), again, err, q)
		}
		// An oracle for the number: the digits alone, by the standard library.
		digits := number.FindString(s)
		if v, err := strconv.ParseFloat(digits, 64); err != nil || v != q.num {
			t.Fatalf("%q: number %v, want %v", s, q.num, v)
		}
	})
}
