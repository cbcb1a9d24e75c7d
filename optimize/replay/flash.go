package replay

import (
	"math"

	"noonkeep/plant/steam"
	"noonkeep/storage"
)

// flash is a vessel whose steam flashes from its water as the pressure slides.
type flash struct {
	water
	feedKJKg        float64
	feedOnDraw      bool    // made up while drawing, else while charging
	holdKg          float64 // mass up to which it is made up
	emptyKJ         float64 // U - h_fw M of the empty vessel
	floorHSteam     float64
	rating, limit   float64 // kg/h per m² and bar; kg/h, 0 no limit
	surface         surface
	mostLevel, wish float64 // water is let out above the first, down to the second
	steamFed        bool
}

func newFlash(s *Store, v storage.Vessel, l storage.Limits, t *Table, steamFed bool) (*flash, error) {
	full, empty := v.At(s.VolumeM3, 1), v.At(s.VolumeM3, 0)
	if steamFed {
		// Steam that charges it brings its own water: at the floor it must be as low as a draw without feed leaves it.
		spec := s.Spec
		spec.Feed = storage.WhileCharging
		falling, err := storage.New(spec)
		if err != nil {
			return nil, err
		}
		empty = falling.At(s.VolumeM3, 0)
	}
	feed, err := steam.SaturatedAt(s.Spec.FeedwaterC)
	if err != nil {
		return nil, err
	}
	f := &flash{
		water: newWater(s, v, l, t, empty.MassKg), feedKJKg: feed.Liquid.HKJKg,
		feedOnDraw: s.Spec.Feed == storage.WhileDischarging || steamFed, holdKg: full.MassKg,
		floorHSteam: t.at(hSteam, l.FloorC), rating: s.Spec.SteamKgHM2Bar, limit: s.Spec.LimitKgH,
		surface: newSurface(s.Spec.FillFrac, l.WaterM2), wish: s.Spec.FillFrac + fillBand, mostLevel: s.Spec.FillFrac + 2*fillBand,
		steamFed: steamFed,
	}
	if f.rating == 0 {
		f.rating = storage.DefaultSteamKgHM2Bar
	}
	if steamFed {
		f.holdKg = empty.MassKg
	}
	f.emptyKJ = f.v.uKJ - f.feedKJKg*f.v.massKg
	return f, nil
}

const fillBand = 0.005 // of the volume, over the fill when hot, at which a level controller begins to let water out

func (f *flash) ledgerKWh() float64 { return (f.v.uKJ - f.feedKJKg*f.v.massKg - f.emptyKJ) / kJPerKWh }

// givesKWh is exact where the mass is held; where it falls, the steam's mean enthalpy is that of both ends.
func (f *flash) givesKWh() float64 {
	over := f.above(&f.floor)
	if over <= 0 {
		return 0
	}
	if f.feedOnDraw && f.v.massKg <= f.holdKg*(1+1e-9) {
		return over / kJPerKWh
	}
	h := (f.v.table.at(hSteam, f.v.tC) + f.floorHSteam) / 2
	return over / (h - f.floor.a) * (h - f.feedKJKg) / kJPerKWh
}

func (f *flash) reachKWh() float64 { return f.givesKWh() }

// rateKW is the steam that the present surface lets go at the present pressure, or that the nozzle passes, as heat.
func (f *flash) rateKW(feedKJKg float64) (float64, Why) {
	kgH, why := f.rating*f.v.BarAbs()*f.surface.m2(f.v.LevelFrac()), BySurface
	if f.limit > 0 && f.limit < kgH {
		kgH, why = f.limit, ByNozzle
	}
	return kgH * (f.v.table.at(hSteam, f.v.tC) - feedKJKg) / kJPerKWh, why
}

