package demand

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"noonkeep/plant/steam"
)

const seaBarA = 1.01325

// The steam that heats feedwater by mixing, with the enthalpies that each source prints.
func TestDeaeratorSteamPublished(t *testing.T) {
	t.Parallel()
	// By hand from the printed data, vent 150 kg/h, 25 000 kg/h of feed, treated water and steam unknown:
	// S = [25 000 (-15 525.4) + 150 (-13 271.3) - C (-15 649.8) - (25 150 - C)(-15 866.2)] / (-13 138.3 + 15 866.2).
	assignment := mixing{makeUpKJKg: -15866.2, steamKJKg: -13138.3, feedKJKg: -15525.4, ventKJKg: -13271.3, ventFrac: 150. / 25000}
	returned := assignment
	returned.perFeed = []waterFlow{{0.47, -15649.8}}
	for _, row := range []struct {
		what             string
		m                mixing
		feed, steam, tol float64
		src              string
	}{
		{"direct-contact heater, per lb of feed", mixing{makeUpKJKg: 70, steamKJKg: 1245, feedKJKg: 219}, 1, 0.1268, 5e-5,
			"Handbook of Energy Engineering Calculations p. 80: (219 - 70)/(1245 - 70) = 0.1268, Btu/lb"},
		{"open feedwater heater at 2 MPa, per kg of feed", mixing{makeUpKJKg: 252, steamKJKg: 2810, feedKJKg: 908.47}, 1, 0.26, 0.005,
			"Cengel and Boles, Thermodynamics 8th ed., problem 10-126: 252 and 2810 kJ/kg give 26 percent; 908.47 kJ/kg is h' at 2 MPa"},
		{"deaerator without condensate, kg/h", assignment, 25000, (25000*(15866.2-15525.4) + 150*(15866.2-13271.3)) / (15866.2 - 13138.3), 1e-6,
			"data of a published deaerator exercise (University of Karachi, design and simulation, assignment 3); answer by hand"},
		{"deaerator with 47 % condensate, kg/h", returned, 25000,
			(25000*(15866.2-15525.4) + 150*(15866.2-13271.3) - 0.47*25000*(15866.2-15649.8)) / (15866.2 - 13138.3), 1e-6,
			"the same exercise with condensate; answer by hand"},
	} {
		needSource(t, row.src)
		got, makeUp := row.m.steamKgH(row.feed)
		if math.Abs(got-row.steam) > row.tol {
			t.Errorf("%s: %.6g, want %.6g (%s)", row.what, got, row.steam, row.src)
		}
		in := 0.0
		for _, f := range row.m.perFeed {
			in += f.kgH * row.feed
		}
		if lost := got + makeUp + in - row.feed*(1+row.m.ventFrac); math.Abs(lost) > 1e-9*row.feed {
			t.Errorf("%s: %g kg/h are lost", row.what, lost)
		}
	}
}

