package chart

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"regexp"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/plot/vg"
)

func mustSVG(t testing.TB, f Figure) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WriteSVG(&b, f); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func mustPNG(t testing.TB, f Figure, scale float64) image.Image {
	t.Helper()
	var b bytes.Buffer
	if err := WritePNG(&b, f, scale); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// hard cases for the layout: long words, wide numbers, short and odd spans.
func hardSamples() map[string]Figure {
	figs := samples()
	long := sampleCurve()
	long.Title = strings.Repeat("A very long finding about storage & <heat> ", 8)
	long.Subtitle = strings.Repeat("what it rests on, ", 30)
	long.SavingsName = strings.Repeat("Savings against something ", 9)
	for i := range long.Savings {
		long.Savings[i] *= -1e6
		long.Upper[i] = long.Savings[i] + 1e9
		long.VolumesM3[i] *= 1000
		long.Marginal[i] *= 1e6
	}
	long.MarkM3, long.CostM3 = 120000, 5e8
	figs["curve-long"] = long
	figs["curve-flat"] = Curve{Title: "Nothing\x00 to\nsave", Currency: "EUR", VolumesM3: []float64{0, 1}, Savings: []float64{0, 0}}
	figs["curve-small"] = Curve{Title: "Small", Currency: "EUR", VolumesM3: []float64{0, 0.1, 0.25}, Savings: []float64{0, 0.004, 0.005}, MarkM3: 0.25, CostM3: 0.03}
	odd := sampleDays(time.Date(2026, 3, 29, 17, 30, 0, 0, east3), 2, 15e5, 0.3)
	odd.Title = "From half past five"
	figs["week-odd"] = odd
	for name, f := range sampleBars() {
		figs[name] = f
	}
	figs["week-hour"] = Week{Title: "One hour", Start: odd.Start, StepH: 1, DemandKW: []float64{0}}
	for _, days := range []int{3, 9, 14, 45, 90} {
		figs[fmt.Sprint("week-", days)] = sampleDays(sampleSummer().Start, days, 1500, 0.7)
	}
	six := sampleYear()
	six.Maps = append(six.Maps, six.Maps...)
	for i := range six.Maps {
		six.Maps[i].Note = strings.Repeat("a long note ", 20)
	}
	figs["year-six"] = six
	short := sampleYear()
	short.Start = time.Date(2028, 2, 20, 0, 0, 0, 0, east3)
	for i := range short.Maps {
		short.Maps[i].Values = short.Maps[i].Values[:24*14]
	}
	figs["year-fortnight"] = short
	for name, c := range sampleContours() {
		figs[name] = c
	}
	for name, c := range sampleCompares() {
		figs[name] = c
	}
	for name, c := range sampleYears() {
		figs[name] = c
	}
	for name, d := range sampleDoubts() {
		figs[name] = d
	}
	for name, d := range samplePlants() {
		figs[name] = d
	}
	for name, m := range sampleSkies() {
		figs[name] = m
	}
	for name, c := range sampleScatters() {
		figs[name] = c
	}
	return figs
}

func TestSVGIsWholeXML(t *testing.T) {
	t.Parallel()
	unraced(t)
	for name, f := range hardSamples() {
		svg := mustSVG(t, f)
		d := xml.NewDecoder(bytes.NewReader(svg))
		d.Strict = true
		elements := 0
		for {
			tok, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if _, ok := tok.(xml.StartElement); ok {
				elements++
			}
		}
		if elements < 15 {
			t.Errorf("%s: has %d elements; want a drawing", name, elements)
		}
		if !bytes.HasPrefix(svg, []byte("<svg role=\"img\"")) || !bytes.Contains(svg[:400], []byte("<title>")) {
			t.Errorf("%s: starts with %.80q; want <svg role=\"img\" and a title", name, svg)
		}
		if bytes.Contains(svg, []byte("NaN")) || bytes.Contains(svg, []byte("Inf")) {
			t.Errorf("%s: a coordinate is not a number", name)
		}
	}
}

func TestSizes(t *testing.T) {
	t.Parallel()
	unraced(t)
	for name, f := range samples() {
		svg := mustSVG(t, f)
		if len(svg) < 4_000 || len(svg) > 200_000 {
			t.Errorf("%s: SVG has %d bytes; want 4 to 200 kB", name, len(svg))
		}
		w, h := f.size()
		for _, scale := range []float64{0.5, 1, 2} {
			size := mustPNG(t, f, scale).Bounds().Size()
			want := image.Pt(int(float64(w)*4/3*scale+0.5), int(float64(h)*4/3*scale+0.5))
			if size != want {
				t.Errorf("%s: PNG at scale %g is %v; want %v", name, scale, size, want)
			}
		}
	}
	quarters := sampleYear() // three maps of quarter hours, each value its own
	quarters.StepH = 0.25
	for i := range quarters.Maps {
		v := make([]float64, 365*96)
		for j := range v {
			v[j] = float64((j * 7919) % 1009)
		}
		quarters.Maps[i].Values = v
	}
	if n := len(mustSVG(t, quarters)); n > 600_000 {
		t.Errorf("year of quarter hours: SVG has %d bytes; want at most 600 kB", n)
	}
}

func TestSameBytesTwice(t *testing.T) {
	t.Parallel()
	for name, f := range samples() {
		if !bytes.Equal(mustSVG(t, f), mustSVG(t, f)) {
			t.Errorf("%s: two SVGs of one figure differ", name)
		}
		if underRace {
			continue
		}
		var a, b bytes.Buffer
		if err := errors.Join(WritePNG(&a, f, 1), WritePNG(&b, f, 1)); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Errorf("%s: two PNGs of one figure differ", name)
		}
	}
}

