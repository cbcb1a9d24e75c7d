package plant

import (
	"math"
	"slices"
)

// LoadEfficiency is the efficiency of a boiler at a load, both as shares: of its capacity, of the heat in its fuel.
type LoadEfficiency struct{ LoadFrac, Efficiency float64 }

// FuelPoint is the fuel that a steady load takes, net heat.
type FuelPoint struct{ HeatKW, FuelKW float64 }

// checkLoads notes what is wrong with all that follows the load.
func (b Boiler) checkLoads(f *faults, limit float64) {
	f.require(b.MinFireFrac >= 0 && b.MinFireFrac <= 1, "minimum fire", "is %g of the capacity; want 0 to 1", b.MinFireFrac)
	f.require(b.StandingFrac >= 0 && b.StandingFrac < 0.5, "standing loss", "is %g of the fuel at full load; want 0 to less than 0.5", b.StandingFrac)
	f.require(b.StandingFrac == 0 || b.Table == nil, "standing loss", "stands beside efficiencies by load, which hold it; want one of the two")
	f.require(b.StandbyFrac >= 0 && b.StandbyFrac < 1, "hot standby", "is %g of the fuel at full load; want 0 to less than 1", b.StandbyFrac)
	f.require(b.StartKWh >= 0 && b.StartKWh < math.Inf(1), "start", "takes %g kWh; want 0 or more", b.StartKWh)
	f.require(b.StartH >= 0 && b.StartH <= 7*24, "start", "takes %g h; want 0 to a week", b.StartH)
	f.require(b.RampKWH >= 0 && b.RampKWH < math.Inf(1), "ramp", "is %g kW/h; want 0 or more", b.RampKWH)
	for i, p := range b.Table {
		f.require(p.Efficiency > 0 && p.Efficiency <= limit, "efficiency", "is %g at %g %% load; want more than 0 and at most %g", p.Efficiency, 100*p.LoadFrac, limit)
		f.require(p.LoadFrac > 0 && p.LoadFrac <= 1, "efficiency", "has a load of %g %%; want more than 0 and at most 100 %%", 100*p.LoadFrac)
		if i == 0 {
			continue
		}
		before := b.Table[i-1]
		if !(p.LoadFrac > before.LoadFrac) {
			f.require(false, "efficiency", "has %g %% load after %g %%; want the loads to rise", 100*p.LoadFrac, 100*before.LoadFrac)
			continue
		}
		f.require(p.LoadFrac/p.Efficiency > before.LoadFrac/before.Efficiency, "efficiency",
			"rises so much from %g to %g %% load that more heat takes less fuel; want it less steep", 100*before.LoadFrac, 100*p.LoadFrac)
	}
}

// perLoad tells whether the efficiency depends on the load.
func (b Boiler) perLoad() bool { return b.Table != nil || b.StandingFrac > 0 }

// LeastKW is the lowest load at which it burns steadily.
func (b Boiler) LeastKW() float64 { return b.MinFireFrac * b.CapacityKW }

// FuelKW is the net fuel that a steady load takes. The boiler fires: at no load it still burns what it loses.
//
// With efficiencies by load the fuel runs straight from point to point, as it does in a boiler whose surface loses the
// same at any load (a Willans line); under the first point the line goes on, but at no better efficiency than
// there, and over the last that point's efficiency holds.
func (b Boiler) FuelKW(heatKW float64) float64 {
	full := b.CapacityKW * b.FuelPerHeat()
	switch {
	case b.StandingFrac > 0:
		// Loss L(x) = L1/x of the fuel at firing rate x: constant in kW (checks-heat 5.4.12).
		return full * (b.StandingFrac + (1-b.StandingFrac)*heatKW/b.CapacityKW)
	case b.Table == nil:
		return heatKW * b.FuelPerHeat()
	}
	points := b.tablePoints()
	first, last := points[0], points[len(points)-1]
	if heatKW >= last.HeatKW {
		return heatKW * last.FuelKW / last.HeatKW
	}
	if heatKW <= first.HeatKW {
		flat := heatKW * first.FuelKW / first.HeatKW
		if len(points) == 1 {
			return flat
		}
		return math.Max(flat, onLine(first, points[1], heatKW))
	}
	i, _ := slices.BinarySearchFunc(points, heatKW, func(p FuelPoint, kW float64) int {
		if p.HeatKW < kW {
			return -1
		}
		return 1
	})
	return onLine(points[i-1], points[i], heatKW)
}

func onLine(a, b FuelPoint, heatKW float64) float64 {
	return a.FuelKW + (b.FuelKW-a.FuelKW)/(b.HeatKW-a.HeatKW)*(heatKW-a.HeatKW)
}

// tablePoints is the table as fuel, net.
func (b Boiler) tablePoints() []FuelPoint {
	var list []FuelPoint
	for _, p := range b.Table {
		heat := p.LoadFrac * b.CapacityKW
		list = append(list, FuelPoint{heat, heat / b.net(p.Efficiency)})
	}
	return list
}

// Curve is the fuel from the lowest load to the capacity, straight from point to point.
func (b Boiler) Curve() []FuelPoint {
	least := b.LeastKW()
	list := []FuelPoint{{least, b.FuelKW(least)}}
	for _, p := range b.tablePoints() {
		if p.HeatKW > least && p.HeatKW < b.CapacityKW {
			list = append(list, p)
		}
	}
	if least < b.CapacityKW {
		list = append(list, FuelPoint{b.CapacityKW, b.FuelKW(b.CapacityKW)})
	}
	return list
}

// Hull is the fuel of a boiler that may also be off as the convex hull of its curve and of nothing: what a linear
// program can hold, nowhere above the boiler's own.
type Hull struct {
	Points []FuelPoint // from 0, 0 to full load
	// The hull lies at most UnderKW of fuel under the curve, at AtKW of heat; just above no load where that is 0.
	UnderKW, AtKW float64
}

// Hull works out the hull of the boiler's fuel.
func (b Boiler) Hull() Hull {
	all := append([]FuelPoint{{}}, b.Curve()...)
	if !b.perLoad() {
		return Hull{Points: []FuelPoint{{}, {b.CapacityKW, b.CapacityKW * b.FuelPerHeat()}}}
	}
	var h Hull
	for _, p := range all {
		for len(h.Points) > 1 && !bends(h.Points[len(h.Points)-2], h.Points[len(h.Points)-1], p) {
			h.Points = h.Points[:len(h.Points)-1]
		}
		if n := len(h.Points); n > 0 && p.HeatKW == h.Points[n-1].HeatKW { // the curve begins at no load
			continue
		}
		h.Points = append(h.Points, p)
	}
	for _, p := range all[1:] {
		i := 1
		for i < len(h.Points)-1 && h.Points[i].HeatKW < p.HeatKW {
			i++
		}
		if under := p.FuelKW - onLine(h.Points[i-1], h.Points[i], p.HeatKW); under > h.UnderKW {
			h.UnderKW, h.AtKW = under, p.HeatKW
		}
	}
	return h
}

// bends says that a further kW of heat takes clearly more fuel after b than before it.
func bends(a, b, c FuelPoint) bool {
	const least = 1e-9
	before, after := (b.FuelKW-a.FuelKW)/(b.HeatKW-a.HeatKW), (c.FuelKW-b.FuelKW)/(c.HeatKW-b.HeatKW)
	return after > before*(1+least)
}
