package plant

import (
	"testing"
	"time"

	"noonkeep/plant/clock"
	"noonkeep/plant/sky"
	"noonkeep/plant/steam"
)

// clearDay is the clearest day of an open weather year, 21 March at 36.1 N 79.95 W, UTC-5: hour-ending rows.
func clearDay(t *testing.T) sky.Year {
	t.Helper()
	zone := time.FixedZone("UTC-5", -5*3600)
	y := sky.Year{
		Place: sky.Place{LatDeg: 36.1, LonDeg: -79.95, ElevationM: 273, UTCOffset: -5 * time.Hour},
		Axis:  clock.Axis{Start: time.Date(1990, 3, 21, 0, 0, 0, 0, zone), Step: time.Hour, N: 24},
		GHI:   []float64{0, 0, 0, 0, 0, 0, 31, 172, 389, 591, 750, 852, 883, 847, 740, 578, 374, 156, 27, 0, 0, 0, 0, 0},
		DNI:   []float64{0, 0, 0, 0, 0, 0, 140, 627, 811, 898, 953, 978, 984, 978, 950, 902, 810, 603, 109, 0, 0, 0, 0, 0},
		DHI:   []float64{0, 0, 0, 0, 0, 0, 15, 36, 56, 73, 80, 86, 88, 86, 79, 68, 53, 34, 14, 0, 0, 0, 0, 0},
		AirC: []float64{-1.7, -1.1, -0.6, -1.1, -2.8, -3.3, -3.3, 1.1, 3.9, 6.7, 8.9, 10.6, 11.7, 13.3, 15.0, 15.6, 15.0, 13.3,
			11.7, 9.4, 7.8, 6.7, 6.1, 5.0},
		WindMS: []float64{4.1, 2.6, 2.1, 0, 2.1, 2.6, 2.6, 2.1, 2.6, 2.6, 2.1, 3.1, 1.5, 2.6, 4.1, 2.1, 2.1, 3.6, 3.1, 2.6, 2.6,
			3.1, 3.1, 3.6},
	}
	for i := range y.Axis.N {
		y.Suns = append(y.Suns, sky.SunAt(y.Place, y.Axis.Mid(i)))
	}
	return y
}

// The beam, diffuse and global of the day belong together, or the rows are copied wrongly.
func TestClearDayCloses(t *testing.T) {
	y := clearDay(t)
	level := Collector{Tracking: Fixed}
	for i := 7; i < 18; i++ {
		cos := level.Aim(y.Suns[i].ZenithDeg, y.Suns[i].AzimuthDeg).Cos
		near(t, y.Axis.Label(i)+" global", y.DHI[i]+y.DNI[i]*cos, y.GHI[i], 5, "GHI = DHI + DNI cos z, rows of an open TMY3 file; its own spread is 1.2 W/m²")
	}
}

func TestTradeDish(t *testing.T) {
	const practice = "common practice, no source: "
	y := clearDay(t)
	f := Field{Collector: kind(t, "dish"), Count: 1, ApertureM2: 110, Cleanliness: 0.95, Availability: 1, PipeLossFrac: 0.04,
		ApproachK: 10}
	for _, barA := range []float64{5, 6, 7, 8} {
		h := Header{Name: "main", Pressure: steam.BarAbs(barA), FeedwaterC: 60}
		tC, err := h.SteamC()
		if err != nil {
			t.Fatal(err)
		}
		out := mustYield(t, f, y, tC)
		kgH := func(step int) float64 {
			flow, err := h.KgH(out.KWM2[step] * f.AreaM2())
			if err != nil {
				t.Fatal(err)
			}
			return flow
		}
		near(t, "steam of a dish of 110 m² at noon, kg/h", kgH(12), 100, 25, practice+"a very large dish gives about 100 kg/h of 5-8 bar steam on a clear day")
		// Steam from about 8:30: none before 7:00, and the hour from 8:00 already carries most of noon's.
		if kgH(6) != 0 {
			t.Errorf("steam before 7:00 at %g bar: %.0f kg/h; want none (%ssteam from about 8:30)", barA, kgH(6), practice)
		}
		if kgH(8) < 0.5*kgH(12) {
			t.Errorf("steam from 8:00 at %g bar: %.0f kg/h of %.0f at noon; want over half (%ssteam from about 8:30)", barA, kgH(8), kgH(12), practice)
		}
	}
}

// The heat in 100 kg/h of 5 to 8 bar steam.
func TestTradeHeat(t *testing.T) {
	for _, row := range []struct{ barA, kW float64 }{{5, 69.36}, {6, 69.58}, {7, 69.77}, {8, 69.92}} {
		got, err := Header{Pressure: steam.BarAbs(row.barA), FeedwaterC: 60}.KW(100)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "kW in 100 kg/h", got, row.kW, 0.03, "steam-table values from memory, feed 60 °C at saturation (251.2 kJ/kg)")
	}
}

// 45 km/h is 12.5 m/s, and it is the limit when none is given.
func TestTradeStow(t *testing.T) {
	near(t, "stow wind", DefaultStowWindMS, 45/3.6, 1e-12, "common practice, no source: concentrators stow above 45 km/h")
	for _, k := range Kinds() {
		if c := k.Collector; c.Tracks() {
			near(t, k.Name, c.stowWindMS(), 12.5, 1e-12, "common practice, no source")
		}
	}
}
