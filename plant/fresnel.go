package plant

import "math"

// fresnelKind takes the published model of a linear Fresnel field; its tables are worked out from its formulas.
func fresnelKind() Kind {
	return Kind{
		Name: "linear fresnel", Also: []string{"fresnel", "linear Fresnel"},
		Words: "linear Fresnel mirrors on north-south axes, selective receiver in a glass tube, rows of 45 m",
		Area:  "aperture",
		Collector: concentrator(Collector{
			Name: "linear fresnel", Tracking: FresnelNorthSouth, Eta0b: 0.625,
			A1: fresnelLossWMK / fresnelWidthM, A2: fresnelLossWMK2 / fresnelWidthM,
			IAM: fresnelAlong(), IAMT: fresnelAcross(), IAMAtIncidence: true, IAMWithCosine: true,
			HeatCapacityKJM2K: 4, DriveWM2: 0.3,
		}),
		Why: append([]Why{
			{"eta0b 0.625 and both modifiers", fresnelSource},
			{"a1 0.0139, a2 0.0005", "the same, per m of receiver over a width of 11.46 m, as read there; a2 is inside the usual " +
				"range of the class, from memory (0.0004-0.0006), a1 below it (0.03-0.15)"},
			{"end of row", "focal height 7.4 m over a row of 44.8 m, in the modifier along; a longer row loses less"},
			{"aperture", "the field of mirrors with the gaps between them, length by width"},
		}, concentratorWhy...),
	}
}

const fresnelSource = "a published linear Fresnel model (D. Bouskela, B. El Hefni: Modeling and Simulation of Thermal Power " +
	"Plants, Springer 2019, 16.2; its parameters as printed with its code)"

// The published field: receiver over mirrors, length of a row, width of its aperture, and its loss per m of receiver.
const (
	fresnelFocusM   = 7.4
	fresnelRowM     = 44.8
	fresnelWidthM   = 11.46
	fresnelLossWMK  = 0.1598
	fresnelLossWMK2 = 0.0057
)

// fresnelStepDeg: between the points of the tables lie straight lines, which at 1° miss the formulas by at most 0.004, and
// that only where they reach 0.
const fresnelStepDeg = 1

// fresnelAcross is the published polynomial of the angle across.
func fresnelAcross() []IAMPoint {
	return fresnelTable(func(deg float64) float64 {
		return 0.995 + deg*(-4e-4+deg*(-3e-5+deg*(1e-6+deg*(-5e-8+deg*3e-10))))
	})
}

// fresnelAlong is cos θ (1 - f/L tan θ): the cosine along the row, and the light that falls past its end.
func fresnelAlong() []IAMPoint {
	return fresnelTable(func(deg float64) float64 {
		sin, cos := math.Sincos(radians(deg))
		return cos - fresnelFocusM/fresnelRowM*sin
	})
}

func fresnelTable(k func(deg float64) float64) []IAMPoint {
	var table []IAMPoint
	for deg := 0.; deg < 90; deg += fresnelStepDeg {
		table = append(table, IAMPoint{deg, max(0, k(deg))})
	}
	return append(table, IAMPoint{ThetaDeg: 90})
}
