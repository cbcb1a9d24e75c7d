package chart

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"unicode/utf8"
)

func writtenPlant(t *testing.T, d Plant, width int, unicode bool) string {
	t.Helper()
	var b bytes.Buffer
	if err := WritePlantText(&b, d, width, unicode); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestPlantText(t *testing.T) {
	t.Parallel()
	d := Plant{
		Headers: []PlantHeader{{Name: "main", Figures: []string{"6 bar(g)", "165 °C"}}, {Name: "low", Figures: []string{"2 bar(g)"}, FromAbove: true, Valve: []string{"6 to 2 bar(g)"}}},
		Fields:  []PlantField{{Name: "dishes", Figures: []string{"30 of 90 m²"}, Headers: []int{0}, Stores: []int{0}}},
		Stores:  []PlantStore{{PlantPart: PlantPart{Name: "tank", Figures: []string{"40 m³", "1 752 kWh"}}}},
		Boilers: []PlantPart{{Name: "B1", Figures: []string{"1 670 kW"}, Header: 0}, {Name: "B2", Figures: []string{"600 kW"}, Header: 1}},
		Loads:   []PlantPart{{Name: "dyeing", Figures: []string{"at most 834 kW"}, Header: 0}, {Name: "dryer", Header: 0}, {Name: "hall", Figures: []string{"90 kW"}, Header: 1}},
	}
	const wide = `
  field  dishes    30 of 90 m²                  ───┬──┐
  store  tank      40 m³; 1 752 kWh             ◄──┘  │
                                                ──────┤
  boiler B1        1 670 kW                     ──────┤
  boiler B2        600 kW                       ──────│──┐
                                                      ▼  │
  ═══ main  6 bar(g)  165 °C ═══════════════════════════ │
    ├─► dyeing    at most 834 kW                         │
    ├─► dryer                                            │
    │                                                    │
    ▼ reducing valve, 6 to 2 bar(g)                      │
                                                         ▼
  ═══ low  2 bar(g) ═══════════════════════════════════════
    └─► hall      90 kW
`
	const ascii = `
  field  dishes    30 of 90 m2                  ---+--+
  store  tank      40 m3; 1 752 kWh             <--+  |
                                                ------+
  boiler B1        1 670 kW                     ------+
  boiler B2        600 kW                       ------|--+
                                                      v  |
  === main  6 bar(g)  165 degC ========================= |
    |-> dyeing    at most 834 kW                         |
    |-> dryer                                            |
    |                                                    |
    v reducing valve, 6 to 2 bar(g)                      |
                                                         v
  === low  2 bar(g) =======================================
    '-> hall      90 kW
`
	for _, tt := range []struct {
		unicode bool
		want    string
	}{{true, wide}, {false, ascii}} {
		if got := "\n" + writtenPlant(t, d, 60, tt.unicode); got != tt.want {
			t.Errorf("unicode %v: got%s\nwant, drawn by hand,%s", tt.unicode, got, tt.want)
		}
	}
	if err := WritePlantText(&bytes.Buffer{}, d, 59, true); err == nil || err.Error() != "text diagram: room is 59 characters; want 60 or more" {
		t.Errorf("59 columns: error is %v", err)
	}
	if err := WritePlantText(brokenWriter{}, d, 90, true); err == nil {
		t.Error("a failed write was not reported")
	}
	if err := WritePlantText(&bytes.Buffer{}, Plant{}, 90, true); err == nil {
		t.Error("a plant without headers was drawn")
	}
}

// TestPlantTextHolds draws plants at random: no line is too long, ASCII stays ASCII, every upright piece of a pipe has
// something above and below it, and each part is named.
func TestPlantTextHolds(t *testing.T) {
	t.Parallel()
	for seed := range uint64(300) {
		d := randomPlant(rand.New(rand.NewPCG(seed, 6)))
		for _, unicode := range []bool{true, false} {
			text := writtenPlant(t, d, 90, unicode)
			lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
			at := func(row, column int) rune {
				if row < 0 || row >= len(lines) || column >= utf8.RuneCountInString(lines[row]) {
					return ' '
				}
				return []rune(lines[row])[column]
			}
			for row, line := range lines {
				if n := utf8.RuneCountInString(line); n > 90 {
					t.Errorf("seed %d: line %d has %d characters: %s", seed, row+1, n, line)
				}
				for column, r := range []rune(line) {
					if !unicode && r > 0x7e {
						t.Errorf("seed %d: line %d has %q", seed, row+1, r)
					}
					if r == '│' && (at(row-1, column) == ' ' || at(row+1, column) == ' ') {
						t.Errorf("seed %d: a pipe ends in the air at line %d, column %d:\n%s", seed, row+1, column+1, text)
						return
					}
				}
			}
			for _, x := range d.Boilers {
				if !strings.Contains(text, fmt.Sprintf("boiler %.4s", x.Name)) {
					t.Errorf("seed %d: boiler %s is not shown", seed, x.Name)
				}
			}
		}
	}
}
