package demand

import (
	"fmt"
	"math"
	"slices"
	"sort"
)

const hoursPerDay = 24

// DegreeDays is the heating degree days of a run of steps, K d: the sum over all steps of how far the air lies
// under the balance temperature. Taken from daily means it would be too small on days that cross it.
func DegreeDays(airC []float64, balanceC, stepH float64) float64 {
	sum := 0.0
	for _, tC := range airC {
		sum += max(balanceC-tC, 0)
	}
	return sum * stepH / hoursPerDay
}

// What makes a fit of fuel to degree days fit to be used; common practice, no source.
const (
	leastR2       = 0.6
	leastFitBills = 6
	leastCold     = 3 // bills with any degree days
)

// Balance temperatures between which one is searched; common practice, no source.
const (
	leastBalanceC = 5.0
	mostBalanceC  = 30.0
)

// DegreeDayFit is the line of heat per day against degree days per day over fuel bills, and how good it is. It is
// the three-parameter heating model of ASHRAE Guideline 14-2014 with degree days in place of mean temperatures,
// the balance temperature by search for the least residual as in Fels, Energy and Buildings 9 (1986) 5-18
// (variable-base degree-day regression); or the two-parameter line at a balance temperature that is given.
type DegreeDayFit struct {
	BalanceC float64 // the air's temperature under which heat follows the weather
	Searched bool    // BalanceC was searched; the errors below hold at this BalanceC
	Bills    int     // how many were fitted
	Fitted   int     // how many values were fitted: 3, 2, or 1 where the base came out below nothing

	BaseKWhD, BaseSE float64 // heat per day without weather, 0 or more, and its standard error
	SlopeKWhKD       float64 // heat per degree day, kWh/(K d)
	SlopeSE          float64
	FreeBaseKWhD     float64 // what the base would be if it might be below nothing
	R2               float64 // 1 - RSS/TSS about the mean
	CVRMSEFrac       float64 // sqrt(RSS/(n - p)) over the mean, ASHRAE Guideline 14
	Points           []FitPoint
	Used             bool
	Why              string // why it is not used
	AtEdge           bool   // the search ended at one of its bounds
	rss              float64
}

// FitPoint is one bill in a fit, per day.
type FitPoint struct {
	Line                 int     // where the bill stands
	DegreeDays, KWh, Fit float64 // per day
}

// String says the fit in one line.
func (f DegreeDayFit) String() string {
	if f.SlopeKWhKD == 0 {
		return fmt.Sprintf("%d bills: %s", f.Bills, f.Why)
	}
	s := fmt.Sprintf("%d bills: %.4g kWh/d (±%.3g) and %.4g kWh/(K d) (±%.3g) under %.1f degC, R2 %.3f, CV(RMSE) %.1f %%",
		f.Bills, f.BaseKWhD, f.BaseSE, f.SlopeKWhKD, f.SlopeSE, f.BalanceC, f.R2, 100*f.CVRMSEFrac)
	if f.FreeBaseKWhD < 0 {
		s += fmt.Sprintf("; free, the base would be %.4g kWh/d, so it is held at 0", f.FreeBaseKWhD)
	}
	if f.AtEdge {
		s += "; the balance temperature lies at the bound of what is searched"
	}
	if !f.Used {
		s += "; not used: " + f.Why
	}
	return s
}

// coldBill is one bill's air, ready to give degree days at any balance temperature.
type coldBill struct {
	sortedC, sumC []float64 // sumC[i] is the sum of the i coldest
	days, stepH   float64
}

func coldOf(airC []float64, stepH float64) coldBill {
	c := coldBill{sortedC: slices.Sorted(slices.Values(airC)), days: float64(len(airC)) * stepH / hoursPerDay, stepH: stepH}
	c.sumC = make([]float64, len(airC)+1)
	for i, tC := range c.sortedC {
		c.sumC[i+1] = c.sumC[i] + tC
	}
	return c
}

// perDay is the degree days per day, K.
func (c coldBill) perDay(balanceC float64) float64 {
	n := sort.SearchFloat64s(c.sortedC, balanceC)
	return (float64(n)*balanceC - c.sumC[n]) * c.stepH / hoursPerDay / c.days
}

