package answer_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"noonkeep/cmd/internal/answer"
	"noonkeep/plant"
	"noonkeep/scenarios"
)

// guaranteed is a plant whose field gives what its formula says: clean, whole, without pipes and without warm-up.
const guaranteed = `noonkeep: 1
name: g
site: {latitude: 38.7 deg, longitude: 29.1 deg, elevation: 400 m, utc_offset: +3 h}
weather:
  seed: 3
  monthly:
    ghi: [1.9 kWh/m2d, 2.7 kWh/m2d, 3.9 kWh/m2d, 5.0 kWh/m2d, 6.2 kWh/m2d, 7.1 kWh/m2d, 7.3 kWh/m2d, 6.5 kWh/m2d, 5.2 kWh/m2d, 3.6 kWh/m2d, 2.3 kWh/m2d, 1.7 kWh/m2d]
    air: [3 degC, 4 degC, 8 degC, 12 degC, 17 degC, 22 degC, 25 degC, 25 degC, 20 degC, 14 degC, 9 degC, 5 degC]
time: {year: 2026}
headers: [{name: main, pressure: 6 bar(g), feedwater: 85 degC}]
loads: [{name: works, heat: 900 kW, when: always}]
fuels: [{name: natural gas, price: 0.05 EUR/kWh}]
boilers: [{name: B1, capacity: 1500 kW, efficiency: 0.85}]
fields:
  - {name: dishes, collector: {COLLECTOR}, count: 10, aperture: 90 m2, cleanliness: 100 %, availability: 100 %, pipe_loss: 0 %,
     guarantee: {uncertainty_factor: 100 %}}
money: {currency: EUR}
`

func guaranteedCase(t *testing.T, collector string) scenarios.Case {
	t.Helper()
	return parsed(t, strings.Replace(guaranteed, "{COLLECTOR}", collector, 1))
}

const (
	quickDish   = "{kind: dish, heat_capacity: 0 kJ/m2K}"
	quickTrough = "{kind: trough, heat_capacity: 0 kJ/m2K}"
	quickFlat   = "{tracking: fixed, slope: 30 deg, azimuth: 180 deg, eta0b: 0.75, kd: 0.9, a1: 1.2 W/m2K}"
)

// measure writes what the model gives in some days of July, times a share, as a file of measurements.
func measure(c scenarios.Case, share float64, step time.Duration) string {
	f, w := c.Fields[0], c.Weather
	var b strings.Builder
	b.WriteString("start,DNI W/m2,GHI W/m2,DHI W/m2,air degC,wind m/s,fluid degC,heat kW\n")
	from := 24 * 181
	for i := from; i < from+24*12; i++ {
		for at := time.Duration(0); at < time.Hour; at += step {
			fmt.Fprintf(&b, "%s,%v,%v,%v,%v,%v,%v,%v\n", c.Axis.At(i).Add(at).Format("2006-01-02 15:04"), w.DNI[i], w.GHI[i], w.DHI[i], w.AirC[i], w.WindMS[i],
				f.AtC+f.ApproachK, share*f.ToHeader.KWM2[i]*f.AreaM2())
		}
	}
	return b.String()
}