func TestBoilerHousePublished(t *testing.T) {
	t.Parallel()
	air := func(h BoilerHouse) BoilerHouse { h.AirBarA = seaBarA; return h }
	of := func(h BoilerHouse) HouseBalance {
		t.Helper()
		b, err := air(h).Balance()
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	at := func(barG float64) steam.Pressure { return steam.BarGauge(barG, seaBarA) }
	const psi = 0.0689475729
	tds := of(BoilerHouse{Header: at(10), CondensateC: 90, MakeUpC: 80, BlowdownFrac: 80. / 3500})
	half := of(BoilerHouse{Header: at(10), CondensateC: 90, MakeUpC: 15, BlowdownFrac: 250. / 5000, Recovery: FlashRecovery})
	eight, six := of(BoilerHouse{Header: at(150 * psi), CondensateC: 90, MakeUpC: (60. - 32) / 1.8, BlowdownFrac: 0.08}),
		of(BoilerHouse{Header: at(150 * psi), CondensateC: 90, MakeUpC: (60. - 32) / 1.8, BlowdownFrac: 0.06})
	seven := func(flashAt float64) HouseBalance {
		return of(BoilerHouse{Header: at(7), ReturnFrac: 1, CondensateC: 80, FlashAt: at(flashAt), MakeUpC: 15})
	}
	const kJPerBtuLb = 2.326
	for _, row := range []struct {
		what           string
		got, want, tol float64
		src            string
	}{
		{"blowdown of 4000 kg/h of steam", 4000 * tds.BlowdownKgH, 93.5673, 1e-4, "checks-heat.md 5.3.1, yamathosupply.com: 93.6 kg/h"},
		{"blowdown at 20 cycles, of 5 kg/s", 5 * half.BlowdownKgH, 0.26, 0.005, "checks-heat.md 5.3.2, UFC 3-240-13FN p. 62"},
		{"feed at 20 cycles, of 5 kg/s", 5 * half.FeedKgH, 5.26, 0.005, "checks-heat.md 5.3.2, UFC 3-240-13FN p. 62"},
		{"feed at 8 % blowdown, of 100 000 lb/h", 1e5 * eight.FeedKgH, 108695, 1, "US DOE Steam Tip Sheet 9: 108 695 lb/h"},
		{"feed at 6 %", 1e5 * six.FeedKgH, 106383, 1, "US DOE Steam Tip Sheet 9: 106 383 lb/h"},
		{"heat saved, MBtu/h", 1e5 * (eight.BoilerKW - six.BoilerKW) * secondsPerHour / kJPerBtuLb * 1e-6, 2312 * (338.5 - 28) * 1e-6, 0.002,
			"US DOE Steam Tip Sheet 9: 2312 lb/h by 338.5 - 28 Btu/lb; feedwater is the make-up here as there"},
		{"flash steam of 7 bar(g) condensate at 0 bar(g)", seven(0).FlashLostKgH, 0.134, 0.001, "checks-heat.md 2.1.1, steam-trap maker's tutorial"},
		{"of 500 kg/h", 500 * seven(0).FlashLostKgH, 67, 0.67, "checks-heat.md 2.1.2"},
		{"at 0.5 bar(g)", seven(0.5).FlashLostKgH, 0.113745, 1e-5, "checks-heat.md 2.1.7"},
		{"at 1 bar(g)", seven(1).FlashLostKgH, 0.098, 6e-4, "checks-heat.md 2.2, engineeringtoolbox d_262"},
		{"at 3 bar(g)", seven(3).FlashLostKgH, 0.054, 6e-4, "checks-heat.md 2.2, engineeringtoolbox d_262"},
		{"condensate's heat against make-up, kJ/kg", streamOf(t, of(BoilerHouse{Header: steam.BarAbs(8), ReturnFrac: 1, CondensateC: 90, MakeUpC: 15}), "condensate caught").KJKg -
			streamOf(t, of(BoilerHouse{Header: steam.BarAbs(8), CondensateC: 90, MakeUpC: 15}), "make-up").KJKg, 313.91, 0.05, "checks-heat.md 5.3.6"},
		{"mixed feed, 16.7 % make-up at 41 degF, condensate 176 degF", 1.8*of(BoilerHouse{Header: at(7), ReturnFrac: 1 - 8./48, CondensateC: 80, MakeUpC: 5}).FeedwaterC + 32,
			153.4, 0.5, "boiler control maker's manual, calculations for steam metering: weighted average 153.4 degF; water's heat capacity is not constant"},
		{"deaerator's feedwater, degC", of(BoilerHouse{Header: at(7), ReturnFrac: 0.5, CondensateC: 80, MakeUpC: 15, Deaerator: steam.BarAbs(1.2)}).FeedwaterC, 104.78, 0.01, "IF97 at 1.2 bar(a), python3-iapws"},
		{"boiling deaerator, 5 psig: degF", 1.8*of(BoilerHouse{Header: at(7), ReturnFrac: 0.5, CondensateC: 80, MakeUpC: 15, Deaerator: at(5 * psi)}).FeedwaterC + 32, 227, 0.5,
			"eng-tips.com thread 360251: 5 psig, 227 degF"},
	} {
		needSource(t, row.src)
		if !(math.Abs(row.got-row.want) <= row.tol) {
			t.Errorf("%s: %.7g, want %.7g (%s)", row.what, row.got, row.want, row.src)
		}
	}
}

func streamOf(t *testing.T, b HouseBalance, name string) HouseStream {
	t.Helper()
	for _, s := range b.Streams {
		if s.Name == name {
			return s
		}
	}
	t.Fatalf("no stream %s in %+v", name, b.Streams)
	return HouseStream{}
}

// Mass and heat close over the bounds of any boiler house, and no stream runs backwards.
func TestBoilerHouseCloses(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(7, 7))
	whole, boiled := 0, 0
	for range 3000 {
		h := randomHouse(rng)
		b, err := h.Balance()
		if err != nil {
			continue
		}
		whole++
		if b.Boils {
			boiled++
		}
		mass, kW, size := 0.0, 0.0, 0.0
		for _, s := range b.Streams {
			sign := 1.0
			if s.Out {
				sign = -1
			}
			mass += sign * s.KgH
			kW += sign * s.KW
			size += math.Abs(s.KW)
			if s.KgH < -1e-12 || s.Name != "feed pump" && s.KW < -1e-12 {
				t.Fatalf("%+v: %s is %g kg/h, %g kW", h, s.Name, s.KgH, s.KW)
			}
		}
		if math.Abs(mass) > 1e-9 || math.Abs(kW) > 1e-9*size {
			t.Fatalf("%+v: %g kg/h and %g kW of %g are lost; %+v", h, mass, kW, size, b.Streams)
		}
		if b.OwnUseFrac < 0 || b.DeaeratorKgH < 0 || b.FeedwaterC < h.MakeUpC-1e-6 && b.FeedwaterC < h.CondensateC {
			t.Fatalf("%+v: %+v", h, b)
		}
	}
	if whole < 1500 || boiled < 5 {
		t.Errorf("only %d of 3000 houses were whole, %d boiled", whole, boiled)
	}
}

