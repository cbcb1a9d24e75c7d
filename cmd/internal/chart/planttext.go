package chart

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// Bounds of a diagram in characters.
const leastPlantWidth, mostPlantWidth = 60, 90

// WritePlantText draws a plant in lines of characters, at most width wide and never more than 90; it wants 60. Fields,
// stores and boilers stand first, each with a line to the pipes at the right, which run down to the stores that they
// charge and to the headers; under each header hang its loads. Lines that cross without a corner or a branch do not
// meet. Without unicode only ASCII is used.
func WritePlantText(w io.Writer, d Plant, width int, unicode bool) error {
	if err := d.Check(); err != nil {
		return err
	}
	if width = min(width, mostPlantWidth); width < leastPlantWidth {
		return fmt.Errorf("text diagram: room is %d characters; want %d or more", width, leastPlantWidth)
	}
	t := &plantText{d: d, width: width, pens: asciiPipes}
	if unicode {
		t.pens = unicodePipes
	}
	t.plan()
	t.sources()
	for h := range d.Headers {
		t.header(h)
	}
	_, err := io.WriteString(w, strings.Join(t.lines, "\n")+"\n")
	return err
}

// plantPens are the characters of one kind of terminal. joint is told by what meets in it: 1 up, 2 down, 4 left, 8 right.
type plantPens struct {
	ascii                          bool
	level, upright, bar, left      rune
	right, down                    rune
	joint                          [16]rune
	branch, lastBranch, fall, head string
}

var (
	asciiPipes = plantPens{true, '-', '|', '=', '<', '>', 'v', [16]rune{' ', '|', '|', '|', '-', '+', '+', '+', '-', '+', '+', '+', '-', '+', '+', '+'},
		"|-> ", "'-> ", "|", "v"}
	unicodePipes = plantPens{false, '─', '│', '═', '◄', '►', '▼', [16]rune{' ', '│', '│', '│', '─', '┘', '┐', '┤', '─', '└', '┌', '├', '─', '┴', '┬', '┼'},
		"├─► ", "└─► ", "│", "▼"}
)

// plantText lays a plant out in lines.
type plantText struct {
	d     Plant
	width int
	pens  plantPens
	lines []string

	words int     // columns for words, left of the pipes
	names int     // columns for names
	pipes []track // the pipes at the right, from the left: to the stores, then to the headers
	live  []bool  // which of them run on below the last line
}

// plan finds the pipes and parts the width between words and them.
func (t *plantText) plan() {
	charged, fed := map[int]bool{}, map[int]bool{}
	for _, f := range t.d.Fields {
		for _, s := range f.Stores {
			charged[s] = true
		}
		for _, h := range f.Headers {
			fed[h] = true
		}
	}
	for _, x := range append(t.d.storeParts(), t.d.Boilers...) {
		fed[x.Header] = true
	}
	for s := range t.d.Stores {
		if charged[s] {
			t.pipes = append(t.pipes, track{true, s})
		}
	}
	for h := range t.d.Headers {
		if fed[h] {
			t.pipes = append(t.pipes, track{false, h})
		}
	}
	t.live = make([]bool, len(t.pipes))
	t.words = t.width - pipeColumns*len(t.pipes) - 2
	t.names = 8
	for _, x := range append(append(t.d.storeParts(), t.d.Boilers...), t.d.Loads...) {
		t.names = max(t.names, utf8.RuneCountInString(t.say(x.Name)))
	}
	for _, x := range t.d.Fields {
		t.names = max(t.names, utf8.RuneCountInString(t.say(x.Name)))
	}
	t.names = min(t.names, 2*t.words/5)
}

const (
	pipeColumns = 3 // from pipe to pipe
	kindColumns = 9 // "  boiler "
)

func (t *plantText) column(pipe int) int { return t.words + 2 + pipe*pipeColumns }

func (t *plantText) pipe(x track) int { return slices.Index(t.pipes, x) }

// sources writes fields, stores and boilers.
func (t *plantText) sources() {
	for _, f := range t.d.Fields {
		var to []int
		for _, s := range f.Stores {
			to = append(to, t.pipe(track{true, s}))
		}
		for _, h := range f.Headers {
			to = append(to, t.pipe(track{false, h}))
		}
		t.source("field", PlantPart{Name: f.Name, Figures: f.Figures}, -1, to)
	}
	for s, x := range t.d.Stores {
		t.source("store", x.PlantPart, t.pipe(track{true, s}), []int{t.pipe(track{false, x.Header})})
	}
	for _, x := range t.d.Boilers {
		t.source("boiler", x, -1, []int{t.pipe(track{false, x.Header})})
	}
}

// source writes a part: in its first line what charges it, in that or the next what it feeds, and its words beside.
func (t *plantText) source(kind string, x PlantPart, from int, to []int) {
	words := t.partLines(fmt.Sprintf("  %-*s", kindColumns-2, kind), x)
	if from >= 0 {
		if len(words) == 1 {
			words = append(words, "")
		}
		t.row(words[0], []int{from}, true)
		t.row(words[1], to, false)
		words = words[2:]
	} else {
		t.row(words[0], to, false)
		words = words[1:]
	}
	for _, line := range words {
		t.row(line, nil, false)
	}
}

