package table

import (
	"bytes"
	"maps"
	"slices"
	"testing"
)

// Rows come back bit for bit, and the same rows make the same bytes.
func TestRoundTrip(t *testing.T) {
	t.Parallel()
	for _, n := range []int{0, 1, 2, 63, 64, 65, 1000} {
		h := testHead()
		rows := testRows(h, n, uint64(n))
		data := written(t, h, rows)
		if again := written(t, h, rows); !bytes.Equal(data, again) {
			t.Errorf("%d rows: other bytes the second time", n)
		}
		head, got, err := readAll(data)
		if err != nil {
			t.Fatalf("%d rows: %v", n, err)
		}
		if !slices.Equal(head.Keys, h.Keys) || !maps.Equal(head.Meta, h.Meta) {
			t.Errorf("head: %v; want %v", head, h)
		}
		if !slices.EqualFunc(got, rows, same) {
			t.Errorf("%d rows: did not come back as they were", n)
		}
	}
}
