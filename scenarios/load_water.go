package scenarios

import (
	"fmt"

	"noonkeep/demand"
	"noonkeep/plant/clock"
)

// hotWaterLoad is hot water that is drawn, with or without a tank before the taps.
func (b *builder) hotWaterLoad(f loadFile, load *Consumer) profile {
	w := f.HotWater
	ok := b.hoursOf(f, load)
	draw := demand.Draw{When: load.When, Seasons: load.Seasons}
	switch {
	case w.Draw.unit.dim == byDay:
		draw.M3D = 24 * w.Draw.base()
	default:
		draw.M3H = w.Draw.base()
	}
	for _, share := range w.Profile {
		draw.Profile = append(draw.Profile, share.base())
	}
	if !ok || !w.Draw.set || !w.To.set || !b.makeUpFits(w) || b.badTank(w.Tank) {
		return nil
	}
	if err := draw.Check(); err != nil {
		b.wrap(w.At, err)
		return nil
	}
	if h := b.c.Headers[load.Header]; h.SteamC > 0 && w.To.base() >= h.SteamC {
		b.add(w.To.at, "%s is not colder than the steam of header %s, %.4g degC; want colder water or a header of more pressure",
			quoted(w.To.String()), quoted(h.Name), h.SteamC)
		return nil
	}
	load.LeastFeedC = w.To.base()
	load.Says = fmt.Sprintf("%s of %s, %s", w.Draw, w.To, load.Says)
	if w.Tank != nil {
		load.Says += fmt.Sprintf(", through a tank of %s", w.Tank.Volume)
	}
	return func() (clock.KW, []demand.Part, error) { return b.hotWater(w, draw) }
}

// makeUpFits sees that the make-up water is given in one way.
func (b *builder) makeUpFits(w *hotWaterFile) bool {
	var given []string
	for _, way := range []struct {
		at    at
		given bool
	}{{w.MakeUp.at, w.MakeUp.set}, {at{key: "make_up_months"}, len(w.Months) > 0}, {at{key: "make_up_ground"}, w.Ground != nil}} {
		if way.given {
			given = append(given, lastKey(way.at.key))
		}
	}
	if len(given) > 1 {
		b.add(w.At, "has %d of make_up, make_up_months and make_up_ground; want one", len(given))
		return false
	}
	if len(w.Months) > 0 || w.Ground != nil {
		b.unassume(w.MakeUp.key)
	}
	for _, m := range w.Months {
		if !m.set {
			return false
		}
	}
	return !b.faulty(w.MakeUp.key) && (w.Ground == nil || w.Ground.Depth.set && !b.faulty(w.Ground.Diffusivity.key))
}

func (b *builder) badTank(t *tankFile) bool {
	if t == nil {
		return false
	}
	if !t.Volume.set || !t.Heater.set || b.faulty(t.Loss.key) {
		return true
	}
	if t.Loss.base() >= t.Heater.base() {
		b.add(t.Loss.at, "%s is as much as the heater gives, %s; want less", quoted(t.Loss.String()), t.Heater)
		return true
	}
	return false
}

// makeUpC is the temperature of the make-up water, and how it was got.
func (b *builder) makeUpC(w *hotWaterFile) ([]float64, string, error) {
	if len(w.Months) > 0 {
		var months [12]float64
		for i, m := range w.Months {
			months[i] = m.base()
		}
		return demand.MonthlyC(months, b.c.Axis), "as written for each month", nil
	}
	if w.Ground == nil && w.MakeUp.word == "" {
		var year [12]float64
		for i := range year {
			year[i] = w.MakeUp.base()
		}
		return demand.MonthlyC(year, b.c.Axis), "as written", nil
	}
	air, err := demand.AirYearOf(b.c.Axis, b.c.Weather.AirC, b.c.Place.LatDeg < 0)
	if err != nil {
		return nil, "", err
	}
	if w.Ground != nil {
		tC, err := air.GroundC(demand.Ground{DepthM: w.Ground.Depth.base(), DiffusivityM2D: w.Ground.Diffusivity.base()}, b.c.Axis)
		return tC, fmt.Sprintf("of the ground at %s, Kusuda and Achenbach 1965", w.Ground.Depth), err
	}
	return air.MainsC(b.c.Axis), "of a town's mains by the season, Burch and Christensen 2007", nil
}

// hotWater works the heat of hot water out, by way of its tank if there is one.
func (b *builder) hotWater(w *hotWaterFile, draw demand.Draw) (clock.KW, []demand.Part, error) {
	makeUp, how, err := b.makeUpC(w)
	if err != nil {
		return nil, nil, err
	}
	flow, err := draw.On(b.c.Axis, b.c.Calendar)
	if err != nil {
		return nil, nil, err
	}
	water := demand.HotWater{ToC: w.To.base(), MakeUpC: makeUp}
	kW, err := water.KW(flow)
	if err != nil {
		return nil, nil, err
	}
	stepH := b.c.Axis.StepH()
	lo, hi := ends(makeUp)
	text := fmt.Sprintf("%.4g m3 counted cold, to %s; make-up %.3g to %.3g degC, %s", clock.KW(flow).EnergyKWh(stepH), w.To, lo, hi, how)
	if w.Tank == nil {
		return kW, []demand.Part{{Name: "hot water", KWh: kW.EnergyKWh(stepH), Text: text}}, nil
	}
	whole, err := water.TankKWhM3()
	if err != nil {
		return nil, nil, err
	}
	tank := demand.Tank{VolumeM3: w.Tank.Volume.base(), HeaterKW: w.Tank.Heater.base(), LossKW: w.Tank.Loss.base()}
	year, err := tank.Run(kW, whole, stepH)
	if err != nil {
		return nil, nil, err
	}
	if year.UnmetKWh > 0 {
		b.doubtAt(w.Tank.At, "runs empty: in %.4g h the taps get %.0f kWh less than they want, most on %s; want a heater over %s or a larger tank",
			year.ShortH, year.UnmetKWh, b.c.Axis.Label(year.Worst), w.Tank.Heater)
	}
	peak, _ := kW.Peak()
	text += fmt.Sprintf("; the taps want up to %.4g kW, the tank's heater takes up to %s", peak, w.Tank.Heater)
	return year.HeatKW, tankParts(year, stepH, text), nil
}

// tankParts are what a tank's heater gives: the water, and the loss. They sum to the heat by the last place.
func tankParts(year demand.TankYear, stepH float64, text string) []demand.Part {
	water := demand.Part{Name: "hot water", KWh: year.HeatKW.EnergyKWh(stepH) - year.LossKWh, Text: text}
	if year.LossKWh == 0 {
		return []demand.Part{water}
	}
	return []demand.Part{water, {Name: "loss of the hot-water tank", KWh: year.LossKWh, Text: "while it stands hot, all year"}}
}

// ends are the least and the greatest value.
func ends(v []float64) (lo, hi float64) {
	for i, x := range v {
		if i == 0 || x < lo {
			lo = x
		}
		if i == 0 || x > hi {
			hi = x
		}
	}
	return lo, hi
}
