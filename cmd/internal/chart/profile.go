package chart

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
)

// Profile is a year's heat demand: its mean days, season by season, and under them the hours in which it asks
// for at least so much.
type Profile struct {
	Title, Subtitle string
	Seasons         []Season // 1 to 4, side by side
	StepH           float64  // length of a step in hours
	KW              []float64
}

// Season is a part of the year with its kinds of day.
type Season struct {
	Name string
	Days []Day // 1 to 4
}

// Day is the mean day of a kind; the same kind has the same line in every season.
type Day struct {
	Kind   string
	HourKW [24]float64
}

const (
	mostSeasons   = 4
	mostDayKinds  = 4
	profileHeight = 640
	seasonGap     = 16
)

// dayStrokes are the kinds of day in the order in which they first appear: they differ in dash and width, so
// that they can be told apart in grey.
var dayStrokes = []stroke{
	{ink: curveInk, width: 2.4},
	{ink: boundInk, width: 2, dashes: dashed},
	{ink: levelInk, width: 2.2, dashes: dotted},
	{ink: grey60, width: 1.6},
}

func (d Profile) heading() string { return d.Title }

func (d Profile) size() (w, h vg.Length) { return figureWidth, profileHeight }

// Check finds too many seasons or kinds, and values that are not heat.
func (d Profile) Check() error {
	var f faults
	f.require(len(d.Seasons) >= 1 && len(d.Seasons) <= mostSeasons, "seasons: are %d; want 1 to %d", len(d.Seasons), mostSeasons)
	f.require(len(d.kinds()) <= mostDayKinds, "kinds of day: are %d; want at most %d", len(d.kinds()), mostDayKinds)
	for _, s := range d.Seasons {
		f.require(len(s.Days) > 0, "season %q: has no days; want one kind at least", s.Name)
		for _, day := range s.Days {
			f.flows(fmt.Sprintf("season %q, %s", s.Name, day.Kind), day.HourKW[:], 24)
		}
	}
	f.require(d.StepH > 0 && d.StepH <= 24, "step: is %g h; want more than 0 and at most 24", d.StepH)
	if f.require(len(d.KW) > 0, "heat: has no values; want one a step") {
		f.flows("heat", d.KW, len(d.KW))
	}
	return f.join("demand")
}

// kinds are the kinds of day in the order in which they first appear.
func (d Profile) kinds() []string {
	var kinds []string
	for _, s := range d.Seasons {
		for _, day := range s.Days {
			if !slices.Contains(kinds, day.Kind) {
				kinds = append(kinds, day.Kind)
			}
		}
	}
	return kinds
}

func (d Profile) draw(p *pen) {
	kinds := d.kinds()
	var keys []key
	for i, kind := range kinds {
		keys = append(keys, key{kind, func(x0, y0, x1, y1 vg.Length) { p.hLine(dayStrokes[i], x0, x1, (y0+y1)/2) }})
	}
	y := p.legend(keys, p.header(d.Title, d.Subtitle))

	var all []float64
	for _, s := range d.Seasons {
		for _, day := range s.Days {
			all = append(all, day.HourKW[:]...)
		}
	}
	const nameH, footH, between = 30, 50, 40
	half := (y - 2*nameH - footH - between - 34) / 2
	days := panel{y1: y - nameH, xHi: 24}
	days.y0 = days.y1 - half
	hours := panel{y0: footH, y1: footH + half, xHi: d.StepH * float64(len(d.KW))}
	dayTicks, hourTicks := days.reach(5, all), hours.reach(5, d.KW)
	dayLabels, hourLabels := tickLabels(dayTicks), tickLabels(hourTicks)
	edge := margin + gutter(dayLabels, hourLabels)
	hours.x0, hours.x1 = edge, figureWidth-margin

	wide := (figureWidth - margin - edge - vg.Length(len(d.Seasons)-1)*seasonGap) / vg.Length(len(d.Seasons))
	for i, s := range d.Seasons {
		a := days
		a.x0 = edge + vg.Length(i)*(wide+seasonGap)
		a.x1 = a.x0 + wide
		labels := dayLabels
		if i > 0 {
			labels = make([]string, len(dayLabels))
		}
		d.drawSeason(p, a, s, kinds, dayTicks, labels)
	}
	p.text("Mean days, kW", margin, days.y1+21, left, panelFace)
	d.drawDuration(p, hours, hourTicks, hourLabels)
}

func (d Profile) drawSeason(p *pen, a panel, s Season, kinds []string, ticks []float64, labels []string) {
	for i, t := range ticks {
		p.hLine(gridLine, a.x0, a.x1, a.y(t))
		p.textMid(labels[i], a.x0-tickGap, a.y(t), right, tickFace)
	}
	for h := 0; h <= 24; h += 6 {
		p.vLine(gridLine, a.x(float64(h)), a.y0, a.y1)
		p.vLine(axisLine, a.x(float64(h)), a.y0-4, a.y0)
		if h < 24 {
			p.text(fmt.Sprint(h), a.x(float64(h)), a.y0-17, centre, tickFace)
		}
	}
	p.zero(a)
	edges := make([]float64, 25)
	for h := range edges {
		edges[h] = float64(h)
	}
	for i := len(kinds) - 1; i >= 0; i-- { // working days on top
		for _, day := range s.Days {
			if day.Kind == kinds[i] {
				p.line(dayStrokes[i], a.steps(edges, day.HourKW[:])...)
			}
		}
	}
	p.text(noteFace.cut(s.Name+", hour of day", a.x1-a.x0), (a.x0+a.x1)/2, a.y0-34, centre, noteFace)
}

// drawDuration is the year's heat in order of size: where the line stands at a height, so many hours ask for
// as much or more.
func (d Profile) drawDuration(p *pen, a panel, ticks []float64, labels []string) {
	xTicks := inside(Ticks(0, a.xHi, 9), 0, a.xHi)
	p.yAxis(a, "Hours of the year that ask for at least so much", "kW", ticks, labels)
	edges, values := d.duration()
	outline := a.steps(edges, values)
	p.fill(barInk, grounded(outline, a.y(0)))
	for i, t := range xTicks {
		p.vLine(gridLine, a.x(t), a.y0, a.y1)
		p.vLine(axisLine, a.x(t), a.y0-4, a.y0)
		at := centre
		if i == len(xTicks)-1 && math.Abs(t-a.xHi) < 1e-9 {
			at = right
		}
		p.text(tickLabels(xTicks)[i], a.x(t), a.y0-17, at, tickFace)
	}
	p.line(stroke{ink: curveInk, width: 2}, outline...)
	p.zero(a)
	p.text("hours of the year", a.x1, a.y0-34, right, noteFace)
}

// duration gives the year's heat from the most to the least, as steps between edges in hours. There are no more
// corners than can be seen; each step has the mean of what it stands for, so the heat under the line is right.
func (d Profile) duration() (edges, values []float64) {
	sorted := slices.Sorted(slices.Values(d.KW))
	slices.Reverse(sorted)
	const corners = 2000
	every := (len(sorted) + corners - 1) / corners
	edges = append(edges, 0)
	for i := 0; i < len(sorted); i += every {
		j := min(i+every, len(sorted))
		sum := 0.0
		for _, v := range sorted[i:j] {
			sum += v
		}
		edges, values = append(edges, float64(j)*d.StepH), append(values, sum/float64(j-i))
	}
	return edges, values
}
