package onestore

import "math"

// keepLeast is the keep below which nothing is left of what a store held.
const keepLeast = 1e-9

// stepsPerLook is how many steps are taken between two looks at the context.
const stepsPerLook = 1 << 13

// sameSteps is at how many steps on end a pass must find what the one before it found to be the same
// from there on.
const sameSteps = 48

// pass runs back over the year from the list that stands in y.list at its end and notes at which stored
// heat each piece lands. It returns the last step, going back, whose list still held a stretch of the
// first one: below that step the year's end is forgotten. With below of 0 or more it is a second pass,
// of which the first forgot at that step: it ends where it finds nothing new.
func (y *yearWork) pass(below int) (forgot int, err error) {
	forgot = y.n
	same := 0
	for t := y.n - 1; t >= 0; t-- {
		if t%stepsPerLook == 0 {
			if err := y.ctx.Err(); err != nil {
				return 0, err
			}
		}
		new := y.back(t)
		if y.list.old > 0 {
			forgot = t
		}
		if same++; new || y.list.old > 0 || t >= below {
			same = 0
		}
		if same >= sameSteps {
			break
		}
	}
	return forgot, nil
}

// back takes the list from the end of step t to its start, and says whether a piece landed elsewhere
// than in the pass before.
func (y *yearWork) back(t int) (new bool) {
	l, g := &y.list, y.g(t)
	lands, places := y.lands[y.first[t]:], y.places
	lands, places = lands[:len(g)], places[:len(g)]
	var p place
	for i := len(g) - 1; i >= 0; i-- { // the dearest first, as the list has them
		p = l.find(g[i].price, p)
		places[i] = p.i
		if math.Abs(p.before-lands[i]) > y.slack {
			new = true
		}
		lands[i] = p.before
	}
	for i := range g { // the cheapest first, so that the places of the dearer ones stay
		l.insert(places[i], g[i].price, g[i].len)
	}
	// Low end: at E = 0 the step must gain its standing loss. High end: at E = Q.
	l.cutFront(y.least[t] + y.reach[t] - y.store.Standing[t])
	keep := y.store.Keep[t]
	if keep < keepLeast {
		l.set(0, y.store.Capacity)
		l.at[l.lo].begun, l.old = false, 0
		return new
	}
	l.cutBack(keep * y.store.Capacity)
	l.scale(keep)
	return new
}
