package answer

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"noonkeep/plant"
	"noonkeep/scenarios"
)

// GuaranteeOptions say of which field, and what was measured. The zero value is the first field, without measurements.
type GuaranteeOptions struct {
	Field string
	Log   *plant.FieldLog
}

// Guarantee is an expected-output statement for a field, after the method of ISO 24194, and what measurements say of it.
type Guarantee struct {
	Scenario   string  `json:"scenario"`
	Field      string  `json:"field"`
	Others     int     `json:"other_fields"` // of the plant
	Collector  string  `json:"collector"`
	Count      int     `json:"count"`
	ApertureM2 float64 `json:"aperture_m2"` // of each
	AreaM2     float64 `json:"area_m2"`
	FluidC     float64 `json:"mean_fluid_degC"` // at which the scenario runs it

	Light      string             `json:"formula_light"`
	Formula    string             `json:"formula"` // with the field's numbers in it
	Letters    []GuaranteeLetter  `json:"formula_letters"`
	Factors    []GuaranteeFactor  `json:"factors"`
	SafeFactor float64            `json:"safe_factor"`
	Limits     []GuaranteeLimit   `json:"limits"`
	LeastHours int                `json:"least_valid_hours"`
	Table      GuaranteeTable     `json:"guaranteed_by_fluid"`
	ByAir      GuaranteeTable     `json:"guaranteed_by_air"`
	Modifier   []GuaranteeKb      `json:"incidence_modifier"` // empty where it is 1 at every angle
	Year       GuaranteeYear      `json:"typical_year"`
	Measured   *GuaranteeMeasured `json:"measured"` // null without measurements
	Needs      []string           `json:"columns"`  // that measurements must have
	Cautions   []string           `json:"cautions"`

	place string // local clock, for the sheet
}

// GuaranteeLetter is what a letter of the formula stands for.
type GuaranteeLetter struct {
	Letter string `json:"letter"`
	Is     string `json:"is"`
}

// GuaranteeFactor is one factor of f_safe.
type GuaranteeFactor struct {
	Symbol string  `json:"symbol"`
	For    string  `json:"for"`
	Key    string  `json:"key"`
	Value  float64 `json:"value"`
	From   string  `json:"from"`
}

// GuaranteeLimit is a condition under which an hour counts.
type GuaranteeLimit struct {
	Words string `json:"condition"`
	Limit string `json:"limit"` // "at least 600 W/m2", "none"
	Key   string `json:"key"`
	From  string `json:"from"`
}

// GuaranteeTable is guaranteed heat by light and by a temperature, at another one that stays.
type GuaranteeTable struct {
	LightWM2 []float64   `json:"light_W_m2"`
	FluidC   []float64   `json:"fluid_degC"` // one, or one for each row
	AirC     []float64   `json:"air_degC"`   // likewise
	KW       [][]float64 `json:"kW"`         // rows of as many as LightWM2
}

// GuaranteeKb is the incidence modifier at an angle; Across only where it differs from Along.
type GuaranteeKb struct {
	Deg    float64  `json:"angle_deg"`
	Along  float64  `json:"kb"`
	Across *float64 `json:"kb_across"`
}

// GuaranteeYear is how many hours of the scenario's weather would count.
type GuaranteeYear struct {
	Months      []GuaranteeMonth `json:"months"`
	Hours       int              `json:"hours"`
	Days        int              `json:"days"`
	LightHours  int              `json:"hours_with_light"`
	Broken      []BrokenCount    `json:"hours_that_break"` // an hour may break several
	ExpectedKWh float64          `json:"guaranteed_kWh"`   // of the hours that count
	ModelKWh    float64          `json:"scenario_kWh"`     // what the scenario's plant gives in them
}

// GuaranteeMonth is one month of it.
type GuaranteeMonth struct {
	Month  int     `json:"month"`
	Hours  int     `json:"hours"`
	Days   int     `json:"days"` // with at least one such hour
	MeanKW float64 `json:"mean_guaranteed_kW"`
}

// BrokenCount is how many hours break a limit.
type BrokenCount struct {
	Limit string `json:"limit"`
	Hours int    `json:"hours"`
}

var guaranteeCautions = []string{
	"The check shows the field's power in hours of strong and steady sun. It is not the year's yield: that hangs on weather, " +
		"mornings, dirt, days out, the heat asked for and the store (noonkeep curve, years).",
	"The method is that of ISO 24194. Its text was not read here and decides; both parties must hold it. What is marked " +
		"\"memory\" is to be compared with it, and can be set in the scenario under fields[].guarantee.",
	"The formula counts clean collectors, all in service. Hours in which heat is turned away (full store, no load, " +
		"mirrors out of focus) are no fault of the field: the parties set them aside, and say why.",
}

