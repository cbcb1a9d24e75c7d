package scenarios

import (
	"fmt"
	"math"

	"noonkeep/plant"
)

// horizon gives the line about the site, nil for none.
func (b *builder) horizon() *plant.Horizon {
	if len(b.f.Site.Horizon) == 0 {
		return nil
	}
	var points []plant.HorizonPoint
	for _, p := range b.f.Site.Horizon {
		points = append(points, plant.HorizonPoint{AzimuthDeg: p.Azimuth.base(), HeightDeg: p.Height.base()})
	}
	h, err := plant.NewHorizon(points)
	if err != nil {
		b.wrap(b.f.Site.Horizon[0].At, err)
		return nil
	}
	return &h
}

// surround sets what stands about a field's collectors, and the ground that holds them.
func (b *builder) surround(f fieldFile, field *Field) {
	field.Horizon = b.c.Horizon
	if field.Collector.Tracking == 0 || !f.Count.set || !f.Aperture.set {
		return // a fault that is noted already
	}
	ground := b.ground(f, field)
	switch {
	case field.Collector.Tracking == plant.TwoAxis:
		b.refuse("is of collectors in rows; dishes on two axes want grid", f.RowSpacing.at, f.RowWidth.at, f.Rows.at, f.RowGap.at)
		b.refuse("is of a trough; a dish has no ends", f.Collector.Length.at, f.Collector.Focal.at)
		if f.Grid != nil {
			b.grid(f, field, ground)
		}
	case f.Grid != nil:
		b.add(f.Grid.At, "is of dishes on two axes; a %v collector wants row_spacing", field.Collector.Tracking)
	default:
		b.rows(f, field, ground)
	}
	if ground != nil && field.Rows == nil && field.Grid == nil && len(b.faults.list) == 0 {
		want := "row_spacing"
		if field.Collector.Tracking == plant.TwoAxis {
			want = "grid"
		}
		b.add(f.Ground.At, "cannot say how many collectors fit; write their %s too", want)
	}
}

// refuse notes a fault at each place that was written.
func (b *builder) refuse(what string, places ...at) {
	for _, p := range places {
		if p.set {
			b.add(p, "%s", what)
		}
	}
}

// grid sets the places of dishes.
func (b *builder) grid(f fieldFile, field *Field, ground *plant.Ground) {
	g := plant.Grid{EastM: f.Grid.East.base(), NorthM: f.Grid.North.base(), Staggered: f.Grid.Pattern.s == "staggered",
		Count: field.Count, DiameterM: f.Grid.Diameter.base()}
	if !f.Grid.East.set {
		return // a fault that is noted already
	}
	if !f.Grid.North.set {
		g.NorthM = g.EastM
		if g.Staggered {
			g.NorthM *= math.Sqrt(3) / 2
		}
		b.note(f.Grid.North.key, fmt.Sprintf("%.4g m", g.NorthM), "so that all neighbours stand as far")
	}
	if !f.Grid.Diameter.set {
		g.DiameterM = math.Sqrt(4 * field.ApertureM2 / math.Pi)
		b.note(f.Grid.Diameter.key, fmt.Sprintf("%.4g m", g.DiameterM), "a circle of the aperture")
	} else if least := math.Sqrt(4 * field.ApertureM2 / math.Pi); g.DiameterM < least*(1-1e-3) {
		b.add(f.Grid.Diameter.at, "%s is less than the %.4g m of a circle of %g m2", quoted(f.Grid.Diameter.String()), least, field.ApertureM2)
	}
	why := "a field about square"
	g.Columns = squareColumns(g)
	if ground != nil {
		g, why = ground.Dishes(g), "as the ground takes them"
		field.Places, g.Count = g.Count, field.Count
		if field.Count > field.Places {
			b.tooMany(f, field, ground, fmt.Sprintf("%.4g x %.4g m", g.EastM, g.NorthM))
			return
		}
	}
	if f.Grid.Columns.set {
		most := g.Columns
		g.Columns = int(f.Grid.Columns.base())
		g.Shorter = g.Shorter && g.Columns == most
		deep := float64(max(1, g.Rows())-1)*g.NorthM + g.DiameterM
		if ground != nil && (g.Columns > most || deep > (ground.NorthM-2*ground.BorderM)*(1+1e-9)) {
			b.add(f.Grid.Columns.at, "%d in %d rows do not fit; the ground takes %d in a row, %d in all", g.Columns, g.Rows(), most, field.Places)
			return
		}
	} else {
		field.square = ground == nil
		b.note(f.Grid.Columns.key, fmt.Sprint(g.Columns), why)
	}
	field.Grid = &g
}

// squareColumns makes a field about as wide as deep.
func squareColumns(g plant.Grid) int {
	return max(1, int(math.Round(math.Sqrt(float64(g.Count)*g.NorthM/g.EastM))))
}

