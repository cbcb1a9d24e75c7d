package replay

import "noonkeep/plant/steam"

// DefaultPurgeH is how long full fire would burn for what the purging air carries out of a hot boiler: two minutes of
// full air, 1.4 kg for each kWh of fuel, warmed by 100 K: 1.4 × 1.01 kJ/(kg K) × 100 K/3600 s = 0.039 of the fuel, times
// 2/60 h. Air per fuel of natural gas by stoichiometry at 20 % excess; the two minutes and 100 K are common practice, no source.
const DefaultPurgeH = 0.0013

const (
	waterKgPerKW = 3.0 // water in a fire-tube boiler for each kW of heat, about 2 t for each t/h; common practice, no source
	bandBar      = 0.3 // the pressure band each way; common practice, no source
)

// Slack is what the water of boilers of a capacity gives or takes while a header of steam moves by 0.3 bar, kWh: about
// 20 to 30 s of full load.
func Slack(capacityKW, steamC float64) float64 {
	p, err := steam.SatPressure(steamC)
	if err != nil {
		return 0
	}
	up, err := steam.SatTemp(p.Plus(bandBar))
	if err != nil {
		return 0
	}
	const waterKJKgK = 4.4 // at 170 °C, IAPWS R7-97
	return capacityKW * waterKgPerKW * waterKJKgK * (up - steamC) / kJPerKWh
}

// Lag is the time constant of a field, s: what warms the loop by its rise, over what it brings at its peak. Duffie and
// Beckman, Solar Engineering of Thermal Processes, 10.2: a collector's time constant is its heat capacity over flow times cp
// (from memory); flow times cp is here peak heat over rise, and the mean of the loop follows half of the rise.
func Lag(capacityKJM2K, riseK, peakKWM2 float64) float64 {
	if !(peakKWM2 > 0) {
		return 0
	}
	return capacityKJM2K * riseK / 2 / peakKWM2
}

const kJPerKWh = 3600.0
