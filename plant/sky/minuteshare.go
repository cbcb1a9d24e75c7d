package sky

import (
	"fmt"
	"math"
	"time"

	"noonkeep/plant/clock"
)

// sharer shares the light of each step of a source out over its minutes, and puts their means on the finer axis of a year.
type sharer struct {
	y        *Year
	linke    [12]float64
	tilt     [3][]float64 // by step of the source: how its light over the clear sky's rises within it, of its mean
	suns     []Sun        // one a minute
	pressure float64      // bar
	parts    int          // minutes in a step of the source
	join     int          // minutes in a step of the year
	out      [3][]float64
	dark     int // steps of the source with light and no sun
	over     int // with more light than the limits of their sun allow

	// Of the step in hand, by the minute; all 0 while the sun is down.
	light, clear, most [3][]float64
	cosZ, shape, spare []float64
	rays               []ray
	lit                int // minutes with the sun up
}

// ray is the way of a minute's sunlight through the air.
type ray struct{ zenithDeg, airMass, normalWM2 float64 }

func newSharer(fine *Year, linke [12]float64, source, clear Year) *sharer {
	parts := int(source.Axis.Step / time.Minute)
	s := &sharer{y: fine, linke: linke, suns: fine.Suns, parts: parts, join: int(fine.Axis.Step / time.Minute),
		cosZ: make([]float64, parts), shape: make([]float64, parts), spare: make([]float64, parts),
		rays: make([]ray, parts), pressure: AirPressureBarA(fine.Place.ElevationM)}
	if s.join > 1 {
		s.suns = Suns(fine.Place, clock.Axis{Start: fine.Axis.Start, Step: time.Minute, N: source.Axis.N * parts}, fine.LightOffset)
	}
	for q := range s.out {
		s.out[q] = make([]float64, fine.Axis.N)
		s.tilt[q] = tilts(source.part(q), clear.part(q))
		s.light[q], s.clear[q], s.most[q] = make([]float64, parts), make([]float64, parts), make([]float64, parts)
	}
	return s
}

// part is one of the year's three series of light.
func (y *Year) part(q int) []float64 { return [...][]float64{ghi: y.GHI, dni: y.DNI, dhi: y.DHI}[q] }

// Clear-sky indices that say nothing: of less light than a tired sensor shows, and such as twilight makes.
const leastClearWM2, mostIndex = 2, 3

// tilts is the slope of the clear-sky index within each step, per step and of its mean. Straight lines that keep each mean are
// drawn so that no step goes beyond its neighbours' means: van Leer's monotonised central slopes, J. Comput. Phys. 23 (1977)
// 276-299, from memory. A step beside the night has the slope to its one neighbour.
func tilts(v, clear []float64) []float64 {
	index := make([]float64, len(v))
	for i := range v {
		if index[i] = v[i] / clear[i]; !(clear[i] > leastClearWM2 && index[i] < mostIndex) {
			index[i] = math.NaN()
		}
	}
	out := make([]float64, len(v))
	for i, k := range index {
		if !(k > 0) {
			continue
		}
		before, after := math.NaN(), math.NaN()
		if i > 0 {
			before = k - index[i-1]
		}
		if i+1 < len(v) {
			after = index[i+1] - k
		}
		switch {
		case math.IsNaN(before) && math.IsNaN(after):
		case math.IsNaN(before):
			out[i] = after / k
		case math.IsNaN(after):
			out[i] = before / k
		case before*after > 0:
			out[i] = math.Copysign(min(2*math.Abs(before), 2*math.Abs(after), math.Abs(before+after)/2), before) / k
		}
	}
	return out
}

// lean sets the shape of a step's light: the clear sky's, times a line.
func (s *sharer) lean(q, i int) {
	for k, c := range s.clear[q] {
		s.shape[k] = c * max(0, 1+s.tilt[q][i]*((float64(k)+0.5)/float64(s.parts)-0.5))
	}
}

