package answer

import (
	"math"
	"slices"
)

// Spread is how a figure lies over several years. "Exceeded in 90 % of years" and the like are of single years to come that
// are drawn as these were.
//
// P10, P50 and P90 are the quantiles that are exceeded in 10, 50 and 90 % of years, by definition 6 of Hyndman and Fan (The
// American Statistician 50, 1996): the k-th lowest of n years is undershot with k/(n+1), straight between. So P90 of fewer
// than nine years would lie outside them; under [leastYears] it is null, and so is P10. P90Normal and P10Normal are the
// estimates from mean and standard deviation of a normal distribution, as assessments of the solar resource take them
// for few years; they are null under [leastForNormal].
type Spread struct {
	Mean      float64  `json:"mean"`
	StdDev    float64  `json:"std_dev"`            // of single years, by n-1
	StdErr    float64  `json:"std_error"`          // of the mean
	Least     float64  `json:"least"`              // of all years
	Most      float64  `json:"most"`               //
	P10       *float64 `json:"p10"`                // exceeded in 10 % of years
	P50       *float64 `json:"p50"`                // exceeded in half of them
	P90       *float64 `json:"p90"`                // exceeded in 90 % of them
	P10Normal *float64 `json:"p10_normal"`         // mean + 1.2816 standard deviations
	P90Normal *float64 `json:"p90_normal"`         // mean - 1.2816 standard deviations
	CoeffVar  *float64 `json:"coeff_of_variation"` // StdDev over the mean's size; null at a mean of 0
}

// How many years there must be for a figure to be given at all.
const (
	leastYears     = 10 // for P10 and P90 as quantiles; common practice, and definition 6 needs nine
	leastForNormal = 3  // for those from a normal distribution; of two years a standard deviation is off by 70 %
)

// spreadOf describes values, one for each year; there is at least one.
func spreadOf(values []float64) Spread {
	n := float64(len(values))
	sorted := slices.Sorted(slices.Values(values))
	s := Spread{Least: sorted[0], Most: sorted[len(sorted)-1], P50: new(float64)}
	for _, v := range sorted { // in this order, so that equal years give equal sums in any order
		s.Mean += v / n
	}
	square := 0.0
	for _, v := range sorted {
		square += (v - s.Mean) * (v - s.Mean)
	}
	if n > 1 && s.Least < s.Most {
		s.StdDev = math.Sqrt(square / (n - 1))
	}
	s.StdErr = s.StdDev / math.Sqrt(n)
	*s.P50 = quantile(sorted, exceeded(50))
	if n >= leastYears {
		p10, p90 := quantile(sorted, exceeded(10)), quantile(sorted, exceeded(90))
		s.P10, s.P90 = &p10, &p90
	}
	if n >= leastForNormal {
		p10, p90 := s.Mean+normalZ(exceeded(10))*s.StdDev, s.Mean+normalZ(exceeded(90))*s.StdDev
		s.P10Normal, s.P90Normal = &p10, &p90
	}
	if s.Mean != 0 {
		share := s.StdDev / math.Abs(s.Mean)
		s.CoeffVar = &share
	}
	return s
}

// Low and High are P90 and P10: the quantiles, or with too few years for them those of a normal distribution; with too few
// for that, the lowest and highest year.
func (s Spread) Low() float64  { return firstOf3(s.P90, s.P90Normal, s.Least) }
func (s Spread) High() float64 { return firstOf3(s.P10, s.P10Normal, s.Most) }

func firstOf3(a, b *float64, c float64) float64 {
	switch {
	case a != nil:
		return *a
	case b != nil:
		return *b
	}
	return c
}

// exceeded is the probability not to exceed what is exceeded in so many percent of years.
func exceeded(percent float64) float64 { return 1 - percent/100 }

// quantile is definition 6 of Hyndman and Fan 1996: p(k) = k/(n+1), straight between the order statistics, and the first
// or last of them beyond.
func quantile(sorted []float64, p float64) float64 {
	n := len(sorted)
	at := p * float64(n+1)
	k := int(math.Floor(at + 1e-9)) // 0.1·(19+1) is 2
	switch {
	case k < 1:
		return sorted[0]
	case k >= n:
		return sorted[n-1]
	}
	return sorted[k-1] + math.Max(0, at-float64(k))*(sorted[k]-sorted[k-1])
}

// normalZ is the standard normal distribution's quantile: -1.2816 at 0.1.
func normalZ(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }

// Cautious is a P90 that a lender asks for: the years' spread and what weather data and model may be off, both standard
// deviations over the mean, as independent parts of one normal distribution.
type Cautious struct {
	UnsureFrac  float64 `json:"unsure_share"`     // as given
	BetweenFrac float64 `json:"between_years"`    // the years' own standard deviation over their mean
	OneYear     float64 `json:"p90_of_one_year"`  // mean·(1 - 1.2816 sqrt(unsure² + between²))
	OfYears     int     `json:"years_of_life"`    // 0 where no life is given
	MeanOfYears float64 `json:"p90_of_life_mean"` // the same with between²/years
}

// cautiousOf combines the parts; the mean of several years has the years' part less, that of the data not.
func cautiousOf(s Spread, unsureFrac float64, years int) Cautious {
	c := Cautious{UnsureFrac: unsureFrac, OfYears: years}
	if s.CoeffVar != nil {
		c.BetweenFrac = *s.CoeffVar
	}
	at := func(n float64) float64 {
		return s.Mean + normalZ(exceeded(90))*math.Abs(s.Mean)*math.Hypot(unsureFrac, c.BetweenFrac/math.Sqrt(n))
	}
	c.OneYear = at(1)
	if years > 0 {
		c.MeanOfYears = at(float64(years))
	}
	return c
}
