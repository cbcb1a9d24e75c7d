package worth

import (
	"fmt"
	"math"
)

// Size is one size that may be chosen, with what it earns. Times are +Inf and rates NaN where there is none.
type Size struct {
	M3       float64
	NPV      float64
	IRR      float64
	PaybackA float64 // undiscounted, for good
	// UnsureNPV is how much more or less NPV may be for want of certainty in what is saved there; 0 for a size that was solved.
	UnsureNPV float64
	NextWorth float64 // the most that one more m³ may cost and still pay; NaN where it is not known
	NextPrice float64 // what it costs
}

// By is a way to choose.
type By int

// The ways to choose. ByRate is ByNPV at a discount of the rate that is asked for: up to there each further m³ earns it.
const (
	ByNPV By = iota
	ByPayback
	ByRate
	Largest // that pays back within so many years
)

// Choice is a size among many. At is its place, -1 where none will do, and why says so.
type Choice struct {
	At     int
	Why    string
	AtEdge bool // the best lies at the largest size: a larger one may be better
	// From and To are the sizes that are as good: within 1 % of the best, or what the certainty of the curve cannot tell apart.
	From, To float64
	Within   float64 // how far below the best they may lie: NPV, or years of payback
	Unsure   bool    // Within is what certainty leaves open, more than 1 %
}

// nearFrac is what is as good as the best.
const nearFrac = 0.01

// Pick chooses among sizes, the volumes rising; a first of 0 m³ stands for no store, whose NPV is nothing. Years is for Largest.
func Pick(sizes []Size, by By, years float64) Choice {
	switch by {
	case ByPayback:
		return pickPayback(sizes)
	case Largest:
		return pickLargest(sizes, years)
	}
	return pickNPV(sizes)
}

func pickNPV(sizes []Size) Choice {
	best := 0
	for i, s := range sizes {
		if s.NPV > sizes[best].NPV {
			best = i
		}
	}
	top := sizes[best]
	if top.M3 == 0 || !(top.NPV > 0) {
		return Choice{At: -1, Why: "no size earns more than it costs"}
	}
	c := Choice{At: best, AtEdge: best == len(sizes)-1, Within: nearFrac * top.NPV}
	near := func(s Size) bool { return s.M3 > 0 && s.NPV+s.UnsureNPV >= top.NPV-c.Within-top.UnsureNPV }
	for _, s := range sizes {
		if s.UnsureNPV > c.Within && near(s) {
			c.Unsure = true
		}
	}
	c.From, c.To = ends(sizes, best, near)
	return c
}

func pickPayback(sizes []Size) Choice {
	best := -1
	for i, s := range sizes {
		if s.M3 > 0 && !math.IsInf(s.PaybackA, 1) && (best < 0 || s.PaybackA < sizes[best].PaybackA) {
			best = i
		}
	}
	if best < 0 {
		return Choice{At: -1, Why: "no size pays back within the life"}
	}
	top := sizes[best]
	c := Choice{At: best, AtEdge: best == len(sizes)-1, Within: nearFrac * top.PaybackA}
	c.From, c.To = ends(sizes, best, func(s Size) bool { return s.M3 > 0 && s.PaybackA <= top.PaybackA+c.Within })
	return c
}

func pickLargest(sizes []Size, years float64) Choice {
	for i := len(sizes) - 1; i >= 0; i-- {
		if s := sizes[i]; s.M3 > 0 && s.PaybackA <= years {
			return Choice{At: i, AtEdge: i == len(sizes)-1, From: s.M3, To: s.M3}
		}
	}
	return Choice{At: -1, Why: fmt.Sprintf("no size pays back within %g years", years)}
}

// ends are the sizes about the best, without a gap, that are near.
func ends(sizes []Size, best int, near func(Size) bool) (from, to float64) {
	i, j := best, best
	for i > 0 && near(sizes[i-1]) {
		i--
	}
	for j < len(sizes)-1 && near(sizes[j+1]) {
		j++
	}
	return sizes[i].M3, sizes[j].M3
}
