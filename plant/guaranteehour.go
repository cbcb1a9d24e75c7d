package plant

import (
	"fmt"
	"math"
	"time"

	"noonkeep/plant/clock"
	"noonkeep/plant/sky"
)

// FieldHour is what was measured at a field: means over an hour. NaN stands for what was not measured.
type FieldHour struct {
	Start    time.Time
	DNIWM2   float64
	GHIWM2   float64 // on the level
	DHIWM2   float64 // on the level
	PlaneWM2 float64 // global light in the plane of the collectors
	AirC     float64
	WindMS   float64
	FluidC   float64 // mean of the fluid in the collectors
	// WarmingKH is how fast that changes.
	WarmingKH float64
	HeatKW    float64
	Lacks     string // why the hour is not whole; empty for a whole one
	Aside     string // why the parties set it aside; empty for none
	Line      int    // of its first row in the file
}

// Limit is a condition of the check that an hour may break.
type Limit int

const (
	LimitData Limit = iota
	LimitAside
	LimitNight
	LimitSun
	LimitIncidence
	LimitShade
	LimitWind
	LimitStow
	LimitAir
	LimitWarming
	limits
)

var limitNames = [...]string{"data missing", "set aside", "sun down", "sun", "incidence", "shade", "wind", "stowed", "air", "warming"}

// String names the limit in a word or two.
func (l Limit) String() string { return limitNames[l] }

// Limits lists them, in the order in which they are looked at.
func Limits() []Limit {
	all := make([]Limit, limits)
	for i := range all {
		all[i] = Limit(i)
	}
	return all
}

// Broken is a limit that an hour breaks, in words.
type Broken struct {
	Limit Limit
	Text  string
}

// Verdict is what the check says of an hour.
type Verdict struct {
	Broken     []Broken // why it does not count; none for a valid hour
	ThetaDeg   float64  // incidence in the middle of the hour
	Kb         float64
	BeamWM2    float64 // on the aperture
	DiffuseWM2 float64 // on the aperture; 0 with the beam alone
	SunWM2     float64 // what the limit of sun looks at
	ShadeFrac  float64 // of the beam, the most at the hour's start, middle and end
	FormulaKW  float64 // the formula without factors; NaN where it cannot be had
	ExpectedKW float64 // with them: what is guaranteed
}

// Valid tells whether the hour counts.
func (v Verdict) Valid() bool { return len(v.Broken) == 0 }

// Checker works out what a field should give in measured hours. It keeps nothing from hour to hour, and is not for use by
// two goroutines at once.
type Checker struct {
	field Field
	g     Guarantee
	place sky.Place
	late  time.Duration
	plain Collector // as the formula takes it: clean, its heat capacity apart
	r     *run
	y     sky.Year
}

// NewChecker makes a checker of a field at a place. The field counts as clean, whole and in service: cleanliness,
// availability, dirt and days out are not in the formula. light is where the sun of a weather file's rows stands, after
// the middle of their step; 0 for what was measured.
func NewChecker(f Field, g Guarantee, place sky.Place, light time.Duration) (*Checker, error) {
	f.Cleanliness, f.Availability, f.Soiling, f.Out, f.Freeze = 1, 1, Soiling{}, nil, Freeze{}
	if err := f.Check(); err != nil {
		return nil, err
	}
	if err := g.Check(f.Collector); err != nil {
		return nil, err
	}
	if err := place.Check(); err != nil {
		return nil, err
	}
	k := &Checker{field: f, g: g, place: place, late: light, plain: f.Collector}
	k.plain.A5 = 0
	if g.Formula == Hemispheric {
		k.plain.Eta0b, k.plain.Kd = f.Collector.SteadyEta0(), 1
	}
	k.y = sky.Year{Place: place, Axis: clock.Axis{Step: time.Hour, N: 1}, DNI: []float64{0}, GHI: []float64{0}, DHI: []float64{0},
		AirC: []float64{0}, WindMS: []float64{0}, Suns: make([]sky.Sun, 1)}
	k.r = newRun(&k.field, &k.y, 0)
	return k, nil
}

