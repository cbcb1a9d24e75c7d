package plant

import (
	"math"
	"testing"
)

const (
	sheet    = "public ISO 9806 certificate sheet of a flat plate, as printed"
	sheetEq  = "same sheet's coefficients in the equation, evaluated in double precision with numpy"
	sheet2   = "second public product sheet, aperture basis, printed efficiency table"
	equation = "ISO 9806:2017 eq. (14) evaluated in double precision with numpy"
)

func flatSheet() Collector {
	return Collector{Eta0b: 0.739, Kd: 0.91, A1: 3.51, A2: 0.017, A5: 10620, IAM: flatModifier()}
}

func TestHeatOfSheets(t *testing.T) {
	second := Collector{Eta0b: 0.795, Kd: 1, A1: 3.627, A2: 0.011}
	hot := Collector{Eta0b: 0.72, A1: 0.35, A8: 3e-9}
	for _, row := range []struct {
		c                  Collector
		beam, diffuse, dTK float64
		kb, want, tol      float64
		src                string
	}{
		// The print is rounded to 1 W and its coefficients to three digits.
		{flatSheet(), 850, 150, 0, 1, 729, 0.6, sheet},
		{flatSheet(), 850, 150, 10, 1, 692, 0.6, sheet},
		{flatSheet(), 850, 150, 30, 1, 608, 0.6, sheet},
		{flatSheet(), 850, 150, 50, 1, 511, 0.6, sheet},
		{flatSheet(), 850, 150, 70, 1, 400, 0.6, sheet},
		{flatSheet(), 850, 150, 83, 1, 321, 0.6, sheet},
		{flatSheet(), 850, 150, 0, 1, 729.02, 0.005, sheetEq},
		{flatSheet(), 850, 150, 10, 1, 692.22, 0.005, sheetEq},
		{flatSheet(), 850, 150, 30, 1, 608.42, 0.005, sheetEq},
		{flatSheet(), 850, 150, 50, 1, 511.02, 0.005, sheetEq},
		{flatSheet(), 850, 150, 70, 1, 400.02, 0.005, sheetEq},
		{flatSheet(), 850, 150, 83, 1, 320.58, 0.005, sheetEq},
		{flatSheet(), 600, 150, 45, 0.97, 338.60, 0.005, sheetEq},
		{flatSheet(), 440, 260, 30, 1, 379.41, 0.005, sheetEq},
		{flatSheet(), 850, 150, 128.155, 1, 0, 0.005, sheetEq + ": where nothing is left (not a stagnation temperature)"},
		// The print is an efficiency to two digits, of 1000 W/m².
		{second, 1000, 0, 0, 1, 800, 6, sheet2},
		{second, 1000, 0, 20, 1, 720, 6, sheet2},
		{second, 1000, 0, 50, 1, 590, 6, sheet2},
		{second, 1000, 0, 80, 1, 430, 6, sheet2},
		{second, 1000, 0, 100, 1, 320, 6, sheet2},
		{hot, 850, 0, 100, 1, 576.70, 0.005, equation},
		{hot, 850, 0, 150, 1, 557.981, 0.0005, equation},
		{hot, 850, 0, 200, 1, 537.200, 0.0005, equation},
		{hot, 850, 0, 250, 1, 512.781, 0.0005, equation},
	} {
		got := row.c.HeatWM2(Conditions{
			BeamWM2: row.beam, Kb: row.kb, DiffuseWM2: row.diffuse, FluidC: 20 + row.dTK, AirC: 20, WindMS: 3,
		})
		near(t, "heat per m²", got, row.want, row.tol, row.src)
	}
}

func TestWholeCollector(t *testing.T) {
	// The whole collector is printed from coefficients with more digits than the sheet shows: 0.6 %.
	const grossM2 = 2.02
	flat := flatSheet()
	for i, dT := range []float64{0, 10, 30, 50, 70, 83} {
		got := grossM2 * flat.HeatWM2(Conditions{BeamWM2: 850, Kb: 1, DiffuseWM2: 150, FluidC: 20 + dT, AirC: 20, WindMS: 3})
		want := []float64{1480, 1405, 1235, 1037, 812, 651}[i]
		near(t, "whole collector, W", got, want, 0.006*want, sheet)
	}
}

