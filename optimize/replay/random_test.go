package replay

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"noonkeep/plant/steam"
	"noonkeep/storage"
)

// randomPlant is a plant of three days: one or two headers, one to three boilers of any kind, up to two fields and up to two
// stores of all kinds.
func randomPlant(r *rand.Rand, stepS int) Plant {
	perHour := 3600 / stepS
	n := 72 * perHour
	p := Plant{StepS: float64(stepS), Steps: n}
	hourly := func(most float64) []float64 {
		v := make([]float64, 72)
		for h := range v {
			if h%24 >= 6 || r.IntN(3) == 0 {
				v[h] = most * (0.3 + 0.7*r.Float64())
			}
		}
		return v
	}
	p.Headers = append(p.Headers, Header{Name: "high", DemandKW: hourly(800), SteamC: 184, FeedwaterC: 85, SlackKWh: 20 * r.Float64() * float64(r.IntN(2)), Above: -1})
	if r.IntN(2) == 0 {
		low := Header{Name: "low", DemandKW: hourly(500), SteamC: header7C, FeedwaterC: 70, SlackKWh: 5, ValveKW: 600 * float64(r.IntN(2))}
		if r.IntN(3) == 0 {
			low.SteamC, low.FeedwaterC, low.MediumC = 0, 0, 95
		}
		p.Headers = append(p.Headers, low)
	}
	last := len(p.Headers) - 1
	for range 1 + r.IntN(3) {
		b := gas("B", 300+900*r.Float64())
		b.Header = r.IntN(last + 1)
		if r.IntN(2) == 0 {
			b.MinFireFrac, b.StartH, b.StartKWh = 0.3*r.Float64(), r.Float64()*float64(r.IntN(2)), 100*r.Float64()
		}
		b.StandbyFrac, b.RampKWH, b.PurgeKWh = 0.02*float64(r.IntN(2)), 2000*r.Float64()*float64(r.IntN(2)), 0
		if r.IntN(4) == 0 {
			b.Available = make([]float64, 72)
			for h := range b.Available {
				b.Available[h] = float64(r.IntN(5)) / 4
			}
		}
		p.Boilers = append(p.Boilers, b)
	}
	if r.IntN(3) == 0 {
		p.Limits = append(p.Limits, Limit{Name: "flue", Boilers: []int{0}, MostKW: 300 + 500*r.Float64(), OfFuel: r.IntN(2) == 0})
	}
	for range r.IntN(3) {
		p.Stores = append(p.Stores, randomStore(r, last))
	}
	for range r.IntN(3) {
		f := Field{Name: "F", AreaM2: 3000 * r.Float64(), Header: r.IntN(last + 1), LagS: 300 * r.Float64() * float64(r.IntN(2))}
		y, floor, hot := dishes(n, perHour)
		if r.IntN(4) > 0 || len(p.Stores) == 0 {
			f.HeaderKWM2 = y
		}
		for range p.Stores {
			f.Stores = append(f.Stores, StoreYields{floor, hot})
		}
		p.Fields = append(p.Fields, f)
	}
	return p
}

func randomStore(r *rand.Rand, last int) Store {
	s := Store{Name: "S", Header: last, From: 0, VolumeM3: 5 + 60*r.Float64(), AmbientC: []float64{15}, LetCool: r.IntN(2) == 0, ChargeKW: 900 * float64(r.IntN(2))}
	switch r.IntN(3) {
	case 0:
		s.Spec = flashSpec(storage.FeedChoice(r.IntN(2)))
		s.Spec.LimitKgH = 1500 * float64(r.IntN(2))
	case 1:
		s.Spec = exchangerSpec()
	default:
		s.Spec = thermoclineSpec()
	}
	if r.IntN(2) == 0 {
		s.HeaderChargeKW = 400
		s.Spec.Working, s.Spec.MarginBar = steam.BarAbs(10.5), 0.2
		if s.Spec.Discharge != storage.Flash {
			s.Spec.SupplyC = 160
		}
	}
	return s
}

// randomWay orders anything that it may.
type randomWay struct{ r *rand.Rand }

