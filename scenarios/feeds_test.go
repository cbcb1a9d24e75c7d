package scenarios

import (
	"context"
	"math"
	"strings"
	"testing"

	"noonkeep/optimize"
	"noonkeep/plant"
)

const plates = "{name: plates, collector: {kind: flat plate}, count: 100, aperture: 2 m2, feeds: feedwater"

// What a field on the feedwater may give, by steam tables.
func TestPreheatShare(t *testing.T) {
	t.Parallel()
	const tables = "enthalpies of checks-heat.md 1.2 and water by steam tables"
	for _, row := range []struct {
		what, header, field string
		want, tol           float64
		src                 string
	}{
		// 7.013 bar(a): hg 2762.9; water 251.2 at 60, 376.9 at 90, 398.0 at 95 degC.
		{"to 90 degC", "feedwater: 60 degC", ", preheat_to: 90 degC", (376.9 - 251.2) / (2762.9 - 251.2), 2e-4, tables},
		{"to the usual 95 degC", "feedwater: 60 degC", "", (398.0 - 251.2) / (2762.9 - 251.2), 2e-4, tables},
		// An open tank: half at 80, half at 10 degC by mass, with blowdown nearly half of each: 45.6 degC; feed 1/0.95.
		{"open tank", "condensate: {return: 50 %, temperature: 80 degC, make_up: 10 degC, blowdown: 0 %}", ", preheat_to: 90 degC",
			(376.9 - 188.6) / (2762.9 - 188.6), 3e-4, "45 degC by mass, no blowdown; " + tables},
	} {
		s := with(t, "feedwater: 85 degC", row.header, "  - {name: dishes, collector: {kind: dish}, count: 8, aperture: 90 m2}", "  - "+plates+row.field+"}")
		c, err := Parse("my.yaml", []byte(s), nil)
		if err != nil {
			t.Fatalf("%s: %v", row.what, err)
		}
		if got := c.Fields[0].Preheat.ShareFrac; row.src == "" || math.Abs(got-row.want) > row.tol {
			t.Errorf("%s: share %.6g, want %.6g ± %g (%s)", row.what, got, row.want, row.tol, row.src)
		}
	}
}

// Before a deaerator, warm make-up spares its steam: what it gives is what the boilers need not, and never more than that steam.
func TestPreheatBeforeDeaerator(t *testing.T) {
	t.Parallel()
	s := with(t, "feedwater: 85 degC", "condensate: {return: 40 %, temperature: 80 degC, make_up: 12 degC, deaerator: 0.2 bar(g)}",
		"  - {name: dishes, collector: {kind: dish}, count: 8, aperture: 90 m2}", "  - "+plates+", preheat_to: 90 degC}")
	c, err := Parse("my.yaml", []byte(s), nil)
	if err != nil {
		t.Fatal(err)
	}
	p, h := c.Fields[0].Preheat, c.Headers[0].House
	if !p.MakeUp || p.FromC != 12 || p.MeanC() != 51 {
		t.Fatalf("%+v: want make-up from 12 degC", *p)
	}
	given := h.MakeUpKgH * (377.4 - 50.9) / 3600 / h.BoilerKW
	if p.ShareFrac > given*(1+1e-3) || p.ShareFrac < 0.95*given {
		t.Errorf("share %.5g; want up to %.5g, the make-up's own heat (enthalpies at 7 bar by steam tables)", p.ShareFrac, given)
	}
	steam := h.DeaeratorKgH * (2762.9 - 50.9) / 3600 / h.BoilerKW
	if p.ShareFrac > steam {
		t.Errorf("share %.5g; want no more than the deaerator's steam, %.5g", p.ShareFrac, steam)
	}
}

