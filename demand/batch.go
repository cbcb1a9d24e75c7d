package demand

import (
	"errors"
	"fmt"
	"math"

	"noonkeep/plant/steam"
)

// Batch is what one vessel does with one batch: baths filled, heated, held and dropped. [Batch.Run] works
// its heat out, [Timetable.Starts] when batches begin, and [Cycle.Over] the heat of all of them on an axis.
//
// A bath is one lump at one temperature: the liquor with the goods and the machine in it. A new bath takes
// over the warmth of goods and machine, and starts at the mixture's temperature.
type Batch struct {
	Liquor  Charge // what each new bath is filled with
	Goods   Charge // stay in the vessel from bath to bath; none for a plain vessel of liquid
	Machine Charge // the vessel's own warm mass; none to leave it out
	Loss    BathLoss
	HeatUp  HeatUp
	Stages  []Stage

	Header     steam.Pressure // of the steam that heats
	FeedwaterC float64        // from which the heat of a kg of live steam counts, as in [SteamKW]
}

// Charge is a mass of one material. StartC is its temperature when the batch begins; nil is that of the first bath.
type Charge struct {
	Kg     float64
	Of     Material
	StartC *float64
}

// BathLoss is what a bath loses while it is heated or held: KW whatever its temperature, and through AreaM2 to air of AirC.
type BathLoss struct{ KW, AreaM2, WM2K, AirC float64 }

// kW is the loss of a bath at tC.
func (l BathLoss) kW(tC float64) float64 { return l.KW + l.kWK()*(tC-l.AirC) }

func (l BathLoss) kWK() float64 { return l.AreaM2 * l.WM2K / 1000 }

// Way is how a bath is heated up.
type Way int

const (
	ByPower     Way = iota + 1 // a fixed heat
	ByCoil                     // a coil or jacket with condensing steam: heat falls as the bath warms
	ByLiveSteam                // steam blown into the bath, which stays in it as water
	ByGradient                 // as many K/min as the recipe says
)

// HeatUp is how a bath is heated up; each way has its own fields.
type HeatUp struct {
	Way      Way
	KW       float64        // ByPower
	AreaM2   float64        // ByCoil
	WM2K     float64        // ByCoil: overall coefficient, steam to bath
	Pressure steam.Pressure // ByCoil: of the steam in the coil; invalid is the header's
	KgH      float64        // ByLiveSteam
	KPerMin  float64        // ByGradient
}

// Stage is one step of a recipe: wait, fill a new bath or go on with the present one, heat, hold.
type Stage struct {
	WaitH       float64  // before it is heated: drain, fill, load; the bath keeps its temperature
	FromC       *float64 // a new bath of this temperature is filled; nil goes on with the present one
	ToC         float64
	HoldH       float64
	KPerMin     float64 // this stage's own gradient, of heating or cooling; 0 heats as the batch does
	BoilOffFrac float64 // share of the liquid that is evaporated during the hold
}

// BatchFault is what is wrong with a batch. Key is the field as a scenario calls it ("to", "heat_up"), Stage its
// stage from 1, or 0.
type BatchFault struct {
	Stage int
	Key   string
	Text  string // what was seen; what is wanted
}

func (e *BatchFault) Error() string {
	if e.Stage > 0 {
		return fmt.Sprintf("stage %d: %s: %s", e.Stage, e.Key, e.Text)
	}
	return e.Key + ": " + e.Text
}

// mostBatchH bounds one batch; a longer one is no batch.
const mostBatchH = 240

// Check reports all that is wrong with the batch as it stands, each fault a [*BatchFault]; what shows only when
// the recipe is worked through, [Batch.Run] reports.
func (b Batch) Check() error {
	var faults []error
	require := func(holds bool, stage int, key, format string, args ...any) {
		if !holds {
			faults = append(faults, &BatchFault{stage, key, fmt.Sprintf(format, args...)})
		}
	}
	steamC, err := steam.SatTemp(b.Header)
	require(err == nil, 0, "header", "%v", err)
	require(b.Liquor.Kg > 0 && b.Liquor.Kg <= 1e9, 0, "mass", "is %g kg; want more than 0 kg", b.Liquor.Kg)
	for _, c := range []struct {
		key string
		Charge
	}{{"goods", b.Goods}, {"machine", b.Machine}} {
		require(c.Kg >= 0 && c.Kg <= 1e9, 0, c.key, "is %g kg; want 0 kg or more", c.Kg)
		require(c.Kg == 0 || !c.Of.IsZero(), 0, c.key, "has a mass and no material; want one for its specific heat")
		require(c.StartC == nil || *c.StartC >= 0 && *c.StartC <= 350, 0, c.key, "begins at %g degC; want 0 to 350 degC", deref(c.StartC))
	}
	l := b.Loss
	require(l.KW >= 0 && l.AreaM2 >= 0 && l.WM2K >= 0 && l.KW+l.AreaM2*l.WM2K <= mostKW, 0, "loss", "is %g kW and %g m2 of %g W/m2K; want 0 or more", l.KW, l.AreaM2, l.WM2K)
	faults = append(faults, b.HeatUp.check())
	require(len(b.Stages) > 0, 0, "stages", "are none; want at least one")
	for i, s := range b.Stages {
		require(i > 0 || s.FromC != nil, i+1, "from", "is missing; want the temperature that the first bath is filled with")
		require(s.FromC == nil || *s.FromC >= 0 && *s.FromC < steamC, i+1, "from", "is %g degC; want 0 degC or more and less than the steam's %.1f degC", deref(s.FromC), steamC)
		require(s.ToC >= 0 && s.ToC < steamC, i+1, "to", "is %g degC; want less than the steam's %.1f degC", s.ToC, steamC)
		require(s.HoldH >= 0 && s.HoldH <= mostBatchH, i+1, "hold", "is %g h; want 0 to %d h", s.HoldH, mostBatchH)
		require(s.WaitH >= 0 && s.WaitH <= mostBatchH, i+1, "wait", "is %g h; want 0 to %d h", s.WaitH, mostBatchH)
		require(s.KPerMin >= 0, i+1, "gradient", "is %g K/min; want 0 K/min or more", s.KPerMin)
		require(s.BoilOffFrac >= 0 && s.BoilOffFrac < 1, i+1, "boil_off", "is %g; want 0 to less than 1", s.BoilOffFrac)
		require(s.BoilOffFrac == 0 || s.HoldH > 0, i+1, "boil_off", "has no time; want a hold in which it boils")
	}
	return errors.Join(faults...)
}

func (h HeatUp) check() error {
	positive := func(v float64, what, unit string) error {
		if v > 0 && v <= mostKW {
			return nil
		}
		return &BatchFault{0, "heat_up", fmt.Sprintf("%s is %g %s; want more than 0 %s", what, v, unit, unit)}
	}
	switch h.Way {
	case ByPower:
		return positive(h.KW, "power", "kW")
	case ByCoil:
		return errors.Join(positive(h.AreaM2, "coil", "m2"), positive(h.WM2K, "coefficient", "W/m2K"))
	case ByLiveSteam:
		return positive(h.KgH, "live_steam", "kg/h")
	case ByGradient:
		return positive(h.KPerMin, "gradient", "K/min")
	}
	return &BatchFault{0, "heat_up", "says no way; want power, a coil, live steam or a gradient"}
}

func deref(v *float64) float64 {
	if v == nil {
		return math.NaN()
	}
	return *v
}
