package storage

import (
	"errors"
	"math"
	"strings"
	"testing"

	"noonkeep/plant/steam"
)

func TestMoreVolumeMoreCapacity(t *testing.T) {
	for name, v := range every(t) {
		last := limitsOf(t, v, 0)
		if want := (Limits{HotC: v.HotC(), FloorC: v.FloorC()}); last != want {
			t.Errorf("%s: no vessel has %+v", name, last)
		}
		for m3 := 0.5; m3 <= 500; m3 *= 1.1 {
			l := limitsOf(t, v, m3)
			if l.CapacityKWh <= last.CapacityKWh || l.DischargeKW < last.DischargeKW || l.UAWK <= last.UAWK ||
				l.KeepFrac(1) <= 0 || l.KeepFrac(1) >= 1 || m3 > 0.5 && l.KeepFrac(1) <= last.KeepFrac(1) {
				t.Errorf("%s: %g m³ has %+v after %+v", name, m3, l, last)
			}
			near(t, name+": per m³", l.CapacityKWh/m3, v.HeatKWhM3(), 1e-9, "capacity goes with volume")
			last = l
		}
	}
}

// Discharge by the water surface: 220 kg/(m² h bar) at 6 bar(a) is 1320 kg/(m² h), checks-heat 3.7.8, over the surface that the
// level of the whole vessel leaves in the cylinder.
func TestDischargeBySurface(t *testing.T) {
	s := flashSpec(20, 6, 0.9, WhileCharging)
	s.Ends = Flat // then the level of checks-heat 4.2 applies as it stands
	v := mustNew(t, s)
	l := limitsOf(t, v, math.Pi/4*2.4*2.4*8)
	near(t, "surface", l.WaterM2, 0.726611*2.4*8, 1e-4, "width at a fill of 0.90, checks-heat 4.2")
	perKg := (2756.14 - 334.949) / 3600 // h” at 6 bar(a) less h'(80 °C), checks-heat 1.2 and 3.1
	near(t, "kW", l.DischargeKW, 1320*l.WaterM2*perKg, 1e-3*l.DischargeKW, "1320 kg/(m² h) at 6 bar(a), checks-heat 3.7.8, arithmetic")
	near(t, "8 times the volume", limitsOf(t, v, 80).DischargeKW/limitsOf(t, v, 10).DischargeKW, 4, 1e-9, "surface goes with V^(2/3)")

	s.SteamKgHM2Bar = 110
	near(t, "half the rating", limitsOf(t, mustNew(t, s), 40).DischargeKW, limitsOf(t, v, 40).DischargeKW/2, 1e-9*l.DischargeKW, "proportion")
	s.LimitKgH = 1000
	near(t, "nozzle", limitsOf(t, mustNew(t, s), 40).DischargeKW, 1000*perKg, 0.01, "1000 kg/h of the same steam")
	near(t, "nozzle wider than a small surface", limitsOf(t, mustNew(t, s), 0.02).DischargeKW, limitsOf(t, v, 0.02).DischargeKW/2, 1e-9, "the surface rules")
	near(t, "exchanger", limitsOf(t, mustNew(t, exchangerSpec()), 40).DischargeKW, 2000, 0, "its rating")
}

func TestExchanger(t *testing.T) {
	v := mustNew(t, exchangerSpec())
	near(t, "floor", v.FloorC(), 148, 1e-9, "supply and approach")
	near(t, "steam", v.SteamKgM3(), 0, 0, "an exchanger draws none")
	// The water's own heat at constant mass: 764.82 kg of 908.62 - 2.35 (u') at 20 bar(a) to u' at 148 °C.
	hot, err := steam.SaturatedUnder(steam.BarAbs(20))
	if err != nil {
		t.Fatal(err)
	}
	low, err := steam.SaturatedAt(148)
	if err != nil {
		t.Fatal(err)
	}
	hand := 0.9 / hot.Liquid.VM3Kg * (hot.Liquid.UKJKg - low.Liquid.UKJKg) / 3600
	near(t, "kWh/m³", v.HeatKWhM3(), hand, 0.01*hand, "sensible heat of the full water by hand; relaxed: steam that condenses adds 0.6 %")
	full := v.At(1, 1)
	s, err := Equilibrium(1, full.MassKg, full.UKJ-3600*v.HeatKWhM3())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "T without the heat", s.TC, 148, 1e-6, "the mass stays, the energy is less")
}

