package steam

import "testing"

const computed = "IF97 by the Debian library python3-iapws 1.5.3, "

// The rows are printed to the digits shown; tolerances are those of the source's last digit.
func TestSaturationByPressure(t *testing.T) {
	const src = computed + "checks-heat 1.2"
	for _, c := range []struct{ barA, tC, vf, vg, hf, hg, r, sf, sg, uf, ug float64 }{
		{0.5, 81.317, 0.0010299, 3.240149, 340.48, 2645.21, 2304.74, 1.09101, 7.59296, 340.42, 2483.21},
		{1, 99.606, 0.0010431, 1.694023, 417.44, 2674.95, 2257.51, 1.30256, 7.35881, 417.33, 2505.55},
		{1.01325, 99.974, 0.0010434, 1.673295, 418.99, 2675.53, 2256.54, 1.30672, 7.35439, 418.88, 2505.98},
		{1.5, 111.350, 0.0010527, 1.159357, 467.08, 2693.11, 2226.03, 1.43355, 7.22294, 466.92, 2519.21},
		{2, 120.212, 0.0010605, 0.885735, 504.68, 2706.24, 2201.56, 1.53010, 7.12686, 504.47, 2529.09},
		{2.5, 127.414, 0.0010672, 0.718697, 535.35, 2716.50, 2181.15, 1.60722, 7.05241, 535.08, 2536.83},
		{3, 133.525, 0.0010732, 0.605785, 561.46, 2724.89, 2163.44, 1.67176, 6.99157, 561.13, 2543.16},
		{4, 143.613, 0.0010836, 0.462392, 604.72, 2738.06, 2133.33, 1.77660, 6.89542, 604.29, 2553.10},
		{5, 151.836, 0.0010926, 0.374804, 640.19, 2748.11, 2107.92, 1.86060, 6.82058, 639.64, 2560.71},
		{6, 158.832, 0.0011006, 0.315575, 670.50, 2756.14, 2085.64, 1.93110, 6.75917, 669.84, 2566.79},
		{7, 164.953, 0.0011080, 0.272764, 697.14, 2762.75, 2065.61, 1.99208, 6.70698, 696.37, 2571.81},
		{8, 170.414, 0.0011148, 0.240328, 721.02, 2768.30, 2047.28, 2.04599, 6.66154, 720.13, 2576.04},
		{9, 175.358, 0.0011212, 0.214874, 742.72, 2773.04, 2030.31, 2.09440, 6.62124, 741.72, 2579.65},
		{10, 179.886, 0.0011272, 0.194349, 762.68, 2777.12, 2014.44, 2.13843, 6.58498, 761.56, 2582.77},
		{11, 184.070, 0.0011330, 0.177436, 781.20, 2780.67, 1999.47, 2.17886, 6.55199, 779.95, 2585.49},
		{12, 187.965, 0.0011385, 0.163250, 798.50, 2783.77, 1985.27, 2.21630, 6.52169, 797.13, 2587.87},
		{13, 191.613, 0.0011438, 0.151175, 814.76, 2786.49, 1971.73, 2.25118, 6.49365, 813.28, 2589.97},
		{14, 195.047, 0.0011489, 0.140768, 830.13, 2788.89, 1958.76, 2.28388, 6.46752, 828.52, 2591.82},
		{15, 198.295, 0.0011539, 0.131702, 844.72, 2791.01, 1946.29, 2.31468, 6.44305, 842.99, 2593.46},
		{16, 201.378, 0.0011587, 0.123732, 858.61, 2792.88, 1934.27, 2.34381, 6.42002, 856.76, 2594.91},
		{18, 207.120, 0.0011679, 0.110362, 884.61, 2795.99, 1911.37, 2.39779, 6.37760, 882.51, 2597.33},
		{20, 212.385, 0.0011768, 0.099581, 908.62, 2798.38, 1889.76, 2.44702, 6.33916, 906.27, 2599.22},
		{22, 217.256, 0.0011852, 0.090695, 930.98, 2800.20, 1869.22, 2.49236, 6.30395, 928.37, 2600.67},
		{25, 223.956, 0.0011974, 0.079947, 961.98, 2802.04, 1840.06, 2.55443, 6.25597, 958.99, 2602.17},
		{28, 230.063, 0.0012091, 0.071428, 990.50, 2803.02, 1812.51, 2.61073, 6.21261, 987.12, 2603.02},
		{30, 233.858, 0.0012167, 0.066664, 1008.37, 2803.26, 1794.89, 2.64562, 6.18579, 1004.72, 2603.27},
		{32, 237.464, 0.0012241, 0.062475, 1025.45, 2803.24, 1777.79, 2.67871, 6.16037, 1021.53, 2603.32},
		{35, 242.562, 0.0012350, 0.057058, 1049.78, 2802.74, 1752.97, 2.72539, 6.12451, 1045.45, 2603.04},
		{40, 250.358, 0.0012526, 0.049777, 1087.43, 2800.90, 1713.47, 2.79665, 6.06971, 1082.42, 2601.79},
	} {
		s, err := SaturatedUnder(BarAbs(c.barA))
		if err != nil {
			t.Error(err)
		}
		near(t, "T", s.TC, c.tC, 5.1e-4, src)
		near(t, "v'", s.Liquid.VM3Kg, c.vf, 5.1e-8, src)
		near(t, "v”", s.Vapour.VM3Kg, c.vg, 5.1e-7, src)
		near(t, "h'", s.Liquid.HKJKg, c.hf, 5.1e-3, src)
		near(t, "h”", s.Vapour.HKJKg, c.hg, 5.1e-3, src)
		near(t, "r", s.EvaporationKJKg(), c.r, 5.1e-3, src)
		near(t, "s'", s.Liquid.SKJKgK, c.sf, 5.1e-6, src)
		near(t, "s”", s.Vapour.SKJKgK, c.sg, 5.1e-6, src)
		near(t, "u'", s.Liquid.UKJKg, c.uf, 5.1e-3, src)
		near(t, "u”", s.Vapour.UKJKg, c.ug, 5.1e-3, src)
		tC, err := SatTemp(BarAbs(c.barA))
		if err != nil || tC != s.TC {
			t.Errorf("SatTemp(%g bar(a)) = %g, %v; SaturatedUnder says %g", c.barA, tC, err, s.TC)
		}
	}
}

