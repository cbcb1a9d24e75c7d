package desk

import (
	"math/rand/v2"
	"strings"
	"testing"
)

func TestCellsReadBack(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 4))
	for i := range 60 {
		perDay := finerGrids[i%3]
		want := randomWeek(rng, perDay)
		if got, err := weekFromCells(perDay, cellsOf(want)); err != nil || !sameWeek(got, want) {
			t.Errorf("%v: read %v, %v", want, got, err)
		}
	}
}

func TestCellsWrong(t *testing.T) {
	day := strings.Repeat("0", 24)
	week := strings.TrimSuffix(strings.Repeat(day+"/", 7), "/")
	for _, row := range []struct {
		perDay int
		cells  string
		want   string
	}{
		{25, week, "the painted week has 25 slots a day; want 24, 48 or 96"},
		{0, "", "the painted week has 0 slots a day; want 24, 48 or 96"},
		{24, day, "the painted week has 1 rows; want 7, or 8 with holidays"},
		{24, week + "/" + week, "the painted week has 9 rows; want 7, or 8 with holidays"},
		{48, week, "row 1 of the painted week is not 48 times 0 or 1"},
		{24, week[:len(week)-1] + "x", "row 7 of the painted week is not 24 times 0 or 1"},
	} {
		if _, err := weekFromCells(row.perDay, row.cells); err == nil || err.Error() != row.want {
			t.Errorf("%d, %q: got %v, want %s", row.perDay, row.cells, err, row.want)
		}
	}
	if w, err := weekFromCells(24, week+"/"+day); err != nil || w.Holidays != nil || !empty(w) {
		t.Errorf("an empty row of holidays is %v, %v", w, err)
	}
}

// FuzzWeekFromCells wants a right week or an error, and the same cells back but for holidays without hours.
func FuzzWeekFromCells(f *testing.F) {
	day := strings.Repeat("01", 12)
	f.Add(24, strings.TrimSuffix(strings.Repeat(day+"/", 7), "/"))
	f.Add(24, strings.Repeat(day+"/", 7)+strings.Repeat("0", 24))
	f.Add(96, "0/1/")
	f.Fuzz(func(t *testing.T, perDay int, cells string) {
		w, err := weekFromCells(perDay, cells)
		if err != nil {
			return
		}
		if bad := w.Check(); bad != nil {
			t.Fatal(bad)
		}
		if back := cellsOf(w); back != cells && back+"/"+strings.Repeat("0", perDay) != cells {
			t.Fatalf("%q came back as %q", cells, back)
		}
	})
}
