package storage

import (
	"fmt"
	"math"

	"noonkeep/plant/steam"
)

// phases are the two phases at one temperature. Of a mass m and volume v in equilibrium, the internal
// energy is U = m a + v k: linear in both, which is what makes each step below a formula.
type phases struct {
	tC, barA       float64
	vf, vg, hf, hg float64 // m³/kg, kJ/kg
	a              float64 // u' - v' k, kJ/kg
	k              float64 // (u” - u') / (v” - v'), kJ/m³
}

// phasesAt clamps to the range of the properties, 0 to 350 °C, so it cannot fail; its callers bracket inside.
func phasesAt(tC float64) phases {
	s, _ := steam.SaturatedAt(math.Min(math.Max(tC, 0), mostHotC))
	f, g := &s.Liquid, &s.Vapour
	k := (g.UKJKg - f.UKJKg) / (g.VM3Kg - f.VM3Kg)
	return phases{
		tC: s.TC, barA: s.P.BarAbs(),
		vf: f.VM3Kg, vg: g.VM3Kg, hf: f.HKJKg, hg: g.HKJKg,
		a: f.UKJKg - f.VM3Kg*k, k: k,
	}
}

// energy is U of massKg in volumeM3 at the temperature of p, kJ.
func (p *phases) energy(volumeM3, massKg float64) float64 { return massKg*p.a + volumeM3*p.k }

// liquidFrac is the share of the volume that is water.
func (p *phases) liquidFrac(volumeM3, massKg float64) float64 {
	mf := (massKg*p.vg - volumeM3) / (p.vg - p.vf)
	return mf * p.vf / volumeM3
}

// massAt is the mass of a volume whose share fill is water.
func (p *phases) massAt(volumeM3, fill float64) float64 {
	return volumeM3 * (fill/p.vf + (1-fill)/p.vg)
}

// draft takes vapour out of (massKg, uKJ) until the temperature of to, or lets it in, without feed. The vapour's enthalpy is the mean of both ends;
// with it the balance U2 - U1 = h (m2 - m1) is linear in m2. h” varies by 1 kJ/kg in a step of 1 K,
// so the mean errs by about 1e-6 of the mass drawn (TestStepSize).
func draft(volumeM3, massKg, uKJ, hKJKg float64, to *phases) (m2 float64) {
	return (uKJ - hKJKg*massKg - volumeM3*to.k) / (to.a - hKJKg)
}

// zero finds x in [lo, hi] where the rising f is zero: secant steps from guess, halving when they leave the bracket.
func zero(f func(x float64) float64, lo, hi, guess, slope, tol float64) float64 {
	x := math.Min(math.Max(guess, lo), hi)
	y := f(x)
	for range 60 {
		if y > 0 {
			hi = x
		} else {
			lo = x
		}
		next := x - y/slope
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		if math.Abs(next-x) <= tol || next == x {
			return next
		}
		yNext := f(next)
		if s := (yNext - y) / (next - x); s > 0 {
			slope = s
		}
		x, y = next, yNext
	}
	return x
}

const (
	solveK       = 1e-10 // temperatures are found to this, K
	kJPerKgKNear = 4.5   // heat capacity of water near 200 °C, the first slope of a search
)

// tempOf solves M a(T) + V k(T) = U from a guess. The left side rises with T.
func tempOf(volumeM3, massKg, uKJ, guessC float64) float64 {
	return zero(func(tC float64) float64 {
		p := phasesAt(tC)
		return p.energy(volumeM3, massKg) - uKJ
	}, 0, mostHotC, guessC, massKg*kJPerKgKNear, solveK)
}

// Equilibrium finds the state of a mass and an internal energy (kJ, zero-point of IAPWS-IF97) in a closed volume. It is an error when no
// mixture of water and steam of 0 to 350 °C has them.
func Equilibrium(volumeM3, massKg, uKJ float64) (State, error) {
	if !(volumeM3 > 0 && massKg > 0) || math.IsInf(volumeM3, 1) || math.IsInf(massKg, 1) {
		return State{}, fmt.Errorf("vessel: state: %g kg in %g m³; want both above 0", massKg, volumeM3)
	}
	low, high := phasesAt(0), phasesAt(mostHotC)
	if lo, hi := low.energy(volumeM3, massKg), high.energy(volumeM3, massKg); !(uKJ >= lo && uKJ <= hi) {
		return State{}, fmt.Errorf("vessel: state: %g kJ in %g kg and %g m³; want %.6g to %.6g kJ, 0 to %g °C", uKJ, massKg, volumeM3, lo, hi, mostHotC)
	}
	tC := tempOf(volumeM3, massKg, uKJ, 150)
	p := phasesAt(tC)
	if x := p.liquidFrac(volumeM3, massKg); !(x >= 0 && x <= 1) {
		return State{}, fmt.Errorf("vessel: state: %g kg with %g kJ in %g m³ is %s; want water and steam together", massKg, uKJ, volumeM3, onePhase(x))
	}
	return State{VolumeM3: volumeM3, MassKg: massKg, UKJ: uKJ, TC: tC}, nil
}

func onePhase(liquidFrac float64) string {
	if liquidFrac > 1 {
		return "full of water"
	}
	return "all steam"
}
