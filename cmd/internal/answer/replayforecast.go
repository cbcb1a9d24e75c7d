package answer

import (
	"math"

	"noonkeep/plant/clock"
)

// forecast says what an operator expects of sun and load who knows the past, the calendar and the place's usual year.
//
// Sun: what a field could give is an index times what it would give under a clear sky. The index of the last hours of
// daylight fades to its usual mean of the month: the convex combination of persistence and climatology whose weight is
// the index' correlation at that distance in time (Yang, Solar Energy 193 (2019) 981-985). Means and correlations are
// those of another year.
//
// Load: what follows the calendar is known; of the rest, the same hour of last week.
type forecast struct {
	axis   clock.Axis
	fields []fieldForecast
	loads  []loadForecast // by header
}

// fieldForecast is that of one field; series are kW per m², by step.
type fieldForecast struct {
	areaM2 float64
	actual []float64 // of its main use
	clear  []float64 // of the same under a clear sky
	best   float64   // of clear

	clearHeaders [][]float64 // by header, nil where it does not feed it
	clearStores  [][]float64
	usual        [12]float64 // index, by month
	fade         []float64   // weight of the last index, by steps ahead
}

// loadForecast is that of one header, kW.
type loadForecast struct {
	known  []float64 // by the calendar
	unsure []float64 // as it came
}

const (
	forecastH = 48.0  // how far ahead the rolling plan looks
	everyH    = 3.0   // how often it is made anew
	lookBackH = 3.0   // of daylight, whose index is the last
	litFrac   = 0.05  // of the best clear step: with less there is no index
	mostIndex = 1.1   // a step can pass the clear sky's by so much
	weekH     = 168.0 // after which a load is taken to come again
	oldestH   = 24.0  // of an index
)

// steps are how many steps of the axis so many hours are.
func stepsOf(a clock.Axis, hours float64) int { return max(1, int(math.Round(hours/a.StepH()))) }

// lastIndex is the index of the last hours of daylight before step t; usual where there were none for a day.
func lastIndex(a clock.Axis, actual, clear []float64, best float64, t int, usual float64) float64 {
	want, sum, sky := stepsOf(a, lookBackH), 0.0, 0.0
	for back := 1; back <= stepsOf(a, oldestH) && want > 0; back++ {
		i := (t - back + a.N) % a.N
		if clear[i] > litFrac*best {
			sum, sky = sum+actual[i], sky+clear[i]
			want--
		}
	}
	if sky == 0 {
		return usual
	}
	return min(sum/sky, mostIndex)
}

// learn takes means and correlations from another year of the same field.
func (f *fieldForecast) learn(a clock.Axis, actual, clear []float64) {
	best := most(clear)
	var sum, sky [12]float64
	month := func(t int) int { return int(a.At(t%a.N).Month()) - 1 }
	for t := range a.N {
		sum[month(t)] += actual[t]
		sky[month(t)] += clear[t]
	}
	for m := range f.usual {
		if sky[m] > 0 {
			f.usual[m] = min(sum[m]/sky[m], mostIndex)
		}
	}
	ahead := stepsOf(a, forecastH)
	xy, xx := make([]float64, ahead), make([]float64, ahead)
	for from := 0; from < a.N; from += stepsOf(a, everyH) {
		usual := f.usual[month(from)]
		x := lastIndex(a, actual, clear, best, from, usual) - usual
		for h := range ahead {
			t := (from + h) % a.N
			if clear[t] > litFrac*best {
				y := actual[t]/clear[t] - f.usual[month(t)]
				xy[h] += clear[t] * x * y
				xx[h] += clear[t] * x * x
			}
		}
	}
	f.fade = make([]float64, ahead)
	for h := range f.fade {
		if xx[h] > 0 {
			f.fade[h] = min(max(xy[h]/xx[h], 0), 1)
		}
	}
}

