package scenarios

import (
	"fmt"

	"noonkeep/optimize"
)

// Relaxation is one place where the program is simpler than the plant.
type Relaxation struct {
	Name string // short, for lists
	Text string // what is simplified, why, and to which side it errs
}

// Relaxations lists every way in which the problem of [Case.Problem] is simpler than the plant. This file
// is the one place where plant becomes numbers, so nothing is simplified elsewhere between the two.
func Relaxations() []Relaxation {
	return []Relaxation{
		{"hourly means", "Sun, air, wind and load are means over a step: a cloud or a load peak inside the step is not seen. Errs to the good side."},
		{"known future", "The plan knows the whole year's sun and load. Errs to the good side; a plain rule and a forecast arrive at less."},
		{"calendar of one year", "In many years of weather, loads by the calendar and measured loads are those of the study's one year: a hard winter and a full order book do not meet as they may have."},
		{"years of one climate", "Generated years are drawn from one set of monthly means, all months of a year to one side, and the years one by one: no run of bad years, no change of climate."},
		{"unsure one by one", "Under doubt each input is drawn by itself: a dear fuel and a full order book, or a dull year and dirty mirrors, go together no more often than chance has it; and each holds all year."},
		{"yearly cycle", "The store ends the year as it began it, at the level that costs least."},
		{"through the store within a step", "A store may take heat and give it on in one step, as far as its rates go, however little it holds: a field that feeds the store alone asks for no size. Errs to the good side for very small vessels."},
		{"charging at the hottest", "Sun that charges the store is counted at the store's hottest water all the time, however cool it stands. Errs to the safe side."},
		{"warm-up on each path", "Morning warm-up is taken from the header's yield and from the store's as if each had the field to itself; a step that shares the field takes a share of both."},
		{"loss linear in heat", "The vessel's temperature is a straight line in the heat that it holds: within 1 K when fed while discharging, up to 5 K when fed while charging."},
		{"loss between charges", "Fed while charging, a vessel that loses a kWh has about 1.15 kWh less to draw before the next charge, which then needs that much less. Right over a cycle; errs to the good side in between."},
		{"one temperature", "The vessel's water is mixed: no hot layer over a cool one. Errs to the safe side for an exchanger."},
		{"kept warm", "An empty store is not let cool below its floor: sun or boiler replaces the standing loss. Letting it cool can be cheaper. Errs to the safe side."},
		{"own use with the load", "Where a header has a boiler house, deaerator steam and blowdown follow its load, whoever makes the steam; while sun or store carry it, a boiler blows down less. Errs to the safe side."},
		{"one feedwater", "Boilers, sun and store are fed with water of one temperature, all year."},
		{"minimum fire dropped", "In the curve and its bounds a boiler may run at any small load, and start and stand by at no cost. Errs to the good side; `schedule` keeps to the lowest fires, counts starts and standby, and says how far it lies over the bound."},
		{"hull of the efficiency", "A boiler's fuel against load enters as its convex hull, from nothing at no load; `check` says how far the boiler's own fuel lies above it at most. Errs to the good side; `schedule` counts the fuel itself where a lowest fire, a start or a standby is given."},
		{"start in the off time", "A start's fuel is counted in the step before which the boiler was off, and its time only as the least time off. A ramp binds above the lowest fire."},
		{"pumps at the sun's price", "Where the price of electricity follows the clock, pumps and drives pay its mean over the year's sunlight; only electrode boilers pay by the hour."},
		{"discharge rate at its least", "Steam leaves no faster than at the store's lowest pressure, where the water surface gives least. Errs to the safe side."},
		{"drives run regardless", "The field's drives follow the sun whenever its beam could be used, needed or not: their power is a fixed cost."},
		{"valve for nothing", "A reducing valve passes heat from header to header one for one. With one feedwater for both that is so, superheat and spray included; feedwaters apart change it by a few per cent."},
		{"flash steam as it comes", "Flash steam of a header's condensate comes at the time of its loads, and what the lower header's loads do not take just then is vented; work that may be moved gives none. Errs to the safe side."},
		{"charged at any pressure", "Steam of a header charges a store at its full rate until the store is full, where its pressure is all but the header's. Errs to the good side."},
		{"thermocline whole", "A thermocline gives supply temperature until only its layer is left, whatever was drawn and charged before; conduction through the layer is a loss that grows with the heat held."},
		{"supply and return as written", "A header of hot water, oil or air has its two temperatures at every load, and a field heats it at their mean."},
		{"work in pieces", "Work that may be moved takes any power between its least and its most at any hour of its window, in as many pieces as it likes: no batch runs on once begun. Errs to the good side."},
		{"chiller at its coldest heat", "An absorption chiller's capacity and COP are taken at the coldest heat that it may be given, also while sun or boiler give hotter heat, and with cooling water as rated all year. Errs to the safe side."},
		{"a chiller for each load", "Two loads that hang on one chiller are not added up against its capacity, and no cold is kept."},
		{"tank in plug flow", "In a hot-water tank hot and cold do not mix, and it loses as if hot throughout. Mixing would load the header earlier; the year's heat is the same."},
		{"heat for the feedwater follows the load", "A field on the feedwater may give a share of the header's load at each step, whoever makes the steam, and of work that may be moved nothing; its collectors always work at the middle of what it may warm. A tank of feedwater would let it give more."},
		{"dirt by the day", "Dirt grows evenly from one washing to the next, and no rain washes it off."},
		{"frost paid back", "Heat that keeps a field from freezing comes from its header and is given back by the field's next sun: it costs heat, but not at the hour in which the boiler made it."},
		{"pipes of the field as it stands", "Where a field's pipes or idle pumps are written for the whole of it, fields of other sizes are counted with as much for each m2."},
		{"out of focus at no cost", "A field whose heat nobody takes is turned out of focus, or stands still and hot, and gives heat again at once."},
		{"shade shared out", "The shade of neighbours and of ends is spread evenly over a field's collectors, and each gives heat by its mean light. Errs to the good side where some would give none."},
		{"level ground", "Rows and dishes stand with their middles at one height; rows are straight, dishes round. Ground that falls towards the sun shades less."},
		{"dark hills", "Behind a horizon line no light comes from sky or hills; the ground and the rest of the sky are as bright as without it."},
		{"one plan for the life", "Money over the life takes every year as the one that is solved, at its prices: where prices rise apart, the best plan would change and save a little more. What is saved only falls by the degradation that is written."},
		{"availability as a share", "Collectors out of work are a share of each hour's heat, not days without any."},
	}
}

