package desk

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"noonkeep/plant/clock"
	"noonkeep/scenarios"
)

func loadOf(t *testing.T, list []loadWeek, name string) loadWeek {
	t.Helper()
	i := slices.IndexFunc(list, func(k loadWeek) bool { return k.Load == name })
	if i < 0 {
		t.Fatalf("no load %s", name)
	}
	return list[i]
}

func sameWeek(a, b clock.Week) bool {
	for d := range a.Days {
		if !slices.Equal(a.Days[d], b.Days[d]) {
			return false
		}
	}
	return a.PerDay == b.PerDay && slices.Equal(a.Holidays, b.Holidays) && (a.Holidays == nil) == (b.Holidays == nil)
}

// randomWeek paints runs as a hand does: some days alike, some slots alone.
func randomWeek(rng *rand.Rand, perDay int) clock.Week {
	w := clock.Week{PerDay: perDay}
	paint := func() []bool {
		day := make([]bool, perDay)
		for range rng.IntN(3) {
			from := rng.IntN(perDay)
			for i := from; i < min(perDay, from+1+rng.IntN(perDay)); i++ {
				day[i] = true
			}
		}
		return day
	}
	base := paint()
	for d := range w.Days {
		if w.Days[d] = slices.Clone(base); rng.IntN(3) == 0 {
			w.Days[d] = paint()
		}
	}
	if rng.IntN(3) == 0 {
		w.Holidays = paint()
		if !slices.Contains(w.Holidays, true) {
			w.Holidays = nil
		}
	}
	if empty(w) {
		w.Days[2][perDay/2] = true
	}
	return w
}

// TestPaintedWeeksReadBack paints random weeks on loads: written, read and shown again they are the same grid.
func TestPaintedWeeksReadBack(t *testing.T) {
	c, src := starter(t, "dyehouse")
	rng := rand.New(rand.NewPCG(8, 2))
	for round := range 12 {
		perDay := finerGrids[round%len(finerGrids)]
		load := c.Loads[rng.IntN(len(c.Loads))].Name // the last has no hours written
		want := randomWeek(rng, perDay)
		set, err := painted(c, load, want)
		if err != nil {
			t.Fatalf("round %d, %s: %v", round, load, err)
		}
		out, err := scenarios.Rewrite("dyehouse", src, set)
		if err != nil {
			t.Fatalf("round %d, %s as %q: %v", round, load, set.Value, err)
		}
		again, err := scenarios.Parse("dyehouse", out, nil)
		if err != nil {
			t.Fatalf("round %d, %s as %q: %v", round, load, set.Value, err)
		}
		if got := loadOf(t, weeksOf(again, perDay), load); !got.Paintable || !sameWeek(got.Week, want) || got.When != set.Value {
			t.Errorf("round %d, %s: painted %v, wrote %q, shown %v (%s)", round, load, want, set.Value, got.Week, got.Why)
		}
	}
}

// TestMeanHeatIsTheYears sums the slots: 52 weeks and a day of them are the year's heat, by whatever slots.
func TestMeanHeatIsTheYears(t *testing.T) {
	c, _ := starter(t, "dyehouse")
	for _, perDay := range finerGrids {
		for i, k := range weeksOf(c, perDay) {
			got := 0.0
			for d := range k.KW {
				days := 52.0
				if d == 3 {
					days++ // 2026 begins and ends on a Thursday
				}
				for _, kW := range k.KW[d] {
					got += days * kW * 24 / float64(perDay)
				}
			}
			if want := c.Loads[i].KW.EnergyKWh(c.Axis.StepH()); math.Abs(got-want) > 1e-9*want {
				t.Errorf("%s in %d slots: %g kWh, want %g", k.Load, perDay, got, want)
			}
		}
	}
}

func TestWeeksOfDyehouse(t *testing.T) {
	c, _ := starter(t, "dyehouse")
	list := weeksOf(c, 24)
	for _, row := range []struct {
		load, key, when string
		hours           float64 // by hand
	}{
		{"dye machines, day shifts", "loads[dye machines, day shifts].when", "Mon-Sat 06:00-22:00", 96},
		{"dye machines, night shift", "loads[dye machines, night shift].when", "Mon-Sat 22:00-06:00", 48},
		{"space and tank heating", "loads[space and tank heating].when", "", 168},
	} {
		k := loadOf(t, list, row.load)
		if k.Key != row.key || k.When != row.when || k.HoursPerWeek != row.hours || !k.Paintable || k.Header != "main" {
			t.Errorf("got %+v, want %+v", k, row)
		}
	}
	night := loadOf(t, list, "dye machines, night shift").Week
	if !night.Days[6][5] || night.Days[6][22] || night.Days[0][5] {
		t.Error("Sunday's small hours are the end of Saturday's shift, and Monday's are free")
	}
}

