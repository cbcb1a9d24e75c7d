package replay

import "fmt"

// Options for [Run]; the zero value is good.
type Options struct {
	// LeadH is how long is played before the year begins, uncounted, so that it starts warm: the last hours of the year.
	// 0: a week, or the whole time where that is shorter. Below 0: none, the stores begin at their floor.
	LeadH float64

	// Steps of which each is kept, as [Played.Watched]; WatchSteps of 0 keeps none.
	WatchFrom, WatchSteps int
}

// Played is what came of a way of running. It holds no money. Sums are kWh over the time played; series are by hour.
type Played struct {
	Hours int

	DemandKWh    float64
	SunHeaderKWh float64 // sun that arrived at headers
	SunStoreKWh  float64 // sun that arrived in stores
	SpilledKWh   float64 // what fields turned away would have given
	LagLossKWh   float64 // sun's heat that nobody took in time
	BoilerKWh    float64
	FuelKWh      float64 // all of it, net: load, starts, purging, standby
	StartFuelKWh float64 // the part for starts and purging
	HotFuelKWh   float64 // the part for standing by
	PumpKWh      float64 // electricity of the fields' pumps

	StoreInKWh  float64 // from fields and headers, keeping warm apart
	StoreOutKWh float64
	KeepWarmKWh float64
	LossKWh     float64 // of stores, to the air; and with water that was let out
	VentKWh     float64

	UnmetKWh, UnmetH, WorstUnmetKW float64 // UnmetH: in steps with more than a thousandth of the demand missing
	WorstUnmetStep                 int

	Starts, Lights []int     // by boiler: from cold; all lightings of its fire
	HotH, FiringH  []float64 // by boiler
	FuelByBoiler   []float64 // kWh

	// ContentKWh is what stores, headers and fields under way hold at the end, less that at the beginning.
	ContentKWh float64
	StoredKWh  []float64 // by store: the same, of it alone

	Series   Series
	Watched  Series    // by step from Options.WatchFrom on; stores' losses are by hour alone, and 0 here
	Refusals []Refusal // one for each hour, thing and reason, in order of time
	Refused  []Reason  // the same by reason, all of them
	Books    PlantBooks
}

// Series are means over each hour, kW where nothing else is said.
type Series struct {
	SunHeaderKW [][]float64 // [field]
	SpilledKW   [][]float64 // [field]
	SunStoreKW  [][]float64 // [store], from all fields
	HeaderInKW  [][]float64 // [store] from the header that charges it
	DrawKW      [][]float64 // [store] to its header
	KeepWarmKW  [][]float64 // [store]
	LossKW      [][]float64 // [store]
	HeldKWh     [][]float64 // [store] at the hour's start
	StoreC      [][]float64 // [store] at the hour's start, °C
	StoreBar    [][]float64 // [store] at the hour's start, bar(a)
	LevelFrac   [][]float64 // [store] at the hour's start
	BoilerKW    [][]float64 // [boiler]
	FuelKW      [][]float64 // [boiler] with starts, purging and standby
	DemandKW    [][]float64 // [header]
	ValveKW     [][]float64 // [header] from the header above, as heat of this one
	UnmetKW     [][]float64 // [header]
	VentKW      [][]float64 // [header]
}

// Why is the reason for which the machine did not do as ordered.
type Why int

const (
	BySurface   Why = iota // the water surface gives no more steam at this pressure
	ByNozzle               // the nozzle, the line or the exchanger passes no more
	ByFloor                // the store is at its floor
	ByFull                 // the store is at its hottest, or full of water
	ByChargeKW             // what charges the store passes no more
	BySun                  // the sun brings less than was ordered
	ByStart                // the boiler is not hot yet
	ByRamp                 // its heat may not rise so fast
	ByLeast                // its lowest fire gives more
	ByCapacity             // it gives no more, or is out of service
	ByLimit                // boilers share a flue or a fuel line
	ByHeader               // the header takes no more
	ByTwoPhases            // the vessel's steam tables have no such state
	whys
)

// String gives the reason in words.
func (w Why) String() string {
	return [...]string{
		"water surface", "nozzle or exchanger", "store at its floor", "store full", "charging rate", "less sun than planned",
		"boiler not hot yet", "ramp", "lowest fire", "boiler's capacity", "joint limit", "header takes no more", "no state of water and steam",
	}[w]
}

// Refusal is an order that was not carried out, in one hour.
type Refusal struct {
	Step   int    // the first
	Hour   int    // in which
	What   string // "store", "charge", "boiler"
	Of     int    // which one
	Why    Why
	KW     float64 // the most that was lacking of the order, or was over it
	KWh    float64 // in the hour
	Missed bool    // heat was missing in that hour
}

// String reads "store 0: 120 kW refused from step 480: water surface".
func (r Refusal) String() string {
	return fmt.Sprintf("%s %d: %.4g kW refused from step %d: %v", r.What, r.Of, r.KW, r.Step, r.Why)
}

// Reason is how often and how much was refused for one reason.
type Reason struct {
	What  string
	Why   Why
	Hours int
	KWh   float64
}

// PlantBooks are mass and energy over the whole plant. What goes in and out is counted where it flows; what is within is
// worked out from states, by IAPWS-IF97.
type PlantBooks struct {
	InKg, OutKg, WithinKg        float64 // Within: at the end less at the beginning
	InKWh, OutKWh, WithinKWh     float64
	MassResidual, EnergyResidual float64 // what does not close, as a share of in and out
}