// FormulaKW is the whole field's heat by the formula, without factors, at given light: beam with its modifier (for
// Hemispheric the global light as diffuse and no beam), temperatures and wind.
func (k *Checker) FormulaKW(x Conditions) float64 {
	perHour := x.WarmingKS * 3600
	x.NetLongwaveWM2 = netLongwaveWM2
	wattsM2 := k.plain.HeatWM2(x)/k.plain.share() - k.field.Collector.capacityWhM2K()*perHour
	return wattsM2 * k.field.AreaM2() / wattsPerKW
}

// Judge says what the field should have given in an hour, and whether the hour counts.
func (k *Checker) Judge(h FieldHour) Verdict {
	v := Verdict{FormulaKW: math.NaN(), ExpectedKW: math.NaN()}
	broken := func(l Limit, format string, args ...any) {
		v.Broken = append(v.Broken, Broken{l, fmt.Sprintf(format, args...)})
	}
	if h.Lacks != "" {
		broken(LimitData, "%s", h.Lacks)
	}
	if h.Aside != "" {
		broken(LimitAside, "%s", h.Aside)
	}
	up := k.light(h, &v)
	if up {
		k.heat(h, &v)
	} else {
		broken(LimitNight, "the sun is down")
		return v
	}
	if math.IsNaN(v.FormulaKW) && h.Lacks == "" {
		broken(LimitData, "a value that the formula needs was not measured")
	}
	k.limits(h, &v, broken)
	return v
}

// limits looks at each condition, told by what must hold, so that a value that is not there breaks it.
func (k *Checker) limits(h FieldHour, v *Verdict, broken func(Limit, string, ...any)) {
	for _, c := range [...]struct {
		limit     Limit
		holds     bool
		text      string
		saw, want float64
	}{
		{LimitSun, v.SunWM2 >= k.g.LeastSunWM2, "%.0f W/m² on the aperture, below %.4g", v.SunWM2, k.g.LeastSunWM2},
		{LimitIncidence, v.ThetaDeg <= k.g.MostIncidenceDeg, "incidence %.1f°, above %.4g°", v.ThetaDeg, k.g.MostIncidenceDeg},
		{LimitShade, v.ShadeFrac <= k.g.MostShadeFrac+1e-9, "shade on %.2g %% of the beam, above %.3g %%", 100 * v.ShadeFrac, 100 * k.g.MostShadeFrac},
		{LimitWind, h.WindMS <= k.g.MostWindMS || !k.NeedsWind(), "wind %.1f m/s, above %.4g", h.WindMS, k.g.MostWindMS},
		{LimitStow, !(h.WindMS > k.r.stowMS), "wind %.1f m/s, stowed above %.4g", h.WindMS, k.r.stowMS},
		{LimitAir, h.AirC >= k.g.LeastAirC || math.IsInf(k.g.LeastAirC, -1), "air %.1f °C, below %.4g", h.AirC, k.g.LeastAirC},
		{LimitWarming, math.Abs(h.WarmingKH) <= k.g.MostWarmingKH || math.IsInf(k.g.MostWarmingKH, 1), "fluid changes by %.1f K/h, more than %.4g", h.WarmingKH, k.g.MostWarmingKH},
	} {
		switch {
		case c.holds || h.Lacks != "" && math.IsNaN(c.saw):
		case math.IsNaN(c.saw) && c.limit == LimitWarming:
			broken(c.limit, "no neighbouring hour tells how fast the fluid changes")
		case math.IsNaN(c.saw):
			broken(LimitData, "no value for the limit of %v", c.limit)
		default:
			broken(c.limit, c.text, c.saw, c.want)
		}
	}
}

// NeedsWind tells whether an hour needs a wind: for its limit, or for the collector's own terms.
func (k *Checker) NeedsWind() bool {
	return !math.IsInf(k.g.MostWindMS, 1) || k.plain.feelsWind()
}

// feelsWind tells whether the wind has a term in the collector's heat.
func (c *Collector) feelsWind() bool { return c.A3 != 0 || c.A6 != 0 || c.A7 != 0 }