// The header's pressure and the line's drop set the floor, the working pressure and the margin the top.
func TestTemperatures(t *testing.T) {
	s := flashSpec(21, 5.5, 0.9, WhileCharging)
	s.MarginBar, s.LineDropBar = 1, 0.5
	v := mustNew(t, s)
	near(t, "hot", v.HotC(), 212.385, 5.1e-4, "20 bar(a), checks-heat 1.2")
	near(t, "floor", v.FloorC(), 158.832, 5.1e-4, "6 bar(a), checks-heat 1.2")
	same := mustNew(t, flashSpec(20, 6, 0.9, WhileCharging))
	near(t, "heat", v.HeatKWhM3(), same.HeatKWhM3(), 1e-9, "the same range")

	last := 0.0
	for p := 7.0; p <= 160; p++ {
		q := mustNew(t, flashSpec(p, 6, 0.9, WhileCharging)).HeatKWhM3()
		if q <= last {
			t.Errorf("%g bar(a) holds %g kWh/m³, not above %g one bar lower", p, q, last)
		}
		last = q
	}
}

func TestVolumeErrors(t *testing.T) {
	v := mustNew(t, flashSpec(20, 6, 0.9, WhileCharging))
	for _, m3 := range []float64{-1, math.NaN(), math.Inf(1)} {
		if _, err := v.Limits(m3); err == nil || !strings.HasPrefix(err.Error(), "vessel: volume: is ") {
			t.Errorf("%g m³: %v", m3, err)
		}
	}
}

func TestFaults(t *testing.T) {
	for _, c := range []struct {
		field  string
		change func(*Spec)
		want   string
		src    string
	}{
		{"Working", func(s *Spec) { s.Working = steam.Pressure{} }, "vessel: working pressure: is no pressure; want one above zero, absolute or gauge", "the zero value is invalid"},
		{"Working", func(s *Spec) { s.Working = steam.BarAbs(6) }, "vessel: working pressure: is 6 bar(a) less 0 bar of margin; want more than the header's 6 bar(a) and the line's 0 bar", "no range is left"},
		{"Working", func(s *Spec) { s.Working = steam.BarAbs(170) }, "vessel: working pressure: is 170 bar(a) less 0 bar of margin, which boils at 352.3 °C; want at most 350 °C (165.3 bar(a))", "623.15 K, end of region 1"},
		{"Working", func(s *Spec) { s.Working = steam.BarAbs(230) }, "vessel: working pressure: is 230 bar(a) less 0 bar of margin: steam: pressure of saturation: 230 bar(a); want 0.00611213 to 220.64 bar(a)", "above the critical point"},
		{"Working", func(s *Spec) { s.MarginBar = 30 }, "vessel: working pressure: is 20 bar(a) less 30 bar of margin: steam: pressure of saturation: -10 bar(a); want 0.00611213 to 220.64 bar(a)", "margin above the pressure"},
		{"MarginBar", func(s *Spec) { s.MarginBar = math.NaN() }, "vessel: margin: is NaN bar; want 0 or more", "NaN fails"},
		{"Header", func(s *Spec) { s.Header = steam.Pressure{} }, "vessel: header pressure: is no pressure; want one above zero, absolute or gauge", "the zero value is invalid"},
		{"Header", func(s *Spec) { s.Header = steam.BarAbs(400) }, "vessel: header pressure: is 400 bar(a) and 0 bar of line: steam: pressure of saturation: 400 bar(a); want 0.00611213 to 220.64 bar(a)", "above the critical point"},
		{"LineDropBar", func(s *Spec) { s.LineDropBar = -1 }, "vessel: line drop: is -1 bar; want 0 or more", "no line raises pressure"},
		{"FeedwaterC", func(s *Spec) { s.FeedwaterC = 170 }, "vessel: feedwater: is 170 °C; want above 0 and below the floor of 158.8 °C", "hotter than the floor"},
		{"FeedwaterC", func(s *Spec) { s.FeedwaterC = 0 }, "vessel: feedwater: is 0 °C; want above 0 and below the floor of 158.8 °C", "not set"},
		{"Feed", func(s *Spec) { s.Feed = 5 }, "vessel: feed: is choice 5; want while discharging or while charging", "no such choice"},
		{"FillFrac", func(s *Spec) { s.FillFrac = 0.97 }, "vessel: fill: is 0.97; want 0.2 to 0.95, the rest is steam space", "no room to expand"},
		{"FillFrac", func(s *Spec) { s.FillFrac = math.NaN() }, "vessel: fill: is NaN; want 0.2 to 0.95, the rest is steam space", "NaN fails"},
		{"LengthPerDiameter", func(s *Spec) { s.LengthPerDiameter = 0 }, "vessel: length per diameter: is 0; want more than 0, at most 50", "not set"},
		{"Ends", func(s *Spec) { s.Ends = 5 }, "vessel: ends: are of form 5; want one of the five named", "no such form"},
		{"InsulationM", func(s *Spec) { s.InsulationM = -0.1 }, "vessel: insulation thickness: is -0.1 m; want 0 to 2 m", "negative"},
		{"InsulationWMK", func(s *Spec) { s.InsulationWMK = 0 }, "vessel: insulation conductivity: is 0 W/(m K); want more than 0", "not set"},
		{"OutsideWM2K", func(s *Spec) { s.OutsideWM2K = 0 }, "vessel: outside film: is 0 W/(m² K); want more than 0", "not set"},
		{"ExtraLossFrac", func(s *Spec) { s.ExtraLossFrac = 15 }, "vessel: extra loss: is 15; want 0 to 1", "percent for a fraction"},
		{"SteamKgHM2Bar", func(s *Spec) { s.SteamKgHM2Bar = -1 }, "vessel: surface rating: is -1 kg/(m² h bar); want 0 for the usual 220, or more", "negative"},
		{"LimitKgH", func(s *Spec) { s.LimitKgH = -1 }, "vessel: steam limit: is -1 kg/h; want 0 for none, or more", "negative"},
		{"Discharge", func(s *Spec) { s.Discharge = 7 }, "vessel: discharge: is kind 7; want flash, exchanger or thermocline", "no such kind"},
		{"SupplyC", func(s *Spec) { *s = exchangerSpec(); s.SupplyC = 0 }, "vessel: supply temperature: is 0 °C; want above 0 and below 350 °C", "not set"},
		{"ApproachK", func(s *Spec) { *s = exchangerSpec(); s.ApproachK = -2 }, "vessel: approach: is -2 K; want 0 or more", "negative"},
		{"LimitKW", func(s *Spec) { *s = exchangerSpec(); s.LimitKW = 0 }, "vessel: exchanger rating: is 0 kW; want more than 0", "not set"},
		{"Working", func(s *Spec) { *s = exchangerSpec(); s.SupplyC = 210 }, "vessel: working pressure: is 20 bar(a) less 0 bar of margin, 212.4 °C; want more than the 218.0 °C of supply and approach", "no range is left"},
	} {
		if c.src == "" {
			t.Fatal("row without a source")
		}
		s := flashSpec(20, 6, 0.9, WhileCharging)
		c.change(&s)
		_, err := New(s)
		if err == nil || err.Error() != c.want {
			t.Errorf("got  %v\nwant %s (%s)", err, c.want, c.src)
		}
		var f *Fault
		if !errors.As(err, &f) || f.Field != c.field {
			t.Errorf("fault names the field %+v; want %s", f, c.field)
		}
	}
}

