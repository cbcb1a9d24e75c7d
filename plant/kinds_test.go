package plant

import (
	"reflect"
	"strings"
	"testing"
)

// Each kind lies inside its class, is whole, and says where its figures come from.
func TestKindsInTheirClass(t *testing.T) {
	const memory = "class range, from memory: plausibility"
	for _, row := range []struct {
		name        string
		tracking    Tracking
		eta, a1, a2 [2]float64
		src         string
	}{
		{name: "dish", tracking: TwoAxis, eta: [2]float64{0.75, 0.86}, a1: [2]float64{0.05, 0.3}, src: memory},
		{name: "trough", tracking: AxisNorthSouth, eta: [2]float64{0.65, 0.72}, a1: [2]float64{0.3, 0.9},
			a2: [2]float64{0.0005, 0.002}, src: memory},
		{name: "evacuated tube", tracking: Fixed, eta: [2]float64{0.60, 0.69}, a1: [2]float64{0.6, 0.95},
			a2: [2]float64{0.001, 0.006}, src: memory},
		{name: "flat plate", tracking: Fixed, eta: [2]float64{0.739, 0.739}, a1: [2]float64{3.51, 3.51},
			a2: [2]float64{0.017, 0.017}, src: sheet},
	} {
		c := kind(t, row.name)
		if c.Tracking != row.tracking {
			t.Errorf("%s: tracking is %v; want %v", row.name, c.Tracking, row.tracking)
		}
		for _, v := range []struct {
			what string
			got  float64
			band [2]float64
		}{{"eta0b", c.Eta0b, row.eta}, {"a1", c.A1, row.a1}, {"a2", c.A2, row.a2}} {
			mid, half := (v.band[0]+v.band[1])/2, (v.band[1]-v.band[0])/2
			near(t, row.name+" "+v.what, v.got, mid, half+1e-12, row.src)
		}
	}
}

func TestKindsAreWhole(t *testing.T) {
	for _, k := range Kinds() {
		if err := k.Collector.Check(); err != nil {
			t.Error(err)
		}
		if k.Words == "" || len(k.Why) == 0 || k.Area != "gross" && k.Area != "aperture" {
			t.Errorf("%s: words %q, %d sources, area %q; want all said", k.Name, k.Words, len(k.Why), k.Area)
		}
		for _, why := range k.Why {
			if why.What == "" || why.Source == "" {
				t.Errorf("%s: %+v; want a source or the word that there is none", k.Name, why)
			}
		}
		for _, word := range append(k.Also, k.Name, strings.ToUpper(k.Name), strings.ReplaceAll(k.Name, " ", "-")) {
			if got, err := KindByName(word); err != nil || got.Name != k.Name {
				t.Errorf("KindByName(%q) = %q, %v; want %q", word, got.Name, err, k.Name)
			}
		}
	}
	if _, err := KindByName("mirror"); err == nil || !strings.Contains(err.Error(), "want one of: dish, trough") {
		t.Errorf("KindByName(mirror): %v; want the list", err)
	}
	for _, k := range FuelKinds() {
		for _, word := range append(k.Also, k.Name) {
			if got, err := FuelKindByName(word); err != nil || got.Name != k.Name {
				t.Errorf("FuelKindByName(%q) = %q, %v; want %q", word, got.Name, err, k.Name)
			}
		}
		if err := k.Fuel(0.05).Check(); err != nil || k.Source == "" || k.RatioSource == "" {
			t.Errorf("%s: %v, sources %q and %q", k.Name, err, k.Source, k.RatioSource)
		}
	}
}

// A caller who spoils one kind spoils nobody else's.
func TestKindsAreCopies(t *testing.T) {
	Kinds()[4].Collector.IAM[0].K = 7
	if !reflect.DeepEqual(Kinds()[4].Collector.IAM, flatModifier()) {
		t.Error("a change to one list of kinds is seen in the next")
	}
}
