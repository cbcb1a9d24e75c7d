package sketch

import (
	"io"
	"testing"
)

// What the desk draws at each change of a knob: a curve and a day, wide and narrow, and three maps.
func BenchmarkPage(b *testing.B) {
	kw := make([]float64, 8760)
	for i := range kw {
		kw[i] = float64(i % 97)
	}
	for b.Loop() {
		for _, narrow := range []bool{false, true} {
			c, d := plain(), shift()
			c.Narrow, d.Narrow = narrow, narrow
			if _, err := c.SVG(); err != nil {
				b.Fatal(err)
			}
			if _, err := d.SVG(); err != nil {
				b.Fatal(err)
			}
		}
		for tone := SunTone; tone <= BoilerTone; tone++ {
			if err := YearPNG(io.Discard, 24, kw, 97, tone); err != nil {
				b.Fatal(err)
			}
		}
	}
}
