package scenarios

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"noonkeep/plant"
)

// promised is the plain scenario's field with a guarantee.
func promised(t testing.TB, collector, guarantee string) string {
	t.Helper()
	return withField(t, "  - {name: dishes, collector: "+collector+", count: 8, aperture: 90 m2, pipe_loss: 3 %, guarantee: "+guarantee+"}\n")
}

func TestGuaranteeKeys(t *testing.T) {
	t.Parallel()
	unraced(t)
	usual := func(set func(*plant.Guarantee)) plant.Guarantee {
		g := plant.UsualGuarantee(plant.BeamAlone)
		g.PipeFactor = 0.97
		set(&g)
		return g
	}
	for _, row := range []struct {
		text string
		want plant.Guarantee
		said []string
	}{
		{"{}", usual(func(*plant.Guarantee) {}), nil},
		{"{formula: beam}", usual(func(*plant.Guarantee) {}), []string{"formula"}},
		{"{pipe_factor: 95 %, uncertainty_factor: 0.9, other_factor: 98 %}",
			usual(func(g *plant.Guarantee) { g.PipeFactor, g.UncertaintyFactor, g.OtherFactor = 0.95, 0.9, 0.98 }),
			[]string{"pipe_factor", "uncertainty_factor", "other_factor"}},
		{"{least_sun: 0.7 kW/m2, most_incidence: 40 deg, most_wind: 18 km/h, least_air: -5 degC, most_warming: 0.1 K/min, most_shade: 2 %, least_hours: 30}",
			usual(func(g *plant.Guarantee) {
				g.LeastSunWM2, g.MostIncidenceDeg, g.MostWindMS, g.LeastAirC, g.MostWarmingKH, g.MostShadeFrac, g.LeastHours = 700, 40, 5, -5, 6, 0.02, 30
			}), []string{"least_sun", "most_incidence", "most_wind", "least_air", "most_warming", "most_shade", "least_hours"}},
		{"{most_incidence: none, most_wind: none, least_air: none, most_warming: none, least_sun: 0 W/m2}",
			usual(func(g *plant.Guarantee) {
				g.LeastSunWM2, g.MostIncidenceDeg, g.MostWindMS, g.LeastAirC, g.MostWarmingKH = 0, 90, math.Inf(1), math.Inf(-1), math.Inf(1)
			}), []string{"least_sun", "most_incidence", "most_wind", "least_air", "most_warming"}},
		{"{least_air: 0 degC}", usual(func(g *plant.Guarantee) { g.LeastAirC = 0 }), []string{"least_air"}},
	} {
		c := parsedGround(t, promised(t, "{kind: dish}", row.text))
		got := c.Fields[0].Promise
		got.MostWindMS, got.MostWarmingKH = math.Round(got.MostWindMS*1e9)/1e9, math.Round(got.MostWarmingKH*1e9)/1e9
		if got.Guarantee != row.want {
			t.Errorf("%s:\ngot  %+v\nwant %+v", row.text, got.Guarantee, row.want)
		}
		slices.Sort(row.said)
		slices.Sort(got.Said)
		if !slices.Equal(got.Said, row.said) {
			t.Errorf("%s: said %v, want %v", row.text, got.Said, row.said)
		}
	}
	c := parsedGround(t, promised(t, "{kind: flat plate, slope: 30 deg, azimuth: 180 deg}", "{formula: hemispheric}"))
	if g := c.Fields[0].Promise; g.Formula != plant.Hemispheric || g.LeastSunWM2 != 800 || g.MostIncidenceDeg != 30 {
		t.Errorf("hemispheric: %+v", g)
	}
}