var textElement = regexp.MustCompile(`(?s)<text x="([^"]+)" y="([^"]+)" transform="scale\(1, -1\)"\s+style="[^"]*?(font-weight:bold;)?font-size:([0-9.]+)px[^"]*">(.*?)</text>`)

type lettering struct {
	text           string
	x0, y0, x1, y1 vg.Length
}

func letterings(t *testing.T, svg []byte) []lettering {
	t.Helper()
	var all []lettering
	for _, m := range textElement.FindAllSubmatch(svg, -1) {
		var x, y, size float64
		if _, err := fmt.Sscan(string(m[1])+" "+string(m[2])+" "+string(m[4]), &x, &y, &size); err != nil {
			t.Fatal(err)
		}
		f := face{size: vg.Length(size), bold: len(m[3]) > 0, ink: black}
		s := strings.NewReplacer("&lt;", "<", "&gt;", ">", "&amp;", "&", "&#39;", "'", "&#34;", `"`).Replace(string(m[5]))
		at := lettering{s, vg.Length(x), -vg.Length(y), vg.Length(x) + f.width(s), -vg.Length(y) + f.capHeight()} // SVG counts y downward
		all = append(all, at)
	}
	return all
}

// TestNoTextClippedOrOverlaid reads each text's place back from the SVG.
func TestNoTextClippedOrOverlaid(t *testing.T) {
	t.Parallel()
	unraced(t)
	for name, f := range hardSamples() {
		w, h := f.size()
		all := letterings(t, mustSVG(t, f))
		if n := bytes.Count(mustSVG(t, f), []byte("<text ")); n < 5 || len(all) != n {
			t.Fatalf("%s: read %d of %d texts; the test no longer reads the SVG", name, len(all), n)
		}
		for i, a := range all {
			if a.x0 < 4 || a.y0 < 4 || a.x1 > w-4 || a.y1 > h-4 {
				t.Errorf("%s: %q stands at %.0f,%.0f to %.0f,%.0f of %.0f by %.0f; want 4 pt of margin", name, a.text, a.x0, a.y0, a.x1, a.y1, w, h)
			}
			for _, b := range all[:i] {
				if a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1 {
					t.Errorf("%s: %q overlies %q", name, a.text, b.text)
				}
			}
		}
	}
}

// pixel reads the PNG's colour at a place in points from the lower left corner.
func pixel(img image.Image, x, y vg.Length) color.Color {
	h := img.Bounds().Dy()
	return img.At(int(float64(x)*4/3), h-1-int(float64(y)*4/3))
}

func sameInk(a, b color.Color) bool {
	r1, g1, b1, _ := a.RGBA()
	r2, g2, b2, _ := b.RGBA()
	near := func(a, b uint32) bool { return a>>8 <= b>>8+2 && b>>8 <= a>>8+2 }
	return near(r1, r2) && near(g1, g2) && near(b1, b2)
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, errors.New("disk is full") }

func TestWriteErrors(t *testing.T) {
	t.Parallel()
	if err := WriteSVG(brokenWriter{}, sampleCurve()); err == nil {
		t.Error("svg: a failed write was not reported")
	}
	if err := WritePNG(brokenWriter{}, sampleCurve(), 0.5); err == nil {
		t.Error("png: a failed write was not reported")
	}
	for _, scale := range []float64{0, -1, 5} {
		if err := WritePNG(io.Discard, sampleCurve(), scale); err == nil || !strings.Contains(err.Error(), "want 0.5 to 4") {
			t.Errorf("png at scale %g: error is %v", scale, err)
		}
	}
}

func BenchmarkWrite(b *testing.B) {
	for name, f := range map[string]Figure{"curve": sampleCurve(), "week": sampleSummer(), "year": sampleYear()} {
		b.Run("figure="+name+"/as=svg", func(b *testing.B) {
			for b.Loop() {
				if err := WriteSVG(io.Discard, f); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run("figure="+name+"/as=png", func(b *testing.B) {
			for b.Loop() {
				if err := WritePNG(io.Discard, f, 1); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