// light works out what falls on the aperture; false with the sun down. Geometry is that of Field.Yield.
func (k *Checker) light(h FieldHour, v *Verdict) bool {
	k.y.Suns[0] = sky.SunAt(k.place, h.Start.Add(k.late+30*time.Minute))
	r := k.r
	sun := k.y.Suns[0]
	mid := rayTo(sun.ZenithDeg, sun.AzimuthDeg)
	s, up := r.site.sunlit(mid, r.halfDeg)
	if up == 0 {
		return false
	}
	cos, slopeCos := r.mount.meet(s)
	o := flows{dni: h.DNIWM2, beam: h.DNIWM2 * cos}
	v.ShadeFrac = k.shadeFrac(h.Start.Add(k.late))
	k.y.DNI[0] = h.DNIWM2
	k.skyLight(h, s.up)
	v.BeamWM2 = o.beam
	if k.field.Collector.Kd > 0 {
		v.DiffuseWM2 = r.diffuse(0, s, cos, slopeCos)
		if !math.IsNaN(h.PlaneWM2) {
			v.DiffuseWM2 = max(0, h.PlaneWM2-o.beam)
		}
	}
	s, cos = r.shade(&o, mid, s, cos, slopeCos)
	v.ThetaDeg, v.Kb = degrees(math.Acos(min(1, cos))), r.modifier(s, cos)
	v.BeamWM2 -= o.horizon + o.shaded + o.ends
	v.SunWM2 = o.beam
	if k.g.Formula == Hemispheric {
		v.SunWM2 = h.PlaneWM2
		if math.IsNaN(h.PlaneWM2) {
			v.SunWM2 = o.beam + v.DiffuseWM2
		}
	}
	return true
}

// skyLight fills in the one of GHI and DHI that was not measured.
func (k *Checker) skyLight(h FieldHour, sinHeight float64) {
	ghi, dhi := h.GHIWM2, h.DHIWM2
	switch {
	case math.IsNaN(dhi):
		dhi = max(0, ghi-h.DNIWM2*max(0, sinHeight)) // NaN stays NaN
	case math.IsNaN(ghi):
		ghi = dhi + h.DNIWM2*max(0, sinHeight)
	}
	if math.IsNaN(ghi) {
		dhi = math.NaN()
	}
	k.y.GHI[0], k.y.DHI[0] = ghi, dhi
}

// shadeFrac is the most shade at the start, the middle and the end of an hour.
func (k *Checker) shadeFrac(start time.Time) float64 {
	most := 0.
	if x := &k.r.around; x.horizon == nil && x.rows == nil && x.dishes == nil {
		return most
	}
	for _, after := range [...]time.Duration{0, 30 * time.Minute, time.Hour} {
		most = max(most, k.shadeAt(sky.SunAt(k.place, start.Add(after))))
	}
	return most
}

// shadeAt is the share of the beam that horizon and neighbours take at one moment.
func (k *Checker) shadeAt(sun sky.Sun) float64 {
	x := &k.r.around
	s := rayTo(sun.ZenithDeg, sun.AzimuthDeg)
	cos, slopeCos := k.r.mount.meet(s)
	switch {
	case s.up <= 0 || cos <= 0:
		return 0
	case x.horizon != nil && 90-sun.ZenithDeg < x.horizon.HeightDeg(sun.AzimuthDeg):
		return 1
	case x.rows != nil:
		return x.rows.shaded(&k.r.mount, s, cos, slopeCos)
	case x.dishes != nil:
		return x.dishes.shaded(s)
	}
	return 0
}

// heat puts the light and the measured temperatures into the formula.
func (k *Checker) heat(h FieldHour, v *Verdict) {
	x := Conditions{BeamWM2: v.BeamWM2, Kb: v.Kb, DiffuseWM2: v.DiffuseWM2, FluidC: h.FluidC, AirC: h.AirC, WindMS: h.WindMS,
		WarmingKS: h.WarmingKH / 3600}
	if k.g.Formula == Hemispheric {
		x.BeamWM2, x.Kb, x.DiffuseWM2 = 0, 1, v.SunWM2
	}
	if math.IsNaN(x.WindMS) && !k.plain.feelsWind() {
		x.WindMS = 3 // its terms are 0
	}
	if math.IsNaN(x.WarmingKS) {
		x.WarmingKS = 0 // the hour breaks the limit of warming, if there is one
	}
	v.FormulaKW = k.FormulaKW(x)
	v.ExpectedKW = v.FormulaKW * k.g.SafeFactor()
}
