package optimize

import (
	"context"
	"fmt"
	"testing"
)

// gridOf is the made-up plant with counts-1 even steps of field area and volumes-1 of volume.
func gridOf(y plantYear, counts, volumes int) []Row {
	p := y.problem()
	law := shellLaw(p.N(), p.StepH)
	var stores []Store
	for j := range volumes {
		s, _ := law(120 * float64(j) / float64(volumes-1))
		stores = append(stores, s)
	}
	var rows []Row
	for i := range counts {
		q := p
		q.Fields = append([]Field(nil), p.Fields...)
		share := 2 * float64(i) / float64(counts-1)
		q.Fields[0].AreaM2 *= share
		q.Fields[0].FixedCost *= share
		rows = append(rows, Row{Name: fmt.Sprintf("%g of the field", share), Problem: q, Stores: stores})
	}
	return rows
}

// BenchmarkGrid is the map of 25 areas by 25 volumes over a year of hours, every cell proven.
func BenchmarkGrid(b *testing.B) {
	rows := gridOf(plantYear{365, 24, 7}, 25, 25)
	for b.Loop() {
		if _, err := Grid(context.Background(), 0, rows, Options{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(625, "cells/op")
	b.ReportMetric(b.Elapsed().Seconds()*1e3/float64(625*b.N), "ms/cell")
}
