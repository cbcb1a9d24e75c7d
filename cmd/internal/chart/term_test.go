package chart

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"
)

var update = flag.Bool("update", false, "write the golden files anew")

func textOf(t *testing.T, c Curve, width, height int, unicode bool) string {
	t.Helper()
	var b bytes.Buffer
	if err := WriteText(&b, c, width, height, unicode); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestTextGolden(t *testing.T) {
	t.Parallel()
	figs := samples()
	for _, tt := range []struct {
		name          string
		width, height int
		unicode       bool
	}{
		{"curve", 80, 14, false}, {"curve", 80, 14, true}, {"curve", 56, 10, false}, {"curve", 40, 8, true},
		{"curve-negative", 80, 14, false}, {"curve-negative", 80, 14, true},
	} {
		file := fmt.Sprintf("testdata/%s-%dx%d-%s.txt", tt.name, tt.width, tt.height, map[bool]string{false: "ascii", true: "unicode"}[tt.unicode])
		got := textOf(t, figs[tt.name].(Curve), tt.width, tt.height, tt.unicode)
		if *update {
			if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s: is\n%s\nwant\n%s", file, got, want)
		}
	}
}

func TestTextKeepsItsRoom(t *testing.T) {
	t.Parallel()
	for name, f := range hardSamples() {
		c, ok := f.(Curve)
		if !ok {
			continue
		}
		c.Currency = "TRY ₺"
		for width := 40; width <= 100; width += 3 {
			for height := 8; height <= 16; height++ {
				for _, unicode := range []bool{false, true} {
					s := textOf(t, c, width, height, unicode)
					lines := strings.Split(strings.TrimSuffix(s, "\n"), "\n")
					if len(lines) > min(height, 14) {
						t.Fatalf("%s at %dx%d: has %d lines", name, width, height, len(lines))
					}
					for _, line := range lines {
						if n := utf8.RuneCountInString(line); n > min(width, 80) {
							t.Fatalf("%s at %dx%d: a line has %d characters: %q", name, width, height, n, line)
						}
					}
					if !unicode && strings.ContainsFunc(s, func(r rune) bool { return r > 0x7e || r < ' ' && r != '\n' }) {
						t.Fatalf("%s at %dx%d: is not plain ASCII:\n%s", name, width, height, s)
					}
				}
			}
		}
	}
}

// TestTextPlaces finds known points of a straight line on the grid of characters.
func TestTextPlaces(t *testing.T) {
	t.Parallel()
	c := Curve{Currency: "EUR", VolumesM3: []float64{0, 100}, Savings: []float64{0, 100}}
	lines := strings.Split(textOf(t, c, 80, 14, false), "\n")
	ticks := lines[len(lines)-4] // the axis, above volumes, notes and the last line's end
	foot := strings.Index(ticks, "+") + 1
	first, last := strings.Index(ticks[foot:], "+")+foot, strings.LastIndex(ticks, "+")
	for _, line := range lines[1 : len(lines)-4] {
		label, plot, found := strings.Cut(line, "+")
		if !found {
			continue
		}
		var eur float64
		if _, err := fmt.Sscan(label, &eur); err != nil {
			t.Fatalf("label %q: %v", label, err)
		}
		mark := strings.IndexAny(plot, "-O") + len(label) + 1
		want := float64(first) + eur/100*float64(last-first)
		if math.Abs(float64(mark)-want) > 3 { // a row is five columns of this line
			t.Errorf("at %g EUR the line stands in column %d; want %.0f", eur, mark, want)
		}
	}
	if !strings.Contains(lines[len(lines)-2], "O largest: 100 EUR/a at 100 m3") {
		t.Errorf("the largest saving is not written out: %q", lines[len(lines)-2])
	}
}

func TestTextNeedsRoom(t *testing.T) {
	t.Parallel()
	for _, size := range [][2]int{{39, 14}, {80, 7}, {0, 0}} {
		var b bytes.Buffer
		err := WriteText(&b, sampleCurve(), size[0], size[1], true)
		if err == nil || !strings.Contains(err.Error(), "want 40 by 8 or more") || b.Len() > 0 {
			t.Errorf("%v: error is %v, %d bytes written", size, err, b.Len())
		}
	}
}

func ExampleWriteText() {
	c := Curve{Currency: "EUR", VolumesM3: []float64{0, 10, 20, 40, 60}, Savings: []float64{0, 4000, 6000, 7600, 7400}, MarkM3: 20}
	if err := WriteText(os.Stdout, c, 60, 11, false); err != nil {
		fmt.Println(err)
	}
	// Output:
	// Savings, EUR per year
	// 10 000 +
	//        |                      O.....
	//        |           ...----''''      ''''''
	//  5 000 +      ..--'
	//        |    .'
	//        |  -'
	//      0 +-'
	//        ++----------^----------+----------+
	//         0         20         40         60 m3 of storage
	//     O largest: 7 600 EUR/a at 40 m3   ^ 6 000 EUR/a at 20 m3
}

func BenchmarkWriteText(b *testing.B) {
	c := sampleCurve()
	var out bytes.Buffer
	for b.Loop() {
		out.Reset()
		if err := WriteText(&out, c, 80, 14, true); err != nil {
			b.Fatal(err)
		}
	}
}
