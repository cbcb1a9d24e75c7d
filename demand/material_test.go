package demand

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// Specific heats against published tables.
func TestMaterials(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name     string
		from, to float64
		kJKgK    float64
		tol      float64
		src      string
	}{
		{"water", 20, 20, 4.1848, 0.0005, "checks-heat.md 1.3: 4.18480 at 20 degC and 1 bar"},
		{"water", 20, 80, (334.95 - 83.92) / 60, 0.001, "checks-heat.md 1.3: h' of 80 and 20 degC; along the boiling line h' grows with pressure too"},
		{"water", 10, 98, (410.6 - 42.02) / 88, 0.002, "checks-heat.md 1.3 at 10 degC; h' of 98 degC between 80 and 100 degC, by hand"},
		{"milk", 0, 100, 3.85, 0.09, "Geankoplis, table A.4-1: whole milk, 87.5 % water; the books differ by 2 %"},
		{"milk", 4, 72, 3.93, 0.06, "checks-heat.md 7.2; the books differ"},
		{"milk", 5, 5, 3.9, 0.05, "Earle, Unit Operations in Food Processing, appendix 7, after ASHRAE"},
		{"skim milk", 0, 100, 4.0, 0.06, "Geankoplis, table A.4-1: 3.98 to 4.02, 91 % water"},
		{"carrots", 10, 10, 3.92, 0.06, "ASHRAE Refrigeration, Thermal Properties of Foods, table 3; that table has a shorter formula"},
		{"green beans", 10, 10, 3.99, 0.06, "the same"},
		{"beets", 10, 10, 3.91, 0.06, "the same"},
		{"sweet corn", 10, 10, 3.62, 0.06, "the same"},
		{"wort", 20, 20, 0.88*4.1766 + 0.12*1.5857, 0.0005, "Choi and Okos (1986), by hand"},
		{"caustic", 20, 80, 4.1, 0.15, "value from memory; plausible beside about 3.8 kJ/kgK at 10 %"},
		{"wool", 20, 98, 1.36, 0, "Morton and Hearle, table 6.1"},
		{"silk", 20, 98, 1.38, 0, "the same"},
		{"polyester", 20, 98, 1.03, 0, "the same"},
		{"cotton", 20, 98, 1.285, 0.065, "the same: 1.22 to 1.35"},
		{"viscose", 20, 98, 1.47, 0.12, "the same: 1.35 to 1.59"},
		{"nylon", 20, 98, 1.445, 0.015, "the same: 1.43 and 1.46"},
		{"steel", 20, 98, 0.49, 0, "engineeringtoolbox.com, specific heats of metals"},
		{"stainless steel", 20, 98, 0.50, 0, "makers' data, 0 to 100 degC"},
		{"cast iron", 20, 98, 0.44, 0.02, "engineeringtoolbox.com 0.46, Mechanical Engineer's Data Handbook 0.42"},
		{"copper", 20, 98, 0.384, 0.006, "Mechanical Engineer's Data Handbook, 3.4.4"},
	} {
		m, err := MaterialNamed(c.name)
		if err != nil {
			t.Error(err)
			continue
		}
		got, err := m.KJKgK(c.from, c.to)
		if err != nil || math.Abs(got-c.kJKgK) > c.tol+1e-12 || c.src == "" {
			t.Errorf("%s, %g to %g degC: %.4f kJ/kgK, %v; want %.4f (%s)", c.name, c.from, c.to, got, err, c.kJKgK, c.src)
		}
	}
}

func TestMaterialsSayWhence(t *testing.T) {
	t.Parallel()
	for _, m := range materials {
		if m.Source == "" || m.Name != strings.ToLower(m.Name) {
			t.Errorf("%q has no source, or capitals", m.Name)
		}
		if f := m.food; f != nil {
			if sum := f.Water + f.Protein + f.Fat + f.Carbohydrate + f.Fibre + f.Ash; math.Abs(sum-1) > 0.005 {
				t.Errorf("%s: its shares sum to %v", m.Name, sum)
			}
		}
	}
	water, _ := MaterialNamed("Water")
	if got, err := water.KgM3(20); err != nil || math.Abs(got-998.16) > 0.005 {
		t.Errorf("water of 20 degC has %v kg/m3, %v; want 998.161 (checks-heat.md 1.3)", got, err)
	}
	if got, _ := water.WithKJKgK(4.186).KgM3(20); math.Abs(got-998.16) > 0.005 {
		t.Errorf("water of another specific heat has %v kg/m3", got)
	}
}

func TestUnknownMaterials(t *testing.T) {
	t.Parallel()
	var unknown *UnknownMaterial
	if _, err := MaterialNamed("mercury"); !errors.As(err, &unknown) || !strings.Contains(err.Error(), `material: "mercury"; want one of water, milk,`) {
		t.Error(err)
	}
	wool, _ := MaterialNamed("wool")
	if _, err := wool.KgM3(20); err == nil || err.Error() != "wool: has no density here; want it given, or a mass in place of the volume" {
		t.Error(err)
	}
	milk, _ := MaterialNamed("milk")
	if _, err := milk.KJKgK(20, 160); err == nil || err.Error() != "milk: at 160 degC; its equations hold up to 150 degC, want its specific heat given" {
		t.Error(err)
	}
}
