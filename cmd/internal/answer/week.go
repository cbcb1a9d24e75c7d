package answer

import "math"

// Week is seven days of a plan, from the step From up to but without To.
type Week struct{ From, To int }

// WeekOf is the Monday-to-Sunday week that holds step i, cut at the year's ends.
func (p Plan) WeekOf(i int) Week {
	perDay := int(math.Round(24 / p.Axis.StepH()))
	day := i / perDay
	monday := day - (int(p.Axis.At(i).Weekday())+6)%7
	from, to := max(monday*perDay, 0), min((monday+7)*perDay, p.Axis.N)
	return Week{from, to}
}

// BusiestWeek is the week in which the store gives the most heat; without any, the week of most sun.
func (p Plan) BusiestWeek() Week {
	best, most := p.WeekOf(0), 0.0
	for _, series := range [][]float64{p.StoreOutKW, p.SunToHeaderKW, p.DemandKW} {
		for i := 0; i < p.Axis.N; {
			w := p.WeekOf(i)
			if heat := sum(series[w.From:w.To]); heat > most {
				best, most = w, heat
			}
			i = w.To
		}
		if most > 0 {
			break
		}
	}
	return best
}
