package sketch

import (
	"encoding/xml"
	"math"
	"strconv"
	"strings"
	"unicode"
)

const (
	letterPx = 13 // of all text, in the picture's units, wide or narrow
	lineH    = 17 // from one line of text to the next
)

// pen writes one picture.
type pen struct {
	b      strings.Builder
	id     string // begins every id in the picture
	w, h   float64
	narrow bool
}

// newPen begins a picture of a kind; ids on a page stay apart by base and shape.
func newPen(kind, base string, narrow bool, wideH, narrowH float64) *pen {
	if base == "" {
		base = kind
	}
	p := &pen{id: base + "-wide", w: wideW, h: wideH, narrow: narrow}
	if narrow {
		p.id, p.w, p.h, p.narrow = base+"-narrow", narrowW, narrowH, true
	}
	return p
}

const (
	wideW   = 900
	narrowW = 340
)

// open writes the root; attributes come as name, value, name, value.
func (p *pen) open(kind, title, desc string, attributes ...string) {
	shape := "wide"
	if p.narrow {
		shape = "narrow"
	}
	p.begin("svg", append([]string{"xmlns", "http://www.w3.org/2000/svg", "viewBox", "0 0 " + num(p.w) + " " + num(p.h),
		"class", "sketch " + shape + " " + kind, "role", "img", "aria-labelledby", p.id + "-title", "aria-describedby", p.id + "-desc",
		"font-size", num(letterPx)}, attributes...)...)
	p.b.WriteString(`<title id="` + escape(p.id) + `-title">` + escape(title) + "</title>")
	p.b.WriteString(`<desc id="` + escape(p.id) + `-desc">` + escape(desc) + "</desc>\n")
}

func (p *pen) close() string {
	p.b.WriteString("</svg>\n")
	return p.b.String()
}

// begin opens an element; end closes it.
func (p *pen) begin(name string, attributes ...string) {
	p.b.WriteString("<" + name)
	p.attributes(attributes)
	p.b.WriteString(">")
}

func (p *pen) end(name string) { p.b.WriteString("</" + name + ">\n") }

// mark writes an element without content.
func (p *pen) mark(name string, attributes ...string) {
	p.b.WriteString("<" + name)
	p.attributes(attributes)
	p.b.WriteString("/>\n")
}

func (p *pen) attributes(pairs []string) {
	for i := 0; i+1 < len(pairs); i += 2 {
		p.b.WriteString(" " + pairs[i] + `="` + escape(pairs[i+1]) + `"`)
	}
}

// line is a straight line. Its colour is currentColor where no style sheet says otherwise.
func (p *pen) line(class string, width, x1, y1, x2, y2 float64, more ...string) {
	p.mark("path", append([]string{"class", class, "fill", "none", "stroke", "currentColor", "stroke-width", num(width),
		"d", "M" + num(x1) + " " + num(y1) + "L" + num(x2) + " " + num(y2)}, more...)...)
}

// trace is a line through points.
func (p *pen) trace(class string, width float64, pts []point, more ...string) {
	p.mark("path", append([]string{"class", class, "fill", "none", "stroke", "currentColor", "stroke-width", num(width),
		"stroke-linejoin", "round", "d", way(pts)}, more...)...)
}

// area is a filled outline.
func (p *pen) area(class string, pts []point, more ...string) {
	p.mark("path", append([]string{"class", class, "d", way(pts) + "Z"}, more...)...)
}

// text writes a line of text; anchor is start, middle or end.
func (p *pen) text(class, anchor string, x, y float64, s string) {
	attributes := []string{"x", num(x), "y", num(y)}
	if class != "" {
		attributes = append(attributes, "class", class)
	}
	if anchor != "start" {
		attributes = append(attributes, "text-anchor", anchor)
	}
	if strings.Contains(class, "halo") {
		attributes = append(attributes, "paint-order", "stroke", "stroke-width", "4", "stroke-linejoin", "round")
	}
	if strings.Contains(class, "name") || strings.Contains(class, "say") {
		attributes = append(attributes, "font-weight", "600")
	}
	p.begin("text", attributes...)
	p.b.WriteString(escape(s))
	p.end("text")
}

// escape makes outside text into text: of markup nothing is left, and what XML does not allow becomes U+FFFD.
func escape(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a Builder takes every write
	return b.String()
}

// num prints a coordinate to a hundredth, which is finer than any screen.
func num(v float64) string {
	return strconv.FormatFloat(math.Round(v*100)/100+0, 'f', -1, 64)
}

// full prints a number so that it reads back as the same.
func full(v []float64) string {
	s := make([]string, len(v))
	for i, x := range v {
		s[i] = strconv.FormatFloat(x, 'g', -1, 64)
	}
	return strings.Join(s, ",")
}

type point struct{ x, y float64 }

func way(pts []point) string {
	var b strings.Builder
	for i, pt := range pts {
		if i == 0 {
			b.WriteString("M")
		} else {
			b.WriteString("L")
		}
		b.WriteString(num(pt.x) + " " + num(pt.y))
	}
	return b.String()
}

// width is the room of a line of text. The page's letters are not known here, so it is that of a wide sans serif.
func width(s string) float64 {
	em := 0.0
	for _, r := range s {
		switch {
		case r == '\u202f':
			em += 0.24
		case strings.ContainsRune(" .,:;'|il()", r):
			em += 0.34
		case unicode.IsUpper(r), r > 0x2e80:
			em += 0.74
		case r == 'm', r == 'w':
			em += 0.9
		default:
			em += 0.59
		}
	}
	return em * letterPx
}

// cut shortens a line of text to a width, and marks it with an ellipsis.
func cut(s string, room float64) string {
	if width(s) <= room {
		return s
	}
	runes := []rune(s)
	for len(runes) > 0 && width(string(runes)+"…") > room {
		runes = runes[:len(runes)-1]
	}
	return strings.TrimRight(string(runes), " ") + "…"
}