// partLines sets lead, name and figures in the columns of words.
func (t *plantText) partLines(lead string, x PlantPart) []string {
	at := utf8.RuneCountInString(lead) + t.names + 2
	fits := func(s string) bool { return utf8.RuneCountInString(s) <= t.words-at }
	var lines []string
	for _, line := range atCommas(t.say(strings.Join(x.Figures, "; ")), fits) {
		lines = append(lines, wrapText(line, t.words-at)...)
	}
	name := cutText(t.say(x.Name), t.names)
	lines[0] = lead + fmt.Sprintf("%-*s  ", t.names, name) + lines[0]
	for i := range lines[1:] {
		lines[i+1] = strings.Repeat(" ", at) + lines[i+1]
	}
	return lines
}

// row writes words and, right of them, the pipes, with a level line to or, with end, from those given.
func (t *plantText) row(words string, meets []int, end bool) {
	line := []rune(fmt.Sprintf("%-*s", t.width, words))
	last := -1
	for _, p := range meets {
		last = max(last, p)
	}
	if last >= 0 {
		from := max(utf8.RuneCountInString(words)+1, t.words-1)
		for i := from; i < t.column(last); i++ {
			line[i] = t.pens.level
		}
		if end {
			line[from] = t.pens.left
		}
	}
	for p := range t.pipes {
		met := slices.Contains(meets, p)
		switch {
		case met:
			line[t.column(p)] = t.joint(t.live[p], !end, true, p < last)
			t.live[p] = !end
		case t.live[p]:
			line[t.column(p)] = t.pens.upright
		}
	}
	t.lines = append(t.lines, strings.TrimRight(string(line), " "))
}

func (t *plantText) joint(up, down, left, right bool) rune {
	i := 0
	for bit, is := range []bool{up, down, left, right} {
		if is {
			i |= 1 << bit
		}
	}
	return t.pens.joint[i]
}

// header writes a header with its loads and the valve to the next.
func (t *plantText) header(h int) {
	x := t.d.Headers[h]
	end, reach := t.pipe(track{false, h}), t.words+1
	if end >= 0 {
		t.row("", nil, false)
		t.put(len(t.lines)-1, t.column(end), t.pens.down)
		t.live[end] = false
		reach = t.column(end) + 1
	} else if h > 0 && !x.FromAbove {
		t.row("", nil, false)
	}
	text := t.say(x.Name)
	for _, s := range x.Figures {
		text += "  " + t.say(s)
	}
	bar := string(t.pens.bar)
	text = "  " + bar + bar + bar + " " + cutText(text, reach-8) + " "
	t.row(text+strings.Repeat(bar, reach+1-utf8.RuneCountInString(text)), nil, false)
	loads := on(t.d.Loads, h)
	falls := h+1 < len(t.d.Headers) && t.d.Headers[h+1].FromAbove
	for i, l := range loads {
		t.load(t.d.Loads[l], i == len(loads)-1 && !falls)
	}
	if falls {
		t.row("    "+t.pens.fall, nil, false)
		valve := "    " + t.pens.head + " " + t.say(t.d.Headers[h+1].valveName())
		for _, s := range t.d.Headers[h+1].Valve {
			valve += ", " + t.say(s)
		}
		t.row(cutText(valve, t.words), nil, false)
	}
}

func (t *plantText) load(x PlantPart, last bool) {
	lead, side := t.pens.branch, t.pens.fall
	if last {
		lead, side = t.pens.lastBranch, " "
	}
	for i, line := range t.partLines("    "+lead, x) {
		if i > 0 {
			line = "    " + side + line[5:]
		}
		t.row(line, nil, false)
	}
}

// put writes one character into a line that stands.
func (t *plantText) put(row, column int, r rune) {
	line := []rune(fmt.Sprintf("%-*s", column+1, t.lines[row]))
	line[column] = r
	t.lines[row] = string(line)
}

// say is a word as the terminal can show it: on one line, and in ASCII where it has no more.
func (t *plantText) say(s string) string {
	s = clean(s)
	if !t.pens.ascii {
		return s
	}
	s = strings.NewReplacer("°C", "degC", "°", " deg", "³", "3", "²", "2", "×", "x", narrowSpace, " ", "\u00a0", " ", trueMinus, "-").Replace(s)
	return strings.Map(func(r rune) rune {
		if r < 0x7f {
			return r
		}
		return '?'
	}, s)
}

// atCommas breaks figures after a comma or a semicolon into lines that fit; what does not fit between two of them is
// left whole.
func atCommas(s string, fits func(string) bool) []string {
	lines := []string{""}
	for s != "" {
		n := strings.IndexAny(s, ",;") + 1
		if n == 0 {
			n = len(s)
		}
		piece := strings.TrimSpace(s[:n])
		s = s[n:]
		last := &lines[len(lines)-1]
		switch joined := strings.TrimSpace(*last + " " + piece); {
		case *last == "" || fits(joined):
			*last = joined
		default:
			lines = append(lines, piece)
		}
	}
	return lines
}

// wrapText breaks s at spaces into lines of at most width characters; a longer word is cut.
func wrapText(s string, width int) []string {
	lines := []string{""}
	for _, word := range strings.Fields(s) {
		word = cutText(word, width)
		last := &lines[len(lines)-1]
		switch n := utf8.RuneCountInString(*last) + 1 + utf8.RuneCountInString(word); {
		case *last == "":
			*last = word
		case n <= width:
			*last += " " + word
		default:
			lines = append(lines, word)
		}
	}
	return lines
}
