package plant

import (
	"math"
	"strings"
)

// DefaultStowWindMS is the mean wind above which trackers stow when nothing else is said: 45 km/h, common practice,
// no source.
const DefaultStowWindMS = 12.5

// Collector is one kind of collector. Its coefficients are those of an ISO 9806 test report.
type Collector struct {
	Name     string
	Tracking Tracking
	// Slope above the horizontal and azimuth from north, clockwise (180 south): of a fixed collector only.
	SlopeDeg, AzimuthDeg float64

	Eta0b float64 // peak efficiency for beam at normal incidence
	Kd    float64 // modifier for diffuse light; 0 for concentrators, which see the beam only
	A1    float64 // W/(m² K)
	A2    float64 // W/(m² K²)
	A3    float64 // J/(m³ K), wind on the loss
	A4    float64 // 1, long-wave
	A5    float64 // J/(m² K), heat capacity; see HeatCapacityKJM2K
	A6    float64 // s/m, wind on the gain
	A7    float64 // s/m, wind on long-wave
	A8    float64 // W/(m² K⁴), radiation
	// OpticalFallPerK takes this share of Eta0b away for each K between fluid and air, 1/K; 0 for most.
	OpticalFallPerK float64
	Receiver        Receiver // its loss adds to those above

	// The incidence modifier Kb: at most one of a table, B0 and IAMPoly. See Modifier.
	IAM  []IAMPoint
	IAMT []IAMPoint // across, when the collector differs along (IAM) and across
	// Of a linear Fresnel collector, whose two tables are published in several ways: IAMAtIncidence reads IAM at the
	// angle between the beam and the plane across the axis, not at its projection on the plane along it; IAMWithCosine
	// says that the product of the tables has the cosine of the sun's zenith angle in it, so that it multiplies DNI.
	IAMAtIncidence, IAMWithCosine bool
	B0                            float64
	IAMPoly                       [2]float64 // 1/°, 1/°²

	// ApertureShare is the aperture in 1 m² of the area to which the coefficients refer: 0 or 1 for coefficients per m²
	// of aperture, about 0.9 for coefficients per gross m².
	ApertureShare float64

	LeastDNIWM2 float64 // a tracker gives nothing below this beam; 0 no limit
	StowWindMS  float64 // a tracker stows when wind times GustFactor is above; 0 is DefaultStowWindMS, +Inf never
	GustFactor  float64 // gusts over the weather's mean wind, for a StowWindMS that is meant for gusts; 0 is 1
	// Heat to warm 1 m² of aperture's receiver and pipes with what is in them by 1 K; 0 takes A5 (the
	// collector alone).
	HeatCapacityKJM2K float64
	CoolingTimeH      float64 // time constant with which they cool towards the air when no heat is taken
	DriveWM2          float64 // power of the drives per m² of aperture while the sun is followed
}

// Tracks says whether the collector follows the sun.
func (c Collector) Tracks() bool {
	return c.Tracking != Fixed && c.Tracking >= TwoAxis && c.Tracking <= FresnelEastWest
}

// fresnel says whether level mirrors shine on a receiver above them.
func (c *Collector) fresnel() bool {
	return c.Tracking == FresnelNorthSouth || c.Tracking == FresnelEastWest
}

// Check returns everything that is wrong with the collector.
func (c Collector) Check() error {
	f := newFaults("collector", c.Name)
	f.require(c.Tracking >= TwoAxis && c.Tracking <= FresnelEastWest, "tracking",
		"is not given; want %s", strings.Join(trackingNames[1:], ", "))
	if c.Tracking == Fixed {
		f.require(c.SlopeDeg >= 0 && c.SlopeDeg <= 90, "slope", "is %g°; want 0 (level) to 90 (upright)", c.SlopeDeg)
		f.require(c.AzimuthDeg >= 0 && c.AzimuthDeg < 360, "azimuth",
			"is %g°; want 0 to 360, from north clockwise (180 south)", c.AzimuthDeg)
		f.require(c.LeastDNIWM2 == 0, "least DNI",
			"is %g W/m²; want none for a fixed collector, which starts on heat", c.LeastDNIWM2)
		f.require(c.DriveWM2 == 0, "drive power", "is %g W/m²; want none for a fixed collector", c.DriveWM2)
	}
	c.checkCoefficients(&f)
	c.checkModifier(&f)
	c.checkRunning(&f)
	return f.err()
}