// All that is wrong comes at once, in the order of the fields.
func TestFaultsComeTogether(t *testing.T) {
	_, err := New(Spec{})
	many, ok := err.(interface{ Unwrap() []error })
	if !ok {
		t.Fatalf("an empty spec gives %v", err)
	}
	var fields []string
	for _, e := range many.Unwrap() {
		var f *Fault
		if !errors.As(e, &f) {
			t.Fatalf("%v is no Fault", e)
		}
		fields = append(fields, f.Field)
	}
	if got, want := strings.Join(fields, " "), "Working Header FillFrac LengthPerDiameter OutsideWM2K"; got != want {
		t.Errorf("an empty spec has faults in %s; want %s", got, want)
	}
}

func TestNames(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Flash.String(), "flash"}, {Exchanger.String(), "exchanger"}, {Kind(9).String(), "number 9"},
		{WhileDischarging.String(), "while discharging"}, {WhileCharging.String(), "while charging"},
		{Ellipsoidal.String(), "2:1 ellipsoidal"}, {Korbbogen.String(), "Korbbogen"}, {Ends(-1).String(), "number -1"},
	} {
		if c.got != c.want {
			t.Errorf("name %q; want %q", c.got, c.want)
		}
	}
}

func TestLimitsAllocateNothing(t *testing.T) {
	v := mustNew(t, flashSpec(20, 6, 0.9, WhileCharging))
	if n := testing.AllocsPerRun(100, func() { limitsSink, _ = v.Limits(40) }); n != 0 {
		t.Errorf("Limits allocates %g times; want 0", n)
	}
	if n := testing.AllocsPerRun(100, func() { stateSink, _ = v.Draw(v.At(40, 1), 100) }); n != 0 {
		t.Errorf("Draw allocates %g times; want 0", n)
	}
}