func TestSaturationByTemperature(t *testing.T) {
	const src = computed + "checks-heat 1.3"
	for _, c := range []struct{ tC, barA, rhof, hf, hg, rhog float64 }{
		{0.01, 0.006117, 999.794, 0.00, 2500.91, 0.00485},
		{10, 0.012282, 999.654, 42.02, 2519.23, 0.00941},
		{20, 0.023392, 998.161, 83.92, 2537.47, 0.01731},
		{40, 0.073844, 992.183, 167.54, 2573.54, 0.05124},
		{60, 0.199458, 983.175, 251.15, 2608.85, 0.13042},
		{80, 0.474147, 971.779, 334.95, 2643.01, 0.29366},
		{100, 1.014180, 958.354, 419.10, 2675.57, 0.59814},
		{120, 1.986654, 943.106, 503.78, 2705.93, 1.12195},
		{140, 3.615010, 926.132, 589.20, 2733.44, 1.96649},
		{150, 4.761014, 917.007, 632.25, 2745.92, 2.54776},
		{160, 6.181392, 907.451, 675.57, 2757.43, 3.25926},
		{180, 10.026346, 887.005, 763.19, 2777.22, 5.15832},
		{200, 15.546719, 864.668, 852.39, 2792.06, 7.86026},
		{220, 23.192877, 840.226, 943.64, 2801.05, 11.61430},
		{240, 33.466519, 813.365, 1037.52, 2803.06, 16.74758},
		{250, 39.759391, 798.890, 1085.69, 2801.01, 19.96543},
	} {
		s, err := SaturatedAt(c.tC)
		if err != nil {
			t.Error(err)
		}
		near(t, "p", s.P.BarAbs(), c.barA, 5.1e-7, src)
		near(t, "rho'", 1/s.Liquid.VM3Kg, c.rhof, 5.1e-4, src)
		near(t, "rho”", 1/s.Vapour.VM3Kg, c.rhog, 5.1e-6, src)
		near(t, "h'", s.Liquid.HKJKg, c.hf, 5.1e-3, src)
		near(t, "h”", s.Vapour.HKJKg, c.hg, 5.1e-3, src)
	}
}

func TestCompressedLiquid(t *testing.T) {
	const src = computed + "checks-heat 1.3, compressed liquid"
	for _, c := range []struct{ tC, barA, v, rho, h, u, cp float64 }{
		{20, 1, 0.00100180, 998.2055, 84.012, 83.912, 4.18480},
		{80, 1, 0.00102902, 971.8023, 334.991, 334.888, 4.19552},
		{80, 20, 0.00102812, 972.6499, 336.503, 334.446, 4.19137},
		{105, 5, 0.00104724, 954.8880, 440.493, 439.970, 4.22234},
		{105, 20, 0.00104646, 955.5993, 441.603, 439.510, 4.21883},
		{150, 10, 0.00109015, 917.3042, 632.575, 631.485, 4.30857},
		{180, 20, 0.00112654, 887.6718, 763.691, 761.438, 4.40108},
		{200, 20, 0.00115606, 865.0073, 852.572, 850.260, 4.49140},
	} {
		p, err := Liquid(BarAbs(c.barA), c.tC)
		if err != nil {
			t.Error(err)
		}
		near(t, "v", p.VM3Kg, c.v, 5.1e-9, src)
		near(t, "rho", 1/p.VM3Kg, c.rho, 5.1e-5, src)
		near(t, "h", p.HKJKg, c.h, 5.1e-4, src)
		near(t, "u", p.UKJKg, c.u, 5.1e-4, src)
		near(t, "cp", p.CpKJKgK, c.cp, 5.1e-6, src)
	}
}

