package storage

import (
	"fmt"
	"math"
	"sort"
)

// Vessel is a checked [Spec] with all that does not depend on its volume worked out. It is made by [New]
// alone, is safe for many goroutines and cannot be changed.
type Vessel struct {
	spec       Spec
	body       body
	lagging    lagging
	hot, floor phases
	feedKJKg   float64 // h_fw; 0 for an exchanger
	curve      []point // from hot to floor, per m³
	surface    float64 // water surface when hot over D², cylinder alone
	rateKgHM2  float64 // steam from it at the floor
}

// point is a place on the discharge of one m³ from hot to floor.
type point struct {
	tC, massKg float64
	heldKJ     float64 // heat that can still be delivered
	drawnKg    float64 // steam drawn to get here
}

// New checks a spec and works out its discharge. All faults come back joined, each a [*Fault].
func New(s Spec) (Vessel, error) {
	hotC, floorC, err := s.check()
	if err != nil {
		return Vessel{}, err
	}
	v := Vessel{
		spec:    s,
		body:    bodyOf(s.LengthPerDiameter, s.Ends.shape()),
		lagging: lagging{s.InsulationM, s.InsulationWMK, s.OutsideWM2K},
		hot:     phasesAt(hotC),
		floor:   phasesAt(floorC),
	}
	v.surface = v.body.waterSkin(v.body.level(s.FillFrac))
	if s.Discharge == Flash {
		feed := phasesAt(s.FeedwaterC)
		v.feedKJKg = feed.hf
		rating := s.SteamKgHM2Bar
		if rating == 0 {
			rating = DefaultSteamKgHM2Bar
		}
		v.rateKgHM2 = rating * v.floor.barA
	}
	v.curve = v.discharge(curveK)
	return v, nil
}

const curveK = 1.0 // step of the discharge curve and of a draw, K

// discharge follows one full m³ down to the floor in equal steps of at most stepK.
func (v *Vessel) discharge(stepK float64) []point {
	n := int(math.Ceil((v.hot.tC - v.floor.tC) / stepK))
	curve := make([]point, 1, n+1)
	m := v.hot.massAt(1, v.spec.FillFrac)
	u := v.hot.energy(1, m)
	curve[0] = point{tC: v.hot.tC, massKg: m}
	at, given := v.hot, 0.0
	for i := 1; i <= n; i++ {
		to := v.floor
		if i < n {
			to = phasesAt(v.hot.tC + (v.floor.tC-v.hot.tC)*float64(i)/float64(n))
		}
		var d draw
		if v.massFalls() {
			d = v.drawMass(1, m, u, &at, &to)
		} else {
			d = v.drawHeat(u-to.energy(1, m), &at, &to)
		}
		m, u, given = m-d.lostKg, u-d.uKJ, given+d.heatKJ
		curve = append(curve, point{to.tC, m, given, curve[i-1].drawnKg + d.steamKg})
		at = to
	}
	for i := range curve { // from heat given to heat still held
		curve[i].heldKJ = given - curve[i].heldKJ
	}
	return curve
}

// massFalls tells whether a draw lowers the mass.
func (v *Vessel) massFalls() bool { return v.spec.Discharge == Flash && v.spec.Feed == WhileCharging }

// HotC is the temperature of the full vessel, °C.
func (v Vessel) HotC() float64 { return v.hot.tC }

// FloorC is the temperature below which the vessel delivers nothing, °C; of a thermocline, the mean of what is then in it.
func (v Vessel) FloorC() float64 { return v.floor.tC }

// HeatKWhM3 is the heat that each m³ of gross volume delivers from hot to floor, on the load's basis, kWh/m³.
func (v Vessel) HeatKWhM3() float64 { return v.curve[0].heldKJ / kJPerKWh }

// SteamKgM3 is the steam that each m³ gives from hot to floor, kg/m³; 0 with an exchanger.
func (v Vessel) SteamKgM3() float64 { return v.curve[len(v.curve)-1].drawnKg }

// TempAt is the temperature in °C when filledFrac of the deliverable heat is in the vessel, on a discharge from
// full; 0 is empty, 1 full, and outside that the nearer end. It is straight to 1 K at constant mass and bends by up to 5 K
// when the mass falls. Of a thermocline it is the mean over its height.
func (v Vessel) TempAt(filledFrac float64) float64 { return v.pointAt(filledFrac).tC }

