package replay

import (
	"math"
	"testing"

	"noonkeep/storage"
)

// tankOf is a thermocline of 30 m³ on its own, cold to the top.
func tankOf(t testing.TB, insulationWMK float64) *layered {
	t.Helper()
	spec := thermoclineSpec()
	spec.InsulationWMK = insulationWMK
	v, err := storage.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	l, err := v.Limits(30)
	if err != nil {
		t.Fatal(err)
	}
	table, err := NewTable(5, 230)
	if err != nil {
		t.Fatal(err)
	}
	return newLayered(&Store{Spec: spec, VolumeM3: 30}, v, l, table)
}

// Drawn at once, a full tank gives what is between hot and cold, and what a plan counts is that less the thermocline's tenth.
func TestThermoclinePlugFlow(t *testing.T) {
	x := tankOf(t, 1e-12)
	all := parcels * x.parcelKg * (x.hotU - x.coldU) / kJPerKWh
	near(t, "room of the cold tank", x.roomKWh(), all, 1e-6*all)
	for x.roomKWh() > 1 {
		if err := x.heat(math.Min(100, x.roomKWh()) * kJPerKWh); err != nil {
			t.Fatal(err)
		}
	}
	near(t, "heat of the full tank", x.givesKWh(), all, 2)
	near(t, "ledger of the full tank, storage's capacity", x.ledgerKWh(), 0.9*all, 2)
	gave := 0.0
	for {
		kJ, err := x.draw(90*kJPerKWh, 0)
		if err != nil {
			t.Fatal(err)
		}
		if gave += kJ / kJPerKWh; kJ < 90*kJPerKWh-1e-6 {
			break
		}
		if x.topC() < x.useC {
			t.Fatalf("gave heat of %.2f °C; want %.2f or more", x.topC(), x.useC)
		}
	}
	near(t, "heat given", gave, all, 2)
	near(t, "ledger of the empty tank", x.ledgerKWh(), -0.1*all, 2)
}

// Hot over cold, left alone for two days without loss: the profile is the error function's,
// T = Tc + (Th - Tc)/2 erfc(z / 2 sqrt(α t)), Carslaw and Jaeger, Conduction of Heat in Solids, 2.4 (from memory), with the
// conductivity across water and wall and the heat capacity of the water's mean.
func TestThermoclineConduction(t *testing.T) {
	x := tankOf(t, 1e-12)
	half := parcels / 2 * x.parcelKg * (x.hotU - x.coldU)
	if err := x.heat(half); err != nil {
		t.Fatal(err)
	}
	before := x.ledgerKWh()
	const hours = 48
	for range hours * 60 {
		if err := x.cool(15, 60); err != nil {
			t.Fatal(err)
		}
	}
	near(t, "heat after two days without loss", x.ledgerKWh(), before, 1e-9*before+1e-6*x.lossKJ)
	// In units of parcels: α = conductance/(mass × c). The first is cut, and moves all others up by that.
	c := (x.hotU - x.coldU) / (x.hotC - x.coldC)
	alpha := x.conductWK / wattPerKW / (x.parcelKg * c)
	for i := 30; i < 70; i += 4 {
		z := float64(i) + 0.5 - x.cut - parcels/2
		want := x.coldC + (x.hotC-x.coldC)/2*math.Erfc(z/(2*math.Sqrt(alpha*hours*3600)))
		near(t, "°C of a parcel", x.t[i], want, 0.02*(x.hotC-x.coldC))
	}
	if x.t[45] > x.hotC-1 || x.t[55] < x.coldC+1 {
		t.Errorf("five parcels from the middle it has %.1f and %.1f °C; want a layer by now", x.t[45], x.t[55])
	}
}

// A whole plant with one: supply stays hot down to the last, and a vessel that was left for long gives less than it holds.
func TestThermoclineInAPlant(t *testing.T) {
	p := yearPlant(7, 60)
	p.Stores[0].Spec, p.Stores[0].VolumeM3 = thermoclineSpec(), 60
	out := play(t, p, PlainRule{}, Options{LeadH: 72})
	mixed := yearPlant(7, 60)
	mixed.Stores[0].Spec, mixed.Stores[0].VolumeM3, mixed.Stores[0].LetCool = exchangerSpec(), 60, true
	other := play(t, mixed, PlainRule{}, Options{LeadH: 72})
	if !(out.StoreOutKWh > other.StoreOutKWh) {
		t.Errorf("a thermocline gives %.0f kWh, mixed water %.0f; want more, since it is used down to the return", out.StoreOutKWh, other.StoreOutKWh)
	}
}
