package storage

import (
	"errors"
	"fmt"

	"noonkeep/plant/steam"
)

// Kind says how the vessel gives its heat.
type Kind int

const (
	Flash       Kind = iota // steam flashes from the water as the pressure slides
	Exchanger               // mixed water is pumped through a heat exchanger and back
	Thermocline             // hot water over cold, drawn through a heat exchanger
)

// String names the kind, "flash", "exchanger" or "thermocline".
func (k Kind) String() string { return named(int(k), "flash", "exchanger", "thermocline") }

// FeedChoice says when the water that left as steam is made up. An exchanger loses none.
type FeedChoice int

const (
	WhileDischarging FeedChoice = iota // constant mass
	WhileCharging                      // the mass falls, then is made up and heated
)

// String names the choice, "while discharging" or "while charging".
func (f FeedChoice) String() string { return named(int(f), "while discharging", "while charging") }

// named is the i-th name, or the number where there is none.
func named(i int, names ...string) string {
	if i < 0 || i >= len(names) {
		return fmt.Sprintf("number %d", i)
	}
	return names[i]
}

// DefaultSteamKgHM2Bar is the evaporating-surface rating used where none is given: dry steam in kg/h from each
// m² of water surface for each bar(a). Value from memory of a steam-engineering tutorial (checks-heat 3.7.8): an order of magnitude.
const DefaultSteamKgHM2Bar = 220

const (
	mostHotC            = 350.0 // upper end of the two-phase properties, 165.3 bar(a)
	leastFill, mostFill = 0.2, 0.95
)

// Spec is a vessel as bought, of any volume. All fields but those with a stated default must be set.
type Spec struct {
	Discharge Kind

	Working   steam.Pressure // highest working pressure
	MarginBar float64        // kept below it, so that the relief valve stays shut; bar, default 0
	MostC     float64        // the hottest that what charges it can make its water, °C; 0 is no limit

	Header      steam.Pressure // flash: pressure of the header that is fed
	LineDropBar float64        // flash: from vessel to header, bar, default 0
	FeedwaterC  float64        // flash: temperature of the make-up, °C, above 0 and below the floor
	Feed        FeedChoice     // flash

	SupplyC   float64 // exchanger and thermocline: temperature that the load needs, °C
	ApproachK float64 // the same: water in the vessel above it, at least, K
	LimitKW   float64 // the same: the exchanger's rating, kW

	ReturnC         float64 // thermocline: temperature at which the load's own water comes to the exchanger, °C
	ThermoclineFrac float64 // thermocline: share of the heat between hot and cold that its layer keeps, 0.01 to 0.5
	WallM           float64 // thermocline: thickness of the steel wall, which conducts down, m, default 0

	FillFrac          float64 // volume of water when hot over gross volume, 0.2 to 0.95
	LengthPerDiameter float64 // straight length of the horizontal shell over inside diameter
	Ends              Ends

	InsulationM   float64 // thickness, m; 0 is a bare vessel
	InsulationWMK float64 // its conductivity at the mean temperature, W/(m K)
	OutsideWM2K   float64 // outside film, convection and radiation, W/(m² K)
	ExtraLossFrac float64 // supports, nozzles, manholes on top of the insulated shell's loss, 0 to 1, default 0

	SteamKgHM2Bar float64 // flash: evaporating-surface rating, kg/h per m² and bar(a); 0 is DefaultSteamKgHM2Bar
	LimitKgH      float64 // flash: what the nozzle and steam line pass, kg/h; 0 is no limit
}

// Fault is one wrong field of a [Spec]. [New] joins all of them; each comes out by errors.As or by
// walking Unwrap() []error.
type Fault struct {
	Field string // the Spec's field, "FillFrac"
	What  string // the same in words, "fill"
	Text  string // what was seen and what is wanted
}

// Error reads "vessel: fill: is 0.97; want 0.2 to 0.95, the rest is steam space".
func (f *Fault) Error() string { return "vessel: " + f.What + ": " + f.Text }

type faults []error

func (f *faults) require(ok bool, field, what, format string, args ...any) bool {
	if !ok {
		*f = append(*f, &Fault{field, what, fmt.Sprintf(format, args...)})
	}
	return ok
}

func (f *faults) err() error { return errors.Join(*f...) }

// check returns the hot and the floor temperature, or all that is wrong with the spec.
func (s Spec) check() (hotC, floorC float64, err error) {
	var f faults
	hotC, okHot := s.checkHot(&f)
	floorC, okFloor := s.checkFloor(&f, hotC, okHot)
	if okHot && okFloor {
		if s.MostC > 0 && s.MostC <= hotC {
			f.require(hotC > floorC, "MostC", "charging temperature", "makes water of %.1f °C; want more than the %.1f °C of the empty vessel", hotC, floorC)
		} else if s.Discharge == Flash {
			f.require(hotC > floorC, "Working", "working pressure", "is %v less %g bar of margin; want more than the header's %v and the line's %g bar",
				s.Working, s.MarginBar, s.Header, s.LineDropBar)
		} else {
			f.require(hotC > floorC, "Working", "working pressure", "is %v less %g bar of margin, %.1f °C; want more than the %.1f °C of supply and approach",
				s.Working, s.MarginBar, hotC, floorC)
		}
	}
	if s.Discharge == Flash && okFloor {
		f.require(s.FeedwaterC > 0 && s.FeedwaterC < floorC, "FeedwaterC", "feedwater", "is %g °C; want above 0 and below the floor of %.1f °C", s.FeedwaterC, floorC)
	}
	s.checkShape(&f)
	return hotC, floorC, f.err()
}

