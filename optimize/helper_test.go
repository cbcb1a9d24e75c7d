package optimize

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// plantYear is a made-up plant for tests and benchmarks: half-sine sun under random clouds, three
// shifts on six days, a boiler whose last quarter is dear, and a vessel whose loss follows its shell.
type plantYear struct {
	days, stepsPerDay int
	seed              uint64
}

func (y plantYear) problem() Problem {
	n := y.days * y.stepsPerDay
	dt := 24 / float64(y.stepsPerDay)
	rng := rand.New(rand.NewPCG(y.seed, 1))
	p := Problem{Start: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), StepH: dt}
	demand, toHeader, toStore, price := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	clear := 0.0
	for t := range n {
		day, hour := t/y.stepsPerDay, (float64(t%y.stepsPerDay)+0.5)*dt
		if t%y.stepsPerDay == 0 {
			clear = math.Min(1, 0.2+rng.Float64())
		}
		long := 12 - 3*math.Cos(2*math.Pi*float64(day)/365) // hours of daylight
		if x := (hour - 12 + long/2) / long; x > 0 && x < 1 {
			dni := 0.85 * math.Pow(math.Sin(math.Pi*x), 0.7) * clear * (0.7 + 0.3*rng.Float64())
			if dni > 0.25 {
				toHeader[t], toStore[t] = 0.72*dni-0.02, 0.70*dni-0.03
			}
		}
		demand[t] = 150
		if day%7 < 6 && hour > 6 && hour < 22 {
			demand[t] = 550 + 150*rng.Float64()
		}
		price[t] = 0.05
	}
	p.Headers = []Header{{Name: "main", DemandKW: demand}}
	p.Fields = []Field{{Name: "dishes", AreaM2: 1800, HeaderKWM2: [][]float64{toHeader}, StoreKWM2: [][]float64{toStore}, HeatCost: 0.002, FixedCost: 900}}
	p.Boilers = []Boiler{{Name: "B1", Pieces: []Piece{{450, 1.15}, {600, 1.25}}, FuelPrice: price}}
	s, _ := shellLaw(n, dt)(40)
	p.Stores = []Store{s}
	return p
}

// shellLaw is a vessel of 26 kWh/m³ at 165 to 200 degC whose surface grows as V^(2/3).
func shellLaw(n int, dt float64) StoreLaw {
	return func(v float64) (Store, error) {
		s := Store{Name: "vessel", VolumeM3: v, Keep: make([]float64, n), StandingKW: make([]float64, n),
			CapacityKWh: 26 * v, ChargeKW: 40 * v, DischargeKW: 80 * math.Pow(v, 0.8)}
		ua := 0.5 * 5.54 * math.Pow(v, 2.0/3) / 1000 // kW/K
		for t := range n {
			outside := 15 - 10*math.Cos(2*math.Pi*float64(t)/float64(n))
			s.StandingKW[t] = ua * (165 - outside)
			if v > 0 {
				s.Keep[t] = math.Exp(-ua * 35 * dt / s.CapacityKWh)
			}
		}
		return s, nil
	}
}

// needsClp leaves a test out where Clp is not in the program and nothing else takes the problem.
func needsClp(t *testing.T, p Problem) {
	t.Helper()
	why := misfit(p)
	if why == "" {
		why = binds(context.Background(), p)
	}
	if !haveClp && why != "" {
		t.Skip("needs Clp, which is not in this program: " + why)
	}
}

func hourlyYear() Problem { return plantYear{365, 24, 7}.problem() }
