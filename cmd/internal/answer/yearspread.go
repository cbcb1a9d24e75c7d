package answer

import (
	"cmp"
	"fmt"
	"slices"

	"noonkeep/scenarios"
)

// describe works out all that is said of the years together.
func (y *Years) describe(c scenarios.Case, opt YearsOptions) {
	for i := range y.Years {
		x := &y.Years[i]
		if len(x.curve) > 0 {
			best, edge := bestPaying(x.curve, y.yearly)
			x.BestVolumeM3, x.BestAtEdge = &best, edge
		}
		y.CertifiedGap = max(y.CertifiedGap, x.gap)
		y.Proof = Proof{max(y.Proof.PrimalResidual, x.proof.PrimalResidual), max(y.Proof.DualResidual, x.proof.DualResidual), max(y.Proof.DualityGap, x.proof.DualityGap)}
	}
	y.spreads()
	y.extremes()
	if c.Store != nil {
		y.volumes()
		y.bestOfMean()
	}
	life := 0
	if c.Money.LifeH > 0 {
		life = int(c.Money.LifeH/hoursPerYear + 0.5)
	}
	y.Cautious = cautiousOf(y.Spread.SavingsVsBoilersOnly, opt.UnsureFrac, life)
	y.notes(c)
}

// spreads describes the figures of the years.
func (y *Years) spreads() {
	of := func(value func(WeatherYear) float64) Spread {
		var v []float64
		for _, x := range y.Years {
			v = append(v, value(x))
		}
		return spreadOf(v)
	}
	y.Spread = YearsSpread{
		DNIKWhM2:             of(func(x WeatherYear) float64 { return x.DNIKWhM2 }),
		GHIKWhM2:             of(func(x WeatherYear) float64 { return x.GHIKWhM2 }),
		DemandKWh:            of(func(x WeatherYear) float64 { return x.DemandKWh }),
		AnnualCost:           of(func(x WeatherYear) float64 { return x.AnnualCost }),
		SavingsVsBoilersOnly: of(func(x WeatherYear) float64 { return x.SavingsVsBoilersOnly }),
		SavingsVsNoStorage:   of(func(x WeatherYear) float64 { return x.SavingsVsNoStorage }),
		SolarFraction:        of(func(x WeatherYear) float64 { return x.SolarFraction }),
		FuelKWh:              of(func(x WeatherYear) float64 { return x.FuelKWh }),
		CO2Kg:                of(func(x WeatherYear) float64 { return x.CO2Kg }),
	}
	if y.Years[0].BestVolumeM3 != nil {
		best := of(func(x WeatherYear) float64 { return *x.BestVolumeM3 })
		y.Spread.BestVolumeM3 = &best
	}
}

const hoursPerYear = 8760

// extremes names the years that save least and most over boilers alone; the first of several alike.
func (y *Years) extremes() {
	worst, best := 0, 0
	for i, x := range y.Years {
		if x.SavingsVsBoilersOnly < y.Years[worst].SavingsVsBoilersOnly {
			worst = i
		}
		if x.SavingsVsBoilersOnly > y.Years[best].SavingsVsBoilersOnly {
			best = i
		}
	}
	if worst != best {
		y.WorstYear, y.BestYear = y.Years[worst].Name, y.Years[best].Name
	}
}

// volumes describes the volumes that all years were solved at: the first points of every curve, and no store.
func (y *Years) volumes() {
	y.Volumes = []VolumeSpread{}
	for _, first := range y.Years[0].curve {
		at := y.at(first.VolumeM3)
		if len(at) < len(y.Years) {
			continue
		}
		of := func(value func(Point) float64) (v []float64) {
			for _, p := range at {
				v = append(v, value(p))
			}
			return v
		}
		savings := of(func(p Point) float64 { return p.SavingsVsNoStorage })
		y.Volumes = append(y.Volumes, VolumeSpread{
			VolumeM3: first.VolumeM3, SavingsVsNoStorage: spreadOf(savings), Savings: savings,
			SavingsVsBoilersOnly: spreadOf(of(func(p Point) float64 { return p.SavingsVsBoilersOnly })),
			MarginalSavingsPerM3: spreadOf(of(func(p Point) float64 { return p.MarginalSavingsPerM3 })),
			SolarFraction:        spreadOf(of(func(p Point) float64 { return p.SolarFraction })),
			FuelKWh:              spreadOf(of(func(p Point) float64 { return p.FuelKWh })),
		})
	}
}

// at are the points of all years that were solved at a volume.
func (y *Years) at(volumeM3 float64) (points []Point) {
	for _, x := range y.Years {
		i, has := slices.BinarySearchFunc(x.curve, volumeM3, func(p Point, v float64) int { return cmp.Compare(p.VolumeM3, v) })
		if has {
			points = append(points, x.curve[i])
		}
	}
	return points
}

// bestOfMean reads the best volume off the mean curve: the mean of slopes is the slope of the mean.
func (y *Years) bestOfMean() {
	var mean []Point
	for _, v := range y.Volumes {
		mean = append(mean, Point{VolumeM3: v.VolumeM3, SavingsVsNoStorage: v.SavingsVsNoStorage.Mean, MarginalSavingsPerM3: v.MarginalSavingsPerM3.Mean})
	}
	best, edge := bestPaying(mean, y.yearly)
	y.BestVolumeM3, y.BestAtEdge = &best, edge
}

// notes says what the spread stands for, and what it leaves out.
func (y *Years) notes(c scenarios.Case) {
	say := func(format string, args ...any) { y.Notes = append(y.Notes, fmt.Sprintf(format, args...)) }
	n := len(y.Years)
	dni, ghi := y.Spread.DNIKWhM2, y.Spread.GHIKWhM2
	share := func(s Spread) float64 {
		if s.CoeffVar == nil {
			return 0
		}
		return 100 * *s.CoeffVar
	}
	if y.Weather == WeatherGenerated {
		switch {
		case y.BetweenYearsFrac == 0:
			say("every generated year has the monthly means exactly, and so differs less than real years do: the sun's sum on the level by %.1f %% (standard deviation), its beam by %.1f %%; "+
				"where the site's years are known to differ by so many percent, write weather.monthly.between_years", share(ghi), share(dni))
		default:
			say("the sun of each generated year is drawn about the means, by %.3g %% from year to year; in these %d years by %.1f %%, and its beam by %.1f %%; all months of a year lie to one side",
				100*y.BetweenYearsFrac, n, share(ghi), share(dni))
		}
	} else {
		say("the calendar stays that of %d in every year: weekdays, holidays and hours of work; the weather is that of each year, at its month, day and hour, and loads that follow the weather are worked out anew", y.CalendarYear)
	}
	if n < leastYears {
		say("%d years are too few for what is exceeded in 90 %% of years: P10 and P90 are not taken from them, and what a normal distribution makes of them is unreliable (want %d years or more)", n, leastYears)
	}
	if len(c.Fields) == 0 {
		say("the plant has no collectors: years differ by the loads that follow the weather, and by the tank's loss")
	}
	if y.WorstYear == "" {
		say("all years save the same: nothing that counts in this plant follows the weather")
	}
}