func (f *flash) draw(kJ, feedKJKg float64) (float64, error) {
	kg, before := f.v.SteamFor(kJ, feedKJKg), f.v.books.SteamKJ
	if err := f.v.Steam(kg); err != nil {
		return 0, err
	}
	got := f.v.books.SteamKJ - before - kg*feedKJKg
	if f.feedOnDraw {
		if add := math.Min(kg, f.holdKg-f.v.massKg); add > 0 {
			return got, f.v.Feed(add, f.feedKJKg)
		}
	}
	return got, nil
}

// lacks is the water that a charge makes up, kg.
func (f *flash) lacks() float64 {
	if f.steamFed {
		return 0
	}
	return math.Max(0, f.holdKg-f.v.massKg)
}

// room is the heat that fills it, with the water that it lacks, kJ.
func (f *flash) room(add float64) float64 {
	return math.Max(0, (f.v.massKg+add)*f.hot.a+f.v.volumeM3*f.hot.k-f.v.uKJ-add*f.feedKJKg)
}

func (f *flash) roomKWh() float64 { return f.room(f.lacks()) / kJPerKWh }

// heat warms it and makes up missing water in the same share as missing heat, as package storage does.
func (f *flash) heat(kJ float64) error {
	if kJ == 0 {
		return nil
	}
	add := f.lacks()
	share := math.Min(1, kJ/f.room(add))
	if err := f.v.Feed(share*add, f.feedKJKg); err != nil { // first, so that it never stands over its hottest
		return err
	}
	return f.v.Heat(kJ)
}

// criticalRatio is back pressure over pressure below which a nozzle passes no more dry saturated steam; 0.577 in textbooks.
const criticalRatio = 0.577

// fromHeader is what steam of a header brings: its most while the vessel stands below the critical pressure ratio, then by
// Stodola's ellipse down to nothing at the header's own pressure (from memory), and no more than up to the hottest.
func (f *flash) fromHeader(m *mainPipe, mostKW, stepH float64) float64 {
	if !m.steam {
		return 0
	}
	ratio := f.v.BarAbs() / m.barAbs
	if ratio >= 1 {
		return 0
	}
	if x := (ratio - criticalRatio) / (1 - criticalRatio); x > 0 {
		mostKW *= math.Sqrt(1 - x*x)
	}
	// (M + m) a + V k = U + m h.
	kg := math.Max(0, -f.above(&f.hot)) / (m.hSteam - f.hot.a)
	return math.Min(mostKW, kg*m.perKg/kJPerKWh/stepH)
}

func (f *flash) steam(kg, _ float64, m *mainPipe) error { return f.v.Feed(kg, m.hSteam) }

func (f *flash) takesSteam() bool { return true }

// drain keeps the level in its band: steam that replaced losses leaves as water.
func (f *flash) drain() error {
	if !f.steamFed || f.v.LevelFrac() <= f.mostLevel {
		return nil
	}
	return f.v.Drain((f.v.LevelFrac() - f.wish) * f.v.volumeM3 / f.v.table.at(vWater, f.v.tC))
}

// surface is the water surface of a lying cylinder by the level, from a table of its segment.
type surface [levels + 1]float64

const levels = 200

// newSurface scales the chord so that it is known at the fill when hot. Ends count as the shell does.
func newSurface(fillFrac, fillM2 float64) surface {
	var s surface
	at := chord(fillFrac)
	for i := range s {
		s[i] = fillM2 * chord(float64(i)/levels) / at
	}
	return s
}

// chord of a circle of diameter 1 under which a share of its area lies: (θ - sin θ)/2π = share, chord sin(θ/2).
func chord(share float64) float64 {
	lo, hi := 0.0, 2*math.Pi
	for range 60 {
		if mid := (lo + hi) / 2; (mid-math.Sin(mid))/(2*math.Pi) < share {
			lo = mid
		} else {
			hi = mid
		}
	}
	return math.Sin((lo + hi) / 4)
}

func (s *surface) m2(level float64) float64 {
	x := math.Min(math.Max(level, 0), 1) * levels
	i := min(int(x), levels-1)
	return s[i] + (s[i+1]-s[i])*(x-float64(i))
}
