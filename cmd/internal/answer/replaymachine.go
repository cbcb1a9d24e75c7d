package answer

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"noonkeep/optimize/replay"
	"noonkeep/plant"
	"noonkeep/plant/clock"
	"noonkeep/plant/sky"
	"noonkeep/scenarios"
)

// machine is the plant by the minute, made once for all ways and volumes.
type machine struct {
	hourly scenarios.Case
	fine   scenarios.Case
	plant  replay.Plant // with the stores' own volumes
	merit  []int        // by the machine's boiler: its place in the case
	notes  []string
	seed   uint64
	sun    string // how its minutes were made
}

// usualCloudSeed is the seed of clouds within hours where the weather has none of its own.
const usualCloudSeed = 7

// machineOf works the minutes out: loads that begin on their minute, sun with clouds, yields at the header's temperature
// and at the store's coldest and hottest.
func machineOf(c scenarios.Case, opt ReplayOptions) (*machine, error) {
	m := &machine{hourly: c, seed: usualCloudSeed}
	if seed, generated := c.Seed(); generated {
		m.seed = seed
	}
	if opt.Seed != nil {
		m.seed = *opt.Seed
	}
	stepS := opt.StepS
	if stepS == 0 {
		stepS = 60
	}
	step := time.Duration(stepS * float64(time.Second))
	if step <= 0 || time.Hour%step != 0 || c.Axis.Step < step {
		return nil, fmt.Errorf("step: is %g s; want a whole part of an hour, no longer than the scenario's step", stepS)
	}
	axis := clock.Axis{Start: c.Axis.Start, Step: step, N: c.Axis.N * int(c.Axis.Step/step)}
	year := c.Weather
	if !axis.Same(c.Axis) || year.RowStep > step {
		var err error
		if year, err = sky.Minutes(c.Weather, axis, m.seed); err != nil {
			return nil, fmt.Errorf("weather: %w", err)
		}
	}
	for _, note := range year.Notes[min(len(c.Weather.Notes), len(year.Notes)):] {
		m.notes = append(m.notes, note.Text)
	}
	m.sun = "clouds come and go within each hour, whose energy is kept (cloud lengths after Wood and Field 2011, spread after Skartveit and Olseth 1992)"
	if c.Weather.RowStep <= step {
		m.sun = "as measured"
	}
	var err error
	if m.fine, err = c.AtStep(year); err != nil {
		return nil, err
	}
	return m, m.build()
}

// build makes the plant of the minute case.
func (m *machine) build() error {
	c := &m.fine
	m.plant = replay.Plant{StepS: c.Axis.Step.Seconds(), Steps: c.Axis.N}
	for l, h := range c.Headers {
		demand := h.DemandKW
		if h.MovableKW != nil {
			demand = slices.Clone(demand)
			addTo(demand, h.MovableKW)
			m.note("work that may be moved is done as soon as it may be, in all ways")
		}
		capacity := 0.0
		for _, b := range c.Boilers {
			if b.Header == l {
				capacity += b.CapacityKW
			}
		}
		out := replay.Header{Name: h.Name, DemandKW: demand, FeedwaterC: h.FeedwaterC, Above: h.Above, ValveKW: h.ValveKW}
		if h.Medium == nil {
			out.SteamC, out.SlackKWh = h.SteamC, replay.Slack(capacity, h.SteamC)
		} else {
			out.MediumC = h.Medium.SupplyC
		}
		m.plant.Headers = append(m.plant.Headers, out)
	}
	for i := range c.Fields {
		f, err := m.field(&c.Fields[i])
		if err != nil {
			return err
		}
		m.plant.Fields = append(m.plant.Fields, f)
	}
	m.boilers()
	for _, s := range c.Stores {
		m.plant.Stores = append(m.plant.Stores, replay.Store{Name: s.Name, Spec: s.Spec, VolumeM3: s.VolumeM3, Header: s.Header, From: s.From,
			AmbientC: s.AmbientC, ChargeKW: s.ChargeKW, HeaderChargeKW: s.HeaderChargeKW})
	}
	for _, limit := range c.Limits {
		out := replay.Limit{Name: limit.Name, MostKW: limit.MostKW, OfFuel: limit.OfFuel}
		for _, i := range limit.Boilers {
			out.Boilers = append(out.Boilers, slices.Index(m.merit, i))
		}
		m.plant.Limits = append(m.plant.Limits, out)
	}
	return nil
}

