package optimize

import (
	"fmt"
	"math/rand/v2"
	"time"
)

// oddProblem is a small plant that the one-store engine takes, made to be awkward: no sun, no demand,
// equal prices, prices of nothing or below, limits of nothing, rho of 0, 0.5 or 1, stores of all sizes.
func oddProblem(rng *rand.Rand) Problem {
	return oddPlant(rng, 1+rng.IntN(12), []float64{0.25, 0.5, 1}[rng.IntN(3)])
}

// oddLeapYear is such a plant over a leap year.
func oddLeapYear(rng *rand.Rand, stepH float64) Problem {
	p := oddPlant(rng, int(366*24/stepH), stepH)
	p.Start = time.Date(2028, 1, 1, 0, 0, 0, 0, time.UTC)
	return p
}

func oddPlant(rng *rand.Rand, n int, stepH float64) Problem {
	pick := func(v ...float64) float64 { return v[rng.IntN(len(v))] }
	series := func(next func() float64) []float64 {
		v := make([]float64, n)
		for t := range v {
			v[t] = next()
		}
		return v
	}
	p := Problem{Start: day1, StepH: stepH}
	demand := pick(0, 50, 100)
	p.Headers = []Header{{Name: "H", UnmetPrice: pick(0.5, 1, 0.06), DemandKW: series(func() float64 {
		return demand * pick(0, 1, 1, rng.Float64())
	})}}
	if rng.IntN(8) > 0 {
		s := Store{Name: "S", VolumeM3: 1, CapacityKWh: pick(0, 1e-3, 50, 200*rng.Float64(), 1e5),
			ChargeKW: pick(0, 20, 60, 1e4), DischargeKW: pick(0, 20, 60, 1e4)}
		keep, standing := pick(0, 0.5, 0.9, 0.99, 1, 1), pick(0, 0, 2, 200)
		s.Keep = series(func() float64 { return keep * pick(1, 1, 1-0.1*rng.Float64()) })
		s.StandingKW = series(func() float64 { return standing * pick(0, 1, 1) })
		if rng.IntN(3) == 0 {
			s.HeaderChargeKW = pick(5, 1000)
		}
		p.Stores = []Store{s}
	}
	heatCost := pick(0, 0, 0.002, 0.04)
	for i := range rng.IntN(4) {
		f := Field{Name: fmt.Sprintf("F%d", i), AreaM2: pick(0, 100, 300), HeatCost: heatCost, HeaderKWM2: make([][]float64, 1), StoreKWM2: make([][]float64, len(p.Stores))}
		sun := func() float64 { return pick(0, 0.3, 0.5, rng.Float64()) }
		if rng.IntN(5) > 0 {
			f.HeaderKWM2[0] = series(sun)
		}
		if rng.IntN(5) > 0 && len(p.Stores) > 0 {
			f.StoreKWM2[0] = series(sun)
			if rng.IntN(2) == 0 && f.HeaderKWM2[0] != nil { // as it is in a plant: less into the store
				for t, y := range f.HeaderKWM2[0] {
					f.StoreKWM2[0][t] = y * pick(1, 0.9, 0.95)
				}
			}
		}
		p.Fields = append(p.Fields, f)
	}
	for i := range rng.IntN(4) {
		price := pick(0.03, 0.05, 0.06, 0)
		b := Boiler{Name: fmt.Sprintf("B%d", i), FuelPrice: series(func() float64 { return price + pick(0, 0, 0.02) }),
			Pieces: []Piece{{pick(0, 30, 80), 1.1}, {pick(0, 30), 1.3}}}
		if rng.IntN(6) == 0 {
			b.FuelPrice[rng.IntN(n)] = -0.02
		}
		if rng.IntN(4) == 0 {
			b.Available = series(func() float64 { return pick(0, 0.5, 1) })
		}
		p.Boilers = append(p.Boilers, b)
	}
	return p
}
