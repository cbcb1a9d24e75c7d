package replay

// Way is a way of running the plant: what an operator, or a program in his place, orders by what he sees. Orders is
// called before each step; it must not keep seen or o, nor allocate where a year is to be played fast.
//
// What is not ordered is left to the machine's own controllers: sun to the header and the rest to the store; the store
// gives what the header lacks; boilers give what is lacking then, with time to start; header pressure above all, so that
// an order yields where heat would be missing.
type Way interface {
	Orders(seen *Seen, o *Orders)
}

// Seen is what an operator's gauges show.
type Seen struct {
	Step, Hour int     // of the plant's; in the lead-in they are those of the year's end
	Lead       bool    // in the lead-in, which is not counted
	StepH      float64 // length of a step, h

	DemandKW    []float64 // by header, now
	SunHeaderKW []float64 // by field: what it would bring its header now, all of it
	SunStoreKW  []float64 // by store: what fields would bring it now, all of them
	Stores      []StoreSeen
	Boilers     []BoilerSeen
}

// StoreSeen are a store's gauges.
type StoreSeen struct {
	KWh         float64 // heat above the floor on the plan's ledger; below 0 where it cooled under its floor
	GivesKWh    float64 // what a draw down to the floor would give: less than KWh where water is made up while charging and heat was lost
	CapacityKWh float64
	TC, BarAbs  float64 // of a thermocline at its top
	LevelFrac   float64 // share of the volume that is water

	MostDrawKW, MostChargeKW float64 // what it can give, and take from fields, now

	// What it did in the step before: heat to its header, from fields, from the header that charges it.
	DrawKW, SunKW, HeaderInKW float64
}

// BoilerSeen is what a boiler does.
type BoilerSeen struct {
	State BoilerState
	KW    float64 // heat in the step before
}

// BoilerState is what a boiler does.
type BoilerState int

const (
	Off      BoilerState = iota // cold, or on its way there
	Starting                    // purged, lit and warming up
	Hot                         // standing by
	Firing
)

// String names the state.
func (s BoilerState) String() string {
	return [...]string{"off", "starting", "hot", "firing"}[s]
}

// Orders are set-points. They stay as they are until changed; at first they are those of [PlainRule].
type Orders struct {
	Stores  []StoreOrder
	Boilers []BoilerOrder
}

// StoreOrder is what a store is to do.
type StoreOrder struct {
	// HoldKWh is the content down to which the store gives in place of a boiler. Under it, it gives only what would be missing.
	HoldKWh float64
	// SunKW of the sun goes into the store before the header gets any; the header's rest does in any case. 0 is the plain rule.
	SunKW float64
	// DrawKW is prescribed where Prescribed: the store gives so much, more only where heat would be missing, less where
	// the header does not take it.
	DrawKW     float64
	Prescribed bool
	// FromHeaderKW is to charge it from the header From, by boilers too. Boilers' spare alone where AsSpare: what is then
	// burning, and what boilers that burn can give more.
	FromHeaderKW float64
	AsSpare      bool
}

// BoilerOrder is what a boiler is to do.
type BoilerOrder struct {
	Want   Want
	BaseKW float64 // heat that it gives in any case while the header takes it, before the store gives any
}

// Want is an order to a boiler.
type Want int

const (
	AsNeeded Want = iota // by the sequence control
	Rest                 // starts only where heat would be missing by present sun and stores: a cloud may find it cold
	KeepHot              // started if need be, and kept hot
)

// PlainRule is sun to the header and the rest to the store, and the store before any boiler. The zero value is ready.
type PlainRule struct{}

// Orders leaves everything to the machine's controllers. A store that no field charges is there for peaks: it is charged from
// its header with what boilers in fire have to spare, and gives what boilers cannot.
func (PlainRule) Orders(_ *Seen, _ *Orders) {}