func (s Spec) checkHot(f *faults) (hotC float64, ok bool) {
	ok = f.require(s.MarginBar >= 0, "MarginBar", "margin", "is %g bar; want 0 or more", s.MarginBar)
	if !f.require(s.Working.Valid(), "Working", "working pressure", "is %v; want one above zero, absolute or gauge", s.Working) || !ok {
		return 0, false
	}
	hotC, err := steam.SatTemp(s.Working.Plus(-s.MarginBar))
	if s.MostC > 0 {
		hotC = min(hotC, s.MostC)
	}
	ok = f.require(s.MostC >= 0, "MostC", "charging temperature", "is %g °C; want 0 for no limit, or more", s.MostC)
	ok = f.require(err == nil, "Working", "working pressure", "is %v less %g bar of margin: %v", s.Working, s.MarginBar, err) && ok &&
		f.require(hotC <= mostHotC, "Working", "working pressure", "is %v less %g bar of margin, which boils at %.1f °C; want at most %g °C (165.3 bar(a))", s.Working, s.MarginBar, hotC, mostHotC)
	return hotC, ok
}

// checkExchanger returns the least temperature from which the exchanger makes its supply.
func (s Spec) checkExchanger(f *faults) (leastC float64, ok bool) {
	a := f.require(s.SupplyC > 0 && s.SupplyC < mostHotC, "SupplyC", "supply temperature", "is %g °C; want above 0 and below %g °C", s.SupplyC, mostHotC)
	b := f.require(s.ApproachK >= 0 && s.ApproachK < mostHotC, "ApproachK", "approach", "is %g K; want 0 or more", s.ApproachK)
	f.require(s.LimitKW > 0, "LimitKW", "exchanger rating", "is %g kW; want more than 0", s.LimitKW)
	return s.SupplyC + s.ApproachK, a && b
}

func (s Spec) checkFloor(f *faults, hotC float64, okHot bool) (floorC float64, ok bool) {
	switch s.Discharge {
	case Exchanger:
		return s.checkExchanger(f)
	case Thermocline:
		return s.checkThermocline(f, hotC, okHot)
	case Flash:
		ok = f.require(s.LineDropBar >= 0, "LineDropBar", "line drop", "is %g bar; want 0 or more", s.LineDropBar)
		if !f.require(s.Header.Valid(), "Header", "header pressure", "is %v; want one above zero, absolute or gauge", s.Header) || !ok {
			return 0, false
		}
		floorC, err := steam.SatTemp(s.Header.Plus(s.LineDropBar))
		ok = f.require(err == nil, "Header", "header pressure", "is %v and %g bar of line: %v", s.Header, s.LineDropBar, err)
		f.require(s.Feed == WhileDischarging || s.Feed == WhileCharging, "Feed", "feed", "is choice %d; want while discharging or while charging", int(s.Feed))
		f.require(s.SteamKgHM2Bar >= 0, "SteamKgHM2Bar", "surface rating", "is %g kg/(m² h bar); want 0 for the usual %d, or more", s.SteamKgHM2Bar, DefaultSteamKgHM2Bar)
		f.require(s.LimitKgH >= 0, "LimitKgH", "steam limit", "is %g kg/h; want 0 for none, or more", s.LimitKgH)
		return floorC, ok
	}
	return 0, f.require(false, "Discharge", "discharge", "is kind %d; want flash, exchanger or thermocline", int(s.Discharge))
}

func (s Spec) checkShape(f *faults) {
	f.require(s.FillFrac >= leastFill && s.FillFrac <= mostFill, "FillFrac", "fill", "is %g; want %g to %g, the rest is steam space", s.FillFrac, leastFill, mostFill)
	f.require(s.LengthPerDiameter > 0 && s.LengthPerDiameter <= 50, "LengthPerDiameter", "length per diameter", "is %g; want more than 0, at most 50", s.LengthPerDiameter)
	f.require(s.Ends >= Ellipsoidal && s.Ends <= Korbbogen, "Ends", "ends", "are of form %d; want one of the five named", int(s.Ends))
	f.require(s.InsulationM >= 0 && s.InsulationM < 2, "InsulationM", "insulation thickness", "is %g m; want 0 to 2 m", s.InsulationM)
	f.require(s.InsulationWMK > 0 || s.InsulationM == 0, "InsulationWMK", "insulation conductivity", "is %g W/(m K); want more than 0", s.InsulationWMK)
	f.require(s.OutsideWM2K > 0, "OutsideWM2K", "outside film", "is %g W/(m² K); want more than 0", s.OutsideWM2K)
	f.require(s.ExtraLossFrac >= 0 && s.ExtraLossFrac <= 1, "ExtraLossFrac", "extra loss", "is %g; want 0 to 1", s.ExtraLossFrac)
}
