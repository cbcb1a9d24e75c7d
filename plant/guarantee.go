package plant

import (
	"fmt"
	"math"
	"strings"
)

// Formula says which light the check of a field counts. ISO 24194 has one formula for each (its headings of 5.2.2 to 5.2.4
// were read; the formulas themselves are from memory). The zero value is invalid.
type Formula int

const (
	BeamAlone      Formula = iota + 1 // concentrating collectors, which see the beam only: formula (3)
	BeamAndDiffuse                    // little or no concentration, beam and diffuse apart: formula (2)
	Hemispheric                       // no concentration, global light in the plane of the collectors: formula (1)
)

var formulaNames = [...]string{"", "beam", "beam and diffuse", "hemispheric"}

// String gives the words of the formula.
func (m Formula) String() string {
	if m < BeamAlone || m > Hemispheric {
		return fmt.Sprintf("formula %d", int(m))
	}
	return formulaNames[m]
}

// ParseFormula reads "beam", "beam and diffuse" or "hemispheric".
func ParseFormula(s string) (Formula, error) {
	for m := BeamAlone; m <= Hemispheric; m++ {
		if s == m.String() {
			return m, nil
		}
	}
	return 0, fmt.Errorf("formula: is %q; want %s", s, strings.Join(formulaNames[1:], ", "))
}

// FormulaFor is the formula that fits a collector: the beam alone for one that sees no diffuse light.
func FormulaFor(c Collector) Formula {
	if c.Kd == 0 {
		return BeamAlone
	}
	return BeamAndDiffuse
}

// The limits and factors of ISO 24194 that are taken when nothing is said. All are values from memory: the standard's
// text, which the parties hold, decides.
const (
	UsualUncertaintyFactor = 0.95 // 0.9 to 0.95 is recommended with the standard's accuracy of instruments
	UsualOtherFactor       = 1.0  // close to 1
	LeastBeamWM2           = 600  // beam on the aperture
	LeastHemisphericWM2    = 800  // global light on the aperture
	MostHemisphericDeg     = 30   // incidence, with global light only
	MostWindMS             = 10
	LeastAirC              = 5
	MostWarmingKH          = 5
	LeastValidHours        = 20
)

// NoIncidenceLimit is a MostIncidenceDeg that every beam before the aperture keeps.
const NoIncidenceLimit = 90

// Guarantee is what two parties agree for the check of a field's power: the formula, the factors by which its heat is
// taken less, and when an hour counts. The method is that of ISO 24194.
type Guarantee struct {
	Formula Formula
	// PipeFactor f_P leaves what the pipes to the meter do not lose, UncertaintyFactor f_U what the instruments may be
	// off, OtherFactor f_O all else, such as flow that is not even. Each above 0, at most 1.
	PipeFactor, UncertaintyFactor, OtherFactor float64

	LeastSunWM2      float64 // beam on the aperture; global light on it for Hemispheric
	MostIncidenceDeg float64 // NoIncidenceLimit for none
	MostWindMS       float64 // +Inf for none
	LeastAirC        float64 // -Inf for none
	MostWarmingKH    float64 // change of the mean fluid temperature, up or down; +Inf for none
	MostShadeFrac    float64 // share of the beam that rows, dishes or horizon take
	LeastHours       int     // valid hours for a verdict
}

// UsualGuarantee gives the guarantee with the usual limits and no loss in pipes; see Field.PipeFactor.
func UsualGuarantee(m Formula) Guarantee {
	g := Guarantee{Formula: m, PipeFactor: 1, UncertaintyFactor: UsualUncertaintyFactor, OtherFactor: UsualOtherFactor,
		LeastSunWM2: LeastBeamWM2, MostIncidenceDeg: NoIncidenceLimit, MostWindMS: MostWindMS, LeastAirC: LeastAirC,
		MostWarmingKH: MostWarmingKH, LeastHours: LeastValidHours}
	if m == Hemispheric {
		g.LeastSunWM2, g.MostIncidenceDeg = LeastHemisphericWM2, MostHemisphericDeg
	}
	return g
}

// SafeFactor is f_safe = f_P f_U f_O.
func (g Guarantee) SafeFactor() float64 { return g.PipeFactor * g.UncertaintyFactor * g.OtherFactor }

// Check returns everything that is wrong with the guarantee of such a collector.
func (g Guarantee) Check(c Collector) error {
	f := newFaults("guarantee", "")
	f.require(g.Formula >= BeamAlone && g.Formula <= Hemispheric, "formula", "is not given; want %s",
		strings.Join(formulaNames[1:], ", "))
	f.require(g.Formula == BeamAlone || c.Kd > 0, "formula", "is %v for a collector whose Kd is 0; want %v", g.Formula, BeamAlone)
	f.require(g.Formula != BeamAlone || c.Kd == 0, "formula", "is %v for a collector whose Kd is %g; want %v or %v", g.Formula,
		c.Kd, BeamAndDiffuse, Hemispheric)
	f.require(g.Formula != Hemispheric || c.Tracking == Fixed, "formula", "is %v for a %v collector; want it for a fixed one",
		g.Formula, c.Tracking)
	for _, v := range [...]struct {
		key  string
		frac float64
	}{{"pipe factor", g.PipeFactor}, {"uncertainty factor", g.UncertaintyFactor}, {"other factor", g.OtherFactor}} {
		f.require(v.frac > 0 && v.frac <= 1, v.key, "is %g; want more than 0, at most 1", v.frac)
	}
	f.require(g.LeastSunWM2 >= 0 && g.LeastSunWM2 < 1400, "least sun", "is %g W/m²; want 0 to 1400", g.LeastSunWM2)
	f.require(g.MostIncidenceDeg > 0 && g.MostIncidenceDeg <= 90, "most incidence", "is %g°; want more than 0, at most 90",
		g.MostIncidenceDeg)
	f.require(g.MostWindMS > 0, "most wind", "is %g m/s; want more than 0", g.MostWindMS)
	f.require(g.LeastAirC < 60, "least air", "is %g °C; want below 60", g.LeastAirC)
	f.require(g.MostWarmingKH > 0, "most warming", "is %g K/h; want more than 0", g.MostWarmingKH)
	f.require(g.MostShadeFrac >= 0 && g.MostShadeFrac < 1, "most shade", "is a share of %g; want 0 to below 1", g.MostShadeFrac)
	f.require(g.LeastHours >= 1, "least hours", "are %d; want 1 or more", g.LeastHours)
	return f.err()
}

// The conditions at which a share of loss that follows temperatures is turned into one factor.
const (
	PipeFactorSunWM2 = 800
	PipeFactorAirC   = 20
)

// PipeFactor is what the field's pipes leave of its heat, with the use at useC: exact where PipeLossFrac alone is given, else
// at PipeFactorSunWM2 on the aperture at right incidence and PipeFactorAirC. Rounded to a thousandth, as it is agreed.
func (f Field) PipeFactor(useC float64) float64 {
	left := 1 - f.PipeLossFrac
	if ua := f.PipeUAWM2K + f.perM2(f.Pipes.LossWMK*f.Pipes.LengthM); ua > 0 {
		gross := f.Collector.HeatWM2(Conditions{BeamWM2: PipeFactorSunWM2, Kb: f.Collector.Modifier(Incidence{Cos: 1}),
			FluidC: useC + f.ApproachK, AirC: PipeFactorAirC, WindMS: 3, NetLongwaveWM2: netLongwaveWM2}) / f.Collector.share()
		if !(gross > 0) {
			return 0
		}
		left *= max(0, 1-ua*max(0, useC-PipeFactorAirC)/gross)
	}
	return math.Round(1000*left) / 1000
}