// Printed steam tables of other formulations, with the spread that the source list allows as a fraction.
func TestPrintedTables(t *testing.T) {
	at := func(tC float64) (Saturation, error) { return SaturatedAt(tC) }
	under := func(barA float64) (Saturation, error) { return SaturatedUnder(BarAbs(barA)) }
	const (
		ohio  = "Ohio University property tables after NIST, checks-heat 1.4.1-1.4.2"
		valve = "valve maker's handbook 2026, dry saturated steam table p. 1551, 1967 formulation, checks-heat 1.4.3-1.4.5"
		older = "older text-book table (Keenan-Keyes type), checks-heat 1.4.6"
		plant = "vendor manual of a plant-data package, checks-heat 1.4.8"
		trap  = "steam tutorial page on flash steam, checks-heat 1.4.7"
	)
	bar := func(s Saturation) float64 { return s.P.BarAbs() }
	tC := func(s Saturation) float64 { return s.TC }
	vf := func(s Saturation) float64 { return s.Liquid.VM3Kg }
	vg := func(s Saturation) float64 { return s.Vapour.VM3Kg }
	uf := func(s Saturation) float64 { return s.Liquid.UKJKg }
	ug := func(s Saturation) float64 { return s.Vapour.UKJKg }
	hf := func(s Saturation) float64 { return s.Liquid.HKJKg }
	hg := func(s Saturation) float64 { return s.Vapour.HKJKg }
	hfg := Saturation.EvaporationKJKg
	for _, c := range []struct {
		what string
		of   func(float64) (Saturation, error)
		in   float64
		get  func(Saturation) float64
		want float64
		frac float64 // tolerance as a fraction of want
		src  string
	}{
		{"p", at, 80, bar, 0.4741, 5e-4, ohio},
		{"u_f", at, 80, uf, 334.96, 5e-4, ohio},
		{"h_f", at, 80, hf, 335.0, 5e-4, ohio},
		{"h_fg", at, 80, hfg, 2308.0, 5e-4, ohio},
		{"h_g", at, 80, hg, 2643.0, 5e-4, ohio},
		{"v_g", at, 80, vg, 3.4052, 5e-4, ohio},
		{"p", at, 50, bar, 0.1235, 5e-4, ohio},
		{"h_f", at, 50, hf, 209.3, 5e-4, ohio},
		{"h_fg", at, 50, hfg, 2382.0, 5e-4, ohio},
		{"h_g", at, 50, hg, 2591.3, 5e-4, ohio},
		{"v_g", at, 50, vg, 12.027, 5e-4, ohio},
		{"h_f", under, 1.01325, hf, 419.10, 5e-4, valve},
		{"h_fg", under, 1.01325, hfg, 2256.66, 5e-4, valve},
		{"h_g", under, 1.01325, hg, 2675.76, 5e-4, valve},
		{"v_g", under, 1.01325, vg, 1.674, 5e-4, valve},
		{"T", under, 0.5, tC, 81.3, 5e-4, valve},
		{"h_f", under, 0.5, hf, 340.58, 5e-4, valve},
		{"h_fg", under, 0.5, hfg, 2304.77, 5e-4, valve},
		{"h_g", under, 0.5, hg, 2645.35, 5e-4, valve},
		{"v_g", under, 0.5, vg, 3.241, 5e-4, valve},
		{"T", under, 2.01325, tC, 120.4, 1e-3, valve},
		{"h_f", under, 2.01325, hf, 505.73, 1e-3, valve},
		{"h_fg", under, 2.01325, hfg, 2201.16, 1e-3, valve},
		{"h_g", under, 2.01325, hg, 2706.88, 1e-3, valve},
		{"v_g", under, 2.01325, vg, 0.8805, 1.6e-3, valve + ", printed 0.880-0.881"},
		{"p", at, 180, bar, 10.021, 1e-3, older},
		{"v_f", at, 180, vf, 0.001127, 1e-3, older},
		{"v_g", at, 180, vg, 0.19405, 1e-3, older},
		{"u_f", at, 180, uf, 762.09, 1e-3, older},
		{"u_g", at, 180, ug, 2583.7, 1e-3, older},
		{"h_f", at, 180, hf, 763.2, 1e-3, older},
		{"T", under, 8.01325, tC, 170.5, 0.5 / 170.5, trap},
		{"h_f", under, 8.01325, hf, 721, 0.5 / 721, trap},
		{"v_g", under, 10, vg, 0.19435, 1e-4, plant},
		{"v_g", under, 100, vg, 0.018034, 1e-4, plant},
		{"v_g", under, 0.5, vg, 3.2402, 1e-4, plant},
	} {
		s, err := c.of(c.in)
		if err != nil {
			t.Error(err)
		}
		near(t, c.what, c.get(s), c.want, c.frac*c.want, c.src)
	}
}
