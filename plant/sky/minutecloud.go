package sky

import (
	"fmt"
	"math"
	"sort"

	"noonkeep/plant/clock"
)

// Minutes is [SmoothMinutes] with clouds that come and go within each step of the source: what a plant meets that was planned in
// hourly means. The same seed gives the same minutes.
//
// When the sun is covered: clouds and the gaps between them pass one after the other, the length of each from a power law
// with exponent 1.66 between 0.1 and 1500 km (Wood and Field, J. Climate 24 (2011) 4800-4816), as Bright, Smith, Taylor and
// Crook, Solar Energy 115 (2015) 229-242, make their minutes; of many stretches of that row one is taken that leaves the sun
// open as long as the step's beam stands to the clear sky's. They pass at twice the wind that the year has near the ground, at
// 4 to 30 m/s (common practice for the height of low clouds, no source).
//
// How much a cloud takes: so much that global light over the clear sky's spreads within the step by
//
//	σ = 0.87 k² (1 - k) + 0.39 √k σ₃
//
// with k the step's mean of that ratio and σ₃ the root mean square of its differences to the steps before and after
// (Skartveit and Olseth, Solar Energy 49 (1992) 477-487: from memory, the paper could not be read; the one real broken hour at hand
// does not speak against it, see TestRealBrokenHour, and proves no more). It is cut where the beam would fall below 0 or rise over
// the clear sky's.
//
// Not here: σ's own spread from hour to hour; diffuse light that changes as a cloud passes, so that global light at clouds'
// edges exceeds the clear sky's less often than it does; haze told from cloud. Where such minutes matter most, take measured ones:
// [Read] takes BSRN and plain CSV by the minute.
func Minutes(y Year, axis clock.Axis, seed uint64) (Year, error) {
	return minutesOf(y, axis, newClouds(seed))
}

const (
	cloudExponent            = 1.66
	leastCloudM, mostCloudM  = 100., 1500e3
	cloudsInRow              = 20000 // and as many gaps
	cloudOverWind            = 2.
	slowestMS, fastestMS     = 4., 30.
	stretchTries             = 64
	stretchNear              = 0.02 // of the time: as near as the open part of a stretch must come
	streamClouds             = 31
	leastBeamFrac, clearFrac = 1e-3, 1 - 1e-3 // of the clear beam, between which clouds come and go
)

// clouds is a long row of clouds and gaps, and what they do to the steps of a year.
type clouds struct {
	seed  uint64
	dice  *dice
	ends  []int64 // m: where each ends, clouds first, gaps and clouds by turns
	at    int64   // STATE: m, where the last stretch ended
	steps []cloudStep
	open  []float64 // by minute of the step in hand: the part with the sun open
	best  []float64
}

// cloudStep is what a step of the source asks for.
type cloudStep struct {
	beamFrac  float64 // its beam over the clear sky's
	spreadWM2 float64 // standard deviation of its global light about the clear sky's course
	mMin      int64   // what clouds go in a minute, m
}

// newClouds draws the row. Lengths are whole metres, so that no rounding of the last digit moves a cloud.
func newClouds(seed uint64) *clouds {
	c := &clouds{seed: seed, dice: newDice(seed, streamClouds)}
	// The inverse of a power law's distribution between two ends.
	const power = 1 - cloudExponent
	most, least := math.Pow(mostCloudM, power), math.Pow(leastCloudM, power)
	end := int64(0)
	for range 2 * cloudsInRow {
		end += int64(math.Round(math.Pow(most+(least-most)*c.dice.uniform(), 1/power)))
		c.ends = append(c.ends, end)
	}
	return c
}

// plan works out what each step of the source asks for.
func (c *clouds) plan(y, clear Year) {
	k := make([]float64, y.Axis.N)
	for i := range k {
		k[i] = math.NaN() // no sun
		if clear.GHI[i] > 0 {
			k[i] = min(1, y.GHI[i]/clear.GHI[i])
		}
	}
	c.steps = make([]cloudStep, y.Axis.N)
	for i := range c.steps {
		s := &c.steps[i]
		speed := max(slowestMS, min(fastestMS, cloudOverWind*y.WindMS[i]))
		s.mMin = int64(math.Round(60 * speed))
		if clear.DNI[i] > 0 {
			s.beamFrac = y.DNI[i] / clear.DNI[i]
			s.spreadWM2 = clear.GHI[i] * spreadWithin(k[i], differs(k, i))
		}
	}
}

