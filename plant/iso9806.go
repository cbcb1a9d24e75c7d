package plant

import "math"

// stefanBoltzmann in W/(m² K⁴), CODATA 2018.
const stefanBoltzmann = 5.670374419e-8

const zeroCelsiusK = 273.15

// Conditions is what a collector meets at one moment. Irradiances lie in the plane of the aperture.
type Conditions struct {
	BeamWM2    float64 // beam on the aperture, the cosine of the incidence angle already in it
	Kb         float64 // incidence modifier for the beam, without the cosine; 1 at normal incidence
	DiffuseWM2 float64 // from sky and ground
	FluidC     float64 // mean of the fluid in the collector
	AirC       float64
	WindMS     float64
	// NetLongwaveWM2 is the sky's long-wave irradiance less σ Ta⁴, below 0 under a clear sky. See NetLongwave.
	NetLongwaveWM2 float64
	WarmingKS      float64 // dtm/dt of the mean fluid temperature, K/s
}

// NetLongwave is the long-wave irradiance less that of a black body at air temperature, W/m².
func NetLongwave(longwaveWM2, airC float64) float64 {
	airK := airC + zeroCelsiusK
	return longwaveWM2 - stefanBoltzmann*airK*airK*airK*airK
}

// Terms gives the nine terms of the quasi-dynamic equation in its order, W per m² of the area to which the coefficients
// refer: the optical gain, then those of a1 to a8; losses are negative. Their sum less the receiver's loss is HeatWM2.
//
// Below air temperature the terms of a2 and a8 keep their sign (they become gains), so that more
// temperature never means more heat.
func (c *Collector) Terms(x Conditions) [9]float64 {
	// ISO 9806:2017 eq. (14), u' = u - 3 m/s.
	dT := x.FluidC - x.AirC
	wind := x.WindMS - 3
	optical := c.Eta0b * (x.Kb*x.BeamWM2 + c.Kd*x.DiffuseWM2)
	if c.OpticalFallPerK != 0 {
		// SAND94-1884: efficiency K (73.3 - 0.007276 dT) - ..., here as a share of the peak.
		optical *= min(1, max(0, 1-c.OpticalFallPerK*dT))
	}
	return [9]float64{
		optical,
		-c.A1 * dT,
		-c.A2 * dT * math.Abs(dT),
		-c.A3 * wind * dT,
		c.A4 * x.NetLongwaveWM2,
		-c.A5 * x.WarmingKS,
		-c.A6 * wind * (x.BeamWM2 + x.DiffuseWM2),
		-c.A7 * wind * x.NetLongwaveWM2,
		-c.A8 * dT * dT * dT * math.Abs(dT),
	}
}

// HeatWM2 is the collector's heat under the given conditions, W per m² of the area to which the coefficients refer.
// Negative when it loses more than it gains.
func (c *Collector) HeatWM2(x Conditions) float64 {
	sum := -c.Receiver.LossWM2(x.FluidC, x.AirC)
	for _, term := range c.Terms(x) {
		sum += term
	}
	return sum
}

// Receiver is a hot absorber much smaller than the aperture, such as the cavity of a dish: its loss by film and
// radiation is spread over the aperture. The zero value is no such receiver.
type Receiver struct {
	Concentration float64 // aperture over the receiver's losing area; 0 none
	FilmWM2K      float64 // convective film on the receiver, W/(m² K) of receiver
	Emissivity    float64 // effective, of the receiver's opening
}

// LossWM2 is the receiver's loss per m² of aperture with its surface at tC.
func (r Receiver) LossWM2(tC, airC float64) float64 {
	if r.Concentration == 0 {
		return 0
	}
	tK, airK := tC+zeroCelsiusK, airC+zeroCelsiusK
	// Textbook receiver balance: (1/C) [h (T - Ta) + ε σ (T⁴ - Ta⁴)].
	radiated := r.Emissivity * stefanBoltzmann * (tK*tK*tK*tK - airK*airK*airK*airK)
	return (r.FilmWM2K*(tC-airC) + radiated) / r.Concentration
}
