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
	"os"
	"unsafe"
)

// SetNames gives rows and columns their names for WriteMPS.
func (m *Model) SetNames(rows, cols []string) error {
	if len(rows) != m.rows || len(cols) != m.cols {
		return fmt.Errorf("clp: names: %d rows and %d columns; want %d and %d", len(rows), len(cols), m.rows, m.cols)
	}
	rowNames, freeRows := cStrings(rows)
	defer freeRows()
	colNames, freeCols := cStrings(cols)
	defer freeCols()
	C.Clp_copyNames(m.ptr, rowNames, colNames)
	return nil
}

// WriteMPS writes the program to a file in free MPS, every digit kept.
func (m *Model) WriteMPS(path string) error {
	file, err := os.Create(path) // Clp ends the whole process on a path that it cannot write
	if err != nil {
		return fmt.Errorf("clp: %w", err)
	}
	file.Close()
	name := C.CString(path)
	defer C.free(unsafe.Pointer(name))
	if code := C.Clp_writeMps(m.ptr, name, 1, 1, 1); code != 0 {
		return fmt.Errorf("clp: write %s: Clp answers %d", path, int(code))
	}
	return nil
}

// cStrings copies names into C memory; Clp copies them again, so the caller frees at once.
func cStrings(names []string) (**C.char, func()) {
	size := C.size_t(len(names)+1) * C.size_t(unsafe.Sizeof(uintptr(0)))
	block := C.malloc(size)
	list := unsafe.Slice((**C.char)(block), len(names)+1)
	for i, s := range names {
		list[i] = C.CString(s)
	}
	list[len(names)] = nil
	return (**C.char)(block), func() {
		for _, s := range list[:len(names)] {
			C.free(unsafe.Pointer(s))
		}
		C.free(block)
	}
}
