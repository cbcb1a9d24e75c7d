package sketch

import (
	"fmt"
	"time"

	"noonkeep/cmd/internal/chart"
)

// YearFrame goes round a map by [YearPNG]: months, hours and a scale of round values.
type YearFrame struct {
	ID    string // begins the ids in the picture, "year" when empty; several maps on a page want one each
	Title string // the finding in words: "Sun to the header: 412 MWh, most in July"
	Name  string // what is drawn, without its unit: "Sun to the header"
	Note  string // beside the name, such as the year's sum; may be empty

	Year int // sets the months' lengths
	Href string

	MostKW    float64 // where the map is full
	HeatUnit  string
	HeatTimes float64 // of a kW

	Tone   Tone
	Narrow bool
}

// Check finds a frame without a map, a scale or words.
func (y YearFrame) Check() error {
	var f faults
	f.id(y.ID)
	f.want(y.Title != "" && y.Name != "", "words: title is %q, name is %q; want both", y.Title, y.Name)
	f.want(y.Href != "", "map: has no address; want one")
	f.want(y.Year >= 1 && y.Year <= 9999, "year: is %d; want 1 to 9999", y.Year)
	f.want(y.MostKW > 0 && y.MostKW <= largest, "full colour: is at %g kW; want more than 0", y.MostKW)
	f.want(y.HeatUnit != "", "unit: is empty; want a name such as kW")
	f.want(y.HeatTimes > 0 && y.HeatTimes <= largest, "heat in %s: is %g of a kW; want more than 0", y.HeatUnit, y.HeatTimes)
	f.want(y.Tone.known(), "tone: is %d; want one of the three", y.Tone)
	return f.join("year")
}

// SVG draws the frame.
func (y YearFrame) SVG() (string, error) {
	if err := y.Check(); err != nil {
		return "", err
	}
	p := newPen("year", y.ID, y.Narrow, 230, 250)
	most := y.MostKW * y.HeatTimes
	p.open("year", y.Title, fmt.Sprintf("A map of the year: days from left to right, hours from midnight at the bottom to midnight at the top; "+
		"the fuller the colour, the more heat, up to %s %s.", figure(most), y.HeatUnit))
	a := panel{x0: PlotLeft * p.w, x1: 0.89 * p.w, y0: 34, y1: p.h - 32, xHi: float64(y.days()), yHi: 24}
	if y.Narrow {
		a.x0, a.x1 = 0.145*p.w, 0.97*p.w
		a.y1 -= 46 // the scale lies under a narrow map
	}
	p.text("name", "start", 4, a.y0-14, cut(y.Name, p.w-8))
	if at := 4 + width(y.Name)*1.06 + 10; y.Note != "" && at < p.w-60 {
		p.text("quiet", "start", at, a.y0-14, cut(y.Note, p.w-4-at))
	}
	p.mark("rect", "class", "ground", "x", num(a.x0), "y", num(a.y0), "width", num(a.x1-a.x0), "height", num(a.y1-a.y0))
	y.drawMap(p, a)
	y.drawMonths(p, a)
	y.drawHours(p, a)
	y.drawScale(p, a, most)
	return p.close(), nil
}

func (y YearFrame) days() int { return time.Date(y.Year, 12, 31, 0, 0, 0, 0, time.UTC).YearDay() }

func (y YearFrame) drawMap(p *pen, a panel) {
	attributes := []string{"x", num(a.x0), "y", num(a.y0), "width", num(a.x1 - a.x0), "height", num(a.y1 - a.y0),
		"preserveAspectRatio", "none", "href", y.Href}
	if !y.Narrow { // narrow, a day has less than a pixel, and mean colours beat dropped days
		attributes = append(attributes, "image-rendering", "pixelated")
	}
	p.mark("image", attributes...)
}

// drawMonths names the months under the map, by their first letter where it is narrow.
func (y YearFrame) drawMonths(p *pen, a panel) {
	p.line("axis", 1, a.x0, a.y1, a.x1, a.y1)
	for m := time.January; m <= time.December; m++ {
		first := time.Date(y.Year, m, 1, 0, 0, 0, 0, time.UTC)
		from := float64(first.YearDay() - 1)
		to := float64(first.AddDate(0, 1, -1).YearDay())
		if m > time.January {
			p.line("grid", 1, a.x(from), a.y0, a.x(from), a.y1)
		}
		p.line("axis", 1, a.x(from), a.y1, a.x(from), a.y1+5)
		name := first.Format("Jan")
		if y.Narrow {
			name = name[:1]
		}
		p.text("", "middle", (a.x(from)+a.x(to))/2, a.y1+18, name)
	}
	p.line("axis", 1, a.x1, a.y1, a.x1, a.y1+5)
}

func (y YearFrame) drawHours(p *pen, a panel) {
	p.line("axis", 1, a.x0, a.y0, a.x0, a.y1)
	for h := 0.0; h <= 24; h += 6 {
		p.line("axis", 1, a.x0-5, a.y(h), a.x0, a.y(h))
		p.text("", "end", a.x0-8, a.y(h)+4.5, clockText(h))
		if h > 0 && h < 24 {
			p.line("grid", 1, a.x0, a.y(h), a.x1, a.y(h))
		}
	}
}

// drawScale draws the scale of colour: upright at the right of a wide map, lying under a narrow one.
func (y YearFrame) drawScale(p *pen, a panel, most float64) {
	across := y.Narrow
	bar := panel{x0: a.x1 + 22, x1: a.x1 + 36, y0: a.y0 + 20, y1: a.y1, xHi: most, yHi: most}
	ends := []string{"x1", "0", "y1", "1", "x2", "0", "y2", "0"}
	if across {
		bar.x0, bar.x1, bar.y0, bar.y1 = a.x0, a.x0+0.62*(a.x1-a.x0), a.y1+32, a.y1+44
		ends = []string{"x1", "0", "y1", "0", "x2", "1", "y2", "0"}
	}
	c := hues[y.Tone]
	ink := fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
	p.begin("defs")
	p.begin("linearGradient", append([]string{"id", p.id + "-scale"}, ends...)...)
	p.mark("stop", "offset", "0", "stop-color", ink, "stop-opacity", "0")
	p.mark("stop", "offset", "1", "stop-color", ink)
	p.end("linearGradient")
	p.end("defs")
	room := []string{"x", num(bar.x0), "y", num(bar.y0), "width", num(bar.x1 - bar.x0), "height", num(bar.y1 - bar.y0)}
	p.mark("rect", append([]string{"class", "ground"}, room...)...)
	p.mark("rect", append([]string{"class", "hatch", "fill", "url(#" + p.id + "-scale)"}, room...)...)
	p.mark("rect", append([]string{"class", "axis", "fill", "none", "stroke", "currentColor"}, room...)...)
	ticks := inside(chart.Ticks(0, most, 4), 0, most)
	texts, scaled := labels(ticks, 50)
	for i, t := range ticks {
		if across {
			p.line("axis", 1, bar.x(t), bar.y1, bar.x(t), bar.y1+4)
			p.text("", "middle", bar.x(t), bar.y1+17, texts[i])
		} else {
			p.line("axis", 1, bar.x1, bar.y(t), bar.x1+4, bar.y(t))
			p.text("", "start", bar.x1+7, bar.y(t)+4.5, texts[i])
		}
	}
	if across {
		p.text("", "start", bar.x1+14, bar.y1, scaled+y.HeatUnit)
	} else {
		p.text("", "start", bar.x0, a.y0+8, scaled+y.HeatUnit)
	}
}