// Problem turns the case into plain series and numbers: see [Relaxations] for what is left out on the way.
// Stores have the volume of the scenario; [Case.StoreLaw] gives the varied one at others.
func (c Case) Problem() (optimize.Problem, error) {
	p := optimize.Problem{Start: c.Axis.Start, StepH: c.Axis.StepH()}
	for _, h := range c.Headers {
		p.Headers = append(p.Headers, optimize.Header{Name: h.Name, DemandKW: h.DemandKW, UnmetPrice: h.UnmetPerKWh})
	}
	p.Moves = c.moves()
	for _, f := range c.Fields {
		p.Fields = append(p.Fields, c.field(f))
	}
	for _, b := range c.Boilers {
		p.Boilers = append(p.Boilers, c.boiler(b))
	}
	c.supplies(&p)
	for to, h := range c.Headers {
		if h.Above >= 0 {
			v := optimize.Valve{From: h.Above, To: to, CapacityKW: c.above(to)}
			if h.ValveKW > 0 {
				v.CapacityKW = h.ValveKW
			}
			p.Valves = append(p.Valves, v)
		}
	}
	for k, s := range c.Stores {
		store, err := c.storeLaw(k)(s.VolumeM3)
		if err != nil {
			return optimize.Problem{}, err
		}
		p.Stores = append(p.Stores, store)
	}
	if err := p.Check(); err != nil {
		return optimize.Problem{}, fmt.Errorf("%s: %w", c.File, err)
	}
	return p, nil
}

// field gives a field's two yields and what its power costs.
func (c Case) field(f Field) optimize.Field {
	out := optimize.Field{
		Name: f.Name, AreaM2: f.AreaM2(),
		HeaderKWM2: make([][]float64, len(c.Headers)),
		HeatCost:   f.PumpKWhPerKWh * c.PowerPerKWh,
		FixedCost:  (f.Yield().DriveKWhM2 + f.Yield().IdleKWhM2) * f.AreaM2() * c.PowerPerKWh,
	}
	if f.Feeds != ToStoreAlone {
		out.HeaderKWM2[f.Header] = f.ToHeader.KWM2
	}
	if f.Preheat != nil {
		out.MostKW = make([]float64, c.Axis.N)
		for t, kW := range c.Headers[f.Header].DemandKW {
			out.MostKW[t] = f.Preheat.ShareFrac * kW
		}
	}
	if f.charges() {
		for _, y := range f.ToStores {
			out.StoreKWM2 = append(out.StoreKWM2, y.KWM2)
		}
	}
	return out
}

// boiler gives a boiler with the hull of its fuel; its price carries that of its carbon.
func (c Case) boiler(b Boiler) optimize.Boiler {
	price := make([]float64, c.Axis.N)
	for t := range price {
		price[t] = c.fuelPrice(b.Fuel, t)
	}
	out := optimize.Boiler{Name: b.Name, Header: b.Header, FuelPrice: price, Available: b.Available, RampKW: c.rampKW(b)}
	points := b.Hull().Points
	if len(points) == 2 {
		out.Pieces = []optimize.Piece{{CapacityKW: b.CapacityKW, FuelPerHeat: b.FuelPerHeat()}}
		return out
	}
	for i, p := range points[1:] {
		heat := p.HeatKW - points[i].HeatKW
		out.Pieces = append(out.Pieces, optimize.Piece{CapacityKW: heat, FuelPerHeat: (p.FuelKW - points[i].FuelKW) / heat})
	}
	return out
}

// above is the most heat that can come from the headers over one: a bound on its valve that never binds.
func (c Case) above(to int) float64 {
	sum := 0.0
	for _, b := range c.Boilers {
		if b.Header < to {
			sum += b.CapacityKW
		}
	}
	for _, f := range c.Fields {
		if f.Header < to {
			sum += f.ToHeader.PeakKWM2 * f.AreaM2()
		}
	}
	for _, s := range c.Stores {
		if s.Header < to {
			if l, err := s.Limits(max(s.ToM3, s.VolumeM3)); err == nil {
				sum += l.DischargeKW
			}
		}
	}
	return sum
}
