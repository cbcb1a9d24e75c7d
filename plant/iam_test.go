package plant

import (
	"math"
	"testing"
)

func at(thetaDeg float64) Incidence {
	return Incidence{Cos: math.Cos(radians(thetaDeg)), ThetaDeg: thetaDeg, LongDeg: thetaDeg}
}

func TestModifierForms(t *testing.T) {
	const formula = "form 1 - b0 (1/cos θ - 1), evaluated in double precision with numpy"
	flat := Collector{IAM: flatModifier()}
	for _, row := range []struct {
		c        Collector
		thetaDeg []float64
		want     []float64
		tol      float64
		src      string
	}{
		{Collector{B0: 0.1}, []float64{10, 20, 30, 40, 50, 60, 70},
			[]float64{0.9985, 0.9936, 0.9845, 0.9695, 0.9444, 0.9000, 0.8076}, 5.1e-5, formula},
		{Collector{B0: 0.2}, []float64{10, 20, 30, 40, 50, 60, 70},
			[]float64{0.9969, 0.9872, 0.9691, 0.9389, 0.8889, 0.8000, 0.6152}, 5.1e-5, formula},
		{Collector{B0: 0.2}, []float64{85, 89, 90}, []float64{0, 0, 0}, 0, "clipped beyond cos θ = b0/(1+b0), 80.4°"},
		{flat, []float64{0, 10, 20, 30, 40, 50, 60, 70, 80, 90},
			[]float64{1, 1, 0.99, 0.98, 0.97, 0.94, 0.90, 0.80, 0.50, 0}, 1e-15, sheet},
		{flat, []float64{5, 45, 75, 85}, []float64{1, 0.955, 0.65, 0.25}, 1e-15, "straight lines by hand"},
		{Collector{IAM: []IAMPoint{{30, 0.9}, {60, 0.6}}}, []float64{0, 15, 75}, []float64{1, 0.95, 0.3}, 1e-15,
			"by hand: 1 at 0°, 0 at 90°"},
		{Collector{}, []float64{0, 89}, []float64{1, 1}, 0, "no modifier given"},
	} {
		for i, theta := range row.thetaDeg {
			near(t, "modifier", row.c.Modifier(at(theta)), row.want[i], row.tol, row.src)
		}
	}
}

// The published trough K has the cosine in it; ours must not, and the beam on the aperture must.
func TestTroughEfficiency(t *testing.T) {
	const src = "SAND94-1884 form, coefficients from memory, evaluated in double precision with numpy"
	kind, err := KindByName("vacuum trough")
	if err != nil {
		t.Fatal(err)
	}
	c := kind.Collector
	for _, row := range []struct{ dni, dTK, thetaDeg, percent float64 }{
		{900, 100, 0, 71.750},
		{900, 200, 0, 68.663},
		{900, 300, 0, 64.042},
		{700, 200, 0, 67.755},
		{900, 200, 30, 57.472},
		{900, 200, 60, 22.665},
	} {
		in := at(row.thetaDeg)
		got := c.HeatWM2(Conditions{
			BeamWM2: row.dni * in.Cos, Kb: c.Modifier(in), FluidC: 20 + row.dTK, AirC: 20, WindMS: 3,
		})
		near(t, "efficiency on beam normal, %", 100*got/row.dni, row.percent, 6e-4, src)
	}
	near(t, "K without cosine at 30°", c.Modifier(at(30)), 0.9748, 5e-5, src)
	near(t, "K without cosine at 60°", c.Modifier(at(60)), 0.7195, 6e-5, src)
	near(t, "K with cosine at 60°", c.Modifier(at(60))*at(60).Cos, 0.3598, 5e-5, src)
}

// Both planes: exact on the axes, and the tangents add up.
func TestTwoPlanes(t *testing.T) {
	const src = "product form K(θL,0) K(0,θT); tan²θ = tan²θL + tan²θT"
	c := Collector{Tracking: Fixed, SlopeDeg: 35, AzimuthDeg: 170,
		IAM: flatModifier(), IAMT: []IAMPoint{{20, 1.02}, {40, 1.06}, {60, 1.15}}}
	for _, sun := range [][2]float64{{20, 100}, {50, 170}, {70, 240}, {35, 0}, {35, 170}} {
		in := c.Aim(sun[0], sun[1])
		tan := func(deg float64) float64 { return math.Tan(radians(deg)) }
		near(t, "tan²θ", tan(in.ThetaDeg)*tan(in.ThetaDeg), tan(in.LongDeg)*tan(in.LongDeg)+tan(in.TransDeg)*tan(in.TransDeg),
			1e-9, src)
		near(t, "product", c.Modifier(in), tableK(c.IAM, in.LongDeg)*tableK(c.IAMT, in.TransDeg), 1e-15, src)
	}
	// A sun in the vertical plane of the slope is met along, one square to it across.
	near(t, "across at noon", c.Aim(10, 170).TransDeg, 0, 1e-6, src)
	near(t, "along at noon", c.Aim(10, 170).LongDeg, 25, 1e-6, src)
	level := Collector{Tracking: Fixed, AzimuthDeg: 180}
	near(t, "along, level, sun in the east", level.Aim(40, 90).LongDeg, 0, 1e-6, src)
	near(t, "across, level, sun in the east", level.Aim(40, 90).TransDeg, 40, 1e-6, src)
}