// Three kinds on two headers, a field on the feedwater and one on the store: each where it may, and the plan proven.
func TestFieldsOfSeveralKinds(t *testing.T) {
	t.Parallel()
	text := scenarioOf(t, "field-care.txt")
	c, err := Parse("my.yaml", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	p, err := c.Problem()
	if err != nil {
		t.Fatal(err)
	}
	s, _, err := optimize.Plan(context.Background(), p, optimize.Options{})
	if err != nil {
		t.Skip("needs Clp: ", err)
	}
	sum := func(v []float64) (total float64) {
		for _, x := range v {
			total += x
		}
		return total
	}
	high, low := 0, 1
	mirrors, troughs, platesAt, dishes := 0, 1, 2, 4
	for _, row := range []struct {
		what string
		kWh  float64
		some bool
	}{
		{"mirrors to high", sum(s.SunHeaderKW[mirrors][high]), true}, {"mirrors to low", sum(s.SunHeaderKW[mirrors][low]), false},
		{"troughs to low", sum(s.SunHeaderKW[troughs][low]), true}, {"troughs to high", sum(s.SunHeaderKW[troughs][high]), false},
		{"plates to low", sum(s.SunHeaderKW[platesAt][low]), true}, {"plates to the store", sum(s.SunStoreKW[platesAt][0]), false},
		{"dishes to the store", sum(s.SunStoreKW[dishes][0]), true},
		{"dishes to a header", sum(s.SunHeaderKW[dishes][low]) + sum(s.SunHeaderKW[dishes][high]), false},
	} {
		if (row.kWh > 0) != row.some {
			t.Errorf("%s: %g kWh", row.what, row.kWh)
		}
	}
	share := c.Fields[platesAt].Preheat.ShareFrac
	for i, kW := range s.SunHeaderKW[platesAt][low] {
		if most := share * c.Headers[low].DemandKW[i]; kW > most*(1+1e-9)+1e-9 {
			t.Fatalf("%s: plates give %g kW; want at most %g", c.Axis.Label(i), kW, most)
		}
	}
}

// A field on the feedwater, or on the store alone, leaves a plant of one header to the one-store engine.
func TestFeedsKeepOneStore(t *testing.T) {
	t.Parallel()
	dishes := "  - {name: dishes, collector: {kind: dish}, count: 8, aperture: 90 m2}"
	cost := func(fields string) float64 {
		c, err := Parse("my.yaml", []byte(with(t, dishes, fields)+"electricity: {price: 0 EUR/kWh}\n"), nil)
		if err != nil {
			t.Fatal(err)
		}
		p, err := c.Problem()
		if err != nil {
			t.Fatal(err)
		}
		s, _, err := optimize.Plan(context.Background(), p, optimize.Options{Engine: "onestore"})
		if err != nil {
			t.Fatal(err)
		}
		return s.Cost
	}
	both := cost(dishes)
	alone := cost(strings.Replace(dishes, "count: 8", "feeds: store, count: 8", 1))
	preheat := cost(dishes + "\n  - " + plates + "}")
	if !(both < alone) || !(preheat < both) {
		t.Errorf("cost %g with header and store, %g with the store alone, %g with plates on the feedwater; want both < alone, preheat < both", both, alone, preheat)
	}
}

// What a field's years do to it arrives in the plant's own values.
func TestFieldCare(t *testing.T) {
	t.Parallel()
	c, err := Parse("my.yaml", []byte(scenarioOf(t, "field-care.txt")), nil)
	if err != nil {
		t.Fatal(err)
	}
	mirrors, troughs, plates, tubes := c.Fields[0], c.Fields[1], c.Fields[2], c.Fields[3]
	for _, row := range []struct {
		what           string
		got, want, tol float64
		src            string
	}{
		{"availability in year 5", mirrors.Availability, 0.98 * 0.98, 1e-12, "98 % less 4 years of 0.5 % of it"},
		{"washed mirrors", mirrors.Cleanliness, 1, 0, "default beside soiling"},
		{"days between", float64(mirrors.Soiling.EveryDays), 14, 0, "as written"},
		{"mean light", mirrors.ToHeader.CleanMeanFrac, 1 - 0.004*6.5, 2e-4, "1 - r (N-1)/2, checks-sun 5.10"},
		{"receivers' capacity", mirrors.Collector.HeatCapacityKJM2K, 0, 0, "the kind's has pipes in it"},
		{"idle pump, W", mirrors.IdlePumpW, 200, 0, "as written"},
		{"washed troughs", troughs.Cleanliness, 0.97, 0, "as written"},
		{"most", troughs.Soiling.MostLossFrac, 0.2, 0, "as written"},
		{"usual cooling of pipes, h", troughs.Pipes.CoolingTimeH, 12, 0, "default"},
		{"eta0b of the sheet", plates.Collector.Eta0b, 0.739, 1e-4, "public ISO 9806 sheet: 729 W of 1000 on global light"},
		{"its Kd stays", plates.Collector.Kd, 0.91, 0, "the kind's own"},
		{"Kd of b0 0.1", tubes.Collector.Kd, 1 / 1.1, 1e-5, "closed form 1/(1 + b0)"},
		{"eta0b of the tubes", tubes.Collector.Eta0b, 0.65 / (0.85 + 0.15/1.1), 1e-5, "0.65 on 15 % diffuse light"},
	} {
		if row.src == "" || math.Abs(row.got-row.want) > row.tol {
			t.Errorf("%s: %.9g, want %.9g (%s)", row.what, row.got, row.want, row.src)
		}
	}
	if len(mirrors.Out) != 2 || mirrors.ToHeader.OutH == 0 {
		t.Errorf("out of service %v, %g h of sun", mirrors.Out, mirrors.ToHeader.OutH)
	}
	if !troughs.Freeze.Drain || !plates.Freeze.Electric || plates.Freeze.KeepC != 6 || mirrors.Freeze.KeepC != 5 {
		t.Error("freeze is not as written")
	}
	p, err := c.Problem()
	if err != nil {
		t.Fatal(err)
	}
	y := mirrors.ToHeader
	if got, want := p.Fields[0].FixedCost, 800*0.1*(y.DriveKWhM2+y.IdleKWhM2); math.Abs(got-want) > 1e-9 || y.IdleKWhM2 == 0 {
		t.Errorf("fixed cost %g, want %g: drives and idle pumps", got, want)
	}
	if mirrors.Collector.Tracking != plant.FresnelNorthSouth || !mirrors.Collector.IAMWithCosine {
		t.Error("linear Fresnel is not the kind's")
	}
}

// A variant with another number of collectors has a yield of its own where pipes are of the whole field.
func TestPipesAndVariants(t *testing.T) {
	t.Parallel()
	s := with(t, "count: 8, aperture: 90 m2", "count: 8, aperture: 90 m2, pipes: {water: 2000 kg}") +
		"variants:\n- {name: half, change: {fields: [{name: dishes, count: 4}]}}\n"
	c, err := Parse("my.yaml", []byte(s), nil)
	if err != nil {
		t.Fatal(err)
	}
	half, err := c.Vary("half")
	if err != nil {
		t.Fatal(err)
	}
	if a, b := c.Fields[0].ToHeader.WarmupKWhM2, half.Fields[0].ToHeader.WarmupKWhM2; !(b > 1.5*a) {
		t.Errorf("warm-up %g kWh/m2, with half the field on the same pipes %g; want nearly twice", a, b)
	}
}

func TestFeedsWrong(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ header, field, want string }{
		{"feedwater: 95 degC", "}", `has nothing to warm: the feedwater of header "main" comes at 95 degC, and 95 degC is the most`},
		{"feedwater: 85 degC", ", preheat_to: 170 degC}", `170 degC is not below the 165 degC of header "main"`},
		{"condensate: {return: 40 %, deaerator: 0.2 bar(g)}", ", preheat_to: 120 degC}", `120 degC is above the deaerator's 105.1 degC; want at most that`},
		{"feedwater: 60 degC", "}\n  - {name: more, collector: {kind: flat plate}, count: 1, aperture: 2 m2, feeds: feedwater}",
			`is that of field "plates" too; want one field on a header's feedwater`},
	} {
		_, err := Parse("my.yaml", []byte(with(t, "feedwater: 85 degC", row.header,
			"  - {name: dishes, collector: {kind: dish}, count: 8, aperture: 90 m2}", "  - "+plates+row.field)), nil)
		if err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("got %v; want %s", err, row.want)
		}
	}
}
