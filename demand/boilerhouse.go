package demand

import (
	"errors"
	"fmt"

	"noonkeep/plant/steam"
)

// BoilerHouse is what lies between a process' steam and the boilers' feedwater: how the condensate comes back, what
// makes up for the rest, what is blown down, and the tank or deaerator in which they meet.
type BoilerHouse struct {
	Header       steam.Pressure
	AirBarA      float64        // air round an open feed tank, bar(a)
	ReturnFrac   float64        // kg of condensate that come back, per kg of process steam: with FlashAt, before they flash
	CondensateC  float64        // as it enters the tank
	FlashAt      steam.Pressure // where the traps' saturated condensate flashes; the zero value for nowhere
	FlashTaken   bool           // what flashes goes to another header: it is not lost, nor led into the tank
	MakeUpC      float64
	BlowdownFrac float64        // of the feedwater, not of the steam
	Deaerator    steam.Pressure // heated by the header's steam; the zero value for an open feed tank
	VentFrac     float64        // steam that leaves with the deaerator's gases, of the feedwater
	Recovery     Recovery
	ApproachK    float64 // with FullRecovery: the drained blowdown stays so much over the make-up
}

// Recovery is what is won back of flash steam and blowdown. The zero value is NoRecovery.
type Recovery int

const (
	NoRecovery    Recovery = iota
	FlashRecovery          // flash steam of condensate and blowdown goes into the tank
	FullRecovery           // and the blowdown's water warms the make-up
)

func (r Recovery) String() string { return []string{"none", "flash", "full"}[max(0, min(int(r), 2))] }

// HouseBalance is what a boiler house does for each kg/h of process steam, kg/h and kW.
type HouseBalance struct {
	FeedwaterC                                float64
	DeaeratorKgH, BlowdownKgH                 float64
	FeedKgH, MakeUpKgH, FlashLostKgH, VentKgH float64
	FlashTakenKgH                             float64 // flash steam to another header
	BoilerKW                                  float64 // heat into the water: process steam, deaerator steam and blowdown
	OwnUseFrac                                float64 // boiler's heat beyond that of the process steam, over that of the process steam
	Boils                                     bool    // more heat comes back than the tank can hold; it boils off as vent steam
	Streams                                   []HouseStream
}

// HouseStream is what crosses the bounds of the boiler house, by kg/h of process steam. Enthalpies count from the
// triple point.
type HouseStream struct {
	Name string
	Out  bool
	KgH  float64 // 0 for heat alone
	KJKg float64 // 0 for heat alone
	KW   float64
}

// Check reports all that is wrong with the boiler house.
func (h BoilerHouse) Check() error {
	var faults []error
	require := func(holds bool, what, format string, args ...any) {
		if !holds {
			faults = append(faults, &HouseFault{what, fmt.Sprintf(format, args...)})
		}
	}
	sat, err := steam.SaturatedUnder(h.Header)
	if err != nil {
		return &HouseFault{"pressure", err.Error()}
	}
	require(h.AirBarA > 0.3 && h.AirBarA < 1.2, "air", "is %g bar(a); want 0.3 to 1.2", h.AirBarA)
	require(h.ReturnFrac >= 0 && h.ReturnFrac <= 1, "return", "is %g; want 0 to 1", h.ReturnFrac)
	require(h.MakeUpC > 0 && h.MakeUpC <= 95, "make_up", "is %g degC; want more than 0 degC, up to 95 degC", h.MakeUpC)
	require(h.BlowdownFrac >= 0 && h.BlowdownFrac <= 0.3, "blowdown", "is %.3g of the feedwater; want 0 to 0.3", h.BlowdownFrac)
	require(h.VentFrac >= 0 && h.VentFrac <= 0.05, "vent", "is %g of the feedwater; want 0 to 0.05", h.VentFrac)
	require(h.Recovery >= NoRecovery && h.Recovery <= FullRecovery, "heat_recovery", "is %d; want none, flash or full", int(h.Recovery))
	require(h.ApproachK >= 0 && h.ApproachK <= 60, "approach", "is %g K; want 0 to 60", h.ApproachK)
	require(h.CondensateC > 0 && h.CondensateC <= sat.TC, "temperature", "is %.4g degC; want more than 0 degC, up to the steam's %.1f degC", h.CondensateC, sat.TC)
	if h.Deaerator.Valid() {
		require(h.Deaerator.BarAbs() < h.Header.BarAbs(), "deaerator", "is at %v and its steam comes from the header at %v; want less", h.Deaerator, h.Header)
		require(h.Deaerator.BarAbs() >= h.AirBarA, "deaerator", "is at %v, under the air's %.4g bar(a); want more, or its gases stay in", h.Deaerator, h.AirBarA)
	} else {
		require(h.VentFrac == 0, "vent", "is of a deaerator, and there is none")
	}
	if h.FlashAt.Valid() {
		require(h.FlashAt.BarAbs() < h.Header.BarAbs(), "flash_at", "is at %v, and the condensate comes from %v; want less", h.FlashAt, h.Header)
		require(h.Recovery == NoRecovery || h.FlashTaken || h.FlashAt.BarAbs() >= h.tank().BarAbs()*(1-1e-9), "flash_at",
			"is at %v, and its steam is to go into the tank at %v; want as much at least, or no heat_recovery", h.FlashAt, h.tank())
		if low, err := steam.SaturatedUnder(h.FlashAt); err != nil {
			faults = append(faults, &HouseFault{"flash_at", err.Error()})
		} else {
			require(h.CondensateC <= low.TC+1e-9, "temperature", "is %.4g degC after flashing at %v; want %.4g degC at most", h.CondensateC, h.FlashAt, low.TC)
		}
	}
	return errors.Join(faults...)
}

// HouseFault is a value of a boiler house that cannot be.
type HouseFault struct {
	What string // "return", "make_up", ...
	Text string
}

func (f *HouseFault) Error() string { return f.What + ": " + f.Text }

// tank is the pressure in the deaerator or the open feed tank.
func (h BoilerHouse) tank() steam.Pressure {
	if h.Deaerator.Valid() {
		return h.Deaerator
	}
	return steam.BarAbs(h.AirBarA)
}
