package demand

import (
	"errors"
	"math"
	"testing"
	"time"

	"noonkeep/plant/clock"
	"noonkeep/plant/steam"
)

func TestWrongBatches(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name   string
		change func(*Batch)
		want   string
	}{
		{"no mass", func(b *Batch) { b.Liquor.Kg = 0 }, "mass: is 0 kg; want more than 0 kg"},
		{"NaN", func(b *Batch) { b.Liquor.Kg = math.NaN() }, "mass: is NaN kg; want more than 0 kg"},
		{"goods of nothing", func(b *Batch) { b.Goods.Kg = 5 }, "goods: has a mass and no material; want one for its specific heat"},
		{"no way", func(b *Batch) { b.HeatUp = HeatUp{} }, "heat_up: says no way; want power, a coil, live steam or a gradient"},
		{"no power", func(b *Batch) { b.HeatUp.KW = 0 }, "heat_up: power is 0 kW; want more than 0 kW"},
		{"half a coil", func(b *Batch) { b.HeatUp = HeatUp{Way: ByCoil, AreaM2: 3} }, "heat_up: coefficient is 0 W/m2K; want more than 0 W/m2K"},
		{"no stages", func(b *Batch) { b.Stages = nil }, "stages: are none; want at least one"},
		{"first bath of nothing", func(b *Batch) { b.Stages[0].FromC = nil }, "stage 1: from: is missing; want the temperature that the first bath is filled with"},
		{"hotter than steam", func(b *Batch) { b.Stages[0].ToC = 170 }, "stage 1: to: is 170 degC; want less than the steam's 165.0 degC"},
		{"boils in no time", func(b *Batch) { b.Stages[0].BoilOffFrac = 0.1 }, "stage 1: boil_off: has no time; want a hold in which it boils"},
		{"never reached", func(b *Batch) { b.Loss = BathLoss{KW: 120} }, "stage 1: to: is 80 degC, which the bath never reaches: 20 kW are lacking there; want more heat or a lower one"},
		{"cannot hold", func(b *Batch) { b.Stages[0].HoldH, b.Stages[0].BoilOffFrac = 0.5, 0.5 },
			"stage 1: hold: at 80 degC takes 641.1 kW and the heater gives at most 100 kW there; want more heat, or a longer hold"},
		{"cooled by nothing", func(b *Batch) { b.Stages = append(b.Stages, Stage{ToC: 60}) },
			"stage 2: to: is 60 degC and the bath has 80 degC; want a higher one, or a gradient of this stage to cool by"},
		{"no time at all", func(b *Batch) { b.Stages[0].ToC = 20 }, "stage 1: to: is reached at once and held for no time; want a batch that takes some"},
		{"slower than the air", func(b *Batch) {
			b.HeatUp, b.Loss = HeatUp{Way: ByGradient, KPerMin: 0.001}, BathLoss{AreaM2: 100, WM2K: 10, AirC: 60}
		}, "stage 1: gradient: is so slow that the air at 60 degC warms the bath faster; want a steeper one"},
		{"gradient by live steam", func(b *Batch) { b.HeatUp, b.Stages[0].KPerMin = HeatUp{Way: ByLiveSteam, KgH: 100}, 2 },
			"stage 1: gradient: heats beside live steam; want a gradient only to cool by, or another heat_up"},
		{"coil over the header", func(b *Batch) {
			b.HeatUp = HeatUp{Way: ByCoil, AreaM2: 3, WM2K: 500, Pressure: steam.BarAbs(9)}
		}, "heat_up: has steam of 9 bar(a) in the coil; want no more than the header's 7 bar(a)"},
		{"days long", func(b *Batch) { b.HeatUp.KW = 0.1 }, "heat_up: makes a batch of 600 h; want at most 240 h"},
	} {
		b := kettle(1000, 3.6, 20, 80, HeatUp{Way: ByPower, KW: 100})
		c.change(&b)
		_, err := b.Run()
		if err == nil || err.Error() != c.want {
			t.Errorf("%s:\n got %v\nwant %s", c.name, err, c.want)
		}
		if !errors.As(err, new(*BatchFault)) {
			t.Errorf("%s: is no BatchFault", c.name)
		}
	}
}

func TestWrongTimetables(t *testing.T) {
	t.Parallel()
	a := year2026(t, time.Hour)
	for _, c := range []struct {
		name string
		t    Timetable
		want string
	}{
		{"neither", Timetable{Machines: 1}, "starts: and every: want one of the two"},
		{"no hours", Timetable{Every: time.Hour, Machines: 1}, "every: has no hours; want a weekly pattern"},
		{"no machine", Timetable{Starts: starts(t, "daily 06:00")}, "machines: are 0; want 1 to 200"},
		{"crowded", Timetable{Starts: starts(t, "Mon-Fri 06:00, 09:00"), Machines: 1}, "starts: the batch begun on 1 Jan 06:00 takes 240 min and the next begins after 180 min; want more time between them"},
		{"crowded in turn", Timetable{Every: 3 * time.Hour, When: clock.Always(), Machines: 1}, "every: the batch begun on 31 Dec 21:00 takes 240 min and the next begins after 180 min; want more time between them"},
		{"other season", Timetable{Starts: starts(t, "daily 06:00"), Machines: 1, Seasons: []clock.Span{{From: clock.Date{Year: 2025, Month: 5, Day: 1}, To: clock.Date{Year: 2025, Month: 6, Day: 1}}}},
			"season: 2025-05-01..2025-06-01 has no day from 2026-01-01 to 2026-12-31; want days of the study"},
	} {
		if _, err := c.t.Begins(a, clock.Calendar{}, 4); err == nil || err.Error() != c.want {
			t.Errorf("%s:\n got %v\nwant %s", c.name, err, c.want)
		}
	}
	many := Timetable{Every: time.Minute, When: clock.Always(), Machines: 200}
	if _, err := many.Begins(a, clock.Calendar{}, 0.01); err == nil || err.Error() != "machines: make more than 400000 batches in the year; want fewer" {
		t.Error(err)
	}
}
