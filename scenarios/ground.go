package scenarios

import (
	"math"
	"slices"

	"noonkeep/plant"
)

// mostLaidOut is the largest field whose shade is worked out collector by collector; of a larger one it is this one's.
const mostLaidOut = 20000

// laidOut gives a field's rows or grid for another number of collectors: rows as long as they are, filled one after the other.
// What the field is besides stays.
func (f Field) laidOut(count int) plant.Field {
	x := f.Field
	if g := x.Grid; g != nil {
		other := *g
		other.Count = min(count, mostLaidOut)
		if f.square {
			other.Columns = squareColumns(other)
		}
		x.Grid = &other
	}
	if r := x.Rows; r != nil {
		other := *r
		other.Count = max(1, (count+f.InRow-1)/f.InRow)
		x.Rows = &other
	}
	return x
}

// sameLayout tells whether two fields shade alike.
func sameLayout(a, b *plant.Field) bool {
	grids := a.Grid == b.Grid || a.Grid != nil && b.Grid != nil && *a.Grid == *b.Grid
	rows := a.Rows == b.Rows || a.Rows != nil && b.Rows != nil && *a.Rows == *b.Rows
	return grids && rows
}

// WithCount gives the case with another number of one field's collectors, which may be a broken one: parts of a collector
// stand for its area. Where they shade each other the field is laid out and worked out anew, with whole collectors.
func (c Case) WithCount(field int, count float64) (Case, error) {
	c.Fields = slices.Clone(c.Fields)
	f := &c.Fields[field]
	if other := f.laidOut(int(math.Ceil(count))); !sameLayout(&other, &f.Field) {
		var err error
		if f.Feeds != ToStoreAlone {
			if f.ToHeader, err = other.Yield(c.Weather, f.AtC); err != nil {
				return Case{}, err
			}
		}
		f.ToStores = slices.Clone(f.ToStores)
		for k, y := range f.ToStores {
			if y.KWM2 == nil {
				continue
			}
			if f.ToStores[k], err = other.Yield(c.Weather, c.Stores[k].HotC()); err != nil {
				return Case{}, err
			}
			if c.Stores[k] == c.Store {
				f.ToStore = f.ToStores[k]
			}
		}
		f.Field = other
	}
	f.Count, f.ApertureM2 = 1, count*f.ApertureM2
	return c, nil
}

// Spacing is what a field would be on its ground at one distance between its collectors.
type Spacing struct {
	AcrossM, AlongM float64 // from row to row; and from place to place in a row of dishes, 0 for rows
	Written         bool    // it is the scenario's own
	Places          int     // collectors that fit
	EachKWh, AllKWh float64 // heat of a year, from one collector and from all places
	ShadedFrac      float64 // of the beam on them, what neighbours take
	GroundFrac      float64 // aperture per ground
}

// spacingSteps are distances that the table of [Case.Spacings] shows, in diameters between the nearest dishes or widths of a row.
var spacingSteps = []float64{1.1, 1.25, 1.5, 1.75, 2, 2.5, 3, 4}

// Spacings tells what the ground of a field would hold and give at tighter and wider spacings, tightest first: the
// scenario's spacing and others of its proportions. Nil for a field without ground.
func (c Case) Spacings(field int) ([]Spacing, error) {
	f := &c.Fields[field]
	if f.Ground == nil || f.Grid == nil && f.Rows == nil {
		return nil, nil
	}
	var now float64
	if f.Grid != nil {
		now = f.Grid.ClosestM() / f.Grid.DiameterM
	} else {
		now = f.Rows.SpacingM / f.Rows.WidthM
	}
	steps := slices.DeleteFunc(slices.Clone(spacingSteps), func(s float64) bool { return math.Abs(s-now) < 0.05*now })
	steps = append(steps, now)
	slices.Sort(steps)
	var all []Spacing
	for _, s := range steps {
		x, err := c.spacing(f, s/now)
		if err != nil {
			return nil, err
		}
		x.Written = s == now
		if x.Places > 0 {
			all = append(all, x)
		}
	}
	return all, nil
}

// spacing fills the ground at so many times the field's spacing.
func (c *Case) spacing(f *Field, by float64) (Spacing, error) {
	x := Spacing{}
	other := f.Field
	if f.Grid != nil {
		g := *f.Grid
		g.EastM, g.NorthM = by*g.EastM, by*g.NorthM
		g = f.Ground.Dishes(g)
		x.AlongM, x.AcrossM, x.Places = g.EastM, g.NorthM, g.Count
		g.Count = min(g.Count, mostLaidOut)
		other.Grid = &g
	} else {
		r := *f.Rows
		r.SpacingM *= by
		rows, inRow := f.Ground.Rows(f.Collector, r, f.lengthM, f.gapM)
		x.AcrossM, x.Places = r.SpacingM, rows*inRow
		r.Count = max(1, rows)
		r.LengthM = float64(inRow)*f.lengthM + float64(max(0, inRow-1))*f.gapM
		other.Rows = &r
	}
	if x.Places == 0 {
		return x, nil
	}
	fluidC := f.AtC
	if k := slices.IndexFunc(f.ToStores, func(y plant.YieldYear) bool { return y.KWM2 != nil }); k >= 0 && f.Feeds == ToStoreAlone {
		fluidC = c.Stores[k].HotC() // the first that it charges
	}
	y, err := other.Yield(c.Weather, fluidC)
	if err != nil {
		return x, err
	}
	x.EachKWh = y.DeliveredKWhM2 * f.ApertureM2
	x.AllKWh = x.EachKWh * float64(x.Places)
	x.ShadedFrac = y.ShadedKWhM2 / max(y.BeamKWhM2, 1e-9)
	x.GroundFrac = float64(x.Places) * f.ApertureM2 / f.Ground.AreaM2()
	return x, nil
}
