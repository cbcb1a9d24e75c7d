package chart

import (
	"image"
	"image/color"
	"math"
	"strconv"

	"gonum.org/v1/plot/vg"
)

var (
	cellFace  = face{12, true, black}
	guideTone = StoreTone
	givesInk  = levelInk
	givesLine = stroke{ink: givesInk, width: 3}
	ruleFace  = face{14, false, black}
	smallFace = face{12, false, grey30}
)

const cellPx = 20 // pixels of one cell in the shading: whole blocks stay sharp when stretched

// table draws the cells under y and returns the y below them.
func (g Guide) table(p *pen, y vg.Length) vg.Length {
	const headH = 34
	a := panel{x0: margin + 36, x1: figureWidth - margin, y1: y - headH, xHi: 24, yHi: 12}
	a.y0 = a.y1 - 12*guideRow
	p.text("Hour of the day that begins at", a.x0, a.y1+20, left, smallFace)
	for h := range 24 {
		p.text(strconv.Itoa(h), (a.x(float64(h))+a.x(float64(h+1)))/2, a.y1+5, centre, tickFace)
	}
	if p.dry {
		return a.y0 - 8
	}
	p.image(a.x0, a.y0, a.x1, a.y1, g.shading())
	for m := range 12 {
		top := a.y1 - vg.Length(m)*guideRow
		g.row(p, a, m, top)
		p.textMid(monthName(m), a.x0-tickGap, top-guideRow/2, right, tickFace)
	}
	for h := 1; h < 24; h++ {
		s := stroke{ink: white, width: 1}
		if h%6 == 0 {
			s = stroke{ink: grey30, width: 1}
		}
		p.vLine(s, a.x(float64(h)), a.y0, a.y1)
	}
	for m := 1; m < 12; m++ {
		p.hLine(stroke{ink: grey60, width: 0.5}, a.x0, a.x1, a.y1-vg.Length(m)*guideRow)
	}
	p.line(axisLine, append(rectangle(a.x0, a.y0, a.x1, a.y1), vg.Point{X: a.x0, Y: a.y0})...)
	return a.y0 - 8
}

// row draws a month's bars and figures.
func (g Guide) row(p *pen, a panel, m int, top vg.Length) {
	foot := top - guideRow
	p.fill(white, rectangle(a.x0, foot, a.x1, foot+guideStrip))
	for h := range 24 {
		x0, x1 := a.x(float64(h)), a.x(float64(h+1))
		if w := vg.Length(g.Gives[m][h]) * (x1 - x0); w >= 0.5 {
			p.hLine(givesLine, x0, x0+w, foot+guideStrip/2)
		}
		f, figure := cellFace, int(math.Round(g.Percent[m][h]))
		if f.ink = figureInk(g.Percent[m][h]); figure == 0 {
			f = smallFace
		}
		p.textMid(strconv.Itoa(figure), (x0+x1)/2, (top+foot+guideStrip)/2, centre, f)
	}
}

// figureInk is black on the light half of the ramp and white on the dark one.
func figureInk(percent float64) color.Color {
	if percent > 55 {
		return white
	}
	return black
}

func (g Guide) shading() *image.Paletted {
	img := image.NewPaletted(image.Rect(0, 0, 24*cellPx, 12*cellPx), guideTone.ramp())
	for y := range 12 * cellPx {
		for x := range 24 * cellPx {
			img.Pix[y*img.Stride+x] = shade(g.Percent[y/cellPx][x/cellPx], 0, 100)
		}
	}
	return img
}

// keyLine explains the cells' bars.
func (g Guide) keyLine(p *pen, y vg.Length) vg.Length {
	const w = 30
	y -= 14
	if !p.dry {
		p.hLine(givesLine, margin+36, margin+36+w, y+4)
	}
	p.text("how often the store gives in that hour: a bar across the whole cell is every day", margin+36+w+8, y, left, smallFace)
	return y - 8
}

// gauge draws the scale from empty to full and what the store's gauges show along it.
func (g Guide) gauge(p *pen, y vg.Length) vg.Length {
	const barH, nameH = 12, 24
	a := panel{x0: margin + 36, x1: figureWidth - margin - 36, y1: y - nameH, xHi: 100}
	a.y0 = a.y1 - barH
	p.text(g.GaugeName, a.x0, a.y1+7, left, panelFace)
	if !p.dry {
		img := image.NewPaletted(image.Rect(0, 0, 256*2, 8), guideTone.ramp())
		for i := range img.Pix {
			img.Pix[i] = uint8(i % img.Stride / 2)
		}
		p.image(a.x0, a.y0, a.x1, a.y1, img)
		p.line(axisLine, append(rectangle(a.x0, a.y0, a.x1, a.y1), vg.Point{X: a.x0, Y: a.y0})...)
	}
	for _, m := range g.Gauge {
		x := a.x(m.Percent)
		if !p.dry {
			p.vLine(axisLine, x, a.y0-5, a.y0)
		}
		room := (a.x1 - a.x0) / mostGaugeMarks
		p.text(strconv.Itoa(int(math.Round(m.Percent)))+" %", x, a.y0-18, centre, tickFace)
		p.text(noteFace.cut(m.Upper, room), x, a.y0-34, centre, noteFace)
		p.text(noteFace.cut(m.Lower, room), x, a.y0-50, centre, noteFace)
	}
	return a.y0 - 60
}

// words sets rules and note.
func (g Guide) words(p *pen, y vg.Length) vg.Length {
	const indent = 20
	y -= 6
	for i, rule := range g.Rules {
		for j, line := range ruleFace.wrap(rule, figureWidth-2*margin-indent, guideRuleLines) {
			y -= ruleFace.size + 3
			if j == 0 {
				number := ruleFace
				number.bold = true
				p.text(strconv.Itoa(i+1)+".", margin, y, left, number)
			}
			p.text(line, margin+indent, y, left, ruleFace)
		}
		y -= 3
	}
	y -= 4
	for _, line := range smallFace.wrap(g.Note, figureWidth-2*margin, guideNoteLines) {
		y -= smallFace.size + 3
		p.text(line, margin, y, left, smallFace)
	}
	return y
}

func (p *pen) image(x0, y0, x1, y1 vg.Length, img image.Image) {
	p.c.DrawImage(vg.Rectangle{Min: vg.Point{X: x0, Y: y0}, Max: vg.Point{X: x1, Y: y1}}, img)
}
