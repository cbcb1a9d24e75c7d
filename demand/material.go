package demand

import (
	"fmt"
	"strings"

	"noonkeep/plant/steam"
)

// Material is a stuff that a batch heats. Take one from [MaterialNamed], or make one with [PlainMaterial]; the
// zero value is none.
type Material struct {
	Name   string
	Source string // of its values
	kJKgK  float64
	food   *food // in place of kJKgK
	kgM3   float64
	water  bool
}

// food is the composition of a food as mass shares; Fibre is not counted in Carbohydrate.
type food struct{ Water, Protein, Fat, Carbohydrate, Fibre, Ash float64 }

// PlainMaterial is a stuff of a fixed specific heat and, for a liquid that is filled by volume, density (0 for none).
func PlainMaterial(name string, kJKgK, kgM3 float64) Material {
	return Material{Name: name, Source: "as given", kJKgK: kJKgK, kgM3: kgM3}
}

// MaterialNamed finds a material of the built-in list. The error of an unknown one is an [*UnknownMaterial].
func MaterialNamed(name string) (Material, error) {
	for _, m := range materials {
		if strings.EqualFold(m.Name, strings.TrimSpace(name)) {
			return m, nil
		}
	}
	return Material{}, &UnknownMaterial{Name: name}
}

// MaterialNames lists the built-in materials.
func MaterialNames() []string {
	names := make([]string, len(materials))
	for i, m := range materials {
		names[i] = m.Name
	}
	return names
}

// UnknownMaterial says that the built-in list has no such material.
type UnknownMaterial struct{ Name string }

func (e *UnknownMaterial) Error() string {
	return fmt.Sprintf("material: %q; want one of %s", e.Name, strings.Join(MaterialNames(), ", "))
}

// IsZero reports whether there is no material.
func (m Material) IsZero() bool { return m.Name == "" }

// WithKJKgK is the material with another specific heat, and its own density.
func (m Material) WithKJKgK(kJKgK float64) Material {
	m.kJKgK, m.food, m.Source = kJKgK, nil, "as given"
	return m
}

// WithKgM3 is the material with another density, kg/m3.
func (m Material) WithKgM3(kgM3 float64) Material {
	m.kgM3 = kgM3
	return m
}

// KJKgK is the mean specific heat between two temperatures of 0 to 350 degC, kJ/(kg K): of water by IAPWS-IF97 as a
// boiling liquid, of foods by the equations of Choi and Okos (1986), of others one value.
// The mean is taken by Simpson's rule, exact for the parabolas of Choi and Okos.
func (m Material) KJKgK(fromC, toC float64) (float64, error) {
	switch {
	case m.kJKgK > 0:
		return m.kJKgK, nil
	case m.IsZero():
		return 0, fmt.Errorf("material: is missing; want one of %s", strings.Join(MaterialNames(), ", "))
	}
	if most := max(fromC, toC); m.food != nil && most > mostFoodC {
		return 0, fmt.Errorf("%s: at %g degC; its equations hold up to %d degC, want its specific heat given", m.Name, most, mostFoodC)
	}
	sum := 0.0
	for _, at := range []struct{ tC, weight float64 }{{fromC, 1}, {(fromC + toC) / 2, 4}, {toC, 1}} {
		if m.food != nil {
			sum += at.weight * m.food.kJKgK(at.tC)
			continue
		}
		sat, err := steam.SaturatedAt(at.tC)
		if err != nil {
			return 0, fmt.Errorf("%s: %w", m.Name, err)
		}
		sum += at.weight * sat.Liquid.CpKJKgK
	}
	return sum / 6, nil
}

// KgM3 is the density at a temperature, kg/m3: of water by IAPWS-IF97, of others one value. A material of
// unknown density is an error.
func (m Material) KgM3(tC float64) (float64, error) {
	if m.kgM3 > 0 {
		return m.kgM3, nil
	}
	if !m.water {
		return 0, fmt.Errorf("%s: has no density here; want it given, or a mass in place of the volume", m.Name)
	}
	sat, err := steam.SaturatedAt(tC)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", m.Name, err)
	}
	return 1 / sat.Liquid.VM3Kg, nil
}

// mostFoodC is the hottest that Choi and Okos give.
const mostFoodC = 150

// kJKgK is the specific heat at tC, 0 to 150 degC.
// Choi and Okos (1986), "Effects of temperature and composition on the thermal properties of foods".
func (f food) kJKgK(tC float64) float64 {
	part := func(share, a, b, c float64) float64 { return share * (a + b*tC + c*tC*tC) / 1000 }
	return part(f.Water, 4176.2, -0.090864, 5.4731e-3) +
		part(f.Protein, 2008.2, 1.2089, -1.3129e-3) +
		part(f.Fat, 1984.2, 1.4733, -4.8008e-3) +
		part(f.Carbohydrate, 1548.8, 1.9625, -5.9399e-3) +
		part(f.Fibre, 1845.9, 1.8306, -4.6509e-3) +
		part(f.Ash, 1092.6, 1.8896, -3.6817e-3)
}
