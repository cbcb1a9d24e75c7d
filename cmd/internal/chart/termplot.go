package chart

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"
)

// textPlot is the grid of characters between the two axes. Its size is a whole number
// of characters per tick, so that ticks stand exactly on rows and columns.
type textPlot struct {
	c      Curve
	pens   textPens
	xs, ys []float64 // ticks
	gutter int       // width of the labels at the left
	cells  [][]rune  // the top row first
	across string    // the unit at the end of the volumes

}

// textPens are the characters of one kind of terminal.
type textPens struct {
	ascii                                bool
	side, sideTick, corner, foot, onFoot rune
	zero, largest, mark                  rune
	zeroEvery                            int
	m3                                   string
}

var (
	asciiPens   = textPens{true, '|', '+', '+', '-', '+', '-', 'O', '^', 3, "m3"}
	unicodePens = textPens{false, '│', '┤', '└', '─', '┴', '╌', '◆', '▲', 1, "m³"}
)

func newTextPlot(c Curve, width, height int, unicode bool) *textPlot {
	t := &textPlot{c: c, pens: asciiPens}
	if unicode {
		t.pens = unicodePens
	}
	const otherLines = 4 // headline, axis, volumes, notes
	var rows, cols int
	t.ys, rows = fitTicks(height-otherLines, 1, func(atMost int) []float64 {
		lo, hi := withZero(c.Savings)
		return Ticks(lo, hi, min(atMost, 5))
	})
	t.gutter = widest(t.ys)
	first, last := c.VolumesM3[0], c.VolumesM3[len(c.VolumesM3)-1]
	if width >= 56 {
		t.across = t.pens.m3 + " of storage"
	} else {
		t.across = t.pens.m3
	}
	// The axis takes two characters at the left, half a label and its unit some at the right.
	room := width - t.gutter - 2 - 2 - 1 - utf8.RuneCountInString(t.across)
	step := max(8, widest(Ticks(first, last, 4))+3)
	t.xs, cols = fitTicks(room, step, func(atMost int) []float64 { return Ticks(first, last, atMost) })
	t.cells = make([][]rune, rows)
	for i := range t.cells {
		t.cells[i] = []rune(strings.Repeat(" ", cols))
	}
	return t
}

// widest is the width of the longest label of an axis.
func widest(ticks []float64) int {
	w := 0
	for _, v := range ticks {
		w = max(w, len(ThousandsPlain(v, tickDecimals(ticks))))
	}
	return w
}

// fitTicks picks the finest ticks whose whole steps, each of leastStep characters or
// more, fill seven eighths of the room; failing that, those that fill the most.
func fitTicks(room, leastStep int, ticksOf func(atMost int) []float64) (ticks []float64, size int) {
	for atMost := 8; atMost >= 1; atMost-- {
		t := ticksOf(atMost)
		n := (room - 1) / (len(t) - 1)
		if n < leastStep && atMost > 1 {
			continue
		}
		if s := max(n, 1)*(len(t)-1) + 1; s > size {
			ticks, size = t, s
		}
		if 8*size >= 7*room {
			break
		}
	}
	return ticks, size
}

// place gives where v stands among n characters, 0 for the first tick.
func place(v float64, ticks []float64, n int) float64 {
	lo, hi := ticks[0], ticks[len(ticks)-1]
	return (v - lo) / (hi - lo) * float64(n-1)
}

func (t *textPlot) column(x float64) int { return int(math.Round(place(x, t.xs, len(t.cells[0])))) }
func (t *textPlot) row(y float64) int {
	return len(t.cells) - 1 - int(math.Round(place(y, t.ys, len(t.cells))))
}

func (t *textPlot) drawZero() {
	if t.ys[0] >= 0 {
		return
	}
	line := t.cells[t.row(0)]
	for i := range line {
		if i%t.pens.zeroEvery == 0 {
			line[i] = t.pens.zero
		}
	}
}

// drawCurve walks along the columns, split in two with Braille, and joins neighbours.
func (t *textPlot) drawCurve() {
	perCol, perRow, middle := 1, 3, 1.0
	if !t.pens.ascii {
		perCol, perRow, middle = 2, 4, 1.5
	}
	volumes, savings := t.c.VolumesM3, t.c.Savings
	lo, hi, cols := t.xs[0], t.xs[len(t.xs)-1], len(t.cells[0])
	before := -1
	for j := range cols * perCol {
		at := (float64(j) - float64(perCol-1)/2) / float64(perCol)
		x := lo + at/float64(cols-1)*(hi-lo)
		slack := 0.5 * (hi - lo) / float64(cols-1) // the last volume may lie inside a column
		if x < volumes[0]-slack || x > volumes[len(volumes)-1]+slack {
			continue
		}
		y := between(volumes, savings, min(max(x, volumes[0]), volumes[len(volumes)-1]))
		dot := int(math.Round(place(y, t.ys, len(t.cells))*float64(perRow) + middle))
		dot = min(max(dot, 0), perRow*len(t.cells)-1)
		if t.pens.ascii {
			t.stamp(j, dot, before)
		} else {
			t.prick(j, dot, before)
		}
		before = dot
	}
	best := largest(savings)
	t.cells[t.row(savings[best])][t.column(volumes[best])] = t.pens.largest
}

