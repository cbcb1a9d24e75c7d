package plant

import (
	"fmt"
	"math"
	"strings"
)

// Tracking says how a collector follows the sun. The zero value is invalid.
type Tracking int

const (
	TwoAxis        Tracking = iota + 1 // the aperture always faces the sun
	AxisNorthSouth                     // turns about a horizontal north-south axis, morning east, evening west
	AxisEastWest                       // turns about a horizontal east-west axis
	Fixed                              // stands at SlopeDeg and AzimuthDeg
	// Linear Fresnel: level mirrors turn one by one about level axes and shine on a receiver above them. The aperture is
	// the level field of mirrors, which never faces the sun. See Collector.IAMT.
	FresnelNorthSouth
	FresnelEastWest
)

var trackingNames = [...]string{"", "two-axis", "north-south axis", "east-west axis", "fixed", "fresnel north-south axis", "fresnel east-west axis"}

// String gives the words that ParseTracking reads.
func (t Tracking) String() string {
	if t < TwoAxis || t > FresnelEastWest {
		return fmt.Sprintf("tracking %d", int(t))
	}
	return trackingNames[t]
}

// ParseTracking reads "two-axis", "north-south axis", "east-west axis", "fixed", "fresnel north-south axis" or
// "fresnel east-west axis" (the word axis may be left out).
func ParseTracking(s string) (Tracking, error) {
	word := strings.ToLower(strings.Join(strings.Fields(s), " "))
	for t := TwoAxis; t <= FresnelEastWest; t++ {
		if name := t.String(); word == name || word+" axis" == name {
			return t, nil
		}
	}
	return 0, fmt.Errorf("tracking: is %q; want %s", s, strings.Join(trackingNames[1:], ", "))
}

// Incidence is how the beam meets the aperture. Angles in degrees.
type Incidence struct {
	Cos      float64 // of the angle between beam and the aperture's normal; 0 when the sun is behind or down
	ThetaDeg float64 // that angle, 90 when Cos is 0
	// The angle seen along the collector's length (the axis of a one-axis tracker, up the slope of a fixed one) and
	// the angle seen across it: tan²θ = tan²long + tan²trans.
	LongDeg, TransDeg float64
	// RotationDeg turns a one-axis tracker from the horizontal: to the east positive for a north-south axis, to the
	// south positive for an east-west one. 0 for the others.
	RotationDeg float64
	SlopeDeg    float64 // of the aperture above the horizontal
}

// Aim turns a collector towards the sun at the given true zenith angle and azimuth (from north, clockwise).
// Only the tracking, and for a fixed collector its slope and azimuth, are looked at.
func (c Collector) Aim(zenithDeg, azimuthDeg float64) Incidence {
	s := rayTo(zenithDeg, azimuthDeg)
	m := mountOf(&c)
	cos, slopeCos := m.meet(s)
	in := Incidence{Cos: cos, ThetaDeg: degrees(math.Acos(cos)), SlopeDeg: degrees(math.Acos(slopeCos))}
	switch c.Tracking {
	case AxisNorthSouth:
		in.RotationDeg = degrees(math.Atan2(s.east, s.up))
		in.LongDeg = in.ThetaDeg
	case AxisEastWest:
		in.RotationDeg = degrees(math.Atan2(-s.north, s.up))
		in.LongDeg = in.ThetaDeg
	case Fixed, FresnelNorthSouth, FresnelEastWest:
		in.LongDeg, in.TransDeg = m.planes(s, cos)
	}
	return in
}

// ray is a unit vector in the local horizontal frame; towards the sun, up is cos zenith.
type ray struct{ east, north, up float64 }

func rayTo(zenithDeg, azimuthDeg float64) ray {
	sinZ, cosZ := math.Sincos(radians(zenithDeg))
	sinA, cosA := math.Sincos(radians(azimuthDeg))
	return ray{sinZ * sinA, sinZ * cosA, cosZ}
}

func (a ray) dot(b ray) float64 { return a.east*b.east + a.north*b.north + a.up*b.up }

// mount is a collector's tracking with the directions of a fixed one worked out once.
type mount struct {
	tracking          Tracking
	atIncidence       bool // the angle along is the beam's own, not its projection's; see Collector.IAMAtIncidence
	normal, up, cross ray  // of a fixed or level aperture: its normal, along it (up the slope), across it
}

func mountOf(c *Collector) mount {
	m := mount{tracking: c.Tracking, atIncidence: c.IAMAtIncidence}
	switch c.Tracking {
	case FresnelNorthSouth:
		m.normal, m.up, m.cross = ray{up: 1}, ray{north: 1}, ray{east: 1}
		return m
	case FresnelEastWest:
		m.normal, m.up, m.cross = ray{up: 1}, ray{east: 1}, ray{north: 1}
		return m
	case Fixed:
	default:
		return m
	}
	sinB, cosB := math.Sincos(radians(c.SlopeDeg))
	sinG, cosG := math.Sincos(radians(c.AzimuthDeg))
	m.normal = ray{sinB * sinG, sinB * cosG, cosB}
	m.up = ray{-cosB * sinG, -cosB * cosG, sinB}
	m.cross = ray{cosG, -sinG, 0}
	return m
}

// meet gives the cosine of the incidence angle (0 with the sun behind or down) and that of the aperture's slope.
func (m *mount) meet(s ray) (cos, slopeCos float64) {
	switch m.tracking {
	case TwoAxis:
		cos, slopeCos = 1, s.up
	case AxisNorthSouth:
		// Duffie & Beckman eq. 1.7.4 in vector form: the part of the beam square to the axis.
		cos = math.Sqrt(s.up*s.up + s.east*s.east)
		slopeCos = s.up / cos
	case AxisEastWest:
		// Duffie & Beckman eq. 1.7.2, likewise.
		cos = math.Sqrt(s.up*s.up + s.north*s.north)
		slopeCos = s.up / cos
	case Fixed, FresnelNorthSouth, FresnelEastWest:
		// Duffie & Beckman eq. 1.6.3: the beam on the normal.
		cos, slopeCos = m.normal.dot(s), m.normal.up
	}
	if s.up <= 0 || !(cos > 0) {
		return 0, max(0, slopeCos)
	}
	return min(cos, 1), max(0, slopeCos)
}

// planes gives the angles of incidence along and across a fixed or level aperture.
func (m *mount) planes(s ray, cos float64) (longDeg, transDeg float64) {
	if m.atIncidence {
		along := min(1, math.Abs(m.up.dot(s)))
		return degrees(math.Asin(along)), degrees(math.Atan2(math.Abs(m.cross.dot(s)), cos))
	}
	return degrees(math.Atan2(math.Abs(m.up.dot(s)), cos)), degrees(math.Atan2(math.Abs(m.cross.dot(s)), cos))
}

func radians(deg float64) float64 { return deg * (math.Pi / 180) }
func degrees(rad float64) float64 { return rad * (180 / math.Pi) }
