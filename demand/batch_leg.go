package demand

import "math"

// Leg is a piece of a batch in which the heat at the header follows one formula, t hours after its start:
// KW + RampKWH t + DecayKW exp(-DecayPerH t).
type Leg struct {
	Stage                       int    // from 1
	Does                        string // "heating baths up", "holding baths" or "boiling off"
	StartH, H                   float64
	FromC, ToC                  float64
	KW, RampKWH, DecayKW, PerHr float64
}

// What legs do; the parts of a load are called so.
const (
	heatingUp  = "heating baths up"
	holding    = "holding baths"
	boilingOff = "boiling off"
)

// At is the heat at the header t hours after the leg's start, kW.
func (l Leg) At(tH float64) float64 { return l.KW + l.RampKWH*tH + l.DecayKW*math.Exp(-l.PerHr*tH) }

// UpTo is the heat of the leg's first tH hours, kWh: the integral of At.
func (l Leg) UpTo(tH float64) float64 {
	sum := tH * (l.KW + l.RampKWH*tH/2)
	switch {
	case l.DecayKW == 0:
	case l.PerHr == 0:
		sum += l.DecayKW * tH
	default:
		sum -= l.DecayKW * math.Expm1(-l.PerHr*tH) / l.PerHr
	}
	return sum
}

// KWh is the leg's heat.
func (l Leg) KWh() float64 { return l.UpTo(l.H) }

// PeakKW is the leg's highest heat: At rises or falls all along a leg.
func (l Leg) PeakKW() float64 { return math.Max(l.At(0), l.At(l.H)) }

// bath is what is heated in one leg.
type bath struct {
	kWhK float64 // heat capacity of all that is in it
	loss BathLoss
}

// The four ways to heat a bath from t0 to t1 degC. Each solves kWhK dT/dt = heat - loss(T), with a loss that
// is straight in T. net is what is left to warm the bath at t1; it must be above 0 or t1 is never reached.
// Textbook: with heat UA (Ts - T) and no loss, t = M c/(UA) ln((Ts - t0)/(Ts - t1)).

// byPower heats with kW.
func (b bath) byPower(kW, t0, t1 float64) (leg Leg, net float64) {
	net = kW - b.loss.kW(t1)
	return Leg{KW: kW, H: b.hours(b.loss.kWK(), net, t1-t0)}, net
}

// byCoil heats with ua kW/K from steam of steamC.
func (b bath) byCoil(ua, steamC, t0, t1 float64) (leg Leg, net float64) {
	slope := ua + b.loss.kWK()
	net = ua*(steamC-t1) - b.loss.kW(t1)
	net0 := ua*(steamC-t0) - b.loss.kW(t0)
	// T = t0 + net0/slope (1 - exp(-slope t/kWhK)), and the coil gives ua (steamC - T).
	return Leg{KW: ua*(steamC-t0) - ua*net0/slope, DecayKW: ua * net0 / slope, PerHr: slope / b.kWhK,
		H: b.hours(slope, net, t1-t0)}, net
}

// hours is how long a bath takes to rise by dK when net kW are left at the end and slope kW/K more for each K below it:
// kWhK/slope ln(1 + slope dK/net), the straight kWhK dK/net where slope is nothing.
func (b bath) hours(slope, net, dK float64) float64 {
	if x := slope * dK / net; x > 1e-12 {
		return b.kWhK / slope * math.Log1p(x)
	}
	return b.kWhK * dK / net
}

// byGradient heats by kH K/h: the heat grows with the loss.
func (b bath) byGradient(kH, t0, t1 float64) Leg {
	return Leg{KW: b.kWhK*kH + b.loss.kW(t0), RampKWH: b.loss.kWK() * kH, H: (t1 - t0) / kH}
}

// liveSteam is steam that is blown into a bath.
type liveSteam struct {
	kgH       float64
	giveKWhKg float64 // h_g - h of water at the leg's end: what a kg gives the bath by then
	headKWhKg float64 // h_g - h of feedwater: what a kg counts at the header
	kWhKgK    float64 // specific heat of the water that it becomes
}

// byLiveSteam heats with steam whose water stays in the bath, so that its heat capacity grows by a = kgH cp an hour:
// (kWhK + a t) dT/dt = kgH (h_g - h_w(T)) - loss(T). With m = kWhK + a t this has the solution
// m/kWhK = (net0/net)^(a/(a+slope)). Without loss it is the enthalpy balance
// kgH t (h_g - h_w(t1)) = kWhK (t1 - t0).
func (b bath) byLiveSteam(s liveSteam, t0, t1 float64) (leg Leg, net float64) {
	net = s.kgH*s.giveKWhKg - b.loss.kW(t1)
	a := s.kgH * s.kWhKgK
	slope := a + b.loss.kWK()
	grown := math.Expm1(a / slope * math.Log1p(slope*(t1-t0)/net))
	return Leg{KW: s.kgH * s.headKWhKg, H: b.kWhK / a * grown}, net
}
