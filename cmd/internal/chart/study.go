package chart

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// Study is many scenarios in many cases: above, a band of storage volume against savings with the line in its middle; below,
// a row for each scenario with its range of savings and its range of best volumes.
type Study struct {
	Title, Subtitle string

	VolumesM3                  []float64 // rising, from 0 up; empty where no curves are kept, which leaves the rows
	Low, Mid, High             []float64 // one per volume
	LowName, MidName, HighName string    // what stands at their ends
	LowNote, MidNote, HighNote string    // and under it
	CurveName, CurveUnit       string    // of the band: "Savings against the same plant without a store", "EUR per year"
	Lines                      [][]float64
	LinesName                  string // what a thin line is: "each scenario's P50"

	SavedName, SavedUnit string // of the rows' left ranges; an empty name leaves them out
	BestName, BestUnit   string // of the right ones
	SavedDecimals        int
	RangeName            string // what a whisker is: "P90 to P10, with P50 as the dot"
	ExtremesName         string // what a dashed one is
	Rows                 []StudyRow
	More                 string // under the rows: "31 more scenarios stand in study.csv"; may be empty
}

// StudyRow is one scenario.
type StudyRow struct {
	Name        string
	Saved, Best StudyRange
	Note        string // in place of a range that is not there: "all cases set aside"
}

// StudyRange is what a figure of a scenario reaches over. Mid is NaN where there is none.
type StudyRange struct {
	Low, Mid, High float64
	Extremes       bool // Low and High are the least and the most of few cases
	OrMore         bool // Mid is the end of what was looked at
}

const (
	studyBand   = 400 // of the upper panel with its axis
	studyRow    = 23
	studyOver   = 76 // from the upper panel's axis to the rows: their legend and the names of the columns
	studyUnder  = 50 // of the rows' axis
	studyFoot   = 34 // of the line under it
	mostStudy   = 40
	studyNames  = 210 // of the scenarios' names
	studyColumn = 26  // between the columns
)

func (c Study) heading() string { return c.Title }

func (c Study) size() (w, h vg.Length) {
	h = c.headHeight() + studyOver + studyRow*vg.Length(len(c.Rows)) + studyUnder + 12
	if len(c.VolumesM3) > 0 {
		h += studyBand
	}
	if c.More != "" {
		h += studyFoot
	}
	return figureWidth, h
}

// headHeight is what title and subtitle take.
func (c Study) headHeight() vg.Length {
	p := pen{w: figureWidth, dry: true}
	return -p.header(c.Title, c.Subtitle)
}

// Check finds lengths that do not match, values that are no numbers, volumes that do not rise, a middle outside its band or
// range, and too many rows.
func (c Study) Check() error {
	var f faults
	f.require(len(c.Rows) >= 1 && len(c.Rows) <= mostStudy, "rows: are %d; want 1 to %d", len(c.Rows), mostStudy)
	f.require(c.SavedName != "" || c.BestName != "", "columns: have no name; want one or two")
	for _, r := range c.Rows {
		r.Saved.check(&f, "saved by "+r.Name)
		r.Best.check(&f, "best volume of "+r.Name)
	}
	if n := len(c.VolumesM3); n > 0 {
		ok := f.require(n >= 2, "volumes: are %d; want 2 or more", n) && f.series("volumes", c.VolumesM3, -1) && f.rising("volumes", c.VolumesM3) &&
			f.series("low", c.Low, n) && f.series("middle", c.Mid, n) && f.series("high", c.High, n)
		for _, l := range c.Lines {
			f.series("line", l, n)
		}
		if ok {
			c.band().checkBand(&f)
		}
	}
	return f.join("study")
}

func (r StudyRange) check(f *faults, name string) {
	if math.IsNaN(r.Mid) {
		return
	}
	if f.series(name, []float64{r.Low, r.Mid, r.High}, 3) {
		f.require(r.Low <= r.Mid && r.Mid <= r.High, "%s: %.6g lies outside %.6g to %.6g", name, r.Mid, r.Low, r.High)
	}
}

// band is the upper part as [Years] draws it.
func (c Study) band() Years {
	return Years{VolumesM3: c.VolumesM3, Low: c.Low, Mid: c.Mid, High: c.High, Lines: c.Lines,
		LowName: c.LowName, MidName: c.MidName, HighName: c.HighName, LowNote: c.LowNote, MidNote: c.MidNote, HighNote: c.HighNote}
}
