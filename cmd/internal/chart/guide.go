package chart

import (
	"fmt"

	"gonum.org/v1/plot/vg"
)

// Guide is a sheet for the wall of a control room: a row a month, a column an hour of the day, in each
// cell how full the store must be before it gives in place of a boiler.
type Guide struct {
	Title, Subtitle string

	Percent [12][24]float64 // of full, 0 to 100; printed without decimals
	Gives   [12][24]float64 // share of the hours in which the store gives, 0 to 1: a bar under the figure

	GaugeName string      // "The store's gauges show"; no gauge is drawn without marks
	Gauge     []GaugeMark // 2 to 6, rising from 0 to 100 %
	Rules     []string    // up to 4, numbered
	Note      string      // what the sheet rests on
}

// GaugeMark says what an operator reads when the store is so full: "189 °C" over "11.3 bar(g)".
type GaugeMark struct {
	Percent      float64
	Upper, Lower string
}

const (
	mostGaugeMarks = 6
	mostRules      = 4
	guideRow       = 27 // height of a month
	guideStrip     = 6  // of it, the bar's
	guideRuleLines = 2
	guideNoteLines = 3
)

func (g Guide) heading() string { return g.Title }

func (g Guide) size() (w, h vg.Length) {
	p := &pen{w: figureWidth, dry: true}
	return figureWidth, topMargin - g.lay(p)
}

// Check finds values outside their range and more text than the sheet has room for.
func (g Guide) Check() error {
	var f faults
	for m := range 12 {
		name := monthName(m)
		f.within(name+": hold-back level", g.Percent[m][:], 0, 100)
		f.within(name+": share of hours", g.Gives[m][:], 0, 1)
	}
	if f.require(len(g.Gauge) == 0 || len(g.Gauge) >= 2 && len(g.Gauge) <= mostGaugeMarks, "gauge: has %d marks; want none or 2 to %d", len(g.Gauge), mostGaugeMarks) {
		for i, m := range g.Gauge {
			f.within(fmt.Sprintf("gauge: mark %d", i), []float64{m.Percent}, 0, 100)
			f.require(i == 0 || m.Percent > g.Gauge[i-1].Percent, "gauge: mark %d is %g %%; want more than the one before", i, m.Percent)
		}
	}
	f.require(len(g.Rules) <= mostRules, "rules: are %d; want at most %d", len(g.Rules), mostRules)
	return f.join("guide")
}

// within requires values between two, both allowed.
func (f *faults) within(name string, v []float64, lo, hi float64) {
	for i, x := range v {
		if !f.require(x >= lo && x <= hi, "%s: value %d is %g; want %g to %g", name, i, x, lo, hi) {
			return
		}
	}
}

func monthName(m int) string {
	return [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}[m]
}

func (g Guide) draw(p *pen) { g.lay(p) }

// lay draws the sheet from the top down and returns the y at its end; a dry pen only measures.
func (g Guide) lay(p *pen) vg.Length {
	y := p.header(g.Title, g.Subtitle)
	y = g.table(p, y)
	y = g.keyLine(p, y)
	if len(g.Gauge) > 0 {
		y = g.gauge(p, y)
	}
	return g.words(p, y)
}