// fitBills fits heat per day to degree days; balanceC nil searches it.
func fitBills(bills []coldBill, kWhD []float64, balanceC *float64) DegreeDayFit {
	f := DegreeDayFit{Bills: len(bills), Searched: balanceC == nil}
	if len(bills) < leastFitBills {
		f.Why = fmt.Sprintf("too few to part heat by the weather from the rest; want %d or more", leastFitBills)
		return f
	}
	if balanceC != nil {
		f = fitAt(bills, kWhD, *balanceC, 2)
	} else {
		f = searchBalance(bills, kWhD)
	}
	switch {
	case math.IsInf(f.rss, 1):
		f.Why = "too few bills have degree days"
	case f.SlopeKWhKD <= 0:
		f.Why = "heat does not rise as the air grows colder"
	case !(f.R2 >= leastR2):
		f.Why = fmt.Sprintf("R2 is under %g", leastR2)
	default:
		f.Used = true
	}
	return f
}

// searchBalance looks for the balance temperature with the least residual: on a grid of 0.1 K, then finer about the best.
func searchBalance(bills []coldBill, kWhD []float64) DegreeDayFit {
	at := func(tC float64) DegreeDayFit { return fitAt(bills, kWhD, tC, 3) }
	best := at(leastBalanceC)
	const grid = 0.1
	steps := int(math.Round((mostBalanceC - leastBalanceC) / grid))
	for i := 1; i <= steps; i++ {
		// Above the warmest hour all balance temperatures fit alike: the lowest of them is taken.
		if f := at(leastBalanceC + grid*float64(i)); f.rss < best.rss*(1-1e-9) {
			best = f
		}
	}
	lo, hi := max(best.BalanceC-grid, leastBalanceC), min(best.BalanceC+grid, mostBalanceC)
	for hi-lo > 1e-4 {
		a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
		if at(a).rss <= at(b).rss {
			hi = b
		} else {
			lo = a
		}
	}
	if f := at((lo + hi) / 2); f.rss < best.rss*(1-1e-9) {
		best = f
	}
	best.Searched = true
	best.AtEdge = best.BalanceC < leastBalanceC+grid || best.BalanceC > mostBalanceC-grid
	return best
}

// fitAt fits at one balance temperature, base and slope 0 or more. Where no slope can be had, rss is infinite
// or that of the mean.
func fitAt(bills []coldBill, kWhD []float64, balanceC float64, fitted int) DegreeDayFit {
	f := DegreeDayFit{BalanceC: balanceC, Bills: len(bills), Fitted: fitted}
	x, some := make([]float64, len(bills)), 0
	for i, b := range bills {
		if x[i] = b.perDay(balanceC); x[i] > 0 {
			some++
		}
	}
	m, tss := meanOf(kWhD), 0.0
	for _, y := range kWhD {
		tss += (y - m) * (y - m)
	}
	if some < leastCold {
		f.rss, f.BaseKWhD = math.Inf(1), m
		return f
	}
	line := FitLine(x, kWhD)
	f.FreeBaseKWhD = line.Intercept
	if line.Intercept < 0 {
		line = FitThroughOrigin(x, kWhD)
		f.Fitted--
	}
	f.BaseKWhD, f.BaseSE, f.SlopeKWhKD, f.SlopeSE, f.rss = line.Intercept, line.InterceptSE, line.Slope, line.SlopeSE, line.RSS
	if f.SlopeKWhKD < 0 {
		f.SlopeKWhKD, f.SlopeSE, f.BaseKWhD, f.BaseSE, f.rss = 0, 0, m, 0, tss
	}
	// A searched balance temperature costs the errors a degree of freedom more.
	n := float64(len(bills))
	of := func(p int) float64 { return math.Sqrt(f.rss / (n - float64(p))) }
	lineP := 2
	if line.Intercept == 0 && line.InterceptSE == 0 {
		lineP = 1
	}
	if line.ResidualSD > 0 {
		f.BaseSE *= of(f.Fitted) / of(lineP)
		f.SlopeSE *= of(f.Fitted) / of(lineP)
	}
	f.R2 = 1 - f.rss/tss
	f.CVRMSEFrac = of(f.Fitted) / m
	for i := range x {
		f.Points = append(f.Points, FitPoint{DegreeDays: x[i], KWh: kWhD[i], Fit: f.BaseKWhD + f.SlopeKWhKD*x[i]})
	}
	return f
}
