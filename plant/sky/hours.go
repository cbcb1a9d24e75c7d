package sky

import (
	"math"
	"math/rand/v2"
)

// tag is the hourly model of Aguiar and Collares-Pereira, Solar Energy 49 (1992) 167-174, for a day of one clearness; its
// coefficients are read in checks-sun.md 4.3.
type tag struct{ lambda, epsilon, kappa, a, b, phi float64 }

func tagOf(k float64) tag {
	return tag{
		lambda:  -0.19 + 1.12*k + 0.24*math.Exp(-8*k),
		epsilon: 0.32 - 1.60*(k-0.5)*(k-0.5),
		kappa:   0.19 + 2.27*k*k - 2.51*k*k*k,
		a:       0.14 * math.Exp(-20*(k-0.35)*(k-0.35)),
		b:       3*(k-0.45)*(k-0.45) + 16*math.Pow(k, 5),
		phi:     0.38 + 0.06*math.Cos(7.4*k-2.5),
	}
}

// mean and spread are the hour's mean clearness and its standard deviation at the sine of the sun's height.
func (t tag) mean(sinH float64) float64   { return t.lambda + t.epsilon*math.Exp(-t.kappa/sinH) }
func (t tag) spread(sinH float64) float64 { return t.a * math.Exp(t.b*(1-sinH)) }

// clearBound is the model's highest clearness some hours from the sun's noon.
func clearBound(hoursFromNoon float64) float64 { return 0.88 * math.Cos(math.Pi*hoursFromNoon/30) }

const (
	redraws = 50
	// leastShape keeps a day whose every hour was drawn at 0 able to be scaled.
	leastShape = 1e-6
	// clearLinke is the turbidity of the clearest air, for the bound of beam.
	clearLinke = 2
)

// hours draws the hours of each day and parts them into beam and diffuse.
func (g *generator) hours(d *dice) {
	v, ones := make([]float64, 24), make([]float64, 24)
	limits := make([][2]float64, 24)
	for i := range ones {
		ones[i] = 1
	}
	for n, day := range g.day {
		hours := g.hour[n*24 : n*24+24]
		drawDay(hours, tagOf(day.clearness), v, d)
		for i, h := range hours {
			limits[i] = [2]float64{0, h.mostWM2}
		}
		scaleTo(day.clearness*day.outsideWh, v, ones, limits)
		for i := range hours {
			hours[i].light = g.part(hours[i], v[i])
		}
	}
}

// drawDay draws global light before scaling: mean plus a first-order series, each hour drawn anew until within bounds.
func drawDay(hours []skyHour, t tag, v []float64, d *dice) {
	y, first := 0., true
	for i, h := range hours {
		v[i] = 0
		if h.outsideWM2 == 0 {
			continue
		}
		most := h.mostWM2 / h.outsideWM2
		mean, spread := t.mean(h.cosLit), t.spread(h.cosLit)
		kt := mean
		for range redraws {
			next := t.phi*y + math.Sqrt(1-t.phi*t.phi)*d.normal()
			if first {
				next = d.normal()
			}
			if kt = mean + spread*next; kt >= 0 && kt <= most {
				y = next
				break
			}
		}
		first = false
		v[i] = h.outsideWM2 * math.Max(leastShape, math.Min(most, kt))
	}
}

// part splits an hour by Erbs. The sun of the lit part of the hour is taken, and beam is held under that of very clear air.
func (g *generator) part(h skyHour, ghiWM2 float64) Light {
	if ghiWM2 <= 0 || h.cosLit <= math.Sin(rad(lowestBeamDeg)) {
		return Light{GHI: ghiWM2, DHI: ghiWM2}
	}
	zenith := deg(math.Acos(h.cosLit))
	absolute := AirMass(zenith) * AirPressureBarA(g.place.ElevationM) / AirPressureBarA(0)
	clear := Air{ElevationM: g.place.ElevationM, Linke: clearLinke}.ClearSky(zenith, absolute, h.normalWM2)
	beam := ghiWM2 * (1 - ErbsHourly(ghiWM2/h.outsideWM2)) / h.cosLit
	beam = math.Min(beam, clear.DNI*h.litShare)
	return Light{GHI: ghiWM2, DNI: beam, DHI: ghiWM2 - beam*h.cosLit}
}

// The streams of random numbers, so that wind does not change with light.
const (
	streamLight = 1
	streamWind  = 11
	streamYear  = 21
)

// dice draws numbers from PCG-DXSM by methods written out here, so that a seed keeps its year whatever a library does.
type dice struct{ source *rand.PCG }

func newDice(seed, stream uint64) *dice { return &dice{rand.NewPCG(seed, stream)} }

// uniform is from 0 to 1, without 1.
func (d *dice) uniform() float64 { return float64(d.source.Uint64()>>11) / (1 << 53) }

// normal has mean 0 and standard deviation 1: Marsaglia's polar method, its second number left unused.
func (d *dice) normal() float64 {
	for {
		u, v := 2*d.uniform()-1, 2*d.uniform()-1
		if s := u*u + v*v; s > 0 && s < 1 {
			return u * math.Sqrt(-2*math.Log(s)/s)
		}
	}
}
