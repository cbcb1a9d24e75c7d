package optimize

import (
	"context"
	"errors"
	"math"
	"reflect"
	"runtime"
	"strings"
	"testing"
)

// The cells of a grid are those of single plans; a map's edges are plants without store and without field.
func TestGridIsPlanCellByCell(t *testing.T) {
	t.Parallel()
	rows := gridOf(plantYear{28, 24, 3}, 4, 4)
	m, err := Grid(context.Background(), 0, rows, Options{})
	if err != nil {
		t.Fatal(err)
	}
	cost := func(p Problem) float64 {
		s, _, err := Plan(context.Background(), p, Options{})
		if err != nil {
			t.Fatal(err)
		}
		return s.Cost
	}
	same := func(what string, got, want float64) {
		if !(math.Abs(got-want) <= 1e-9*want) {
			t.Errorf("%s: cost %.12g; want %.12g", what, got, want)
		}
	}
	for i, r := range rows {
		for j, s := range r.Stores {
			p := r.Problem
			p.Stores = []Store{s}
			same(r.Name, m.Cells[i][j].Cost, cost(p))
			if o := m.Cells[i][j]; !(o.Proof.DualityGap <= gapLimit && o.Proof.PrimalResidual <= residualLimit) {
				t.Errorf("%s, %g m³: proof %+v", r.Name, s.VolumeM3, o.Proof)
			}
			if i > 0 {
				continue
			}
			p.Fields = nil
			same("no field", m.Cells[0][j].Cost, cost(p))
		}
		same(r.Name+" without the store", m.Cells[i][0].Cost, cost(r.Problem.Without(0)))
	}
}

// A field whose power costs nothing is never worse for being larger: the smaller plan is still a plan.
func TestGridFallsWithAreaThatCostsNothing(t *testing.T) {
	t.Parallel()
	rows := gridOf(plantYear{28, 24, 3}, 7, 4)
	for i := range rows {
		rows[i].Problem.Fields[0].FixedCost, rows[i].Problem.Fields[0].HeatCost = 0, 0
	}
	m, err := Grid(context.Background(), 0, rows, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for i := 1; i < len(rows); i++ {
		for j := range rows[i].Stores {
			if less, more := m.Cells[i-1][j].Cost, m.Cells[i][j].Cost; more > less*(1+2*gapLimit) {
				t.Errorf("%s, size %d: costs %.9g, more than %.9g of the smaller field", rows[i].Name, j, more, less)
			}
		}
	}
}

// One core or two, sizes given in any order: the same map.
func TestGridIsTheSameOnAnyNumberOfCores(t *testing.T) {
	rows := gridOf(plantYear{14, 24, 5}, 3, 4)
	turned := gridOf(plantYear{14, 24, 5}, 3, 4)
	for i := range turned {
		s := append([]Store(nil), turned[i].Stores...)
		s[0], s[3] = s[3], s[0]
		turned[i].Stores = s
	}
	on := func(procs int, rows []Row) Map {
		before := runtime.GOMAXPROCS(procs)
		defer runtime.GOMAXPROCS(before)
		m, err := Grid(context.Background(), 0, rows, Options{})
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	one := on(1, rows)
	if two := on(2, rows); !reflect.DeepEqual(one, two) {
		t.Error("one core and two cores give different maps")
	}
	for i, row := range on(2, turned).Cells {
		for j, at := range []int{3, 1, 2, 0} {
			if !reflect.DeepEqual(row[j], one.Cells[i][at]) {
				t.Errorf("row %d, size %d: differs when the sizes are given in another order", i, j)
			}
		}
	}
}

func TestGridErrors(t *testing.T) {
	t.Parallel()
	whole := func() []Row { return gridOf(plantYear{3, 24, 5}, 3, 3) }
	for _, tt := range []struct {
		what  string
		k     int
		spoil func(rows []Row) []Row
		want  string
	}{
		{"no rows", 0, func([]Row) []Row { return nil }, "has no cell"},
		{"no sizes", 0, func(r []Row) []Row { r = r[:1]; r[0].Stores = nil; return r }, "has no cell"},
		{"no such store", 1, func(r []Row) []Row { return r }, "store 1: there are 1"},
		{"a faulty problem", 0, func(r []Row) []Row { r[2].Problem.StepH = math.NaN(); return r }, "2 of the field: problem: step"},
		{"a faulty size", 0, func(r []Row) []Row {
			s := append([]Store(nil), r[1].Stores...)
			s[1].CapacityKWh = math.NaN()
			r[1].Stores = s
			return r
		}, "1 of the field: store of 60 m³: capacity: is NaN"},
		{"another header", 0, func(r []Row) []Row {
			s := append([]Store(nil), r[1].Stores...)
			s[1].Header = 7
			r[1].Stores = s
			return r
		}, "serves header 7"},
		{"an unknown engine", 0, func(r []Row) []Row { return r }, `engine: is "magic"`},
	} {
		opt := Options{}
		if strings.Contains(tt.want, "magic") {
			opt.Engine = "magic"
		}
		if _, err := Grid(context.Background(), tt.k, tt.spoil(whole()), opt); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: error is %v; want %q", tt.what, err, tt.want)
		}
	}
}

// A cell that has no plan is named and ends the run; so does the context.
func TestGridNamesTheCellThatFails(t *testing.T) {
	t.Parallel()
	rows := gridOf(plantYear{3, 24, 5}, 5, 3)
	for i := range rows {
		b := append([]Boiler(nil), rows[i].Problem.Boilers...)
		b[0].Pieces = []Piece{{100, 1.1}}
		rows[i].Problem.Boilers = b
	}
	var short *NoPlan
	_, err := Grid(context.Background(), 0, rows, Options{})
	if !errors.As(err, &short) || !strings.Contains(err.Error(), "of the field, ") {
		t.Errorf("error is %v; want a *NoPlan that names its cell", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	calls := 0
	m, err := Grid(ctx, 0, gridOf(plantYear{28, 24, 5}, 5, 5), Options{Progress: func(s Step) {
		if calls++; calls == 3 {
			cancel()
		}
		if s.Solved != calls || s.Planned != 25 {
			t.Errorf("progress says %d of %d; want %d of 25", s.Solved, s.Planned, calls)
		}
	}})
	if !errors.Is(err, context.Canceled) || m.Cells != nil {
		t.Errorf("interrupted: error is %v and there are %d rows; want the context's and none", err, len(m.Cells))
	}
}
