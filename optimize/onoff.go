package optimize

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
)

// A boiler that has a lowest fire, or that takes fuel to start or to stand by, is on or off, and no linear program holds
// that: the problem of boilers' pieces lets it burn a little at any time and bounds the cost from below. [Repair] makes
// of such a plan one that keeps to on and off, whose cost bounds the best of all such plans from above.

// Cycle is what a boiler's Pieces leave out: it is off, or fires at the first load of its Curve or more, or, if
// StandbyKW is above 0, stands by hot and gives nothing. The zero value is a boiler that may do as its pieces say.
//
// Its Pieces must lie nowhere above the line from nothing to its Curve (be its convex hull), its RampKW, if any, must be
// the ramp while it fires and the first load of the Curve on top, and all or nothing of it be available. Where burning
// more would pay, at a price below 0 or below that of its take, it may have no fuel beyond its pieces: the relaxed plan
// would then be no bound.
type Cycle struct {
	Curve      []Load
	StartKWh   float64 // fuel of a start from cold
	StartSteps int     // a boiler that goes cold is off for so long at least
	StandbyKW  float64 // fuel that keeps it hot; 0: it goes cold as soon as it does not fire
}

// Load is a load of a boiler and the fuel that it takes, kW; between two the fuel runs straight.
type Load struct{ HeatKW, FuelKW float64 }

// Repaired is a plan that keeps to on and off.
type Repaired struct {
	// Schedule is the plan. FuelKW holds starts and standby, VentKW what boilers at their lowest fire give too much, and
	// prices are those of the plan's on and off.
	Schedule Schedule
	Cost     float64 // of it
	Bound    float64 // no plan of the problem that keeps to on and off costs less
	Solves   int     // of the program, to find it

	On, Hot [][]bool // by boiler and step, firing and standing by; nil for a boiler without a Cycle
	Starts  []int    // from cold, by boiler; the last step comes before the first
}

// GapFrac is how far the plan's cost may lie over the best of all, as a share of the cost.
func (r Repaired) GapFrac() float64 {
	if r.Cost == r.Bound {
		return 0
	}
	return (r.Cost - r.Bound) / math.Abs(r.Cost)
}

// ErrNoRepair says that no way was found to keep to on and off.
var ErrNoRepair = errors.New("no plan was found in which the boilers keep to on and off")

// Repair makes a plan that keeps to on and off of the relaxed plan and bound that [Plan] gave for the same problem.
// cycles has one entry for each boiler. Of opt it reads Engine alone; on and off may need another engine than the
// problem. The error is a fault of cycles, [ErrNoRepair], or as that of [Plan].
func Repair(ctx context.Context, p Problem, cycles []Cycle, relaxed Schedule, bound float64, opt Options) (Repaired, error) {
	if err := checkCycles(p, cycles); err != nil {
		return Repaired{}, err
	}
	r := &repair{ctx: ctx, p: p, w: newWork(p), cycles: cycles, bound: bound, engine: opt.Engine, tries: triesClp}
	if misfit(p) == "" {
		r.tries = triesOneStore
	} else if opt.Engine == EngineOneStore {
		r.engine = ""
	}
	r.prepare()
	if err := r.search(relaxed); err != nil {
		return Repaired{}, err
	}
	if r.best == nil {
		return Repaired{}, ErrNoRepair
	}
	r.best.Bound, r.best.Solves = bound, r.solves
	return *r.best, nil
}

func checkCycles(p Problem, cycles []Cycle) error {
	var f faults
	f.require(len(cycles) == len(p.Boilers), "cycles: there are %d; want one for each of %d boilers", len(cycles), len(p.Boilers))
	if len(f) > 0 {
		return f.err()
	}
	for i, c := range cycles {
		what := named("boiler", i, p.Boilers[i].Name)
		for j, at := range c.Curve {
			ok := finite(at.HeatKW) && finite(at.FuelKW) && at.HeatKW >= 0 && at.FuelKW >= 0
			f.require(ok, "%s: load %d is %g kW for %g kW of fuel; want 0 or more", what, j, at.HeatKW, at.FuelKW)
			if j > 0 {
				before := c.Curve[j-1]
				f.require(at.HeatKW > before.HeatKW && at.FuelKW > before.FuelKW, "%s: load %d: want more heat and more fuel than at the one before", what, j)
			}
		}
		if c.Curve != nil {
			checkBurning(&f, what, p, i, c)
		}
		f.amount(what+": start", c.StartKWh, "kWh")
		f.amount(what+": standby", c.StandbyKW, "kW")
		f.require(c.StartSteps >= 0, "%s: start: takes %d steps; want 0 or more", what, c.StartSteps)
		f.require(c.Curve != nil || c.StartKWh == 0 && c.StandbyKW == 0 && c.StartSteps == 0, "%s: has starts or standby and no curve", what)
	}
	if len(f) > 0 {
		return fmt.Errorf("problem: %w", f.err())
	}
	return nil
}

