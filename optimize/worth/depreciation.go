package worth

import (
	"fmt"
	"slices"
)

// Depreciation says how capital is written off for tax. The zero value writes nothing off before the end.
type Depreciation struct {
	Method   Method
	RateFrac float64   // of the balance, per year: of the declining ones
	Years    int       // of the straight line, and of the line that a declining balance goes over to
	Shares   []float64 // of a schedule: of the cost, in years 1, 2, ...
	Name     string    // of a published schedule
}

// Method is a way to write off.
type Method int

// The ways to write off.
const (
	NotWrittenOff Method = iota
	StraightLine         // an equal part each year
	Declining            // a share of what is left; the rest at the end of the life
	DecliningThenStraight
	Scheduled // by published shares
)

// String names the method in words.
func (m Method) String() string {
	return [...]string{"not written off", "straight line", "declining balance", "declining balance with switch to straight line", "schedule"}[m]
}

// Check tells what is wrong.
func (d Depreciation) Check() error {
	var f faults
	switch d.Method {
	case NotWrittenOff:
	case StraightLine:
		f.require(d.Years >= 1, "depreciation: is over %d years; want 1 or more", d.Years)
	case Declining:
		f.require(d.RateFrac > 0 && d.RateFrac <= 1, "depreciation: rate: is %g %%; want more than 0, up to 100 %%", 100*d.RateFrac)
	case DecliningThenStraight:
		f.require(d.RateFrac > 0 && d.RateFrac <= 1, "depreciation: rate: is %g %%; want more than 0, up to 100 %%", 100*d.RateFrac)
		f.require(d.Years >= 1, "depreciation: is over %d years; want 1 or more, for the straight line at its end", d.Years)
	case Scheduled:
		sum := 0.0
		for i, s := range d.Shares {
			f.require(s >= 0 && s <= 1, "depreciation: schedule: is %g %% in year %d; want 0 to 100 %%", 100*s, i+1)
			sum += s
		}
		f.require(len(d.Shares) > 0, "depreciation: schedule: is empty; want a share for each year")
		// Published percentages are rounded: Table A-1 of IRS Publication 946 sums to 100 % within a hundredth.
		f.require(len(d.Shares) == 0 || sum <= 1+1e-4, "depreciation: schedule: sums to %.6g %%; want at most 100 %%", 100*sum)
	default:
		f.require(false, "depreciation: method %d is not known", d.Method)
	}
	return f.err()
}

// WrittenOff is the share of the cost that is written off in years 1 to n.
func (d Depreciation) WrittenOff(n int) []float64 {
	out := make([]float64, n)
	left := 1.0
	for i := range out {
		switch d.Method {
		case StraightLine:
			if i < d.Years {
				out[i] = 1 / float64(d.Years)
			}
		case Declining:
			out[i] = d.RateFrac * left
		case DecliningThenStraight:
			if i < d.Years {
				out[i] = max(d.RateFrac*left, left/float64(d.Years-i))
			}
		case Scheduled:
			if i < len(d.Shares) {
				out[i] = d.Shares[i]
			}
		}
		left -= out[i]
	}
	return out
}

// macrs are the half-year percentages of IRS Publication 946, Table A-1, by recovery period.
var macrs = map[int][]float64{
	3:  {33.33, 44.45, 14.81, 7.41},
	5:  {20, 32, 19.2, 11.52, 11.52, 5.76},
	7:  {14.29, 24.49, 17.49, 12.49, 8.93, 8.92, 8.93, 4.46},
	10: {10, 18, 14.4, 11.52, 9.22, 7.37, 6.55, 6.55, 6.56, 6.55, 3.28},
	15: {5, 9.5, 8.55, 7.7, 6.93, 6.23, 5.9, 5.9, 5.91, 5.9, 5.91, 5.9, 5.91, 5.9, 5.91, 2.95},
	20: {3.75, 7.219, 6.677, 6.177, 5.713, 5.285, 4.888, 4.522, 4.462, 4.461, 4.462, 4.461, 4.462, 4.461, 4.462, 4.461, 4.462, 4.461, 4.462, 4.461, 2.231},
}

// MACRSYears are the recovery periods that have a published schedule.
func MACRSYears() []int { return []int{3, 5, 7, 10, 15, 20} }

// MACRS is the published half-year schedule of a recovery period: IRS Publication 946, Table A-1.
func MACRS(years int) (Depreciation, error) {
	percent, ok := macrs[years]
	if !ok {
		return Depreciation{}, fmt.Errorf("MACRS has no recovery period of %d years; want one of %v", years, MACRSYears())
	}
	d := Depreciation{Method: Scheduled, Name: fmt.Sprintf("MACRS %d", years), Shares: slices.Clone(percent)}
	for i := range d.Shares {
		d.Shares[i] /= 100
	}
	return d, nil
}

// HalfYear is the rule behind such schedules: a declining balance of so many times the straight line over so many years,
// half a year's worth in the first and last, going over to the straight line once that is more.
func HalfYear(times float64, years int) []float64 {
	out := make([]float64, years+1)
	left, rate := 1.0, times/float64(years)
	for i := range out {
		remaining := float64(years) - float64(i) + 0.5
		switch {
		case i == 0:
			out[i] = rate / 2
		case i == years:
			out[i] = left
		default:
			out[i] = max(rate*left, left/remaining)
		}
		left -= out[i]
	}
	return out
}