// GuaranteeOf makes the statement, and checks what was measured.
func GuaranteeOf(c scenarios.Case, opt GuaranteeOptions) (Guarantee, error) {
	f, err := fieldNamed(c, opt.Field)
	if err != nil {
		return Guarantee{}, err
	}
	checker, err := plant.NewChecker(f.Field, f.Promise.Guarantee, c.Place, 0)
	if err != nil {
		return Guarantee{}, fmt.Errorf("%s: %w", c.File, err)
	}
	p := f.Promise
	g := Guarantee{Scenario: c.Name, Field: f.Name, Others: len(c.Fields) - 1, Collector: f.Collector.Name, Count: f.Count,
		ApertureM2: f.ApertureM2, AreaM2: f.AreaM2(), FluidC: p.UseC + f.ApproachK,
		Light: p.Formula.String(), SafeFactor: p.SafeFactor(), LeastHours: p.LeastHours, Cautions: slices.Clone(guaranteeCautions)}
	if !(g.AreaM2 > 0) {
		return Guarantee{}, fmt.Errorf("%s: field %q has no collectors, so there is nothing to guarantee", c.File, f.Name)
	}
	if _, err := plant.KindByName(f.Collector.Name); err == nil {
		g.Cautions = append(g.Cautions, fmt.Sprintf("The collector is the generic sort %q, no product. A guarantee needs the coefficients of the "+
			"test report of the collector that is supplied: write them in the scenario.", f.Collector.Name))
	}
	if c.Headers[f.Header].Medium == nil && f.Feeds == scenarios.ToHeaderAndStore {
		g.Cautions = append(g.Cautions, "Where the collectors themselves raise steam, their fluid is hotter than the mean of inlet and outlet: agree on "+
			"the boiling temperature, and give it as the column fluid.")
	}
	g.place = clockName(c)
	g.Formula, g.Letters = formulaWords(f)
	g.Factors, g.Limits = guaranteeFactors(f), guaranteeLimits(f)
	g.Needs = guaranteeNeeds(f, checker)
	g.Table, g.ByAir = guaranteeTables(f, checker, g.FluidC)
	g.Modifier = modifierTable(f)
	if g.Year, err = guaranteeYear(c, f, g.FluidC); err != nil {
		return Guarantee{}, err
	}
	if opt.Log != nil {
		if g.Measured, err = checkLog(c, f, checker, *opt.Log); err != nil {
			return Guarantee{}, err
		}
	}
	return g, nil
}

// Clock says in which clock the sheet's times are.
func (g Guarantee) Clock() string { return g.place }

func clockName(c scenarios.Case) string {
	d := c.Place.UTCOffset
	sign := "+"
	if d < 0 {
		sign, d = "-", -d
	}
	return fmt.Sprintf("local standard time (UTC%s%d:%02d, no summer time)", sign, int(d.Hours()), int(d.Minutes())%60)
}

// fieldNamed finds the field, the first where no name is given.
func fieldNamed(c scenarios.Case, name string) (scenarios.Field, error) {
	var names []string
	for _, f := range c.Fields {
		if f.Name == name || name == "" {
			return f, nil
		}
		names = append(names, f.Name)
	}
	if len(names) == 0 {
		return scenarios.Field{}, fmt.Errorf("%s: has no collector field, so there is nothing to guarantee", c.File)
	}
	return scenarios.Field{}, fmt.Errorf("%s: no field is called %q; want one of: %s", c.File, name, strings.Join(names, ", "))
}

// guaranteeTables gives guaranteed heat by light and fluid temperature, and by light and air.
func guaranteeTables(f scenarios.Field, k *plant.Checker, fluidC float64) (byFluid, byAir GuaranteeTable) {
	var light []float64
	for wattsM2 := math.Floor(min(500, f.Promise.LeastSunWM2)/100) * 100; wattsM2 <= 1000; wattsM2 += 100 {
		if wattsM2 > 0 {
			light = append(light, wattsM2)
		}
	}
	const airC, still = 20., 3. // at 3 m/s the terms of wind are 0
	row := func(fluidC, airC float64) []float64 {
		var kW []float64
		for _, wattsM2 := range light {
			x := plant.Conditions{BeamWM2: wattsM2, Kb: 1, FluidC: fluidC, AirC: airC, WindMS: still}
			if f.Promise.Formula == plant.Hemispheric {
				x.BeamWM2, x.DiffuseWM2 = 0, wattsM2
			}
			kW = append(kW, max(0, k.FormulaKW(x)*f.Promise.SafeFactor()))
		}
		return kW
	}
	middle := math.Round(fluidC/10) * 10
	byFluid = GuaranteeTable{LightWM2: light, AirC: []float64{airC}}
	for _, more := range []float64{-40, -20, 0, 20, 40} {
		if tC := middle + more; tC >= airC {
			byFluid.FluidC, byFluid.KW = append(byFluid.FluidC, tC), append(byFluid.KW, row(tC, airC))
		}
	}
	byAir = GuaranteeTable{LightWM2: light, FluidC: []float64{middle}}
	for _, tC := range []float64{0, 10, 20, 30, 40} {
		byAir.AirC, byAir.KW = append(byAir.AirC, tC), append(byAir.KW, row(middle, tC))
	}
	return byFluid, byAir
}

