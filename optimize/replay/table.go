package replay

import (
	"fmt"
	"math"

	"noonkeep/plant/steam"
)

// Properties on the saturation line, in a table's order.
const (
	barAbs  = iota // pressure, bar(a)
	vWater         // m³/kg
	vSteam         // m³/kg
	hSteam         // kJ/kg
	aEnergy        // u' - v' k, kJ/kg
	kEnergy        // (u” - u') / (v” - v'), kJ/m³
	uWater         // kJ/kg
	columns
)

const (
	tableStepK    = 0.25
	leastC, mostC = 5.0, 345.0 // temperatures that a table may span, °C
	slopeHalfK    = 0.01       // half the base of a slope's inner difference, K
)

// Table is the saturation line between two temperatures, cubic between points 0.25 K apart. It is safe for many
// goroutines.
type Table struct {
	lowC, highC float64
	rows        []row
}

// row holds each property at a point, and its slope times the distance of the points.
type row struct{ at, rise [columns]float64 }

// NewTable works the saturation line out from lowC to highC, °C, both from 5 to 345.
func NewTable(lowC, highC float64) (*Table, error) {
	if !(lowC >= leastC && highC <= mostC && highC > lowC) {
		return nil, fmt.Errorf("vessel: table: is from %g to %g °C; want rising temperatures from %g to %g °C", lowC, highC, leastC, mostC)
	}
	n := int(math.Ceil((highC - lowC) / tableStepK))
	t := &Table{lowC: lowC, highC: highC, rows: make([]row, n+1)}
	for i := range t.rows {
		tC := lowC + float64(i)*tableStepK
		var near [4][columns]float64
		for j, k := range []float64{-2, -1, 1, 2} {
			p, err := line(tC + k*slopeHalfK)
			if err != nil {
				return nil, err
			}
			near[j] = p
		}
		at, err := line(tC)
		if err != nil {
			return nil, err
		}
		t.rows[i].at = at
		for c := range columns {
			// The central difference of fourth order: f' = (f(-2) - 8 f(-1) + 8 f(1) - f(2))/12 h.
			slope := (near[0][c] - 8*near[1][c] + 8*near[2][c] - near[3][c]) / (12 * slopeHalfK)
			t.rows[i].rise[c] = slope * tableStepK
		}
	}
	return t, nil
}

// line is the saturation line by IF97.
func line(tC float64) (p [columns]float64, err error) {
	s, err := steam.SaturatedAt(tC)
	if err != nil {
		return p, err
	}
	f, g := &s.Liquid, &s.Vapour
	k := (g.UKJKg - f.UKJKg) / (g.VM3Kg - f.VM3Kg)
	return [columns]float64{s.P.BarAbs(), f.VM3Kg, g.VM3Kg, g.HKJKg, f.UKJKg - f.VM3Kg*k, k, f.UKJKg}, nil
}

// place finds the row under a temperature and the share of the way to the next; outside the table its ends go on.
func (t *Table) place(tC float64) (i int, x float64) {
	x = (tC - t.lowC) / tableStepK
	i = min(max(int(x), 0), len(t.rows)-2)
	return i, x - float64(i)
}

// at is one property at a temperature: the cubic through both points with both slopes.
func (t *Table) at(column int, tC float64) float64 {
	i, x := t.place(tC)
	lo, hi := &t.rows[i], &t.rows[i+1]
	d := hi.at[column] - lo.at[column]
	m0, m1 := lo.rise[column], hi.rise[column]
	return lo.at[column] + x*(m0+x*((3*d-2*m0-m1)+x*(m0+m1-2*d)))
}

// withSlope is one property at a temperature, and its slope per K.
func (t *Table) withSlope(column int, tC float64) (y, perK float64) {
	i, x := t.place(tC)
	lo, hi := &t.rows[i], &t.rows[i+1]
	d := hi.at[column] - lo.at[column]
	m0, m1 := lo.rise[column], hi.rise[column]
	b, c := 3*d-2*m0-m1, m0+m1-2*d
	return lo.at[column] + x*(m0+x*(b+x*c)), (m0 + x*(2*b+3*x*c)) / tableStepK
}

// energy is the internal energy of massKg in volumeM3 at a temperature, kJ, and its slope, kJ/K.
func (t *Table) energy(volumeM3, massKg, tC float64) (kJ, kJPerK float64) {
	i, x := t.place(tC)
	lo, hi := &t.rows[i], &t.rows[i+1]
	mix := func(a, k float64) float64 { return massKg*a + volumeM3*k }
	y0, y1 := mix(lo.at[aEnergy], lo.at[kEnergy]), mix(hi.at[aEnergy], hi.at[kEnergy])
	m0, m1 := mix(lo.rise[aEnergy], lo.rise[kEnergy]), mix(hi.rise[aEnergy], hi.rise[kEnergy])
	d := y1 - y0
	b, c := 3*d-2*m0-m1, m0+m1-2*d
	return y0 + x*(m0+x*(b+x*c)), (m0 + x*(2*b+3*x*c)) / tableStepK
}
