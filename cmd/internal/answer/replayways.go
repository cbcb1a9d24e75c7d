package answer

import (
	"context"
	"errors"

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
			w.held = append(w.held, min(max(s.KWh, 0), w.r.p.Stores[k].CapacityKWh))
		}
		w.course, w.err = w.r.plan(w.ctx, from, w.held)
	}
	if w.err != nil {
		return
	}
	w.follow(t-w.at, o)
}

// follow orders what the plan says of its step i: levels rather than flows, since sun and load come otherwise than expected.
// A store is kept at what the plan leaves in it where a boiler burns meanwhile, and gives all it has where none does.
func (w *rolling) follow(i int, o *replay.Orders) {
	c := &w.course
	for k := range c.StoredKWh {
		fires := burning(&c.Schedule, i)
		s := &o.Stores[k]
		s.HoldKWh, s.SunKW = 0, 0
		switch {
		case k == 0 && c.HoldKWh != nil:
			s.HoldKWh = c.HoldKWh[i]
		case fires:
			s.HoldKWh = c.StoredKWh[k][i+1]
		}
		if fires { // the store is served before the header
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

// planned is the plan by the hour. To the letter, each draw is prescribed. By levels, the store gives as the header needs
// while the plan has no boiler burn, and else down to what the plan leaves in it: the same heat over the hour, but not the
// same in each of its minutes. Sun is kept for the store only where the header could have used it, that is, where a boiler burns.
//
// Of a plan that keeps to on and off, a boiler that the plan has off may rest, and one that it lights is started in time.
type planned struct {
	replay.Follow
	hold  [][]float64 // [store][hour]; nil to the letter
	fires [][]bool    // [machine's boiler][hour]; nil for one that is on as needed
	leadH []float64   // before its hour
}

func plannedOf(m *machine, p optimize.Problem, s *optimize.Schedule, on [][]bool, letter bool) *planned {
	perHour := max(1, int(1/p.StepH+0.5))
	w := &planned{}
	for k, store := range p.Stores {
		sun, hold := make([]float64, p.N()), make([]float64, p.N()/perHour)
		for t := range sun {
			if !burning(s, t) {
				continue
			}
			for f := range s.SunStoreKW {
				sun[t] += s.SunStoreKW[f][k][t]
			}
			hold[t/perHour] = s.StoredKWh[k][(t/perHour+1)*perHour]
		}
		f := replay.FollowStore{SunKW: hourly(sun, perHour)}
		if store.HeaderChargeKW > 0 {
			f.FromHeaderKW = hourly(s.HeaderChargeKW[k], perHour)
		}
		if letter {
			f.DrawKW = hourly(s.DischargeKW[k], perHour)
		} else {
			w.hold = append(w.hold, hold)
		}
		w.Stores = append(w.Stores, f)
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
	w.Follow.Orders(seen, o)
	for k, hold := range w.hold {
		o.Stores[k].HoldKWh = hold[seen.Hour]
	}
	for i, fires := range w.fires {
		if fires == nil {
			continue
		}
		next := int(float64(seen.Step)*seen.StepH+w.leadH[i]) % len(fires)
		switch {
		case fires[seen.Hour]:
			o.Boilers[i].Want = replay.AsNeeded
		case fires[next]:
			o.Boilers[i].Want = replay.KeepHot
		default:
			o.Boilers[i].Want = replay.Rest
		}
	}
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
