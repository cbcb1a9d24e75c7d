package scenarios

import (
	"go.yaml.in/yaml/v3"

	"noonkeep/demand"
	"noonkeep/plant"
	"noonkeep/plant/clock"
	"noonkeep/plant/sky"
	"noonkeep/storage"
)

// Case is a scenario that was understood: checked values of the domain, every series on one axis.
// Make one with Load or Parse. Where a member speaks of a header it holds its place in Headers.
type Case struct {
	Name     string
	File     string // as it was given to Load or Parse
	Currency string // its letters, as the scenario writes them

	Place    sky.Place
	AirBarA  float64 // the site's air pressure, by its elevation
	Axis     clock.Axis
	Calendar clock.Calendar
	Weather  sky.Year
	Horizon  *plant.Horizon // nil: level

	Headers []Header // highest pressure first
	Loads   []Consumer
	Fuels   []plant.Fuel
	Boilers []Boiler
	Fields  []Field
	Stores  []*Store
	Store   *Store // of Stores, the one whose volume the curve varies; nil when the plant has none

	Charges []Charge // standing charges of fuels and electricity
	Takes   []Take
	Limits  []Limit // what boilers share

	Power       plant.Fuel // electricity as a fuel; no name where the scenario has none
	PowerPerKWh float64    // price of electricity for pumps and drives; by the sun's hours where it follows the clock
	CarbonPerKg float64    // price of CO2 from fuel, 0 for none
	Money       Money
	Business    Business
	Unsure      []Unsure // what is not known for sure; none where the scenario says nothing of it
	Variants    []Variant
	Variant     string // the name of the variant that it is; empty for the plant as it stands
	Edits       []Edit // what that variant changes

	Assumptions []Assumption // what was left out and filled in, in the order of the keys
	Warnings    []Warning    // what is doubtful, in file order

	made *origin // what variants are made of
}

// Header is a steam header with the sum of its loads.
type Header struct {
	plant.Header
	Medium      *plant.Medium // what it carries in place of steam; its FeedwaterC is then the return's
	SteamC      float64       // saturation temperature; the supply's of a medium
	HeatKJKg    float64       // heat that makes a kg of its steam; 0 for a medium
	UnmetPerKWh float64       // price of heat not met, 0 when all must be met
	House       *House        // what lies between its condensate and the feedwater; nil where the feedwater is given
	FromAbove   bool          // a reducing valve or an exchanger lets in heat from a higher header
	Above       int           // which that is; -1 for none
	ValveKW     float64       // the most that it passes; 0 for all that comes
	Spray       bool          // feedwater brings the steam down to saturation
	DemandKW    clock.KW      // of all its loads but those whose hours the plan chooses, less FlashKW
	MovableKW   clock.KW      // of those, done as soon as they may be; nil if there is none

	FlashKW        clock.KW // flash steam of higher headers' condensate; nil for none
	FlashVentedKWh float64  // of it, more than its loads take just then
}

// FieldC is the temperature at which a collector field heats the header: that of its steam, or the middle of its medium's.
func (h Header) FieldC() float64 {
	if h.Medium != nil {
		return h.Medium.MeanC()
	}
	return h.SteamC
}

// Consumer is a load: what takes heat from one header.
type Consumer struct {
	demand.Load
	Header int
	Says   string        // when or how it takes heat, in a few words: "Mon-Sat 06:00-22:00"
	KW     clock.KW      // on the case's axis
	Moved  *Moved        // work whose hours the plan chooses; nil for heat at its hours
	Parts  []demand.Part // where its heat came from; they sum to KW's

	Filled   []bool  // steps of which a part was filled in; nil for a load without
	Billed   *Billed // what its bills say of the weather; nil for a load that is not billed
	AtBoiler bool    // it is known at the boiler, with the boiler house's own use in it
	// LeastFeedC is the coldest heat that it works with, degC: of a chiller's generator or of hot water; 0 when not known.
	LeastFeedC float64
	Medium     *plant.Medium // what it is heated with on its header; nil for the header's own
}

// Boiler is a boiler on one header. Its Fuel is a copy of the one in Case.Fuels.
type Boiler struct {
	plant.Boiler
	Header    int
	Out       []clock.Span // out of service
	Available []float64    // the share of it that can run, by step; nil: all of it
}

// Charge is what a supply costs in a year whatever is taken.
type Charge struct {
	Of      string // a fuel's name, or electricity
	PerYear float64
}

// Take is fuel that is paid for in a year, burnt or not.
type Take struct {
	Fuel        string
	LeastKWh    float64 // net
	PricePerKWh float64 // net
}

// Limit is what boilers may give or take together; they are places in Case.Boilers.
type Limit struct {
	Name    string
	Boilers []int
	MostKW  float64
	OfFuel  bool // it counts net fuel; else heat in the steam
}

// Field is a collector field with its two yields.
type Field struct {
	plant.Field
	Header   int
	ToHeader plant.YieldYear   // per m2 of aperture, at the header's steam temperature
	ToStore  plant.YieldYear   // at the hottest of Case.Store; no series when it does not charge it
	ToStores []plant.YieldYear // the same of each of Case.Stores
	Feeds    Feeds
	AtC      float64  // at which ToHeader was taken, before the approach: steam, or the middle of what is preheated
	Preheat  *Preheat // nil for a field that is not on the feedwater
	Promise  Promise  // of its power, for a check by measurement

	Cost   FieldCost
	Ground *plant.Ground // nil: none is said, and none is short
	Places int           // collectors that fit on it, with the spacing as written
	InRow  int           // collectors in a full row, where there are Rows

	lengthM, gapM float64 // of a collector along its row, and between two
	square        bool    // the columns of its grid follow its count
}

// Store is a hot-water store.
type Store struct {
	storage.Vessel
	Name           string
	Spec           storage.Spec
	Header         int       // that it serves
	From           int       // whose heat charges it and keeps it warm: mostly the same
	VolumeM3       float64   // the size that `schedule` plans with when none is given
	FromM3, ToM3   float64   // the sizes that the curve covers
	AmbientC       []float64 // air round the vessel, degC, mean over the step
	ChargeKW       float64   // most heat that goes in from the fields; 0 for their peak
	HeaderChargeKW float64   // most heat that goes in from the header
	Cost           VesselCost
}

// Variant is a named change of the plant, as it was written; [Case.Vary] makes it.
type Variant struct {
	Name   string
	Line   int
	Change *yaml.Node
}

// Assumption is a value that the scenario left out and that was filled in.
type Assumption struct {
	Key   string // "store.fill"
	Value string // "90 %"
	Text  string // what it is, and on what ground
}

// Warning is something that is understood but doubtful.
type Warning struct {
	Line int // in the scenario, 0 when in no line of it
	Text string
}
