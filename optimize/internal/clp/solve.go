//go:build cgo

package clp

/*
#include <stdlib.h>
#include <stdbool.h>
#include "Clp_C_Interface.h"
*/
import "C"

import "fmt"

// Status is how a solve ended. Only Optimal comes with an answer, and even that is Clp's word, not a
// proof: see Model.Secondary.
type Status int

const (
	Optimal    Status = 0 // no column can better the cost, within Clp's tolerances
	Infeasible Status = 1 // no plan satisfies all rows and bounds
	Unbounded  Status = 2 // the cost can be lowered without end
	LimitHit   Status = 3 // the limit on iterations or time was hit
	Failed     Status = 4 // Clp gave up for numerical reasons
	Stopped    Status = 5 // Stop was called
)

// String is one sentence for people.
func (s Status) String() string {
	switch s {
	case Optimal:
		return "the program is solved"
	case Infeasible:
		return "no plan satisfies all rows and bounds"
	case Unbounded:
		return "the cost can be lowered without end"
	case LimitHit:
		return "the limit on iterations was hit before the end"
	case Failed:
		return "Clp gave up for numerical reasons"
	case Stopped:
		return "the solve was stopped from outside"
	}
	return fmt.Sprintf("Clp ended with the unknown status %d", int(s))
}

// Secondary is Clp's footnote to a status.
type Secondary int

// String is one sentence for people, and empty when there is no footnote.
func (s Secondary) String() string {
	switch s {
	case 0:
		return ""
	case 1:
		return "the dual limit was reached"
	case 2:
		return "only the scaled program is solved: some unscaled rows or bounds are broken"
	case 3:
		return "only the scaled program is solved: some unscaled reduced costs have the wrong sign"
	case 4:
		return "only the scaled program is solved: unscaled rows and reduced costs are broken"
	}
	return fmt.Sprintf("Clp's footnote %d", int(s))
}

// Method is how a solve from scratch goes about it.
type Method int

const (
	ByDual       Method = 0
	ByPrimal     Method = 1
	ByBarrier    Method = 3 // ends in a basis by crossover
	ByBarrierRaw Method = 4 // without crossover: no basis, and values in the middle of ties
)

// Fresh solves from scratch, with or without presolve. Stop is noticed after presolve, which takes a
// fifth of the whole.
func (m *Model) Fresh(how Method, presolve bool) Status {
	opt := C.ClpSolve_new()
	defer C.ClpSolve_delete(opt)
	C.ClpSolve_setSolveType(opt, C.int(how), -1)
	amount := C.int(1)
	if presolve {
		amount = 0
	}
	C.ClpSolve_setPresolveType(opt, amount, -1)
	C.Clp_initialSolveWithOptions(m.ptr, opt)
	return m.Status()
}

// Dual solves from the present basis by the dual simplex method.
func (m *Model) Dual() Status {
	C.Clp_dual(m.ptr, 0)
	return m.Status()
}

// Primal solves from the present basis by the primal simplex method.
func (m *Model) Primal() Status {
	C.Clp_primal(m.ptr, 0)
	return m.Status()
}

// Status and Secondary say how the last solve ended.
func (m *Model) Status() Status       { return Status(C.Clp_status(m.ptr)) }
func (m *Model) Secondary() Secondary { return Secondary(C.Clp_secondaryStatus(m.ptr)) }

// Iterations is how many the last solve took.
func (m *Model) Iterations() int { return int(C.Clp_numberIterations(m.ptr)) }

// SetMaxIterations limits a solve; it then ends with LimitHit and keeps its basis.
func (m *Model) SetMaxIterations(n int) { C.Clp_setMaximumIterations(m.ptr, C.int(n)) }

// SetTolerances sets how far rows and reduced costs may be off; Clp starts with 1e-7 for both.
func (m *Model) SetTolerances(primal, dual float64) {
	C.Clp_setPrimalTolerance(m.ptr, C.double(primal))
	C.Clp_setDualTolerance(m.ptr, C.double(dual))
}

// SetScaling chooses Clp's scaling: 0 off, 1 equilibrium, 2 geometric, 3 automatic (Clp's own choice).
func (m *Model) SetScaling(mode int) { C.Clp_scaling(m.ptr, C.int(mode)) }

// SetPerturbation chooses how Clp breaks ties: 50 on, 100 automatic (Clp's own choice), 102 off.
func (m *Model) SetPerturbation(mode int) { C.Clp_setPerturbation(m.ptr, C.int(mode)) }

// Objective is the cost at the last solve, with Clp's offset.
func (m *Model) Objective() float64 { return float64(C.Clp_objectiveValue(m.ptr)) }

// Solution, ReducedCosts (a column each), RowActivity and Duals (a row each) show Clp's own memory:
// copy what must outlive the next solve. A reduced cost is cost - duals·column.
func (m *Model) Solution() []float64     { return view(C.Clp_primalColumnSolution(m.ptr), m.cols) }
func (m *Model) ReducedCosts() []float64 { return view(C.Clp_dualColumnSolution(m.ptr), m.cols) }
func (m *Model) RowActivity() []float64  { return view(C.Clp_primalRowSolution(m.ptr), m.rows) }
func (m *Model) Duals() []float64        { return view(C.Clp_dualRowSolution(m.ptr), m.rows) }
