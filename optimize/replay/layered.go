package replay

import (
	"math"

	"noonkeep/storage"
)

// layered is a tank of hot water over cold. The water stands in parcels of equal mass that move up as hot water is drawn at
// the top and cold comes back at the bottom, and down as it is charged, so that moving smears nothing; parcels of both ends
// are cut where the flow cuts them. Heat is conducted from parcel to parcel by water and wall, and each loses its share to
// the air. Its supply is hot as long as the top is. Diffusers are taken as perfect: what they mix is not played.
type layered struct {
	table             *Table
	parcelKg          float64
	u, t              []float64 // kJ/kg and °C of each parcel, top first; there is one more than the tank holds
	cut               float64   // share of the first that is drawn already; the last holds as much
	hotC, coldC, useC float64
	hotU, coldU       float64
	spareKJ           float64 // of the thermocline that a plan leaves out
	limitKW           float64
	approachK         float64

	uaWK, conductWK float64 // the tank's loss; conductance from parcel to parcel
	fillFrac        float64
	dueS, airKS     float64 // time since losses were worked out, and the air's part of it
	lossKJ          float64
	useful, room    float64 // kJ, while known
	known           bool
}

const (
	parcels   = 100
	slowS     = 600  // loss and conduction are worked out so often, s
	sameKJKg  = 0.05 // parcels that are so near to the hottest take no more heat
	waterWMK  = 0.67 // across the layer, as in package storage
	steelWMK  = 45.0
	wattPerKW = 1000.0
)

func newLayered(s *Store, v storage.Vessel, l storage.Limits, t *Table) *layered {
	x := &layered{
		table: t, parcelKg: v.At(s.VolumeM3, 1).MassKg / parcels, u: make([]float64, parcels+1), t: make([]float64, parcels+1),
		hotC: l.HotC, coldC: s.Spec.ReturnC + s.Spec.ApproachK, useC: s.Spec.SupplyC + s.Spec.ApproachK,
		limitKW: s.Spec.LimitKW, approachK: s.Spec.ApproachK, uaWK: l.UAWK, fillFrac: s.Spec.FillFrac,
	}
	x.hotU, x.coldU = t.at(uWater, x.hotC), t.at(uWater, x.coldC)
	x.spareKJ = s.Spec.ThermoclineFrac * parcels * x.parcelKg * (x.hotU - x.coldU)
	section := math.Pi / 4 * l.DiameterM * l.DiameterM
	thick := s.Spec.FillFrac * s.VolumeM3 / section / parcels
	x.conductWK = (waterWMK + steelWMK*4*s.Spec.WallM/l.DiameterM) * section / thick
	for i := range x.u {
		x.u[i], x.t[i] = x.coldU, x.coldC
	}
	return x
}

// tempOf finds the temperature of an energy of water from a guess, by Newton's method. Water is taken as boiling, which
// cooler water under pressure misses by under 0.1 %.
func (x *layered) tempOf(u, tC float64) float64 {
	for range mostTries {
		at, perK := x.table.withSlope(uWater, tC)
		off := (u - at) / perK
		if tC += off; math.Abs(off) < 1e-7 { // the next step is of the square of that
			break
		}
	}
	return tC
}

// kg is the mass of parcel i.
func (x *layered) kg(i int) float64 {
	switch i {
	case 0:
		return x.parcelKg * (1 - x.cut)
	case parcels:
		return x.parcelKg * x.cut
	}
	return x.parcelKg
}

// look adds up what can be given at supply temperature, from the top down, and what it can take.
func (x *layered) look() {
	if x.known {
		return
	}
	x.useful, x.room, x.known = 0, 0, true
	hot := true
	for i := range x.u {
		kg := x.kg(i)
		if hot = hot && x.t[i] >= x.useC; hot {
			x.useful += kg * (x.u[i] - x.coldU)
		}
		if room := x.hotU - x.u[i]; room > sameKJKg {
			x.room += kg * room
		}
	}
}

func (x *layered) topC() float64   { return x.t[0] }
func (x *layered) meanC() float64  { return x.hotC } // fields always heat to the hottest
func (x *layered) barAbs() float64 { return x.table.at(barAbs, x.hotC) }

// levelFrac is that when hot; cold water takes up to a fifth less.
func (x *layered) levelFrac() float64 { return x.fillFrac }

func (x *layered) ledgerKWh() float64 {
	sum := -x.spareKJ
	for i, u := range x.u {
		sum += x.kg(i) * (u - x.coldU)
	}
	return sum / kJPerKWh
}

func (x *layered) givesKWh() float64 {
	x.look()
	return x.useful / kJPerKWh
}

func (x *layered) roomKWh() float64 {
	x.look()
	return x.room / kJPerKWh
}

func (x *layered) reachKWh() float64             { return x.givesKWh() }
func (x *layered) rateKW(float64) (float64, Why) { return x.limitKW, ByNozzle }

