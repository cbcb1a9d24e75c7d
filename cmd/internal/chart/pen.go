package chart

import (
	"image/color"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/image/font"

	plotfont "gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// pen draws on either canvas in points, from the lower left corner up.
type pen struct {
	c     draw.Canvas
	w, h  vg.Length
	scale float64 // pixels per CSS pixel on a PNG, 1 for SVG
	dry   bool    // measures only: nothing is drawn
}

// face is one of the few kinds of lettering; sizes hold when a figure 900 pt
// across is printed 170 mm wide (13 pt become 7 pt).
type face struct {
	size vg.Length
	bold bool
	ink  color.Color
}

var (
	titleFace    = face{21, true, black}
	subtitleFace = face{14, false, grey30}
	panelFace    = face{14, true, black}
	noteFace     = face{13, false, grey30}
	tickFace     = face{13, false, grey20}
)

// loadFonts parses the embedded fonts once.
var loadFonts = sync.OnceValue(func() *plotfont.Cache {
	return plotfont.NewCache(liberation.Collection())
})

func (f face) lookup() plotfont.Face {
	kind := plotfont.Font{Typeface: "Liberation", Variant: "Sans"}
	if f.bold {
		kind.Weight = font.WeightBold
	}
	return loadFonts().Lookup(kind, f.size)
}

func (f face) width(s string) vg.Length {
	lettering := f.lookup()
	return lettering.Width(s)
}

// capHeight is the height of figures and capitals: 1409/2048 in Liberation Sans.
func (f face) capHeight() vg.Length { return 0.688 * f.size }

// align says which part of the text stands at the given x.
type align vg.Length

const (
	left   align = 0
	centre align = 0.5
	right  align = 1
)

// text writes s on the baseline y.
func (p *pen) text(s string, x, y vg.Length, at align, f face) {
	s = clean(s)
	if s == "" || p.dry {
		return
	}
	p.c.SetColor(f.ink)
	lettering := f.lookup()
	p.c.FillString(lettering, vg.Point{X: x - vg.Length(at)*lettering.Width(s), Y: y}, s)
}

// textMid is text with the figures' middle at y.
func (p *pen) textMid(s string, x, y vg.Length, at align, f face) {
	p.text(s, x, y-f.capHeight()/2, at, f)
}

// label is text on a white ground, kept between x0 and x1.
func (p *pen) label(s string, x, y, x0, x1 vg.Length, f face) {
	w := f.width(clean(s))
	x = min(max(x, x0), x1-w)
	p.fill(white, rectangle(x-3, y-0.28*f.size, x+w+3, y+0.85*f.size))
	p.text(s, x, y, left, f)
}

// clean makes a string safe for one line of XML: valid UTF-8, no control characters.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == 0xFFFE || r == 0xFFFF {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "?"))
}

// wrap breaks s at spaces into at most lines lines of like length; what does not fit
// ends in an ellipsis.
func (f face) wrap(s string, width vg.Length, lines int) []string {
	out := f.greedy(s, width, lines)
	least := width / 2 // and no word is cut for evenness
	for _, word := range words(s) {
		least = max(least, f.width(word))
	}
	for narrow := width * 0.95; len(out) > 1 && narrow > least; narrow *= 0.95 {
		next := f.greedy(s, narrow, lines+1)
		if len(next) > len(out) {
			break
		}
		out = next
	}
	return out
}

// words parts at spaces that may be torn apart: not at those within a number.
func words(s string) []string {
	return strings.FieldsFunc(clean(s), func(r rune) bool { return r == ' ' })
}

func (f face) greedy(s string, width vg.Length, lines int) []string {
	var out []string
	rest := words(s)
	for len(rest) > 0 {
		n := 1
		for n < len(rest) && f.width(strings.Join(rest[:n+1], " ")) <= width {
			n++
		}
		if len(out) == lines-1 {
			return append(out, f.cut(strings.Join(rest, " "), width))
		}
		out = append(out, f.cut(strings.Join(rest[:n], " "), width))
		rest = rest[n:]
	}
	return out
}

// cut shortens s to the width, with an ellipsis where something was lost.
func (f face) cut(s string, width vg.Length) string {
	s = clean(s)
	if f.width(s) <= width {
		return s
	}
	runes := []rune(s)
	for len(runes) > 0 && f.width(string(runes)+"…") > width {
		runes = runes[:len(runes)-1]
	}
	return strings.TrimRight(string(runes), " ") + "…"
}

// stroke is a kind of line.
type stroke struct {
	ink    color.Color
	width  vg.Length
	dashes []vg.Length
}

func (p *pen) line(s stroke, points ...vg.Point) {
	p.c.StrokeLines(draw.LineStyle{Color: s.ink, Width: s.width, Dashes: s.dashes}, points)
}

func (p *pen) hLine(s stroke, x0, x1, y vg.Length) {
	p.line(s, vg.Point{X: x0, Y: y}, vg.Point{X: x1, Y: y})
}
func (p *pen) vLine(s stroke, x, y0, y1 vg.Length) {
	p.line(s, vg.Point{X: x, Y: y0}, vg.Point{X: x, Y: y1})
}

// fill paints the area inside the points.
func (p *pen) fill(ink color.Color, points []vg.Point) {
	p.c.SetColor(ink)
	p.c.Fill(closed(points))
}

// dot draws a filled circle with a rim.
func (p *pen) dot(ink, rim color.Color, at vg.Point, radius vg.Length) {
	p.c.SetColor(rim)
	p.c.Fill(circle(at, radius+1))
	p.c.SetColor(ink)
	p.c.Fill(circle(at, radius))
}

func circle(at vg.Point, radius vg.Length) vg.Path {
	var path vg.Path
	path.Move(vg.Point{X: at.X + radius, Y: at.Y})
	path.Arc(at, radius, 0, fullTurn)
	path.Close()
	return path
}

func closed(points []vg.Point) vg.Path {
	var path vg.Path
	for i, pt := range points {
		if i == 0 {
			path.Move(pt)
			continue
		}
		path.Line(pt)
	}
	path.Close()
	return path
}

func rectangle(x0, y0, x1, y1 vg.Length) []vg.Point {
	return []vg.Point{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}