// index fills in the index expected for the steps from t on.
func (f *fieldForecast) index(a clock.Axis, t int, out []float64) {
	month := func(t int) int { return int(a.At(t%a.N).Month()) - 1 }
	usual := f.usual[month(t)]
	off := lastIndex(a, f.actual, f.clear, f.best, t, usual) - usual
	for h := range out {
		weight := f.fade[min(h, len(f.fade)-1)]
		out[h] = min(max(f.usual[month(t+h)]+weight*off, 0), mostIndex)
	}
}

// load is what a header is expected to ask for in the step h steps after t.
func (l *loadForecast) at(a clock.Axis, t, h int) float64 {
	week := stepsOf(a, weekH)
	i, before := (t+h)%a.N, t+h
	for before >= t { // the last that is past
		before -= week
	}
	return max(l.known[i]+l.unsure[((before%a.N)+a.N)%a.N], 0)
}

// ForecastError is how far the rolling plan's forecasts were off, by how far ahead they looked.
type ForecastError struct {
	FromH float64 `json:"from_h"`
	ToH   float64 `json:"to_h"`
	// Of what the fields could give, in the steps with light: root mean square error, mean error (above 0: too much was
	// expected) and mean.
	SunRMSEKW float64 `json:"sun_rmse_kW"`
	SunBiasKW float64 `json:"sun_bias_kW"`
	SunMeanKW float64 `json:"sun_mean_kW"`
	// Of the load, in all steps.
	LoadRMSEKW float64 `json:"load_rmse_kW"`
	LoadBiasKW float64 `json:"load_bias_kW"`
	LoadMeanKW float64 `json:"load_mean_kW"`
}

var forecastBands = []float64{0, 3, 6, 12, 24, forecastH}

// errors tries the forecast at all times at which the rolling plan asks it.
func (f *forecast) errors() []ForecastError {
	out := make([]ForecastError, len(forecastBands)-1)
	lit, all := make([]float64, len(out)), make([]float64, len(out))
	ahead := stepsOf(f.axis, forecastH)
	index := make([][]float64, len(f.fields))
	for i := range index {
		index[i] = make([]float64, ahead)
	}
	for t := 0; t < f.axis.N; t += stepsOf(f.axis, everyH) {
		for i := range f.fields {
			f.fields[i].index(f.axis, t, index[i])
		}
		for h := range ahead {
			band := 0
			for float64(h)*f.axis.StepH() >= forecastBands[band+1] {
				band++
			}
			e, at := &out[band], (t+h)%f.axis.N
			sun, clear, off := 0.0, 0.0, 0.0
			for i := range f.fields {
				x := &f.fields[i]
				sun, clear = sun+x.areaM2*x.actual[at], clear+x.areaM2*x.clear[at]
				off += x.areaM2 * (index[i][h]*x.clear[at] - x.actual[at])
			}
			if clear > 0 || sun > 0 {
				lit[band]++
				e.SunRMSEKW, e.SunBiasKW, e.SunMeanKW = e.SunRMSEKW+off*off, e.SunBiasKW+off, e.SunMeanKW+sun
			}
			load, off := 0.0, 0.0
			for l := range f.loads {
				kW := f.loads[l].known[at] + f.loads[l].unsure[at]
				load, off = load+kW, off+f.loads[l].at(f.axis, t, h)-kW
			}
			all[band]++
			e.LoadRMSEKW, e.LoadBiasKW, e.LoadMeanKW = e.LoadRMSEKW+off*off, e.LoadBiasKW+off, e.LoadMeanKW+load
		}
	}
	for i := range out {
		e, n, m := &out[i], math.Max(lit[i], 1), math.Max(all[i], 1)
		e.FromH, e.ToH = forecastBands[i], forecastBands[i+1]
		e.SunRMSEKW, e.SunBiasKW, e.SunMeanKW = math.Sqrt(e.SunRMSEKW/n), e.SunBiasKW/n, e.SunMeanKW/n
		e.LoadRMSEKW, e.LoadBiasKW, e.LoadMeanKW = math.Sqrt(e.LoadRMSEKW/m), e.LoadBiasKW/m, e.LoadMeanKW/m
	}
	return out
}

func most(v []float64) float64 {
	best := 0.0
	for _, x := range v {
		best = max(best, x)
	}
	return best
}