// checkBurning refuses what would make the relaxed plan no bound.
func checkBurning(f *faults, what string, p Problem, i int, c Cycle) {
	b, least := p.Boilers[i], 0.0
	part := func(x float64) bool { return x != 0 && x != 1 }
	f.require(!slices.ContainsFunc(b.Available, part), "%s: is available in part; want all or nothing of a boiler that is on or off", what)
	for _, m := range p.Takes {
		if slices.Contains(m.Boilers, i) {
			least = max(least, m.Price)
		}
	}
	spare := c.StartKWh > 0 || c.StandbyKW > 0
	for _, at := range c.Curve {
		spare = spare || at.FuelKW > b.hullFuel(at.HeatKW)*(1+1e-9)
	}
	f.require(!spare || slices.Min(b.FuelPrice) >= least-1e-12, "%s: burning more would pay at times, at a price below 0 or below that of its take; want neither with starts, standby or losses", what)
}

// least and most are the ends of the curve.
func (c Cycle) least() Load { return c.Curve[0] }
func (c Cycle) most() Load  { return c.Curve[len(c.Curve)-1] }

// fuel is the fuel of a load, which may be rounding under the least or over the most.
func (c Cycle) fuel(heatKW float64) float64 {
	if heatKW <= c.least().HeatKW {
		return c.least().FuelKW
	}
	for j := 1; j < len(c.Curve); j++ {
		if a, b := c.Curve[j-1], c.Curve[j]; heatKW <= b.HeatKW || j == len(c.Curve)-1 {
			return a.FuelKW + (b.FuelKW-a.FuelKW)*min(1, (heatKW-a.HeatKW)/(b.HeatKW-a.HeatKW))
		}
	}
	return c.most().FuelKW
}

// above is the curve's convex hull over its least load, as pieces.
func (c Cycle) above() []Piece {
	var hull []Load
	slope := func(a, b Load) float64 { return (b.FuelKW - a.FuelKW) / (b.HeatKW - a.HeatKW) }
	for _, at := range c.Curve {
		for n := len(hull); n > 1 && slope(hull[n-1], at) <= slope(hull[n-2], hull[n-1]); n = len(hull) {
			hull = hull[:n-1]
		}
		hull = append(hull, at)
	}
	var list []Piece
	for j := 1; j < len(hull); j++ {
		list = append(list, Piece{hull[j].HeatKW - hull[j-1].HeatKW, slope(hull[j-1], hull[j])})
	}
	if list == nil { // it has one load
		return []Piece{{0, 1}}
	}
	return list
}

// repair is the work of one [Repair].
type repair struct {
	ctx    context.Context
	p      Problem
	w      *work
	cycles []Cycle
	bound  float64
	engine string
	can    [][]bool  // by boiler and step: it may fire; nil without a Cycle
	pieces [][]Piece // by boiler: over its lowest fire, or all of one without a Cycle

	solves, tries int
	best          *Repaired
}

// How many programs are solved to find a plan; one takes some ms in the one engine and some tenths of a second in the
// other.
const (
	triesOneStore = 60
	triesClp      = 12
)

func (r *repair) prepare() {
	r.can = make([][]bool, len(r.cycles))
	for i, c := range r.cycles {
		if c.Curve == nil {
			r.pieces = append(r.pieces, r.p.Boilers[i].Pieces)
			continue
		}
		r.pieces = append(r.pieces, c.above())
		r.can[i] = make([]bool, r.w.n)
		for t := range r.can[i] {
			most := r.share(i, t) * c.most().HeatKW
			r.can[i][t] = most > 0 && most >= c.least().HeatKW
		}
	}
}

func (r *repair) share(i, t int) float64 {
	if r.p.Boilers[i].Available == nil {
		return 1
	}
	return r.p.Boilers[i].Available[t]
}

// settle makes on what a boiler can do, in place, and says when it is best kept hot between: off where it cannot
// fire, no gap shorter than a start but one in which it stands by, and each gap in the cheaper of the two ways.
func (r *repair) settle(i int, on []bool) (hot []bool, starts int) {
	c, n := r.cycles[i], r.w.n
	for t := range on {
		on[t] = on[t] && r.can[i][t]
	}
	hot = make([]bool, n)
	if !slices.Contains(on, true) {
		return hot, 0
	}
	for again := true; again; {
		again, starts = false, 0
		clear(hot)
		for _, g := range gaps(on) {
			standby, free := 0.0, true
			for s := range g.length {
				t := (g.from + s) % n
				standby += r.w.dt * r.p.Boilers[i].FuelPrice[t] * c.StandbyKW
				free = free && r.can[i][t]
			}
			cold := r.p.Boilers[i].FuelPrice[(g.from+g.length)%n] * c.StartKWh
			switch short := g.length < c.StartSteps; {
			case c.StandbyKW > 0 && free && (short || standby < cold):
				for s := range g.length {
					hot[(g.from+s)%n] = true
				}
			case short && free:
				for s := range g.length {
					on[(g.from+s)%n] = true
				}
				again = true
			case short: // out of service for less than a start takes: it comes back that much later
				on[(g.from+g.length)%n] = false
				again = true
			default:
				starts++
			}
			if again {
				break
			}
		}
	}
	return hot, starts
}

// gap is steps in which a boiler is off between steps in which it is on; the year is a ring.
type gap struct{ from, length int }

// gaps lists them; none if it is always on or never.
func gaps(on []bool) []gap {
	n := len(on)
	first := slices.Index(on, true)
	if first < 0 {
		return nil
	}
	var list []gap
	for s := 1; s <= n; s++ {
		t := (first + s) % n
		switch {
		case on[t]:
		case on[(t+n-1)%n]:
			list = append(list, gap{t, 1})
		default:
			list[len(list)-1].length++
		}
	}
	return list
}
