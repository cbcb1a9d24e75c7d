package chart

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// sampleStudy is drawn by hand formulas: no figure here is a result.
func sampleStudy(scenarios int) Study {
	c := Study{
		Title:    fmt.Sprintf("Over %d scenarios a tank saves 5.1 %% of the year's cost without one in half of all cases", scenarios),
		Subtitle: "made up; 30 years of generated weather and 12 values of two keys; every volume proven the least cost, with its sun and load known",
		LowName:  "9 of 10 cases (P90)", MidName: "half of cases (P50)", HighName: "1 of 10 cases (P10)",
		LowNote: "3.1 % at 120 m³", MidNote: "6.0 % at 120 m³", HighNote: "9.4 % at 120 m³",
		CurveName: "Savings against the same plant without a store", CurveUnit: "% of its year's cost", LinesName: "P50 of each scenario by itself",
		SavedName: "Saved with its own tank", SavedUnit: "% of the cost", BestName: "Best tank", BestUnit: "m³", SavedDecimals: 1,
		RangeName: "P90 to P10 of the cases, with P50 as the dot and the number", ExtremesName: "lowest to highest of fewer than 10 cases",
	}
	curve := func(most, bend float64) (v []float64) {
		for x := range 25 {
			v = append(v, most*(1-math.Exp(-float64(x)/bend)))
		}
		return v
	}
	for x := range 25 {
		c.VolumesM3 = append(c.VolumesM3, 5*float64(x))
	}
	for i := range scenarios {
		most := 6 + 2.5*math.Sin(float64(i))
		best := 40 + 4*float64(i%13)
		c.Lines = append(c.Lines, curve(most, 6+float64(i%5)))
		c.Rows = append(c.Rows, StudyRow{Name: []string{"Dyehouse, two shifts", "Cannery", "Brewery with a long name that does not fit its column", "Laundry"}[i%4] + fmt.Sprint(" ", i+1),
			Saved: StudyRange{Low: 0.7 * most, Mid: most, High: 1.2 * most, Extremes: i%7 == 6}, Best: StudyRange{Low: best - 22, Mid: best, High: best + 30, Extremes: i%7 == 6}})
	}
	c.Low, c.Mid, c.High = curve(3.5, 9), curve(6, 8), curve(8.6, 7)
	return c
}

// sampleStudies are the pictures that all figures' tests draw.
func sampleStudies() map[string]Figure {
	odd := sampleStudy(4)
	none := StudyRange{Mid: math.NaN()}
	odd.Rows[1].Saved, odd.Rows[1].Best, odd.Rows[1].Note = none, none, "all 360 cases set aside"
	odd.Rows[2].Saved = StudyRange{Low: -3, Mid: -1, High: 0.5}
	odd.Rows[3].Best = StudyRange{Low: 20, Mid: 120, High: 120, OrMore: true}
	odd.Rows[0].Best, odd.Rows[0].Saved = StudyRange{Extremes: true, Low: 0, Mid: 0, High: 0}, StudyRange{Low: 7, Mid: 7, High: 7, Extremes: true}
	bare := sampleStudy(3)
	bare.VolumesM3, bare.Low, bare.Mid, bare.High, bare.Lines, bare.BestName = nil, nil, nil, nil, nil, ""
	bare.Title = strings.Repeat("A long finding about many scenarios ", 9)
	empty := sampleStudy(1)
	empty.VolumesM3, empty.Rows[0] = nil, StudyRow{Name: "Dyehouse", Saved: none, Best: none, Note: "all 3 cases set aside"}
	full := sampleStudy(40)
	full.More = "31 more scenarios stand in study.csv"
	return map[string]Figure{"study-1": sampleStudy(1), "study-4": sampleStudy(4), "study-30": sampleStudy(30), "study-40": full, "study-odd": odd, "study-bare": bare,
		"study-empty": empty}
}

func TestStudyCheck(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name  string
		spoil func(c *Study)
		want  string
	}{
		{"no rows", func(c *Study) { c.Rows = nil }, "study: rows: are 0; want 1 to 40"},
		{"too many", func(c *Study) { *c = sampleStudy(41) }, "study: rows: are 41; want 1 to 40"},
		{"no columns", func(c *Study) { c.SavedName, c.BestName = "", "" }, "study: columns: have no name; want one or two"},
		{"range", func(c *Study) { c.Rows[3].Saved = StudyRange{Low: 2, Mid: 1, High: 3} }, "study: saved by Laundry 4: 1 lies outside 2 to 3"},
		{"no number", func(c *Study) { c.Rows[3].Best.High = math.Inf(1) }, "study: best volume of Laundry 4: value 2 is +Inf; want a number within ±1e15"},
		{"one volume", func(c *Study) { c.VolumesM3 = c.VolumesM3[:1] }, "study: volumes: are 1; want 2 or more\nline: has 25 values; want 1\nline: has 25 values; want 1\nline: has 25 values; want 1\nline: has 25 values; want 1"},
		{"volumes", func(c *Study) { c.VolumesM3[3] = 10 }, "study: volumes: 10 m³ follows 10 m³; want them rising"},
		{"band", func(c *Study) { c.High[4] = c.Low[4] - 1 }, "study: middle: at 20 m³ 2.36082 lies outside 1.25587 to 0.255869"},
		{"line", func(c *Study) { c.Lines[1] = nil }, "study: line: has 0 values; want 25"},
	} {
		c := sampleStudy(4)
		tt.spoil(&c)
		if err := c.Check(); err == nil || err.Error() != tt.want {
			t.Errorf("%s: %v\nwant %s", tt.name, err, tt.want)
		}
	}
}

// Each is a whole drawing, equal each time, with a height that its rows ask for. With -render they are written for a person
// to look at.
func TestStudiesAreDrawn(t *testing.T) {
	t.Parallel()
	for name, f := range sampleStudies() {
		svg := mustSVG(t, f)
		if again := mustSVG(t, f); !bytes.Equal(svg, again) {
			t.Errorf("%s: two drawings differ", name)
		}
		d := xml.NewDecoder(bytes.NewReader(svg))
		for {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
		}
		if bytes.Contains(svg, []byte("NaN")) || bytes.Contains(svg, []byte("Inf")) {
			t.Errorf("%s: a coordinate is not a number", name)
		}
		if *renderTo == "" {
			continue
		}
		for ext, write := range map[string]func(io.Writer) error{".svg": func(w io.Writer) error { return WriteSVG(w, f) }, ".png": func(w io.Writer) error { return WritePNG(w, f, 1) }} {
			var b bytes.Buffer
			if err := write(&b); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if err := os.WriteFile(filepath.Join(*renderTo, name+ext), b.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}