// What a guarantee leaves out is told where it comes from; a field without one says nothing, and has the usual one.
func TestGuaranteeAssumptions(t *testing.T) {
	t.Parallel()
	of := func(c Case) (list []string) {
		for _, a := range c.Assumptions {
			if key, is := strings.CutPrefix(a.Key, "fields[dishes].guarantee."); is {
				list = append(list, key+": "+a.Value+" ("+a.Text+")")
			}
		}
		return list
	}
	with := parsedGround(t, promised(t, "{kind: dish}", "{least_hours: 30}"))
	want := []string{"formula: beam (that which fits the collector)", "pipe_factor: 97 % (f_P: what the pipes do not lose, by the field's own pipe loss)",
		"least_sun: 600 W/m2 (from which an hour counts (value from memory))", "most_incidence: none (up to which an hour counts (value from memory))"}
	got := of(with)
	for _, w := range want {
		if !slices.Contains(got, w) {
			t.Errorf("no assumption %q in\n%s", w, strings.Join(got, "\n"))
		}
	}
	for _, key := range []string{"uncertainty_factor: 95 %", "other_factor: 100 %", "most_wind: 10 m/s", "least_air: 5 degC", "most_warming: 5 K/h", "most_shade: 0 %"} {
		if !slices.ContainsFunc(got, func(s string) bool { return strings.HasPrefix(s, key) && strings.Contains(s, "memory") }) {
			t.Errorf("no assumption %q that says memory in\n%s", key, strings.Join(got, "\n"))
		}
	}
	without := parsedGround(t, withField(t, "  - {name: dishes, collector: {kind: dish}, count: 8, aperture: 90 m2, pipe_loss: 3 %}\n"))
	if list := of(without); list != nil {
		t.Errorf("without a guarantee: %v", list)
	}
	a, b := with.Fields[0].Promise, without.Fields[0].Promise
	a.LeastHours, a.Said = b.LeastHours, nil
	if !reflect.DeepEqual(a, b) {
		t.Errorf("usual without a guarantee: %+v, with: %+v", b, a)
	}
}

func TestGuaranteeWrong(t *testing.T) {
	t.Parallel()
	const dish, flat = "{kind: dish}", "{kind: flat plate, slope: 30 deg, azimuth: 180 deg}"
	for _, row := range []struct{ collector, text, want string }{
		{dish, "5", `fields[dishes].guarantee: is "5"; want keys and values`},
		{dish, "{formula: sun}", `fields[dishes].guarantee.formula: "sun" is not known; want beam, beam and diffuse or hemispheric`},
		{dish, "{formula: hemispheric}", "fields[dishes].guarantee: formula: is hemispheric for a collector whose Kd is 0; want beam|: formula: is hemispheric for a two-axis collector; want it for a fixed one"},
		{flat, "{formula: beam}", "fields[dishes].guarantee: formula: is beam for a collector whose Kd is 0.91; want beam and diffuse or hemispheric"},
		{dish, "{pipe_factor: 103 %}", `fields[dishes].guarantee.pipe_factor: "103 %" is out of range; want more than 0 and at most 1`},
		{dish, "{uncertainty_factor: 95}", `fields[dishes].guarantee.uncertainty_factor: "95" is more than all of it; write "95 %"`},
		{dish, "{most_wind: 10}", `fields[dishes].guarantee.most_wind: "10" has no unit; write for example "10 m/s"`},
		{dish, "{least_air: 5 K}", `fields[dishes].guarantee.least_air: "5 K" is not a temperature; want it in degC`},
		{dish, "{most_warming: none at all}", `fields[dishes].guarantee.most_warming: "none at all" is not a rate of heating; write for example "2 K/min"`},
		{dish, "{least_hours: 0}", `fields[dishes].guarantee.least_hours: "0" is out of range; want 1 to 8784`},
		{dish, "{least_hour: 9}", "fields[dishes].guarantee.least_hour: is not a key of a scenario here; nearest is \"least_hours\""},
	} {
		_, err := Parse("p.yaml", []byte(promised(t, row.collector, row.text)), nil)
		if err == nil {
			t.Errorf("%s: no error; want %s", row.text, row.want)
			continue
		}
		var lines []string
		for line := range strings.Lines(err.Error()) {
			lines = append(lines, strings.TrimPrefix(strings.TrimSpace(line), "p.yaml:18: fields[dishes].guarantee"))
		}
		if got := "fields[dishes].guarantee" + strings.Join(lines, "|"); got != row.want {
			t.Errorf("%s:\ngot  %s\nwant %s", row.text, got, row.want)
		}
	}
}
