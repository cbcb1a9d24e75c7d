package chart

import (
	"fmt"
	"io"
	"strings"
)

// Bounds of a text chart in characters.
const (
	leastTextWidth, mostTextWidth   = 40, 80
	leastTextHeight, mostTextHeight = 8, 14
)

// WriteText draws the savings of c against volume in characters: at most width by
// height, and never more than 80 columns by 14 lines; it wants at least 40 by 8.
// With unicode it uses Braille patterns, without it only ASCII, for a dumb terminal.
// The largest saving is marked and written out, as is a marked volume. Title, bound
// and marginal savings are left to the table beside it.
func WriteText(w io.Writer, c Curve, width, height int, unicode bool) error {
	if err := c.Check(); err != nil {
		return err
	}
	width, height = min(width, mostTextWidth), min(height, mostTextHeight)
	if width < leastTextWidth || height < leastTextHeight {
		return fmt.Errorf("text chart: room is %d by %d characters; want %d by %d or more", width, height, leastTextWidth, leastTextHeight)
	}
	t := newTextPlot(c, width, height, unicode)
	t.drawZero()
	t.drawCurve()
	lines := append([]string{t.headline(width)}, t.rows()...)
	lines = append(lines, t.axis(), t.volumes(), t.notes(width))
	for i, line := range lines {
		lines[i] = t.fit(line, width)
	}
	_, err := io.WriteString(w, strings.Join(lines, "\n")+"\n")
	return err
}
