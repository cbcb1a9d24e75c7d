package plant

import (
	"strings"
	"testing"

	"noonkeep/plant/steam"
)

func TestFuelPerHeat(t *testing.T) {
	gas := Fuel{Name: "gas", PricePerKWh: 0.04, CO2KgPerKWh: 0.202, GrossPerNet: 1.11}
	const hand = "hand calculation: 1/0.82; 1/(0.80 × 1.11)"
	net := Boiler{Name: "net", Fuel: gas, CapacityKW: 1000, Efficiency: 0.82}
	gross := Boiler{Name: "gross", Fuel: gas, CapacityKW: 1000, Efficiency: 0.80, EfficiencyGross: true}
	near(t, "net", net.FuelPerHeat(), 1.2195121951, 1e-10, hand)
	near(t, "gross", gross.FuelPerHeat(), 1.1261261261, 1e-10, hand)
	near(t, "price", net.PricePerHeat(), 0.0487804878, 1e-10, "0.04/0.82")
	near(t, "carbon", net.CO2KgPerHeat(), 0.2463414634, 1e-10, "0.202/0.82")
	near(t, "gross of net 0.9", 0.9/gas.GrossPerNet, 0.9*0.90, 0.015*0.81,
		"eta_gross = eta_net × NCV/GCV, 0.9 for all fuels (kb.breeam.com, determining boiler efficiency)")
	for _, b := range []Boiler{net, gross} {
		if err := b.Check(); err != nil {
			t.Error(err)
		}
	}
}

func TestBoilerFaults(t *testing.T) {
	good := Boiler{Name: "B1", Fuel: Fuel{Name: "oil"}, CapacityKW: 100, Efficiency: 0.8}
	for _, row := range []struct {
		spoil func(*Boiler)
		want  string
	}{
		{func(b *Boiler) { b.CapacityKW = 0 }, `boiler "B1": capacity: is 0 kW; want more than 0`},
		{func(b *Boiler) { b.Efficiency = 1.2 }, "efficiency: is 1.2 on net heat; want at most 1"},
		{func(b *Boiler) { b.EfficiencyGross = true }, "gross per net is 0; want that ratio"},
		{func(b *Boiler) { b.Fuel.CO2KgPerKWh = -1 }, `fuel "oil": co2: is -1`},
	} {
		b := good
		row.spoil(&b)
		if err := b.Check(); err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("got %v; want %q", err, row.want)
		}
	}
	if err := good.Check(); err != nil {
		t.Error(err)
	}
}

func TestBlowdown(t *testing.T) {
	const page = "worked example, 4000 kg/h, feed 80 ppm, limit 3500 ppm (yamathosupply.com blowdown page)"
	perSteam, err := BlowdownPerSteam(80, 3500)
	if err != nil {
		t.Fatal(err)
	}
	perFeed, _ := BlowdownPerFeed(80, 3500)
	near(t, "blowdown, kg/h", 4000*perSteam, 93.6, 0.05, page)
	near(t, "per steam, %", 100*perSteam, 2.339, 6e-4, page)
	near(t, "per feed, %", 100*perFeed, 2.286, 6e-4, page)
	cycles, _ := BlowdownPerSteam(250, 5000)
	near(t, "per steam at 20 cycles, kg/s of 5", 5*cycles, 0.26, 0.005, "UFC 3-240-13FN p. 62")
	near(t, "per steam at 20 cycles, %", 100*cycles, 5.263, 6e-4, "algebra: 5 % of feed is 5.263 % of steam")
	kW, err := BlowdownKW(93.5673, steam.BarGauge(10, 1.01325), 15)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "heat in it, kW", kW, 18.671, 1e-3*18.671, "python3-iapws (IF97): 93.57 kg/h × (781.43 - 63.08) kJ/kg")
	for _, bad := range [][2]float64{{-1, 100}, {100, 100}, {200, 100}} {
		if _, err := BlowdownPerSteam(bad[0], bad[1]); err == nil {
			t.Errorf("blowdown of feed %g against %g is taken; want an error", bad[0], bad[1])
		}
	}
}