func (v *Vessel) pointAt(filledFrac float64) point {
	c, held := v.curve, filledFrac*v.curve[0].heldKJ
	i := sort.Search(len(c), func(i int) bool { return c[i].heldKJ <= held })
	if i == 0 {
		return c[0]
	}
	if !(filledFrac > 0) || i == len(c) {
		return c[len(c)-1]
	}
	w := (held - c[i].heldKJ) / (c[i-1].heldKJ - c[i].heldKJ)
	mix := func(a, b float64) float64 { return b + w*(a-b) }
	return point{mix(c[i-1].tC, c[i].tC), mix(c[i-1].massKg, c[i].massKg), held, mix(c[i-1].drawnKg, c[i].drawnKg)}
}

// Limits are a planner's numbers for one volume.
type Limits struct {
	VolumeM3     float64 // gross
	CapacityKWh  float64 // heat delivered from hot to floor, on the load's basis
	DischargeKW  float64 // the least of surface rating, nozzle and exchanger
	UAWK         float64 // loss, W per K above the ambient
	MixingKW     float64 // what conduction across the layer of a full thermocline makes useless; else 0
	HotC, FloorC float64
	DiameterM    float64 // inside
	StraightM    float64 // straight length of the shell
	LengthM      float64 // inside, over both ends
	SurfaceM2    float64 // inner surface of shell and ends
	WaterM2      float64 // water surface when hot, cylinder part alone
	SteamKg      float64 // steam from hot to floor; 0 with an exchanger
	InsulationM3 float64 // volume of the lagging, shell and ends, as the loss is reckoned
}

// Limits works out the numbers for a gross volume in m³. A volume of 0 is no vessel: all zero but HotC and FloorC.
// It allocates nothing unless the volume is wrong (negative, infinite or NaN).
//
// The discharge by the surface is reckoned at the floor pressure, where the steam is lightest and carries most water,
// and at the level when hot, where a vessel more than half full has its smallest water surface.
func (v Vessel) Limits(volumeM3 float64) (Limits, error) { return v.limits(volumeM3) }

func (v *Vessel) limits(volumeM3 float64) (Limits, error) {
	l := Limits{HotC: v.hot.tC, FloorC: v.floor.tC}
	if !(volumeM3 >= 0) || math.IsInf(volumeM3, 1) {
		return l, fmt.Errorf("vessel: volume: is %g m³; want 0 or more", volumeM3)
	}
	if volumeM3 == 0 {
		return l, nil
	}
	b, d := &v.body, v.body.diameterM(volumeM3)
	l.VolumeM3 = volumeM3
	l.CapacityKWh = volumeM3 * v.curve[0].heldKJ / kJPerKWh
	l.SteamKg = volumeM3 * v.curve[len(v.curve)-1].drawnKg
	l.DiameterM, l.StraightM, l.LengthM = d, b.ratio*d, (b.ratio+2*b.end.depth)*d
	l.SurfaceM2, l.WaterM2 = b.skin*d*d, v.surface*d*d
	l.UAWK = v.lagging.uaWK(*b, d) * (1 + v.spec.ExtraLossFrac)
	l.MixingKW = v.mixingKW(volumeM3, d)
	l.DischargeKW = v.dischargeKW(l.WaterM2)
	mid := d + v.lagging.thickM
	l.InsulationM3 = v.lagging.thickM * (math.Pi*mid*l.StraightM + 2*b.end.area*mid*mid)
	return l, nil
}

func (v *Vessel) dischargeKW(waterM2 float64) float64 {
	if v.spec.Discharge != Flash {
		return v.spec.LimitKW
	}
	kgH := v.rateKgHM2 * waterM2
	if v.spec.LimitKgH > 0 {
		kgH = math.Min(kgH, v.spec.LimitKgH)
	}
	return kgH * (v.floor.hg - v.feedKJKg) / kJPerKWh
}

// KeepFrac is the share of the stored heat above the floor that is still there after hours, by the loss that grows
// with it: exp(-(UA (Hot - Floor) + Mixing) hours / Capacity). No vessel keeps all.
func (l Limits) KeepFrac(hours float64) float64 {
	if l.CapacityKWh == 0 {
		return 1
	}
	return math.Exp(-(l.UAWK*(l.HotC-l.FloorC)/wattsPerKW + l.MixingKW) * hours / l.CapacityKWh)
}

// StandingKW is the loss of the empty vessel, held at its floor, to an ambient in °C; never negative.
func (l Limits) StandingKW(ambientC float64) float64 {
	return max(0, l.UAWK*(l.FloorC-ambientC)/wattsPerKW)
}