// spreadWithin is the standard deviation of the clear-sky index within an hour: Skartveit and Olseth 1992, from memory.
func spreadWithin(k, sigma3 float64) float64 {
	return 0.87*k*k*(1-k) + 0.39*math.Sqrt(k)*sigma3
}

// differs is σ₃, of the neighbours that have sun: Skartveit, Olseth and Tuft, Solar Energy 63 (1998) 173-183, from memory.
func differs(k []float64, i int) float64 {
	sum, n := 0., 0.
	for _, j := range [...]int{i - 1, i + 1} {
		if j >= 0 && j < len(k) && !math.IsNaN(k[j]) {
			sum += (k[i] - k[j]) * (k[i] - k[j])
			n++
		}
	}
	if n == 0 {
		return 0
	}
	return math.Sqrt(sum / n)
}

// pass changes the shape of the beam in step i, which is the clear sky's, to what clouds leave of it.
func (c *clouds) pass(s *sharer, i int) {
	step := &c.steps[i]
	f := step.beamFrac
	if f < leastBeamFrac || f > clearFrac {
		return
	}
	c.stretch(s, step)
	// The part of the sun that was open, weighted with the clear beam, and how far the light on the ground would spread if
	// clouds took all of it.
	weights, mean := 0., 0.
	for k, w := range s.shape {
		weights += w
		mean += w * c.open[k]
	}
	if !(weights > 0) {
		return
	}
	mean /= weights
	if mean < leastBeamFrac || mean > clearFrac {
		return
	}
	square := 0.
	for k, w := range s.shape {
		d := w * s.cosZ[k] * (c.open[k] - mean)
		square += d * d
	}
	full := math.Sqrt(square / float64(s.lit))
	if !(full > 0) {
		return
	}
	// What a cloud takes, of the clear beam: no more than leaves the beam between 0 and the clear sky's.
	depth := min(step.spreadWM2/full, f/mean, (1-f)/(1-mean))
	for k := range s.shape {
		s.shape[k] *= max(0, f+depth*(c.open[k]-mean))
	}
}

// stretch looks for a piece of the row that is open as long as the step's beam asks for: the one that follows the last step's,
// else the first of many, or the nearest of them.
func (c *clouds) stretch(s *sharer, step *cloudStep) {
	if len(c.open) != s.parts {
		c.open, c.best = make([]float64, s.parts), make([]float64, s.parts)
	}
	whole := c.ends[len(c.ends)-1]
	length := step.mMin * int64(s.parts)
	off, at, bestAt := math.Inf(1), c.at, int64(0)
	for try := range stretchTries {
		if try > 0 || at+length > whole {
			at = int64(c.dice.uniform() * float64(whole-length))
		}
		c.look(at, step.mMin)
		lit, open := 0., 0.
		for k, w := range s.shape {
			lit += w
			open += w * c.open[k]
		}
		d := math.Abs(open/lit - step.beamFrac)
		if part := open / lit; part < leastBeamFrac || part > clearFrac {
			d++ // no cloud, or no gap, would leave the step still
		}
		if d < off {
			off, bestAt = d, at
			copy(c.best, c.open)
		}
		if !(off > stretchNear) {
			break
		}
	}
	copy(c.open, c.best)
	c.at = bestAt + length
}

// look gives the open part of each minute from a place of the row on.
func (c *clouds) look(at, mMin int64) {
	n := sort.Search(len(c.ends), func(n int) bool { return c.ends[n] > at })
	for k := range c.open {
		open, till := int64(0), at+mMin
		for at < till {
			next := min(till, c.ends[n])
			if n%2 == 1 {
				open += next - at
			}
			if at = next; at == c.ends[n] && n < len(c.ends)-1 {
				n++
			} else if at == c.ends[n] {
				at = till
			}
		}
		c.open[k] = float64(open) / float64(mMin)
	}
}

func (c *clouds) say() string {
	return fmt.Sprintf("cut by passing clouds (Bright et al. 2015; their spread after Skartveit and Olseth 1992; seed %d)", c.seed)
}
