package sky

import (
	"errors"
	"fmt"
	"math"
	"time"
)

// Place is a point on the ground and the offset of its local standard time.
type Place struct {
	LatDeg     float64       // north positive, -90 to 90
	LonDeg     float64       // east positive, -180 to 180
	ElevationM float64       // above sea level, -450 to 6000
	UTCOffset  time.Duration // what local standard time is ahead of UTC
}

// The lowest dry land is the Dead Sea's shore, about 430 m below the sea; the highest towns stand near 5100 m.
const (
	lowestM, highestM = -450., 6000.
	// The clock of western China is 3.1 h off its sun, the largest there is; more is a wrong sign or zone.
	widestZoneH = 4.
)

// Check reports every fault of the place: a coordinate out of its range, or a UTC offset that the longitude cannot have.
func (p Place) Check() error {
	var faults []error
	require := func(ok bool, format string, a ...any) {
		if !ok {
			faults = append(faults, fmt.Errorf(format, a...))
		}
	}
	require(math.Abs(p.LatDeg) <= 90, "latitude: is %g; want -90 to 90 deg, north positive", p.LatDeg)
	require(math.Abs(p.LonDeg) <= 180, "longitude: is %g; want -180 to 180 deg, east positive", p.LonDeg)
	require(p.ElevationM >= lowestM && p.ElevationM <= highestM,
		"elevation: is %g; want %g to %g m", p.ElevationM, lowestM, highestM)
	sunH := p.LonDeg / 15
	offH := math.Remainder(p.UTCOffset.Hours()-sunH, 24)
	require(!(math.Abs(offH) > widestZoneH),
		"UTC offset: is %+.4g h at longitude %g; want about %+.0f h (is the sign of the longitude right? east is positive)",
		p.UTCOffset.Hours(), p.LonDeg, math.Round(sunH))
	return errors.Join(faults...)
}

// distanceKM is the great-circle distance on a sphere of 6371 km.
func (p Place) distanceKM(q Place) float64 {
	sinLat := math.Sin(rad(p.LatDeg-q.LatDeg) / 2)
	sinLon := math.Sin(rad(p.LonDeg-q.LonDeg) / 2)
	h := sinLat*sinLat + math.Cos(rad(p.LatDeg))*math.Cos(rad(q.LatDeg))*sinLon*sinLon
	return 2 * 6371 * math.Asin(math.Sqrt(math.Min(1, h)))
}

// AirPressureBarA is the standard atmosphere's pressure at a height above the sea, bar(a).
// It holds to 11 km; weather moves the true value by a few per cent.
func AirPressureBarA(elevationM float64) float64 {
	// US Standard Atmosphere 1976 in the form of the ASHRAE Handbook, Fundamentals; checks-sun.md 2.1
	return 1.01325 * math.Pow(1-2.25577e-5*elevationM, 5.25588)
}

func rad(deg float64) float64 { return deg * (math.Pi / 180) }
func deg(rad float64) float64 { return rad * (180 / math.Pi) }
