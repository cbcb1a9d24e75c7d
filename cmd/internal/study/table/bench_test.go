package table

import (
	"bytes"
	"io"
	"testing"
)

func BenchmarkWrite(b *testing.B) {
	h, rows := studyRows(40_000)
	b.ReportAllocs()
	for b.Loop() {
		if err := Write(io.Discard, h, rows); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(rows)*b.N)/b.Elapsed().Seconds(), "rows/s")
	b.ReportMetric(float64(len(written(b, h, rows)))/float64(len(rows)), "B/row")
}

func BenchmarkRead(b *testing.B) {
	h, rows := studyRows(40_000)
	data := written(b, h, rows)
	b.ReportAllocs()
	for b.Loop() {
		f, err := Open(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			b.Fatal(err)
		}
		for _, err := range f.Rows() {
			if err != nil {
				b.Fatal(err)
			}
		}
	}
	b.ReportMetric(float64(len(rows)*b.N)/b.Elapsed().Seconds(), "rows/s")
}

func BenchmarkCases(b *testing.B) {
	h, rows := studyRows(40_000)
	data := written(b, h, rows)
	for b.Loop() {
		f, err := Open(bytes.NewReader(data), int64(len(data)))
		if err == nil {
			_, err = f.Cases()
		}
		if err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(rows)*b.N)/b.Elapsed().Seconds(), "rows/s")
}

// A worker's part: some rows in a file of their own.
func BenchmarkSmall(b *testing.B) {
	h, rows := studyRows(10)
	data := written(b, h, rows)
	b.ReportMetric(float64(len(data)), "B/file")
	for b.Loop() {
		if err := Write(io.Discard, h, rows); err != nil {
			b.Fatal(err)
		}
		if _, _, err := readAll(data); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(data)), "B/file")
}