// rows sets the rows of troughs or fixed collectors, and the troughs' ends.
func (b *builder) rows(f fieldFile, field *Field, ground *plant.Ground) {
	width, length := f.RowWidth.base(), f.Collector.Length.base()
	if field.Collector.Tracking == plant.Fixed {
		b.refuse("is of a trough; a fixed collector has no receiver's ends", f.Collector.Length.at, f.Collector.Focal.at)
	}
	switch {
	case !f.RowWidth.set && length > 0:
		width = field.ApertureM2 / length
	case length == 0 && width > 0:
		length = field.ApertureM2 / width
	case length > 0 && width > 0:
		if ratio := field.ApertureM2 / (length * width); ratio < 0.8 || ratio > 1.2 {
			b.doubtAt(f.RowWidth.at, "%.4g m by the collector's length of %.4g m are %.4g m2, and its aperture is %.4g m2", width, length, width*length, field.ApertureM2)
		}
	}
	inRow := 1
	if f.RowSpacing.set {
		inRow = b.rowsOf(f, field, ground, width, length)
	} else {
		b.refuse("has no effect without row_spacing", f.Rows.at, f.RowGap.at)
	}
	b.ends(f, field, width, inRow)
}

// rowsOf sets rows that shade each other and gives how many collectors stand in each.
func (b *builder) rowsOf(f fieldFile, field *Field, ground *plant.Ground, width, length float64) (inRow int) {
	if width == 0 {
		b.add(f.RowWidth.at, "is missing; rows need the width of their aperture to shade each other")
		return 1
	}
	if !f.RowWidth.set {
		b.note(f.RowWidth.key, fmt.Sprintf("%.4g m", width), "aperture over length")
	}
	r := plant.Rows{SpacingM: f.RowSpacing.base(), WidthM: width, Count: int(f.Rows.base())}
	if ground != nil {
		rows, each := ground.Rows(field.Collector, r, length, f.RowGap.base())
		field.Places = rows * each
		if field.Count > field.Places {
			b.tooMany(f, field, ground, fmt.Sprintf("a row spacing of %.4g m", r.SpacingM))
			return 1
		}
		if !f.Rows.set {
			r.Count = (field.Count + each - 1) / max(1, each)
			b.note(f.Rows.key, fmt.Sprint(r.Count), "rows as long as the ground takes them")
		} else if r.Count > rows || (field.Count+r.Count-1)/r.Count > each {
			b.add(f.Rows.at, "%d of %d collectors do not fit; the ground takes %d rows of %d", r.Count, (field.Count+r.Count-1)/r.Count, rows, each)
			return 1
		}
		field.InRow = each
	} else if !f.Rows.set {
		b.add(f.Rows.at, "is missing; rows that shade each other need their number")
		return 1
	}
	if field.Count == 0 {
		return 1
	}
	if r.Count > field.Count {
		b.add(f.Rows.at, "%d are more than the %d collectors", r.Count, field.Count)
		return 1
	}
	inRow = (field.Count + r.Count - 1) / r.Count
	if field.InRow == 0 || f.Rows.set {
		field.InRow = inRow
	}
	r.LengthM = float64(inRow)*length + float64(inRow-1)*f.RowGap.base()
	field.Rows, field.lengthM, field.gapM = &r, length, f.RowGap.base()
	return inRow
}

// ends sets what troughs lose at their ends.
func (b *builder) ends(f fieldFile, field *Field, width float64, inRow int) {
	length, focal := f.Collector.Length, f.Collector.Focal
	switch {
	case focal.set && !length.set:
		b.add(length.at, "is missing; with focal_length it sets the loss at the ends")
	case length.set && !focal.set && field.Collector.Tracking != plant.Fixed:
		b.doubtAt(length.at, "without focal_length no loss at the ends is counted")
	case length.set && focal.set && field.Collector.Tracking != plant.Fixed:
		field.Ends = plant.Ends{LengthM: length.base(), FocalM: focal.base(), WidthM: width}
		if f.RowGap.set {
			field.Ends.InRow, field.Ends.GapM = inRow, f.RowGap.base()
		}
	}
}

// ground gives the ground of a field, nil for none.
func (b *builder) ground(f fieldFile, field *Field) *plant.Ground {
	if f.Ground == nil {
		return nil
	}
	g := plant.Ground{EastM: f.Ground.Width.base(), NorthM: f.Ground.Depth.base(), BorderM: f.Ground.Border.base()}
	sides := f.Ground.Width.set || f.Ground.Depth.set
	switch {
	case f.Ground.Area.set && sides:
		b.add(f.Ground.Area.at, "stands beside width or depth; want the area or the two sides")
		return nil
	case f.Ground.Area.set:
		g.EastM = math.Sqrt(f.Ground.Area.base())
		g.NorthM = g.EastM
		b.note(f.Ground.Width.key, fmt.Sprintf("%.4g m", g.EastM), "a square of the area; an odd shape holds fewer")
	case !f.Ground.Width.set || !f.Ground.Depth.set:
		b.add(f.Ground.At, "has no size; want area, or width and depth")
		return nil
	}
	if err := g.Check(); err != nil {
		b.wrap(f.Ground.At, err)
		return nil
	}
	field.Ground = &g
	return &g
}

// tooMany refuses more collectors than the ground takes.
func (b *builder) tooMany(f fieldFile, field *Field, ground *plant.Ground, spacing string) {
	b.add(f.Count.at, "%d do not fit; the ground of %.4g x %.4g m takes %d at %s. Take fewer, a tighter spacing or more ground",
		field.Count, ground.EastM, ground.NorthM, field.Places, spacing)
}
