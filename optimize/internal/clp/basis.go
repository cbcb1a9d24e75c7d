//go:build cgo

package clp

/*
#include <stdlib.h>
#include <stdbool.h>
#include "Clp_C_Interface.h"
*/
import "C"

import (
	"fmt"
	"unsafe"
)

// Basis says for each column, then each row, where it stands: the low three bits are Place.
type Basis []byte

// Place is where a column or row stands in a basis.
type Place byte

// The places, in Clp's numbers.
const (
	Free Place = iota
	Basic
	AtUpper
	AtLower
	SuperBasic
	Fixed
)

// Place is that of column or row i; rows come after the columns.
func (b Basis) Place(i int) Place { return Place(b[i] & 7) }

// Basis copies the present basis; nil if there is none.
func (m *Model) Basis() Basis {
	if C.Clp_statusExists(m.ptr) == 0 {
		return nil
	}
	return C.GoBytes(unsafe.Pointer(C.Clp_statusArray(m.ptr)), C.int(m.cols+m.rows))
}

// SetBasis makes the next Dual or Primal start from b. Set bounds before: Clp moves each column that
// is not basic to the bound it stands at.
func (m *Model) SetBasis(b Basis) error {
	if len(b) != m.cols+m.rows {
		return fmt.Errorf("clp: basis: has %d entries; want %d", len(b), m.cols+m.rows)
	}
	C.Clp_copyinStatus(m.ptr, (*C.uchar)(unsafe.Pointer(&b[0])))
	return nil
}
