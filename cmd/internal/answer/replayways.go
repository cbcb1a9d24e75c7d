package answer

import (
	"context"
	"errors"
	"math"

	"noonkeep/optimize"
	"noonkeep/optimize/replay"
	"noonkeep/plant/clock"
)

// holding is the plain rule with a level for each hour under which the store does not give in a boiler's place.
type holding struct {
	k       int
	holdKWh []float64 // by hour
}

func (w *holding) Orders(seen *replay.Seen, o *replay.Orders) {
	o.Stores[w.k].HoldKWh = w.holdKWh[seen.Hour%len(w.holdKWh)]
}

// rolling plans anew every few hours and orders what the plan says of the hours until the next.
type rolling struct {
	ctx    context.Context
	r      roller
	at     int // of the plan in hand: its first step; -1 for none
	course optimize.Course
	held   []float64
	err    error
}

func (w *rolling) Orders(seen *replay.Seen, o *replay.Orders) {
	t := int(float64(seen.Step)*seen.StepH/w.r.p.StepH + 1e-9) // of the problem
	every := stepsOf(w.r.axis, everyH)
	if from := t / every * every; from != w.at && w.err == nil {
		w.at = from
		w.held = w.held[:0]
		for k, s := range seen.Stores {
			w.held = append(w.held, min(max(min(s.KWh, s.GivesKWh), 0), w.r.p.Stores[k].CapacityKWh))
		}
		w.course, w.err = w.r.plan(w.ctx, from, w.held)
	}
	if w.err != nil {
		return
	}
	w.follow(t-w.at, o)
}

// follow orders what the plan says of its step i. Where it has a boiler burn, the draw is prescribed and the store has its sun
// before the header. Where it has none, or heat may replace any boiler's, the store gives what the header needs; and where
// all boilers' heat costs the same, it does so down to a level.
func (w *rolling) follow(i int, o *replay.Orders) {
	c := &w.course
	fires := burning(&c.Schedule, i)
	for k := range c.StoredKWh {
		s := &o.Stores[k]
		s.Prescribed, s.HoldKWh, s.DrawKW, s.SunKW = fires, 0, c.DischargeKW[k][i], 0
		if c.HoldKWh != nil && (c.Sole[i] || c.SpareKWh[i] == 0) {
			s.Prescribed, s.HoldKWh = false, c.HoldKWh[i]
		}
		if fires {
			for f := range c.SunStoreKW {
				s.SunKW += c.SunStoreKW[f][k][i]
			}
		}
		if w.r.p.Stores[k].HeaderChargeKW > 0 {
			s.FromHeaderKW, s.AsSpare = c.HeaderChargeKW[k][i], false
		}
	}
}

// burning tells whether any boiler burns in a step of a plan, or heat is missing.
func burning(s *optimize.Schedule, i int) bool {
	for _, kW := range s.BoilerKW {
		if kW[i] > 0 {
			return true
		}
	}
	return false
}

// planned is the plan's set-points by the hour.
//
// To the letter, every draw is prescribed, hour by hour. As it is run, the store gives what the header needs where the plan
// has no boiler burn, or where stored heat is worth no more than any boiler's. Where it is worth more, and all boilers' heat
// costs the same, it gives down to what the plan leaves in it; else the draw is prescribed, with what the store holds over the
// plan on top. Sun is kept for the store only where the header could have used it, that is, where a boiler burns.
//
// Of a plan that keeps to on and off, a boiler that the plan has off may rest, and one that it lights is started in time.
type planned struct {
	letter     bool
	draw, sun  [][]float64 // [store][hour]
	take, held [][]float64 // [store][hour]; take is nil for a store that no header charges
	level      [][]float64 // [store][hour]: down to this; NaN where its draw is prescribed
	hour       int         // in hand
	left       float64     // of it, h
	draws      []float64   // [store] kWh still to be drawn in it
	suns       []float64   // [store] kWh of sun still to be charged in it

	fires [][]bool  // [machine's boiler][hour]; nil for one that is on as needed
	leadH []float64 // before its hour
}

func plannedOf(m *machine, p optimize.Problem, s *optimize.Schedule, on [][]bool, letter bool) *planned {
	perHour := max(1, int(1/p.StepH+0.5))
	w := &planned{letter: letter, hour: -1, draws: make([]float64, len(p.Stores)), suns: make([]float64, len(p.Stores))}
	for k, store := range p.Stores {
		sun, held, level := make([]float64, p.N()), make([]float64, p.N()/perHour), make([]float64, p.N()/perHour)
		for t := range sun {
			h := t / perHour
			held[h] = s.StoredKWh[k][h*perHour]
			if !burning(s, t) {
				continue
			}
			for f := range s.SunStoreKW {
				sun[t] += s.SunStoreKW[f][k][t]
			}
			cheapest, sole := heatCosts(p, t)
			switch worth := s.StorePrice[k][t]; {
			case worth <= cheapest*(1+worthTol):
			case sole:
				level[h] = s.StoredKWh[k][(h+1)*perHour]
			default:
				level[h] = math.NaN()
			}
		}
		w.level = append(w.level, level)
		w.draw, w.sun, w.held = append(w.draw, hourly(s.DischargeKW[k], perHour)), append(w.sun, hourly(sun, perHour)), append(w.held, held)
		w.take = append(w.take, nil)
		if store.HeaderChargeKW > 0 {
			w.take[k] = hourly(s.HeaderChargeKW[k], perHour)
		}
	}
	w.onOff(m, on, p.N(), perHour)
	return w
}