// field gives a field with its yields at three temperatures.
func (m *machine) field(f *scenarios.Field) (replay.Field, error) {
	c := &m.fine
	out := replay.Field{Name: f.Name, AreaM2: f.AreaM2(), Header: f.Header, PumpKWhPerKWh: f.PumpKWhPerKWh, CoolH: f.Collector.CoolingTimeH}
	if f.Feeds != scenarios.ToStoreAlone {
		out.HeaderKWM2 = f.ToHeader.KWM2
	}
	if f.Preheat != nil {
		out.MostKW = make([]float64, c.Axis.N)
		for t, kW := range c.Headers[f.Header].DemandKW {
			out.MostKW[t] = f.Preheat.ShareFrac * kW
		}
	}
	for k, y := range f.ToStores {
		if y.KWM2 == nil {
			continue
		}
		if out.Stores == nil {
			out.Stores = make([]replay.StoreYields, len(c.Stores))
		}
		floor, err := f.Field.Yield(c.Weather, c.Stores[k].FloorC())
		if err != nil {
			return out, fmt.Errorf("field %q at the floor of store %q: %w", f.Name, c.Stores[k].Name, err)
		}
		out.Stores[k] = replay.StoreYields{FloorKWM2: floor.KWM2, HotKWM2: y.KWM2}
	}
	h := c.Headers[f.Header]
	out.LagS = replay.Lag(capacityKJM2K(f.Collector), f.AtC-h.FeedwaterC, f.Yield().PeakKWM2)
	return out, nil
}

// capacityKJM2K is a collector's heat capacity per m² of aperture.
func capacityKJM2K(c plant.Collector) float64 {
	const joules = 1000
	if c.HeatCapacityKJM2K > 0 {
		return c.HeatCapacityKJM2K
	}
	if c.ApertureShare > 0 {
		return c.A5 / c.ApertureShare / joules
	}
	return c.A5 / joules
}

// boilers puts the boilers in order of what a kWh of their heat costs at full load, in the mean of the year.
func (m *machine) boilers() {
	c := &m.fine
	price := func(i int) float64 {
		sum := 0.0
		for t := range m.hourly.Axis.N {
			sum += stepPrice(m.hourly, m.hourly.Boilers[i], t)
		}
		return sum
	}
	m.merit = make([]int, len(c.Boilers))
	for i := range m.merit {
		m.merit[i] = i
	}
	slices.SortStableFunc(m.merit, func(i, j int) int { return cmp.Compare(price(i), price(j)) })
	for _, i := range m.merit {
		b := c.Boilers[i]
		m.plant.Boilers = append(m.plant.Boilers, replay.Boiler{Boiler: b.Boiler, Header: b.Header, Available: b.Available})
	}
}

func (m *machine) note(text string) {
	if !slices.Contains(m.notes, text) {
		m.notes = append(m.notes, text)
	}
}

// at is the plant with its varied store at a volume.
func (m *machine) at(volumeM3 float64) replay.Plant {
	p := m.plant
	p.Stores = slices.Clone(p.Stores)
	p.Stores[m.hourly.StoreAt()].VolumeM3 = volumeM3
	return p
}

// boilersOnly is the plant without fields and stores.
func (m *machine) boilersOnly() replay.Plant {
	p := m.plant
	p.Fields, p.Stores = nil, nil
	return p
}