// stamp writes the third of a character nearest to dot, and a bar through rows skipped.
func (t *textPlot) stamp(col, dot, before int) {
	row := func(d int) int { return len(t.cells) - 1 - d/3 }
	if before >= 0 {
		for r := min(row(dot), row(before)) + 1; r < max(row(dot), row(before)); r++ {
			t.cells[r][col] = '|'
		}
	}
	t.cells[row(dot)][col] = []rune(".-'")[dot%3]
}

// brailleDots are the bits of a Braille pattern, by column and from the bottom row up
// (Unicode 15, chapter 21.1: dots 7, 3, 2, 1 and 8, 6, 5, 4).
var brailleDots = [2][4]rune{{0x40, 0x04, 0x02, 0x01}, {0x80, 0x20, 0x10, 0x08}}

// prick sets the dots from the one after before to dot in half a column.
func (t *textPlot) prick(half, dot, before int) {
	from, to := dot, dot
	switch {
	case before < 0:
	case before < dot:
		from = before + 1
	case before > dot:
		to = before - 1
	}
	for d := from; d <= to; d++ {
		cell := &t.cells[len(t.cells)-1-d/4][half/2]
		if *cell < 0x2800 || *cell > 0x28ff {
			*cell = 0x2800
		}
		*cell |= brailleDots[half%2][d%4]
	}
}

// largest is the index of the largest value, the first of equals.
func largest(v []float64) int {
	best := 0
	for i := range v {
		if v[i] > v[best] {
			best = i
		}
	}
	return best
}

// headline cuts the name before it would cut the unit.
func (t *textPlot) headline(width int) string {
	unit := fmt.Sprintf(", %s per year", clean(t.c.Currency))
	return cutText(clean(t.c.name()), max(8, width-utf8.RuneCountInString(unit))) + unit
}

func (t *textPlot) rows() []string {
	lines := make([]string, len(t.cells))
	for r, cells := range t.cells {
		label, side := "", t.pens.side
		for _, y := range t.ys {
			if t.row(y) == r {
				label, side = ThousandsPlain(y, tickDecimals(t.ys)), t.pens.sideTick
			}
		}
		lines[r] = fmt.Sprintf("%*s %c%s", t.gutter, label, side, string(cells))
	}
	return lines
}

func (t *textPlot) axis() string {
	line := []rune(strings.Repeat(string(t.pens.foot), len(t.cells[0])))
	for _, x := range t.xs {
		line[t.column(x)] = t.pens.onFoot
	}
	if t.c.MarkM3 != 0 {
		line[t.column(t.c.MarkM3)] = t.pens.mark
	}
	return strings.Repeat(" ", t.gutter+1) + string(t.pens.corner) + string(line)
}

func (t *textPlot) volumes() string {
	line := strings.Repeat(" ", t.gutter+2)
	for _, x := range t.xs {
		label := ThousandsPlain(x, tickDecimals(t.xs))
		if pad := t.gutter + 2 + t.column(x) - len(label)/2 - len(line); pad > 0 {
			line += strings.Repeat(" ", pad)
		}
		line += label
	}
	return line + " " + t.across
}

// notes writes out the largest saving and, where there is room, the marked volume's.
func (t *textPlot) notes(width int) string {
	say := func(mark rune, word string, saving, m3 float64) string {
		return fmt.Sprintf("%c %s%s %s/a at %s %s", mark, word, ThousandsPlain(saving, savingDecimals(saving)), clean(t.c.Currency),
			ThousandsPlain(m3, amountDecimals(m3)), t.pens.m3)
	}
	best := largest(t.c.Savings)
	line := say(t.pens.largest, "largest: ", t.c.Savings[best], t.c.VolumesM3[best])
	if t.c.MarkM3 != 0 {
		second := "   " + say(t.pens.mark, "", between(t.c.VolumesM3, t.c.Savings, t.c.MarkM3), t.c.MarkM3)
		if utf8.RuneCountInString(line+second) <= width {
			line += second
		}
	}
	indent := min(t.gutter+2, max(0, width-utf8.RuneCountInString(line)))
	return strings.Repeat(" ", indent) + line
}

// cutText ends s at the width, with a tilde where something was lost.
func cutText(s string, width int) string {
	runes := []rune(s)
	if len(runes) <= width {
		return s
	}
	return string(runes[:width-1]) + "~"
}

// fit ends a line at the width, and keeps it in ASCII for a terminal that has no more.
func (t *textPlot) fit(line string, width int) string {
	runes := []rune(cutText(line, width))
	for i, r := range runes {
		switch {
		case !t.pens.ascii || r < 0x7f:
		case r == '³':
			runes[i] = '3'
		default:
			runes[i] = '?'
		}
	}
	return strings.TrimRight(string(runes), " ")
}
