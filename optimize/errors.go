package optimize

import (
	"fmt"
	"time"
)

// NoPlan says that a header's heat cannot be had although none may be missing there.
type NoPlan struct {
	Header   string
	Hours    float64   // in which heat is missing
	WorstKW  float64   // the most that is missing
	At       time.Time // when that is
	TotalKWh float64
	Moves    string // the header's work that may be moved, and was: "bath" and "kier"; empty if there is none
}

func (e *NoPlan) Error() string {
	moved := ""
	if e.Moves != "" {
		moved = ", with " + e.Moves + " moved as well as can be"
	}
	return fmt.Sprintf("header %q: %.4g h short of heat, %.4g kWh in all, worst %.4g kW on %s%s; raise boiler capacity or allow unmet heat",
		e.Header, e.Hours, e.TotalKWh, e.WorstKW, e.At.Format("2 Jan 15:04"), moved)
}

// NeedsClp says that a problem is one for Clp, and that Clp is not to be had: it is not in a program built
// Without cgo, or the steps are too many for it.
type NeedsClp struct {
	Why   string // why no other engine will do
	Steps int    // where they are too many, else 0
}

func (e *NeedsClp) Error() string {
	if e.Steps > 0 {
		return fmt.Sprintf("engine clp: is wanted (%s), but %d steps are more than the %d that it does in seconds; "+
			"take longer steps or, for a plant of one store and one header, the engine onestore", e.Why, e.Steps, mostClpSteps)
	}
	return fmt.Sprintf("engine clp: is not in this program, and is needed: %s; build with a C compiler and Clp (coinor-libclp-dev)", e.Why)
}

// Unproven says that an answer failed its proof, so that its numbers are withheld.
type Unproven struct {
	VolumeM3 float64 // of the first store; 0 if there is none
	What     string  // what failed: "duality gap", "primal residual", "dual residual" or the engine's words
	Saw      float64
	Limit    float64
	Where    string // the worst row, if it is one
}

func (e *Unproven) Error() string {
	where := ""
	if e.Where != "" {
		where = " at " + e.Where
	}
	if e.Limit == 0 {
		return fmt.Sprintf("%.4g m³: %s, so there is no number; write the problem out with `noonkeep export`", e.VolumeM3, e.What)
	}
	return fmt.Sprintf("%.4g m³: %s %.1e%s exceeds %.0e, so the number is withheld; write the problem out with `noonkeep export`",
		e.VolumeM3, e.What, e.Saw, where, e.Limit)
}
