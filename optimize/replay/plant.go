package replay

import (
	"noonkeep/plant"
	"noonkeep/storage"
)

// Plant is what is played: machines as they stand, and what the year brings them.
//
// A series has one value for each of the plant's Steps, or a whole fraction of that many, each of which then lasts so
// much longer: with steps of a minute, 8760 values are hours, and a single value stands for the whole time. Powers
// are in kW. Lists hold headers, fields, boilers and stores; where one speaks of another it holds its place in its list.
type Plant struct {
	StepS float64 // length of a step, s; a whole fraction of an hour
	Steps int     // whole hours of them

	Headers []Header // highest pressure first
	Fields  []Field
	Boilers []Boiler // in order of merit: the first is fired first
	Stores  []Store
	Limits  []Limit
}

// Header is a main of steam, or of a medium.
type Header struct {
	Name     string
	DemandKW []float64

	SteamC     float64 // boiling temperature at its pressure, °C; 0 for a medium, of which heat alone is counted
	FeedwaterC float64 // of what makes its steam, °C
	MediumC    float64 // supply temperature of a medium, °C, which bounds what it can charge; 0: not known

	// SlackKWh is what boilers' water and pipes give and take, each way, while the pressure stays in its band. See
	// [Slack]. With none, a header has to be met to the kW at every step.
	SlackKWh float64

	Above   int     // the header that lets heat down into this one; -1: none
	ValveKW float64 // the most that comes down, as heat of this header; 0: no limit
}

// Field is a group of collectors. The yields are steady ones, morning warm-up already taken off, per m² of aperture.
type Field struct {
	Name       string
	AreaM2     float64
	Header     int           // that it feeds
	HeaderKWM2 []float64     // at that header's temperature; nil: it feeds none
	MostKW     []float64     // the most that its header takes from it; nil: no limit
	Stores     []StoreYields // by store; those without series are not charged. Nil: none is

	// LagS is the time after which 63 % of a change of the sun has arrived, s. See [Lag]. What is under way when the sun
	// goes comes after it; if nobody takes it, it is lost with a time constant of CoolH, h (0: 3 h).
	LagS, CoolH float64

	PumpKWhPerKWh float64 // electricity per kWh of heat that arrives
}

// StoreYields are a field's yields to a store, when that is at its floor and when it is at its hottest. Between the
// two they are taken by the store's temperature at the time.
type StoreYields struct{ FloorKWM2, HotKWM2 []float64 }

// Boiler is a boiler on a header.
type Boiler struct {
	plant.Boiler
	Header    int
	Available []float64 // the share of it that can run; nil: all of it. At 0 it is off, and goes cold
	// PurgeKWh is the fuel for what air carries out before each lighting of the fire; 0: [DefaultPurgeH] of full fire,
	// below 0: none.
	PurgeKWh float64
}

// Limit is the most that several boilers may give together: they share a flue or a fuel line.
type Limit struct {
	Name    string
	Boilers []int
	MostKW  float64
	OfFuel  bool // it counts the fuel; else the heat
}

// Store is a vessel. Its floor, its hottest, its limits and its loss follow from the spec and the volume.
type Store struct {
	Name     string
	Spec     storage.Spec
	VolumeM3 float64   // gross; 0: there is none
	Header   int       // that it serves
	From     int       // whose heat charges it and keeps it warm
	AmbientC []float64 // air around it, °C

	ChargeKW       float64 // the most that goes in from fields; 0: no limit
	HeaderChargeKW float64 // the most that goes in from the header From; 0: none does
	LetCool        bool    // below its floor it cools; else heat of From keeps it there
}