func (w randomWay) Orders(seen *Seen, o *Orders) {
	if seen.Step%37 != 0 {
		return
	}
	for k := range o.Stores {
		o.Stores[k] = StoreOrder{
			HoldKWh: 500 * w.r.Float64() * float64(w.r.IntN(2)), SunKW: 300 * w.r.Float64(), Prescribed: w.r.IntN(2) == 0,
			DrawKW: 400 * w.r.Float64(), FromHeaderKW: 300 * float64(w.r.IntN(2)), AsSpare: w.r.IntN(2) == 0,
		}
	}
	for j := range o.Boilers {
		o.Boilers[j] = BoilerOrder{Want: Want(w.r.IntN(3)), BaseKW: 300 * float64(w.r.IntN(2))}
	}
}

// Books close, and no number is impossible, on 200 plants, in the plain rule and under orders at random.
func TestRandomPlants(t *testing.T) {
	worstKg, worstKWh := 0.0, 0.0
	plants := uint64(200)
	if testing.Short() || raced {
		plants = 20
	}
	for seed := range plants {
		r := rand.New(rand.NewPCG(seed, 1))
		p := randomPlant(r, 60)
		for _, w := range []Way{PlainRule{}, randomWay{r}} {
			out, err := Run(context.Background(), p, w, Options{LeadH: 24})
			if err != nil {
				t.Fatalf("seed %d, %T: %v", seed, w, err)
			}
			worstKg, worstKWh = math.Max(worstKg, out.Books.MassResidual), math.Max(worstKWh, out.Books.EnergyResidual)
			if !(out.Books.MassResidual < 1e-9 && out.Books.EnergyResidual < 1e-9) {
				t.Fatalf("seed %d, %T: residuals %.3g and %.3g: %+v", seed, w, out.Books.MassResidual, out.Books.EnergyResidual, out.Books)
			}
			heatCloses(t, seed, &out)
			within(t, seed, &p, &out)
		}
	}
	t.Logf("residuals at most %.2g of mass, %.2g of energy", worstKg, worstKWh)
}

// within wants every vessel in its bounds at every hour: no hotter than its hottest, no fuller than its level control lets it.
func within(t *testing.T, seed uint64, p *Plant, out *Played) {
	t.Helper()
	for k, s := range p.Stores {
		hotC, err := s.Spec.HotC()
		if err != nil {
			t.Fatal(err)
		}
		for h, tC := range out.Series.StoreC[k] {
			if level := out.Series.LevelFrac[k][h]; !(tC <= hotC+0.02 && tC > 10 && level > 0.3 && level <= s.Spec.FillFrac+2*fillBand+0.001) {
				t.Fatalf("seed %d: store %d has %.3f °C and a level of %.4f in hour %d; want at most %.3f °C and %.3f", seed, k, tC, level, h, hotC, s.Spec.FillFrac)
			}
		}
	}
	for l := range p.Headers {
		for h, kW := range out.Series.UnmetKW[l] {
			if most := out.Series.DemandKW[l][h]; !(kW >= 0 && kW <= most+p.Headers[l].SlackKWh+1e-9) {
				t.Fatalf("seed %d: header %d misses %.3f kW of %.3f", seed, l, kW, most)
			}
		}
	}
}

// heatCloses adds up heat as a plan does, from what Played says: each kWh that came in was used, lost or is still there.
// Let down, a kWh may count a little more or less on another feedwater; such plants are left out.
func heatCloses(t *testing.T, seed uint64, out *Played) {
	t.Helper()
	for _, v := range [][]float64{{out.SunHeaderKWh, out.SunStoreKWh, out.SpilledKWh, out.BoilerKWh, out.FuelKWh, out.VentKWh, out.UnmetKWh, out.StoreOutKWh}} {
		for i, x := range v {
			if !(x >= 0) {
				t.Fatalf("seed %d: sum %d is %g; want 0 or more", seed, i, x)
			}
		}
	}
	if len(out.Series.ValveKW) > 1 {
		return
	}
	in := out.SunHeaderKWh + out.SunStoreKWh + out.BoilerKWh
	used := out.DemandKWh - out.UnmetKWh + out.VentKWh + out.LossKWh
	if off := math.Abs(in - used - out.ContentKWh); off > 1e-6*in+0.01 {
		t.Errorf("seed %d: heat in %.1f, out %.1f, more within %.1f kWh: off by %.2f", seed, in, used, out.ContentKWh, off)
	}
}
