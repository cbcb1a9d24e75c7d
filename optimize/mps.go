package optimize

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
)

// WriteMPS writes the linear program of p in free MPS, in p's own units and with every digit, so that
// another solver gets the cost of [Plan]. What the plan cannot change stands as the cost of a column
// `one` that is fixed at 1: solvers disagree about the sign of a constant in the objective.
// Heat that may not be missing has its column at a price a thousand times that of the dearest heat.
func WriteMPS(w io.Writer, p Problem) error {
	if err := p.Check(); err != nil {
		return fmt.Errorf("problem: %w", err)
	}
	work := newWork(p)
	y := newLayout(work)
	m := mpsWriter{out: bufio.NewWriter(w), m: build(work, y)}
	m.rows, m.cols = y.names(y.rowGroups, y.rows), y.names(y.colGroups, y.cols)
	m.line("NAME noonkeep FREE")
	m.rowSection()
	m.columnSection(p.fixedCost())
	m.rhsSection()
	m.boundSection()
	m.line("ENDATA")
	if err := m.out.Flush(); err != nil {
		return fmt.Errorf("mps: %w", err)
	}
	return nil
}

// mpsWriter leaves errors to its buffer, which keeps the first and gives it at Flush.
type mpsWriter struct {
	out        *bufio.Writer
	m          *matrix
	rows, cols []string
}

func (w *mpsWriter) line(fields ...string) {
	for i, f := range fields {
		if i > 0 {
			w.out.WriteByte(' ')
		}
		w.out.WriteString(f)
	}
	w.out.WriteByte('\n')
}

// decimal is the shortest decimal that reads back as x.
func decimal(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

func (w *mpsWriter) rowSection() {
	w.line("ROWS")
	w.line("", "N", "cost")
	for i, name := range w.rows {
		kind := "L"
		if w.m.rowLower[i] == w.m.rowUpper[i] {
			kind = "E"
		}
		w.line("", kind, name)
	}
}

func (w *mpsWriter) columnSection(fixed float64) {
	w.line("COLUMNS")
	for j, name := range w.cols {
		if w.m.cost[j] != 0 {
			w.line("", name, "cost", decimal(w.m.cost[j]))
		}
		for e := w.m.start[j]; e < w.m.start[j+1]; e++ {
			w.line("", name, w.rows[w.m.index[e]], decimal(w.m.value[e]))
		}
	}
	w.line("", "one", "cost", decimal(fixed))
}

func (w *mpsWriter) rhsSection() {
	w.line("RHS")
	for i, name := range w.rows {
		if w.m.rowUpper[i] != 0 {
			w.line("", "rhs", name, decimal(w.m.rowUpper[i]))
		}
	}
	w.line("RANGES") // of the ramp rows: how far below its right side the row may go
	for i, name := range w.rows {
		if lower := w.m.rowLower[i]; lower != w.m.rowUpper[i] && !math.IsInf(lower, -1) {
			w.line("", "range", name, decimal(w.m.rowUpper[i]-lower))
		}
	}
}

func (w *mpsWriter) boundSection() {
	w.line("BOUNDS")
	for j, name := range w.cols {
		w.line("", "UP", "bound", name, decimal(w.m.upper[j]))
		if w.m.lower[j] != 0 {
			w.line("", "LO", "bound", name, decimal(w.m.lower[j]))
		}
	}
	w.line("", "FX", "bound", "one", "1")
}

// WriteJSON writes the problem so that [ReadJSON] reads the same one back.
func WriteJSON(w io.Writer, p Problem) error {
	if err := p.Check(); err != nil {
		return fmt.Errorf("problem: %w", err)
	}
	if err := json.NewEncoder(w).Encode(p); err != nil {
		return fmt.Errorf("problem: %w", err)
	}
	return nil
}

// ReadJSON reads a problem and checks it. A key it does not know is an error.
func ReadJSON(r io.Reader) (Problem, error) {
	var p Problem
	d := json.NewDecoder(r)
	d.DisallowUnknownFields()
	if err := d.Decode(&p); err != nil {
		return Problem{}, fmt.Errorf("problem: %w", err)
	}
	if err := p.Check(); err != nil {
		return Problem{}, fmt.Errorf("problem: %w", err)
	}
	return p, nil
}