// modifierTable gives the incidence modifier by angle; nil where it is 1 throughout.
func modifierTable(f scenarios.Field) []GuaranteeKb {
	c := f.Collector
	two := len(c.IAMT) > 0
	if c.Tracking == plant.TwoAxis || f.Promise.Formula == plant.Hemispheric || !two && len(c.IAM) == 0 && c.B0 == 0 && c.IAMPoly == [2]float64{} {
		return nil
	}
	var rows []GuaranteeKb
	for deg := 0.; deg <= 80; deg += 10 {
		cos := math.Cos(deg * math.Pi / 180)
		k := GuaranteeKb{Deg: deg, Along: c.Modifier(plant.Incidence{Cos: cos, ThetaDeg: deg, LongDeg: deg})}
		if two {
			across := c.Modifier(plant.Incidence{Cos: cos, ThetaDeg: deg, TransDeg: deg})
			k.Across = &across
		}
		rows = append(rows, k)
	}
	return rows
}

// guaranteeYear counts the hours of the scenario's weather that would count, the field being warm and its heat taken.
func guaranteeYear(c scenarios.Case, f scenarios.Field, fluidC float64) (GuaranteeYear, error) {
	w := c.Weather
	k, err := plant.NewChecker(f.Field, f.Promise.Guarantee, c.Place, w.LightOffset)
	if err != nil {
		return GuaranteeYear{}, err
	}
	out := GuaranteeYear{Months: make([]GuaranteeMonth, 12)}
	for m := range out.Months {
		out.Months[m].Month = m + 1
	}
	model := f.Yield().KWM2
	counts := map[plant.Limit]int{}
	perHour := max(1, int(math.Round(1/w.Axis.StepH())))
	day := -1
	for i := 0; i+perHour <= w.Axis.N; i += perHour {
		h := plant.FieldHour{Start: w.Axis.At(i), DNIWM2: meanOf(w.DNI, i, perHour), GHIWM2: meanOf(w.GHI, i, perHour),
			DHIWM2: meanOf(w.DHI, i, perHour), PlaneWM2: math.NaN(), AirC: meanOf(w.AirC, i, perHour),
			WindMS: meanOf(w.WindMS, i, perHour), FluidC: fluidC}
		if !(h.DNIWM2 > 0) && !(h.GHIWM2 > 0) {
			continue
		}
		out.LightHours++
		v := k.Judge(h)
		for _, b := range v.Broken {
			counts[b.Limit]++
		}
		if !v.Valid() {
			continue
		}
		month := &out.Months[h.Start.Month()-1]
		month.Hours++
		month.MeanKW += v.ExpectedKW
		if h.Start.YearDay() != day {
			day = h.Start.YearDay()
			month.Days++
		}
		out.ExpectedKWh += v.ExpectedKW
		out.ModelKWh += meanOf(model, i, perHour) * f.AreaM2()
	}
	out.close()
	out.Broken = brokenCounts(counts)
	return out, nil
}

// close sums the months, and turns their sums of power into means.
func (y *GuaranteeYear) close() {
	for m := range y.Months {
		month := &y.Months[m]
		y.Hours += month.Hours
		y.Days += month.Days
		month.MeanKW /= float64(max(1, month.Hours))
	}
}

// brokenCounts lists the limits that hours break, in the order of the limits.
func brokenCounts(counts map[plant.Limit]int) []BrokenCount {
	list := []BrokenCount{}
	for _, l := range plant.Limits() {
		if n := counts[l]; n > 0 {
			list = append(list, BrokenCount{l.String(), n})
		}
	}
	return list
}

// meanOf is the mean of n values from i on; NaN for a series that is not there.
func meanOf[S ~[]float64](v S, i, n int) float64 {
	if i+n > len(v) {
		return math.NaN()
	}
	sum := 0.
	for _, x := range v[i : i+n] {
		sum += x
	}
	return sum / float64(n)
}

// guaranteeNeeds names the columns that measurements must have.
func guaranteeNeeds(f scenarios.Field, k *plant.Checker) []string {
	list := map[plant.Formula][]string{
		plant.BeamAlone: {"DNI W/m2"}, plant.BeamAndDiffuse: {"DNI W/m2", "plane W/m2"}, plant.Hemispheric: {"plane W/m2"},
	}[f.Promise.Formula]
	list = append(slices.Clone(list), "air degC")
	if k.NeedsWind() {
		list = append(list, "wind m/s")
	}
	return append(list, "inlet degC", "outlet degC", "heat kW")
}

const hourForm = "2006-01-02 15:04"

func hourName(t time.Time) string { return t.Format(hourForm) }