func (c *Collector) checkCoefficients(f *faults) {
	f.require(c.Eta0b > 0 && c.Eta0b <= 1, "eta0b", "is %g; want more than 0, at most 1", c.Eta0b)
	f.require(c.Kd >= 0 && c.Kd <= 1.5, "Kd", "is %g; want 0 to 1.5", c.Kd)
	for i, a := range [...]float64{c.A1, c.A2, c.A3, c.A4, c.A5, c.A6, c.A7, c.A8} {
		f.require(a >= 0 && a < math.Inf(1), [...]string{"a1", "a2", "a3", "a4", "a5", "a6", "a7", "a8"}[i],
			"is %g; want 0 or more (losses count positive)", a)
	}
	// In still air u' is -3 m/s; a smaller a1 would make a hotter collector lose less.
	f.require(c.A1-3*c.A3 >= 0, "a3", "is %g with a1 %g; want at most a third of a1, or still air would give heat",
		c.A3, c.A1)
	f.require(c.OpticalFallPerK >= 0 && c.OpticalFallPerK < 0.01, "optical fall",
		"is %g per K; want 0 to 0.01", c.OpticalFallPerK)
	r := c.Receiver
	f.require(r.Concentration == 0 || r.Concentration >= 1 && r.Concentration < math.Inf(1), "receiver concentration",
		"is %g; want 1 or more, or 0 for none", r.Concentration)
	f.require(r.FilmWM2K >= 0 && r.FilmWM2K < math.Inf(1), "receiver film", "is %g W/(m² K); want 0 or more", r.FilmWM2K)
	f.require(r.Emissivity >= 0 && r.Emissivity <= 1, "receiver emissivity", "is %g; want 0 to 1", r.Emissivity)
	f.require(c.ApertureShare >= 0 && c.ApertureShare <= 1, "aperture share",
		"is %g; want aperture over gross area, 0 to 1", c.ApertureShare)
}

func (c *Collector) checkModifier(f *faults) {
	checkTable(f, "incidence modifier", c.IAM)
	checkTable(f, "incidence modifier across", c.IAMT)
	forms := 0
	for _, given := range [...]bool{len(c.IAM)+len(c.IAMT) > 0, c.B0 != 0, c.IAMPoly != [2]float64{}} {
		if given {
			forms++
		}
	}
	f.require(forms <= 1, "incidence modifier", "is given in %d forms; want one of table, b0 and polynomial", forms)
	f.require(c.B0 >= 0 && c.B0 < 1, "b0", "is %g; want 0 to 1", c.B0)
	for _, p := range c.IAMPoly {
		f.require(math.Abs(p) < 1, "incidence polynomial", "has a coefficient of %g; want it per degree", p)
	}
	f.require(len(c.IAMT) == 0 || c.Tracking == Fixed || c.fresnel(), "incidence modifier across",
		"is given for %v; want it for fixed and linear Fresnel collectors only", c.Tracking)
	f.require(!c.fresnel() || len(c.IAM) > 0 && len(c.IAMT) > 0, "incidence modifier",
		"has not both tables; want one along and one across, for level mirrors do not face the sun")
	f.require(c.fresnel() || !c.IAMAtIncidence && !c.IAMWithCosine, "incidence modifier",
		"is given in a linear Fresnel collector's way for %v; want that for none but those", c.Tracking)
}

func (c *Collector) checkRunning(f *faults) {
	f.require(c.LeastDNIWM2 >= 0 && c.LeastDNIWM2 < 1000, "least DNI", "is %g W/m²; want 0 to 1000", c.LeastDNIWM2)
	f.require(c.StowWindMS >= 0, "stow wind", "is %g m/s; want more than 0", c.StowWindMS)
	f.require(c.GustFactor == 0 || c.GustFactor >= 1 && c.GustFactor <= 3, "gust factor",
		"is %g; want 1 to 3", c.GustFactor)
	f.require(c.HeatCapacityKJM2K >= 0 && c.HeatCapacityKJM2K < math.Inf(1), "heat capacity",
		"is %g kJ/(m² K); want 0 or more", c.HeatCapacityKJM2K)
	f.require(c.CoolingTimeH > 0 || c.capacityWhM2K() == 0 && c.CoolingTimeH == 0, "cooling time",
		"is %g h; want more than 0, the time constant of receiver and pipes", c.CoolingTimeH)
	f.require(c.DriveWM2 >= 0 && c.DriveWM2 < math.Inf(1), "drive power", "is %g W/m²; want 0 or more", c.DriveWM2)
}

// share is ApertureShare with its default.
func (c *Collector) share() float64 {
	if c.ApertureShare == 0 {
		return 1
	}
	return c.ApertureShare
}

// capacityWhM2K is the heat capacity per m² of aperture.
func (c *Collector) capacityWhM2K() float64 {
	const kJPerWh, jPerWh = 3.6, 3600
	if c.HeatCapacityKJM2K > 0 {
		return c.HeatCapacityKJM2K / kJPerWh
	}
	return c.A5 / c.share() / jPerWh
}

// stowWindMS is the mean wind of the weather above which the collector stows; +Inf for a fixed one.
func (c *Collector) stowWindMS() float64 {
	if !c.Tracks() {
		return math.Inf(1)
	}
	limit := c.StowWindMS
	if limit == 0 {
		limit = DefaultStowWindMS
	}
	return limit / max(1, c.GustFactor)
}