// share puts the light of step i of the source into its parts.
func (s *sharer) share(i int, l Light, cloud *clouds) {
	if l == (Light{}) {
		return
	}
	if s.look(i); s.lit == 0 {
		for q, mean := range [...]float64{ghi: l.GHI, dni: l.DNI, dhi: l.DHI} {
			for k := range s.parts {
				s.light[q][k] = mean
			}
		}
		s.dark++
		s.put(i)
		return
	}
	s.lean(dhi, i)
	over := s.allot(s.light[dhi], l.DHI, s.shape, s.most[dhi])
	if mean := sum(s.clear[dni]) / float64(s.parts); mean > 0 && l.DNI > mean {
		s.clearer(i, l.DNI)
	} else {
		s.lean(dni, i)
		for k, v := range s.clear[dni] {
			s.most[dni][k] = min(s.most[dni][k], v)
		}
	}
	if cloud != nil {
		cloud.pass(s, i)
	}
	over = s.allot(s.light[dni], l.DNI, s.shape, s.most[dni]) || over
	s.lean(ghi, i)
	if l.DNI > 0 || l.DHI > 0 {
		for k := range s.shape {
			s.shape[k] = s.light[dhi][k] + s.light[dni][k]*s.cosZ[k]
		}
	}
	over = s.allot(s.light[ghi], l.GHI, s.shape, s.most[ghi]) || over
	if over {
		s.over++
	}
	s.put(i)
}

// put gives the year the means of the minutes of step i of the source.
func (s *sharer) put(i int) {
	n := s.parts / s.join
	for q := range s.out {
		for k := range n {
			s.out[q][i*n+k] = sum(s.light[q][k*s.join:(k+1)*s.join]) / float64(s.join)
		}
	}
}

// look works out sun, clear sky and limits of each minute of step i of the source.
func (s *sharer) look(i int) {
	s.lit = 0
	from := i * s.parts
	linke := s.month(i)
	for k, sun := range s.suns[from : from+s.parts] {
		s.cosZ[k] = max(0, sun.CosZenith())
		clear, most := Light{}, Light{}
		if s.cosZ[k] > 0 {
			s.lit++
			z := ApparentZenithDeg(sun.ZenithDeg, s.pressure, 10)
			s.rays[k] = ray{z, AirMass(z) * s.pressure / 1.01325, ExtraterrestrialWM2(sun.DistanceAU)}
			clear = s.through(k, linke)
			most = rareAt(s.cosZ[k], s.rays[k].normalWM2)
		}
		s.clear[ghi][k], s.clear[dni][k], s.clear[dhi][k] = clear.GHI, clear.DNI, clear.DHI
		s.most[ghi][k], s.most[dni][k], s.most[dhi][k] = most.GHI, most.DNI, most.DHI
	}
}

// month is the turbidity of step i of the source.
func (s *sharer) month(i int) float64 { return s.linke[s.y.Axis.At(i*s.parts/s.join).Month()-1] }

// through is the clear sky's light of minute k: [ClearSkyAt].
func (s *sharer) through(k int, linke float64) Light {
	r := s.rays[k]
	return Air{ElevationM: s.y.Place.ElevationM, Linke: linke}.ClearSky(r.zenithDeg, r.airMass, r.normalWM2)
}

// clearer sets the shape of the beam of a step that has more of it than the month's clear sky: that of the clearer air through
// which it would come. Most are at the ends of the day, where so the beam neither leaps nor falls within minutes.
func (s *sharer) clearer(i int, dniWM2 float64) {
	const halvings = 7 // to some 0.02 of turbidity: only the course counts, not the height
	low, high := leastLinke, s.month(i)
	for range halvings {
		mid := (low + high) / 2
		for k := range s.shape {
			s.shape[k] = 0
			if s.cosZ[k] > 0 {
				s.shape[k] = s.through(k, mid).DNI
			}
		}
		if sum(s.shape) > dniWM2*float64(s.parts) {
			low = mid
		} else {
			high = mid
		}
	}
}

