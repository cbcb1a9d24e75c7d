package plant

import (
	"strings"
	"testing"

	"noonkeep/plant/steam"
)

const sea = 1.01325

func TestFromAndAt(t *testing.T) {
	const iapws = "python3-iapws (IF97) against 2257 kJ/kg"
	for _, row := range []struct {
		barG, feedC, want, tol float64
		src                    string
	}{
		{10, 80, 1.08326, 1e-5, iapws},
		{10, 105, 1.03667, 1e-5, iapws},
		{7, 15, 1.19833, 1e-5, iapws},
		{7, 90, 1.05930, 1e-5, iapws},
		{15, 68, 1 / 0.90029, 1e-5, iapws + "; a boiler rated 2000 kg/h from and at 100 °C makes 1800.6 kg/h"},
	} {
		got, err := Header{Pressure: steam.BarGauge(row.barG, sea), FeedwaterC: row.feedC}.FromAndAt()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "from and at", got, row.want, row.tol, row.src)
	}
	// 100 boiler horsepower of 33 475 Btu/h, at 10 psig from 100 °F.
	const kgPerLb, kWPerHP = 0.45359237, 33475 * 1.05505585 / 3600
	for _, row := range []struct{ psig, lbHPerHP float64 }{
		{0, 30.9}, {10, 30.6}, {50, 30.2}, {100, 29.8}, {150, 29.7}, {200, 29.6},
	} {
		const barPerPsi, centigradeOf100F = 0.0689475729, 37.7778
		kgH, err := Header{Pressure: steam.BarGauge(row.psig*barPerPsi, sea), FeedwaterC: centigradeOf100F}.KgH(kWPerHP)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "lb/h per boiler horsepower", kgH/kgPerLb, row.lbHPerHP, 0.1, "table of factors of evaporation (scribd 424671542)")
	}
}

func TestHeaderHeat(t *testing.T) {
	const src = "saturation and liquid tables by python3-iapws (IF97), h'' - h"
	for _, row := range []struct{ barA, feedC, want, tol float64 }{
		{7, 80, 2762.75 - 335.46, 0.05}, // h(80 °C) between 334.99 at 1 bar and 336.50 at 20 bar
		{5, 105, 2748.11 - 440.493, 0.006},
		{10, 150, 2777.12 - 632.575, 0.006},
		{20, 200, 2798.38 - 852.572, 0.006},
	} {
		got, err := Header{Pressure: steam.BarAbs(row.barA), FeedwaterC: row.feedC}.HeatKJKg()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "h_g - h_fw", got, row.want, row.tol, src)
	}
	h := Header{Name: "main", Pressure: steam.BarAbs(7), FeedwaterC: 80}
	kW, err := h.KW(900)
	if err != nil {
		t.Fatal(err)
	}
	kgH, err := h.KgH(kW)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "kg/h there and back", kgH, 900, 1e-9, "round trip")
	tC, err := h.SteamC()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "saturation", tC, 164.953, 6e-4, src)
	// Feed at saturation leaves the evaporation heat.
	boiling, err := Header{Pressure: steam.BarAbs(7), FeedwaterC: tC}.HeatKJKg()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "r at 7 bar(a)", boiling, 2065.61, 0.006, src)
}

// 8.71 and 9.64 t/h are one boiler at two feedwater temperatures: the ratio is what the total heat of 660 kcal/kg makes it.
func TestOutputAgainstFeedwater(t *testing.T) {
	cold, err1 := Header{Pressure: steam.BarGauge(10, sea), FeedwaterC: 40}.HeatKJKg()
	warm, err2 := Header{Pressure: steam.BarGauge(10, sea), FeedwaterC: 100}.HeatKJKg()
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	near(t, "output ratio", cold/warm, 9.64/8.71, 0.005, "forbesmarshall.com tip on feedwater temperature; its pressure is not given, so 0.5 %")
}

func TestHeaderFaults(t *testing.T) {
	for _, row := range []struct {
		h    Header
		want string
	}{
		{Header{Name: "main"}, `header "main": pressure: `},
		{Header{Name: "main", Pressure: steam.BarAbs(7), FeedwaterC: 180}, `header "main": feedwater: is 180 °C; want 0 °C up to the steam's 165.0 °C`},
		{Header{Pressure: steam.BarAbs(7), FeedwaterC: -3}, "header: feedwater: is -3 °C"},
	} {
		if err := row.h.Check(); err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("got %v; want %q", err, row.want)
		}
	}
}