func TestWeeksNotPainted(t *testing.T) {
	for _, row := range []struct{ from, to, key, why string }{
		{"when: Mon-Fri 07:00-19:00", "rota: [Mon-Fri 06:00-14:00, Mon-Fri 14:00-22:00]\n    rota_from: 2026-01-05", "rota",
			"Its hours are a rota that changes by week; change the rota in the text."},
		{"when: Mon-Fri 07:00-19:00", `when: "rota from 2026-01-05: Mon-Fri 06:00-14:00 | Mon-Fri 14:00-22:00"`, "when",
			"rota from 2026-01-05: Mon-Fri 06:00-14:00 | Mon-Fri 14:00-22:00 cannot be painted: a page shows one week, not a rota of several."},
		{"when: Mon-Fri 07:00-19:00", "when: Mon-Fri 07:30-19:00", "when", "Its hours are finer than these slots; in slots of 30 min they can be painted."},
		{"when: Mon-Fri 07:00-19:00", "when: Mon-Fri 07:10-19:00", "when", "Its hours are finer than any slot here; change them in the text."},
		{"steam: 400 kg/h\n    when: Mon-Fri 07:00-19:00", "movable: {heat: 900 kWh, within: Mon-Fri 06:00-18:00, most: 400 kW}", "movable.within",
			"The plan chooses its hours within windows; change the windows in the text."},
		{"steam: 400 kg/h\n    when: Mon-Fri 07:00-19:00", "hot_water: {draw: 12 m3/d, to: 60 degC, profile: [0,0,0,0,0,0,1,1,1,1,1,1,1,1,1,1,1,1,0,0,0,0,0,0]}\n    when: Mon-Fri 07:00-19:00",
			"hot_water.profile", "Its draw is spread by a profile of the day; change that in the text."},
	} {
		c, _ := starter(t, "dyehouse", row.from, row.to, "dryers, when: \"Mon-Fri 07:00-12:00, 13:00-20:00\"", "dryers, season: 1 Jan..31 Dec")
		k := loadOf(t, weeksOf(c, 24), "stenter and dryers")
		if k.Paintable || k.Why != row.why || k.Key != "loads[stenter and dryers]."+row.key || !(k.HoursPerWeek > 0) || !(k.MostKW > 0) {
			t.Errorf("%s: got %s, %q, %g h, %g kW", row.to, k.Key, k.Why, k.HoursPerWeek, k.MostKW)
		}
		want := "dyehouse: loads[stenter and dryers].when: is not painted here: " + row.why
		if _, err := painted(c, k.Load, randomWeek(rand.New(rand.NewPCG(8, 3)), 24)); err == nil || err.Error() != want {
			t.Errorf("%s: painted with %v; want %s", row.to, err, want)
		}
	}
}

func TestPaintedWrong(t *testing.T) {
	c, _ := starter(t, "dyehouse")
	blank := clock.Week{PerDay: 24}
	for d := range blank.Days {
		blank.Days[d] = make([]bool, 24)
	}
	short := blank
	short.Days[1] = nil
	for _, row := range []struct {
		load string
		w    clock.Week
		want string
	}{
		{"stenter and dryers", blank, "dyehouse: loads[stenter and dryers].when: has no hour painted; want one hour at least, or take the load out"},
		{"stenter and dryers", short, `dyehouse: loads[stenter and dryers].when: ` + short.Check().Error()},
		{"stenter", blank, c.HasLoad("stenter").Error()},
	} {
		if _, err := painted(c, row.load, row.w); err == nil || err.Error() != row.want {
			t.Errorf("got  %v\nwant %s", err, row.want)
		}
	}
	var fault *scenarios.Error
	if _, err := painted(c, "stenter and dryers", blank); !errors.As(err, &fault) {
		t.Error("the refusal stands at no key")
	}
	if got := removed("kiln [2]"); got.Key != `loads["kiln [2]"]` || !got.Remove {
		t.Errorf("got %+v", got)
	}
}