func sum(v []float64) float64 {
	total := 0.
	for _, x := range v {
		total += x
	}
	return total
}

// rareAt is the second half of [LimitsAt] with one power in place of three: the highest light that is not extremely rare.
func rareAt(mu, normalWM2 float64) Light {
	mu02 := math.Pow(mu, 0.2)
	mu12 := mu * mu02
	return Light{GHI: 1.2*normalWM2*mu12 + 50, DNI: 0.95*normalWM2*mu02 + 10, DHI: 0.75*normalWM2*mu12 + 30}
}

// allot gives out values in the proportions of shape, none above most, so that their mean is the one wanted. What the shape
// cannot take fills the room under the limits evenly; if the limits together are too low, all stand over them by one
// share, and over is true.
func (s *sharer) allot(out []float64, mean float64, shape, most []float64) (over bool) {
	want, room := mean*float64(len(out)), 0.
	for k := range out {
		out[k] = 0
		room += most[k]
	}
	if want == 0 {
		return false
	}
	if room <= want {
		for k := range out {
			out[k] = most[k] * (want / room)
		}
		settle(out, want, nil)
		return room < want
	}
	left := fill(out, want, shape, most)
	if left > 0 { // the shape is all at its limits, or nothing: the rest goes evenly into the room
		room = 0
		for k := range out {
			s.spare[k] = most[k] - out[k]
			room += s.spare[k]
		}
		for k := range out {
			out[k] += s.spare[k] * min(1, left/room)
		}
	}
	settle(out, want, most)
	return false
}

// fill sets out to the multiple of shape, cut at most, whose sum is want, and returns what the shape cannot take.
func fill(out []float64, want float64, shape, most []float64) (left float64) {
	for {
		free, held := 0., 0.
		for k := range out {
			if out[k] < most[k] {
				free += shape[k]
			} else {
				held += most[k]
			}
		}
		if !(free > 0) {
			return want - held
		}
		scale, more := (want-held)/free, false
		for k := range out {
			if out[k] >= most[k] {
				continue
			}
			if v := shape[k] * scale; v >= most[k] {
				out[k], more = most[k], true
			}
		}
		if more {
			continue
		}
		for k := range out {
			if out[k] < most[k] {
				out[k] = shape[k] * scale
			}
		}
		return 0
	}
}

// settle takes away what rounding has left of the sum, where there is most room for it.
func settle(out []float64, want float64, most []float64) {
	for range 3 {
		sum, at, best := 0., 0, math.Inf(-1)
		for k, v := range out {
			sum += v
			room := v
			if most != nil {
				room = min(v, most[k]-v)
			}
			if room > best {
				at, best = k, room
			}
		}
		if sum == want {
			return
		}
		out[at] = max(0, out[at]+want-sum)
	}
}

// say tells in the year's notes what was done.
func (s *sharer) say(y *Year, source time.Duration, cloud *clouds) {
	what := fmt.Sprintf("each %s of light is spread over %d steps of %s", sayStep(source), s.parts/s.join, sayStep(y.Axis.Step))
	if cloud == nil {
		y.note(0, "%s along the clear sky's course; its energy is kept, no cloud comes or goes within it", what)
	} else {
		y.note(0, "%s, its beam %s; its energy is kept, and none of these minutes was measured", what, cloud.say())
	}
	if s.dark > 0 {
		y.note(0, "steps of the source with light while the sun is down all the time: %d, left as they are", s.dark)
	}
	if s.over > 0 {
		y.note(0, "steps of the source with more light than the quality limits (Long and Dutton 2002) allow while their sun is up: %d, their energy kept, over the limits", s.over)
	}
	if y.LightOffset != 0 {
		y.note(0, "the light stands %s from the middle of its step, and the sun of each minute with it", minutes(y.LightOffset))
	}
}