func randomHouse(rng *rand.Rand) BoilerHouse {
	h := BoilerHouse{Header: steam.BarAbs(3 + 20*rng.Float64()), AirBarA: 0.7 + 0.32*rng.Float64(), ReturnFrac: rng.Float64(), CondensateC: 30 + 90*rng.Float64(),
		MakeUpC: 5 + 25*rng.Float64(), BlowdownFrac: 0.1 * rng.Float64(), Recovery: Recovery(rng.IntN(3)), ApproachK: 10}
	if rng.IntN(2) == 0 {
		h.Deaerator, h.VentFrac = steam.BarAbs(h.AirBarA+0.5*rng.Float64()), 0.002*rng.Float64()
	}
	if rng.IntN(2) == 0 {
		h.FlashAt = steam.BarAbs(h.AirBarA + rng.Float64())
		h.CondensateC = 40 + 40*rng.Float64()
	}
	return h
}

// Winning heat back never makes the boiler work more, at one feedwater temperature.
func TestRecoverySpares(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(8, 8))
	for range 300 {
		h := randomHouse(rng)
		h.Deaerator, h.FlashAt = steam.BarAbs(1.3), steam.BarAbs(1.5)
		h.CondensateC = 90
		last := math.Inf(1)
		for _, r := range []Recovery{NoRecovery, FlashRecovery, FullRecovery} {
			h.Recovery = r
			b, err := h.Balance()
			if err != nil {
				t.Fatal(err)
			}
			if b.BoilerKW > last*(1+1e-12) {
				t.Fatalf("%+v: %g kW, without it %g", h, b.BoilerKW, last)
			}
			last = b.BoilerKW
		}
	}
}

func TestBoilerHouseWrong(t *testing.T) {
	t.Parallel()
	good := BoilerHouse{Header: steam.BarAbs(7), AirBarA: seaBarA, ReturnFrac: 0.7, CondensateC: 90, MakeUpC: 15, BlowdownFrac: 0.03}
	for _, row := range []struct {
		spoil func(*BoilerHouse)
		want  string
	}{
		{func(h *BoilerHouse) { h.ReturnFrac = 1.2 }, "return: is 1.2; want 0 to 1"},
		{func(h *BoilerHouse) { h.CondensateC = 190 }, "temperature: is 190 degC; want more than 0 degC, up to the steam's 165.0 degC"},
		{func(h *BoilerHouse) { h.MakeUpC = 0 }, "make_up: is 0 degC; want more than 0 degC, up to 95 degC"},
		{func(h *BoilerHouse) { h.BlowdownFrac = 0.5 }, "blowdown: is 0.5 of the feedwater; want 0 to 0.3"},
		{func(h *BoilerHouse) { h.Deaerator = steam.BarAbs(8) }, "deaerator: is at 8 bar(a) and its steam comes from the header at 7 bar(a); want less"},
		{func(h *BoilerHouse) { h.VentFrac = 0.001 }, "vent: is of a deaerator, and there is none"},
		{func(h *BoilerHouse) { h.FlashAt = steam.BarAbs(7.5) }, "flash_at: is at 7.5 bar(a), and the condensate comes from 7 bar(a); want less"},
		{func(h *BoilerHouse) { h.FlashAt = steam.BarAbs(seaBarA); h.CondensateC = 120 },
			"temperature: is 120 degC after flashing at 1.01325 bar(a); want 99.97 degC at most"},
		{func(h *BoilerHouse) {
			h.FlashAt, h.Deaerator, h.Recovery = steam.BarAbs(1.05), steam.BarAbs(1.4), FlashRecovery
		}, "flash_at: is at 1.05 bar(a), and its steam is to go into the tank at 1.4 bar(a); want as much at least, or no heat_recovery"},
	} {
		h := good
		row.spoil(&h)
		if _, err := h.Balance(); err == nil || err.Error() != row.want {
			t.Errorf("got %v\nwant %s", err, row.want)
		}
	}
	if b, err := good.Balance(); err != nil || b.FeedwaterC < 60 || b.FeedwaterC > 80 || !strings.Contains(b.Streams[0].Name, "condensate") {
		t.Errorf("%+v, %v", b, err)
	}
}