// onOff takes the hours in which boilers fire from a plan that keeps to on and off.
func (w *planned) onOff(m *machine, on [][]bool, n, perHour int) {
	if on == nil {
		return
	}
	for _, i := range m.merit {
		var fires []bool
		if on[i] != nil {
			fires = make([]bool, n/perHour)
			for t, is := range on[i] {
				fires[t/perHour] = fires[t/perHour] || is
			}
		}
		w.fires = append(w.fires, fires)
		w.leadH = append(w.leadH, m.hourly.Boilers[i].StartH)
	}
}

func (w *planned) Orders(seen *replay.Seen, o *replay.Orders) {
	h := seen.Hour
	if h == w.hour {
		w.count(seen)
	} else {
		w.begin(h, seen)
	}
	for k := range w.draw {
		s := &o.Stores[k]
		s.DrawKW, s.SunKW, s.HoldKWh = max(w.draws[k], 0)/w.left, max(w.suns[k], 0)/w.left, 0
		if s.Prescribed = w.letter || math.IsNaN(w.level[k][h]); !s.Prescribed {
			s.HoldKWh = w.level[k][h]
		}
		if w.take[k] != nil {
			s.FromHeaderKW, s.AsSpare = w.take[k][h], false
		}
	}
	for i, fires := range w.fires {
		if fires == nil {
			continue
		}
		next := int(float64(seen.Step)*seen.StepH+w.leadH[i]) % len(fires)
		switch {
		case fires[h]:
			o.Boilers[i].Want = replay.AsNeeded
		case fires[next]:
			o.Boilers[i].Want = replay.KeepHot
		default:
			o.Boilers[i].Want = replay.Rest
		}
	}
}

// begin takes an hour's heat from the plan.
func (w *planned) begin(h int, seen *replay.Seen) {
	w.hour, w.left = h, 1
	for k := range w.draw {
		w.draws[k], w.suns[k] = w.draw[k][h], w.sun[k][h]
		if over := min(seen.Stores[k].KWh, seen.Stores[k].GivesKWh) - w.held[k][h]; !w.letter && w.draws[k] > 0 && over > 0 {
			w.draws[k] += over
		}
	}
}

// count takes off what was done in the step before, so that an hour's heat is spread over what is left of it.
func (w *planned) count(seen *replay.Seen) {
	w.left = max(w.left-seen.StepH, seen.StepH)
	for k := range w.draw {
		w.draws[k] -= seen.Stores[k].DrawKW * seen.StepH
		w.suns[k] -= seen.Stores[k].SunKW * seen.StepH
	}
}

// worthTol is by how much more stored heat must be worth, as a share, to be dearer, and not rounding.
const worthTol = 1e-9

// heatCosts are what the cheapest heat that boilers can give in a step costs, and whether all of it costs that.
func heatCosts(p optimize.Problem, t int) (cheapest float64, sole bool) {
	cheapest = math.Inf(1)
	dearest := 0.0
	for _, b := range p.Boilers {
		if b.Available != nil && b.Available[t] == 0 {
			continue
		}
		for _, piece := range b.Pieces {
			cost := b.FuelPrice[t] * piece.FuelPerHeat
			cheapest, dearest = min(cheapest, cost), max(dearest, cost)
		}
	}
	return cheapest, dearest <= cheapest*(1+worthTol)
}

// usualYear is what is known of the place: another year, or the means of this one.
type usualYear struct {
	p     optimize.Problem // with the varied store at a volume
	hold  []float64        // by step; nil where there is no guide line
	noWhy string           // why there is none
	left  [][][]optimize.Worth
}

// solve finds its guide line, where there is one, and what heat in the stores is usually worth.
func (y *usualYear) solve(ctx context.Context, a clock.Axis, engine string) error {
	every := stepsOf(a, everyH)
	y.left = make([][][]optimize.Worth, len(y.p.Stores))
	guide, err := optimize.Guide(ctx, y.p)
	no := (*optimize.NoGuide)(nil)
	switch {
	case err == nil:
		y.hold = usual(a, guide.HoldKWh)
		worths, err := optimize.Worths(ctx, y.p, every)
		if err != nil {
			return err
		}
		y.left[0] = usualWorths(a, every, worths, y.p.Stores[0].CapacityKWh)
		return nil
	case !errors.As(err, &no):
		return err
	}
	y.noWhy = no.Why
	s, _, err := optimize.Plan(ctx, y.p, optimize.Options{Engine: engine})
	if err != nil {
		return err
	}
	for k, store := range y.p.Stores {
		for i, price := range usual(a, s.StorePrice[k]) {
			if i%every == 0 {
				y.left[k] = append(y.left[k], []optimize.Worth{{PricePerKWh: max(price, 0), KWh: store.CapacityKWh}})
			}
		}
	}
	return nil
}