func TestAllNineTerms(t *testing.T) {
	const src = equation + "; invented coefficients, none of them 0"
	c := Collector{Eta0b: 0.70, Kd: 0.90, A1: 1.2, A2: 0.005, A3: 0.30, A4: 0.40, A5: 9000, A6: 0.02, A7: 0.01, A8: 2e-9}
	near(t, "net long-wave", NetLongwave(330, 25), -118.0753, 5e-5, src)
	x := Conditions{
		BeamWM2: 650, Kb: 0.95, DiffuseWM2: 180, FluidC: 160, AirC: 25, WindMS: 4.5,
		NetLongwaveWM2: NetLongwave(330, 25), WarmingKS: 0.01,
	}
	want := [9]float64{545.65, -162, -91.125, -60.75, -47.2301, -90, -24.9, 1.7711, -0.6643}
	for i, got := range c.Terms(x) {
		near(t, "term", got, want[i], 5.1e-5, src)
	}
	near(t, "sum of terms", c.HeatWM2(x), 70.7517, 1e-3, src)
}

// A hotter fluid never gives more, below air temperature too, where squares and fourth powers would turn.
func TestHotterFluidNeverGivesMore(t *testing.T) {
	c := Collector{Eta0b: 0.7, Kd: 0.9, A1: 1, A2: 0.02, A3: 0.3, A8: 1e-8, OpticalFallPerK: 1e-4,
		Receiver: Receiver{Concentration: 50, FilmWM2K: 10, Emissivity: 0.5}}
	last := math.Inf(1)
	for tC := -20.0; tC <= 400; tC++ {
		got := c.HeatWM2(Conditions{BeamWM2: 800, Kb: 1, DiffuseWM2: 100, FluidC: tC, AirC: 40, WindMS: 0})
		if got > last {
			t.Fatalf("at %g °C the collector gives %g W/m², %g at a degree less", tC, got, last)
		}
		last = got
	}
}

func TestReceiverBalance(t *testing.T) {
	const src = "receiver balance with invented parameters, evaluated in double precision with numpy"
	large := Collector{Eta0b: 0.80, Receiver: Receiver{Concentration: 500, FilmWM2K: 10, Emissivity: 0.9}}
	small := Collector{Eta0b: 0.75, Receiver: Receiver{Concentration: 100, FilmWM2K: 12, Emissivity: 0.9}}
	for _, row := range []struct {
		c                              Collector
		areaM2, dni, tC, usefulKW, tol float64
	}{
		{large, 500, 900, 150, 357.517, 5e-4},
		{large, 500, 900, 200, 356.096, 5e-4},
		{large, 500, 900, 250, 354.331, 5e-4},
		{large, 500, 900, 300, 352.146, 5e-4},
		{large, 500, 900, 350, 349.458, 5e-4},
		{small, 16, 800, 150, 9.1627, 5e-5},
		{small, 16, 800, 250, 8.6209, 5e-5},
		{small, 16, 800, 350, 7.8093, 5e-5},
		{large, 500, 900, 1341.9, 0, 0.2}, // useful heat runs out; 0.05 °C of print is 0.1 kW here
		{small, 16, 800, 731.2, 0, 0.002},
		{large, 500, 14.17, 250, 0, 0.002}, // least DNI
		{small, 16, 81.59, 250, 0, 1e-4},
	} {
		got := row.areaM2 / 1000 * row.c.HeatWM2(Conditions{BeamWM2: row.dni, Kb: 1, FluidC: row.tC, AirC: 25, WindMS: 3})
		near(t, "useful heat, kW", got, row.usefulKW, row.tol, src)
	}
	black := Receiver{Concentration: 1, Emissivity: 1}
	for i, tC := range []float64{150, 200, 250, 300, 350} {
		near(t, "black body, W/m²", black.LossWM2(tC, 25), []float64{1369.9, 2393.8, 3799.3, 5671.0, 8102.2}[i], 0.05,
			"Stefan-Boltzmann law, 5.670374e-8, evaluated with numpy")
	}
}