// draw takes hot water at the top, and brings it back cold at the bottom.
func (x *layered) draw(kJ, _ float64) (float64, error) {
	x.known = false
	left := kJ
	for left > 1e-9 && x.t[0] >= x.useC {
		if x.cut >= 1-1e-12 { // the first is used up
			copy(x.u, x.u[1:])
			copy(x.t, x.t[1:])
			x.cut = 0
			x.u[parcels], x.t[parcels] = x.coldU, x.coldC
			continue
		}
		per := x.u[0] - x.coldU
		kg := math.Min(x.kg(0), left/per)
		left -= kg * per
		x.mix(parcels, kg, x.coldU)
		x.cut += kg / x.parcelKg
	}
	return kJ - left, nil
}

func (x *layered) heat(kJ float64) error { return x.charge(kJ, x.hotU, x.hotC) }

// charge takes water at the bottom, warms it, and lets it in at the top.
func (x *layered) charge(kJ, toU, toC float64) error {
	x.known = false
	for try := 0; kJ > 1e-9 && try < 4*parcels; try++ {
		if x.cut <= 1e-12 { // the last is used up: a new first begins
			copy(x.u[1:], x.u)
			copy(x.t[1:], x.t)
			x.u[0], x.t[0], x.cut = toU, toC, 1
		}
		per := toU - x.u[parcels]
		kg := x.kg(parcels)
		if per > sameKJKg {
			kg = math.Min(kg, kJ/per)
			kJ -= kg * per
			x.mix(0, kg, toU)
		} else { // as hot already: it goes round as it is
			x.mix(0, kg, x.u[parcels])
		}
		x.cut -= kg / x.parcelKg
	}
	if kJ > 1e-6 {
		// What is left is rounding of a full tank: it warms the top.
		x.u[0] += kJ / math.Max(x.kg(0), 1e-3*x.parcelKg)
		x.t[0] = x.tempOf(x.u[0], x.t[0])
	}
	return nil
}

// mix adds water to a parcel at an end.
func (x *layered) mix(i int, kg, u float64) {
	had := x.kg(i)
	if kg <= 0 {
		return
	}
	x.u[i] = (x.u[i]*had + u*kg) / (had + kg)
	x.t[i] = x.tempOf(x.u[i], x.t[i])
}

func (x *layered) fromHeader(m *mainPipe, mostKW, stepH float64) float64 {
	toU, room := x.table.at(uWater, x.sourceTo(m)), 0.0
	for i, u := range x.u {
		if toU-u > sameKJKg {
			room += x.kg(i) * (toU - u)
		}
	}
	return math.Min(mostKW, room/kJPerKWh/stepH)
}

func (x *layered) sourceTo(m *mainPipe) float64 {
	if src := m.sourceC(); src > 0 {
		return math.Min(x.hotC, src-x.approachK)
	}
	return x.hotC
}

func (x *layered) steam(_, kJ float64, m *mainPipe) error {
	toC := x.sourceTo(m)
	return x.charge(kJ, x.table.at(uWater, toC), toC)
}

func (x *layered) takesSteam() bool   { return false }
func (x *layered) keep(float64) error { return nil } // it holds hot water or does not; nothing keeps it warm
func (x *layered) shortKWh() float64  { return 0 }
func (x *layered) drain() error       { return nil }
func (x *layered) flows() flows       { return flows{lossKJ: x.lossKJ} }

// cool lets every parcel lose its share to the air, and conducts heat down.
func (x *layered) cool(airC, seconds float64) error {
	x.dueS += seconds
	x.airKS += airC * seconds
	if x.dueS < slowS {
		return nil
	}
	x.known = false
	air, s := x.airKS/x.dueS, x.dueS
	x.dueS, x.airKS = 0, 0
	down := 0.0 // from the parcel above
	for i := range x.u {
		kg := x.kg(i)
		if kg < leastParcel*x.parcelKg {
			continue
		}
		lost := x.uaWK * kg / (parcels * x.parcelKg) * (x.t[i] - air) * s / wattPerKW
		next := 0.0
		if i < parcels {
			next = x.conducted(i, s)
		}
		x.lossKJ += lost
		x.u[i] += (down - next - lost) / kg
		down = next
	}
	for i := range x.u {
		x.t[i] = x.tempOf(x.u[i], x.t[i])
	}
	return nil
}

const leastParcel = 1e-3 // share of a parcel under which it neither loses nor conducts

// conducted is the heat that goes from a parcel to the one under it, kJ: at most a quarter of what would even them out.
func (x *layered) conducted(i int, seconds float64) float64 {
	kg := math.Min(x.kg(i), x.kg(i+1))
	if kg < leastParcel*x.parcelKg {
		return 0
	}
	most := kg * math.Abs(x.u[i]-x.u[i+1]) / 4
	kJ := x.conductWK * (x.t[i] - x.t[i+1]) * seconds / wattPerKW
	return math.Max(-most, math.Min(kJ, most))
}

// within adds up the parcels by IAPWS-IF97.
func (x *layered) within() (kg, kJ float64, err error) {
	for i, tC := range x.t {
		p, e := line(tC)
		err = first(err, e)
		kg += x.kg(i)
		kJ += x.kg(i) * p[uWater]
	}
	return kg, kJ, err
}
