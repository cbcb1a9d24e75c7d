//go:build cgo

// Package clp is a thin binding of Clp, a linear-program solver (COIN-OR, version 1.17), through
// its C interface.
//
// A Model holds one linear program: minimise cost·x with every row between its bounds and every
// column between its own. Load it once, change bounds, costs and coefficients in place, and solve again
// from the basis that the last solve left: [Model.Dual] does so in a few hundredths of a second where
// the first solve takes tenths.
//
// One goroutine at a time may use a Model, except that [Model.Stop] may be called from any. Close it
// when done: there is no finalizer. Not here: integer columns, quadratic costs, callbacks, reading MPS.
package clp

/*
#cgo pkg-config: clp
#include <stdlib.h>
#include <stdbool.h>
#include "Clp_C_Interface.h"
#include "stop.h"
*/
import "C"

import (
	"fmt"
	"sync/atomic"
	"unsafe"
)

// Columns is a linear program stored by columns: column j has the elements Start[j] to Start[j+1]-1.
type Columns struct {
	Rows         int
	Start        []int32 // one more than there are columns
	Index        []int32 // row of each element
	Value        []float64
	Lower, Upper []float64 // of the columns
	Cost         []float64
	RowLower     []float64
	RowUpper     []float64
}

// Model is one linear program inside Clp.
type Model struct {
	ptr        unsafe.Pointer
	stop       *int32 // in C memory: Clp reads it while it solves
	rows, cols int
	elements   int
}

// Version is that of the Clp library in use.
func Version() string { return C.GoString(C.Clp_Version()) }

// New makes an empty model that prints nothing.
func New() *Model {
	m := &Model{ptr: C.Clp_newModel(), stop: (*int32)(C.calloc(1, 4))}
	C.Clp_setLogLevel(m.ptr, 0)
	C.noonkeep_watch(m.ptr, (*C.int)(unsafe.Pointer(m.stop)))
	return m
}

// Close frees the model. It may be called twice.
func (m *Model) Close() {
	if m.ptr == nil {
		return
	}
	C.Clp_deleteModel(m.ptr)
	C.free(unsafe.Pointer(m.stop))
	m.ptr, m.stop = nil, nil
}

// Load replaces the program. Elements of exactly 0 are dropped by Clp and cannot be changed later.
func (m *Model) Load(c Columns) error {
	cols := len(c.Cost)
	switch {
	case len(c.Start) != cols+1 || len(c.Lower) != cols || len(c.Upper) != cols:
		return fmt.Errorf("clp: load: %d costs, %d starts, %d lower, %d upper bounds; want one each, and one more start",
			cols, len(c.Start), len(c.Lower), len(c.Upper))
	case len(c.RowLower) != c.Rows || len(c.RowUpper) != c.Rows:
		return fmt.Errorf("clp: load: %d rows, %d lower, %d upper bounds; want one each", c.Rows, len(c.RowLower), len(c.RowUpper))
	case len(c.Index) != len(c.Value) || int(c.Start[cols]) != len(c.Value):
		return fmt.Errorf("clp: load: %d indices, %d values, last start %d; want the same", len(c.Index), len(c.Value), c.Start[cols])
	}
	C.Clp_loadProblem(m.ptr, C.int(cols), C.int(c.Rows), (*C.CoinBigIndex)(&c.Start[0]), ints(c.Index), doubles(c.Value),
		doubles(c.Lower), doubles(c.Upper), doubles(c.Cost), doubles(c.RowLower), doubles(c.RowUpper))
	m.rows, m.cols, m.elements = c.Rows, cols, len(c.Value)
	return nil
}

// Rows and Cols are the numbers of rows and columns.
func (m *Model) Rows() int { return m.rows }
func (m *Model) Cols() int { return m.cols }

// SetColBounds replaces all column bounds and keeps the basis.
func (m *Model) SetColBounds(lower, upper []float64) {
	want(m.cols, lower, upper)
	C.Clp_chgColumnLower(m.ptr, doubles(lower))
	C.Clp_chgColumnUpper(m.ptr, doubles(upper))
}

// SetRowBounds replaces all row bounds and keeps the basis.
func (m *Model) SetRowBounds(lower, upper []float64) {
	want(m.rows, lower, upper)
	C.Clp_chgRowLower(m.ptr, doubles(lower))
	C.Clp_chgRowUpper(m.ptr, doubles(upper))
}

// SetCosts replaces all costs and keeps the basis.
func (m *Model) SetCosts(cost []float64) {
	want(m.cols, cost)
	C.Clp_chgObjCoefficients(m.ptr, doubles(cost))
}

// SetCoef changes one element of the matrix, which need not be there yet. It searches the column.
func (m *Model) SetCoef(row, col int, value float64) {
	C.Clp_modifyCoefficient(m.ptr, C.int(row), C.int(col), C.double(value), C.bool(true))
}

// Elements is Clp's own array of the loaded values, in the order of Columns.Value, to be written in
// place before bounds are set (setting bounds tells Clp that the program has changed). It is nil if
// Clp dropped an element, so that the order no longer holds; use SetCoef then.
func (m *Model) Elements() []float64 {
	if int(C.Clp_getNumElements(m.ptr)) != m.elements {
		return nil
	}
	return view(C.Clp_getElements(m.ptr), m.elements)
}

// Stop makes the solve under way, and each later one until Resume, end with Stopped. It may be called
// from any goroutine while the model is open.
func (m *Model) Stop() { atomic.StoreInt32(m.stop, 1) }

// Resume lets the model solve again after Stop.
func (m *Model) Resume() { atomic.StoreInt32(m.stop, 0) }

// want panics on a length that only a programmer's mistake can cause.
func want(n int, series ...[]float64) {
	for _, s := range series {
		if len(s) != n {
			panic(fmt.Sprintf("clp: has %d values; want %d", len(s), n))
		}
	}
}

func doubles(v []float64) *C.double {
	if len(v) == 0 {
		return nil
	}
	return (*C.double)(unsafe.Pointer(&v[0]))
}

func ints(v []int32) *C.int {
	if len(v) == 0 {
		return nil
	}
	return (*C.int)(unsafe.Pointer(&v[0]))
}

// view is Clp's memory seen as a slice; it lives as long as the program is not loaded again.
func view(p *C.double, n int) []float64 {
	if p == nil {
		return nil
	}
	return unsafe.Slice((*float64)(unsafe.Pointer(p)), n)
}