func checked(t *testing.T, c scenarios.Case, file string) answer.Guarantee {
	t.Helper()
	log, err := plant.ReadFieldLog(strings.NewReader(file), "m.csv", c.Place.UTCOffset)
	if err != nil {
		t.Fatal(err)
	}
	g, err := answer.GuaranteeOf(c, answer.GuaranteeOptions{Log: &log})
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// A field that gives 5 % less than its model shows 0.95, whatever the collector and the rows' length; and the year's hours that
// count give just what the model does.
func TestGuaranteeFindsAShortfall(t *testing.T) {
	t.Parallel()
	for _, collector := range []string{quickDish, quickTrough, quickFlat} {
		c := guaranteedCase(t, collector)
		for _, step := range []time.Duration{time.Hour, 20 * time.Minute} {
			for _, share := range []float64{0.95, 1.02} {
				if share > 1 && step < time.Hour {
					continue // nothing that the two others do not show
				}
				g := checked(t, c, measure(c, share, step))
				m := g.Measured
				want := answer.VerdictNotMet
				if share > 1 {
					want = answer.VerdictMet
				}
				if m.Ratio == nil || math.Abs(*m.Ratio-share) > 1e-9 || m.Verdict != want || m.Valid < 20 {
					t.Errorf("%s, %v: ratio %v, %s, %d valid; want %g, %s", collector, step, m.Ratio, m.Verdict, m.Valid, share, want)
				}
				count := 0
				for _, h := range m.Hours {
					if h.Valid != (len(h.Why) == 0) {
						t.Fatalf("%s: valid %v, why not %v", h.Start, h.Valid, h.Why)
					}
					if h.Valid {
						count++
					}
				}
				if len(m.Hours) != 24*12 || count != m.Valid || m.Rows != len(m.Hours)*int(time.Hour/step) {
					t.Errorf("%d rows, %d hours, %d valid of %d; want every hour there", m.Rows, len(m.Hours), count, m.Valid)
				}
				if len(m.Days) != 12 {
					t.Errorf("%d whole days; want 12", len(m.Days))
				}
			}
		}
		g, err := answer.GuaranteeOf(c, answer.GuaranteeOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if y := g.Year; y.Hours == 0 || math.Abs(y.ModelKWh/y.ExpectedKWh-1) > 1e-9 {
			t.Errorf("%s: %d hours of the year, the model gives %g of them", collector, y.Hours, y.ModelKWh/y.ExpectedKWh)
		}
		days, hours := 0, 0
		for _, month := range g.Year.Months {
			hours, days = hours+month.Hours, days+month.Days
			if month.Days > 31 || month.Hours < month.Days {
				t.Errorf("%+v", month)
			}
		}
		if hours != g.Year.Hours || days != g.Year.Days {
			t.Errorf("months sum to %d h on %d days; want %d, %d", hours, days, g.Year.Hours, g.Year.Days)
		}
	}
}

// The table of the statement is the formula, by hand; few hours decide nothing.
func TestGuaranteeTable(t *testing.T) {
	t.Parallel()
	c := guaranteedCase(t, "{tracking: two-axis, eta0b: 0.7, a1: 0.5 W/m2K}")
	g, err := answer.GuaranteeOf(c, answer.GuaranteeOptions{Field: "dishes"})
	if err != nil {
		t.Fatal(err)
	}
	if want := "Q = 1 x 900 m² x (0.7 Kb Gb - 0.5 dT) / 1000, in kW"; g.Formula != want {
		t.Errorf("formula %s, want %s", g.Formula, want)
	}
	for i, row := range g.Table.KW {
		for j, kW := range row {
			want := 0.9 * (0.7*g.Table.LightWM2[j] - 0.5*(g.Table.FluidC[i]-20)) // 900 m², W to kW
			if math.Abs(kW-want) > 1e-9 {
				t.Errorf("%g W/m², %g °C: %g kW, want %g by hand", g.Table.LightWM2[j], g.Table.FluidC[i], kW, want)
			}
		}
	}
	if len(g.Table.LightWM2) != 6 || g.Table.LightWM2[0] != 500 || len(g.Table.KW) != 5 || len(g.ByAir.KW) != 5 {
		t.Errorf("table of %v by %v", g.Table.LightWM2, g.Table.FluidC)
	}
	file := strings.Join(strings.SplitAfter(measure(c, 1, time.Hour), "\n")[:20], "")
	if m := checked(t, c, file).Measured; m.Verdict != answer.VerdictUndecided || m.Valid >= 20 {
		t.Errorf("%d valid hours: %s", m.Valid, m.Verdict)
	}
}

func TestGuaranteeWrong(t *testing.T) {
	t.Parallel()
	dish, flat := guaranteedCase(t, quickDish), guaranteedCase(t, quickFlat)
	oil := parsed(t, strings.Replace(strings.Replace(guaranteed, "{COLLECTOR}", quickDish, 1), "pressure: 6 bar(g), feedwater: 85 degC", "medium: {kind: thermal oil, supply: 240 degC, return: 180 degC}", 1))
	none := dish
	none.Fields = nil
	empty := dish
	empty.Fields = []scenarios.Field{dish.Fields[0]}
	empty.Fields[0].Count = 0
	const row = "\n2026-07-01 10:00,1,1,1\n"
	for _, c := range []struct {
		of          scenarios.Case
		field, file string
		want        string
	}{
		{dish, "troughs", "", `case.yaml: no field is called "troughs"; want one of: dishes`},
		{none, "", "", "case.yaml: has no collector field, so there is nothing to guarantee"},
		{empty, "", "", `case.yaml: field "dishes" has no collectors, so there is nothing to guarantee`},
		{dish, "", "start,air degC,wind m/s,fluid degC" + row, "m.csv:1: has no column DNI W/m2, nor heat kW (or flow kg/h of water, with inlet and outlet); the check with the beam formula needs it"},
		{dish, "", "start,DNI W/m2,inlet degC,heat kW" + row, "m.csv:1: has no column air degC, nor wind m/s, nor inlet degC and outlet degC (or fluid degC, their mean); the check with the beam formula needs it"},
		{flat, "", "start,DNI W/m2,fluid degC,heat kW" + row, "m.csv:1: has no column plane W/m2 (or GHI W/m2, or DHI W/m2), nor air degC, nor wind m/s; the check with the beam and diffuse formula needs it"},
		{oil, "", "start,DNI W/m2,inlet degC,outlet degC,air degC,wind m/s,flow kg/h\n2026-07-01 10:00,1,1,1,1,1,1\n",
			`m.csv:1: has a flow and no heat; a flow is taken for water, and header "main" carries thermal oil: give heat kW`},
	} {
		opt := answer.GuaranteeOptions{Field: c.field}
		if c.file != "" {
			log, err := plant.ReadFieldLog(strings.NewReader(c.file), "m.csv", 0)
			if err != nil {
				t.Fatal(err)
			}
			opt.Log = &log
		}
		if _, err := answer.GuaranteeOf(c.of, opt); err == nil || err.Error() != c.want {
			t.Errorf("got  %v\nwant %s", err, c.want)
		}
	}
}
