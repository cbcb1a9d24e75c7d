package chart

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// SkyMap is a year's light, hour by day, with the sun's way over it as it is worked out for the place: where light
// stands outside the lines, or lopsided between them, the file's clock is wrong.
type SkyMap struct {
	YearMap

	// RiseH, NoonH and SetH are hours by the map's clock, one a day. NaN is a day without; below 0 and over 24 they
	// are drawn at the same hour of the same day.
	RiseH, NoonH, SetH []float64
}

const skyMapHeight = 232

var (
	riseLine = stroke{ink: black, width: 1.6}
	noonLine = stroke{ink: black, width: 1.6, dashes: []vg.Length{7, 4}}
	wayHalo  = stroke{ink: white, width: 4}
)

func (m SkyMap) size() (w, h vg.Length) {
	dry := &pen{w: figureWidth, dry: true}
	head := -dry.legend(m.keys(dry), dry.header(m.Title, m.Subtitle))
	return figureWidth, head + vg.Length(len(m.Maps))*(skyMapHeight+mapPitch-mapHeight) + mapFoot
}

// Check is that of [YearMap], and wants a rise, a noon and a set for each day.
func (m SkyMap) Check() error {
	if err := m.YearMap.Check(); err != nil {
		return err
	}
	var f faults
	for _, way := range []struct {
		name  string
		hours []float64
	}{{"sunrise", m.RiseH}, {"noon", m.NoonH}, {"sunset", m.SetH}} {
		if !f.require(len(way.hours) == m.days(), "%s: has %d days; want %d", way.name, len(way.hours), m.days()) {
			continue
		}
		for d, h := range way.hours {
			if !f.require(math.IsNaN(h) || math.Abs(h) <= 48, "%s: day %d is at %g h; want -48 to 48", way.name, d, h) {
				break
			}
		}
	}
	return f.join("map of the sky")
}

func (m SkyMap) draw(p *pen) {
	top := p.legend(m.keys(p), p.header(m.Title, m.Subtitle))
	m.drawMaps(p, top, skyMapHeight, func(a panel) {
		for _, halo := range []bool{true, false} {
			for _, hours := range [][]float64{m.RiseH, m.SetH, m.NoonH} {
				s := riseLine
				if &hours[0] == &m.NoonH[0] {
					s = noonLine
				}
				if halo {
					s = wayHalo
				}
				for _, run := range a.way(hours) {
					p.line(s, run...)
				}
			}
		}
	})
}

// way is a line through the middles of the days, in pieces where days have none or the hour passes midnight.
func (a panel) way(hours []float64) [][]vg.Point {
	var runs [][]vg.Point
	last := math.NaN()
	for d, h := range hours {
		h = math.Mod(math.Mod(h, 24)+24, 24) // NaN stays NaN
		switch {
		case math.IsNaN(h):
		case math.IsNaN(last) || math.Abs(h-last) > 12:
			runs = append(runs, []vg.Point{a.at(float64(d)+0.5, h)})
		default:
			runs[len(runs)-1] = append(runs[len(runs)-1], a.at(float64(d)+0.5, h))
		}
		last = h
	}
	return runs
}

func (m SkyMap) keys(p *pen) []key {
	line := func(s stroke) func(x0, y0, x1, y1 vg.Length) {
		return func(x0, y0, x1, y1 vg.Length) {
			if !p.dry {
				p.hLine(s, x0, x1, (y0+y1)/2)
			}
		}
	}
	return []key{{"sunrise and sunset, worked out for the place", line(riseLine)}, {"the sun's noon, likewise", line(noonLine)}}
}
