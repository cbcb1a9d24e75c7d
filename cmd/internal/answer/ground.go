package answer

import (
	"fmt"
	"math"
	"strings"

	"noonkeep/plant"
	"noonkeep/scenarios"
)

// groundsOf gives a section for each field with ground: what fits, and what a tighter spacing costs.
func groundsOf(c scenarios.Case) ([]Section, error) {
	var all []Section
	for i, f := range c.Fields {
		spacings, err := c.Spacings(i)
		if err != nil {
			return nil, err
		}
		if f.Ground == nil || len(spacings) == 0 {
			continue
		}
		s := Section{Title: "ground of field " + f.Name}
		area := f.Ground.AreaM2()
		s.add("ground", "%.4g m by %.4g m, %.4g m free along its sides; %d places, %d taken: %.0f m² of aperture on %.0f m², %.2f of it",
			f.Ground.EastM, f.Ground.NorthM, f.Ground.BorderM, f.Places, f.Count, f.AreaM2(), area, f.AreaM2()/area)
		s.add("other spacings", "with every place taken; the shade is a share of the year's beam:")
		for _, x := range spacings {
			s.add(spacingName(x), "%d places, %.4g MWh/a each, %.4g in all; %.1f %% shaded%s",
				x.Places, x.EachKWh/1000, x.AllKWh/1000, 100*x.ShadedFrac, written(x))
		}
		all = append(all, s)
	}
	return all, nil
}

func spacingName(x scenarios.Spacing) string {
	if x.AlongM == 0 {
		return fmt.Sprintf("rows %.3g m apart", x.AcrossM)
	}
	return fmt.Sprintf("%.3g m by %.3g m", x.AlongM, x.AcrossM)
}

func written(x scenarios.Spacing) string {
	if x.Written {
		return ", as written"
	}
	return ""
}

// shade adds what stands between a field and its beam, where anything does.
func (s *Section) shade(f scenarios.Field) {
	y := f.Yield()
	for _, stored := range f.ToStores {
		if y.KWM2 == nil { // it feeds a store alone, and not the first
			y = stored
		}
	}
	if f.Grid != nil {
		s.add("", "%d rows of %d, %.4g m by %.4g m%s", f.Grid.Rows(), f.Grid.Columns, f.Grid.EastM, f.Grid.NorthM, staggered(f.Grid))
	}
	if f.Rows != nil {
		s.add("", "%d rows %.4g m wide, %.4g m apart", f.Rows.Count, f.Rows.WidthM, f.Rows.SpacingM)
	}
	if f.Horizon.Level() && f.Grid == nil && f.Rows == nil && !f.Ends.Set() {
		return
	}
	var parts []string
	for _, x := range []struct {
		kWhM2 float64
		there bool
		text  string
	}{
		{y.HorizonKWhM2, !f.Horizon.Level(), "hills take %.1f %%"},
		{y.ShadedKWhM2, f.Grid != nil || f.Rows != nil, "neighbours shade %.1f %%"},
		{y.EndsKWhM2, f.Ends.Set(), "%.1f %% passes the receivers' ends"},
	} {
		if x.there {
			parts = append(parts, fmt.Sprintf(x.text, 100*x.kWhM2/math.Max(y.BeamKWhM2, 1)))
		}
	}
	s.add("", "of %.0f kWh/m² of beam %s", y.BeamKWhM2, strings.Join(parts, ", "))
}

func staggered(g *plant.Grid) string {
	if g.Staggered {
		return ", every other row set over"
	}
	return ""
}
