//go:build cgo

package optimize

import (
	"context"
	"math"
	"testing"
)

// Both engines draw the same map.
func TestGridByBothEngines(t *testing.T) {
	t.Parallel()
	rows := gridOf(plantYear{28, 24, 9}, 4, 4)
	var maps []Map
	for _, engine := range []string{EngineOneStore, EngineClp} {
		m, err := Grid(context.Background(), 0, rows, Options{Engine: engine})
		if err != nil {
			t.Fatal(err)
		}
		if m.Engine != engine {
			t.Errorf("engine is %q; want %q", m.Engine, engine)
		}
		maps = append(maps, m)
	}
	for i, row := range maps[0].Cells {
		for j, o := range row {
			if want := maps[1].Cells[i][j].Cost; !(math.Abs(o.Cost-want) <= 1e-9*want) {
				t.Errorf("row %d, size %d: onestore costs %.12g, clp %.12g", i, j, o.Cost, want)
			}
		}
	}
}
