package chart

import (
	"slices"

	"gonum.org/v1/plot/vg"
)

// plantSheet is a laid out diagram. Heights count from the page's top edge down, so y is below zero.
type plantSheet struct {
	height vg.Length
	parts  []plantCell
	bars   []plantBar
	pipes  []pipe
	dots   []vg.Point // where pipes of one kind join
	valves []plantCell
}

// partKind tells symbols apart.
type partKind int

const (
	fieldPart partKind = iota
	storePart
	boilerPart
	loadPart
	valvePart
)

// plantCell is a placed symbol with its words.
type plantCell struct {
	kind   partKind
	symbol box
	words  []plantWord
}

type plantWord struct {
	text string
	x, y vg.Length // baseline
	face face
}

// plantBar is a placed header.
type plantBar struct {
	box
	text string
}

// pipe is a run of heat from its first point to its last.
type pipe struct {
	sun   bool // from the collectors
	arrow bool // a head at the last point
	net   int  // pipes of one net may touch
	pts   []vg.Point
}

const (
	plantFieldW  = 200 // the column of fields, words and symbol
	plantStoreW  = 176 // the column of stores
	plantValveW  = 104
	plantTrack   = 10 // between the pipes of the channel
	plantSide    = 16 // free on both sides of the channel's pipes
	plantPipe    = 16 // from a branch pipe to the symbols that hang on it
	symbolW      = 32
	symbolH      = 28
	plantBarH    = 22
	plantLineH   = 14.5
	plantRowGap  = 14
	plantDeckGap = 26
	plantDrop    = 18  // of a branch pipe between its lowest part and the header
	leastCellW   = 176 // of a boiler or load
	plantFoot    = 22
	portApart    = 6 // between pipes that leave or reach the channel
)

var (
	partFace  = face{12.5, true, black}
	valueFace = face{12, false, grey30}
	barFace   = face{13, true, white}
)

// layer lays a plant out from the top down.
type layer struct {
	Plant
	plantSheet
	y      vg.Length // free from here down
	x0, x1 vg.Length // of the headers
	right  vg.Length // of what hangs on the headers, left of the valves

	bar    []vg.Length // middle of each header's bar
	charge []vg.Point  // where each store is charged from the left
	nets   int
}

func (d Plant) lay() plantSheet {
	dry := &pen{w: figureWidth, dry: true}
	l := &layer{Plant: d, y: dry.legend(d.keys(dry), dry.header(d.Title, d.Subtitle)) - 6}
	l.x0, l.x1 = margin, figureWidth-margin
	if len(d.Fields) > 0 {
		l.x0 += plantFieldW
	}
	if n := len(d.tracks()) + len(d.steamTracks()); n > 0 {
		l.x0 += 2*plantSide + vg.Length(n-1)*plantTrack
	}
	l.right = l.x1
	if d.hasValve() {
		l.right -= plantValveW
	}
	l.bar, l.charge = make([]vg.Length, len(d.Headers)), make([]vg.Point, len(d.Stores))
	top := l.y
	for h := range d.Headers {
		l.deck(h)
	}
	foot := l.y
	l.y = top
	l.fields()
	l.steam()
	l.height = plantFoot - min(foot, l.y)
	return l.plantSheet
}

// deck lays one header with what feeds it above and what it feeds below.
func (l *layer) deck(h int) {
	top := l.y
	left, foot := l.stores(h, top)
	foot = min(foot, l.grid(boilerPart, l.Boilers, h, left, top))
	if foot < top {
		foot -= plantDrop
	} else if h > 0 {
		foot -= plantDeckGap
	}
	if h > 0 && l.Headers[h].FromAbove { // room for the valve's words
		words := vg.Length(1+len(l.Headers[h].Valve)) * 2 * plantLineH
		foot = min(foot, l.bar[h-1]-plantBarH-words-plantDrop)
	}
	l.bar[h] = foot - plantBarH/2
	text := l.Headers[h].Name
	for _, s := range l.Headers[h].Figures {
		text += "   " + s
	}
	bar := box{l.x0, foot - plantBarH, l.x1, foot}
	l.bars = append(l.bars, plantBar{bar, barFace.cut(text, bar.x1-bar.x0-24)})
	l.reachBar(foot)
	l.y = l.grid(loadPart, l.Loads, h, l.x0, foot-plantBarH) - plantDeckGap
	if h > 0 && l.Headers[h].FromAbove {
		l.valve(h)
	}
}

// toBar stands for the height of a bar that is not laid yet.
const toBar = 1e6

// reachBar brings the branches over a bar down to it.
func (l *layer) reachBar(y vg.Length) {
	for _, p := range l.pipes {
		for i := range p.pts {
			if p.pts[i].Y == toBar {
				p.pts[i].Y = y
			}
		}
	}
}

// stores lays the stores of a header in a column, and returns where the room right of it begins and its foot.
func (l *layer) stores(h int, top vg.Length) (right, foot vg.Length) {
	at := on(l.storeParts(), h)
	if len(at) == 0 {
		return l.x0, top
	}
	x := l.x0 + plantSide
	out := x + plantStoreW
	y, first, charged := top, vg.Length(0), vg.Length(0)
	net, riser := l.net(), l.net()
	for i, s := range at {
		store := l.Stores[s]
		symbol, mid := box{x, y - symbolH, x + 2*symbolW, y}, y-symbolH/2
		port := mid
		l.charge[s] = vg.Point{X: x, Y: mid}
		if store.fromOwn() {
			port += 5
		}
		if store.fromOther() { // room for its steam under the sun's heat
			l.charge[s].Y += 5
		}
		l.pipes = append(l.pipes, pipe{net: net, pts: []vg.Point{{X: symbol.x1, Y: port}, {X: out, Y: port}}})
		if i == 0 {
			first = port
		} else {
			l.dots = append(l.dots, vg.Point{X: out, Y: port})
		}
		if store.fromOwn() {
			if charged == 0 {
				charged = mid - 5
			} else {
				l.dots = append(l.dots, vg.Point{X: out + plantTrack, Y: mid - 5})
			}
			l.pipes = append(l.pipes, pipe{net: riser, arrow: true, pts: []vg.Point{{X: out + plantTrack, Y: mid - 5}, {X: symbol.x1, Y: mid - 5}}})
		}
		words, under := setWords(store.PlantPart, x, y-symbolH-plantLineH, plantStoreW-6)
		l.parts = append(l.parts, plantCell{storePart, symbol, words})
		y = under - plantRowGap
	}
	l.pipes = append(l.pipes, pipe{net: net, arrow: true, pts: []vg.Point{{X: out, Y: first}, {X: out, Y: toBar}}})
	if charged != 0 {
		out += plantTrack
		l.pipes = append(l.pipes, pipe{net: riser, pts: []vg.Point{{X: out, Y: toBar}, {X: out, Y: charged}}})
	}
	return out + plantSide, y + plantRowGap
}

// grid lays the boilers or loads of a header in columns, each on a branch pipe at its left, and returns their foot.
func (l *layer) grid(kind partKind, all []PlantPart, h int, left, top vg.Length) vg.Length {
	at := on(all, h)
	if len(at) == 0 {
		return top
	}
	columns := max(1, min(len(at), int((l.right-left)/leastCellW)))
	rows := (len(at) + columns - 1) / columns
	columns = (len(at) + rows - 1) / rows // evenly filled
	width := min((l.right-left)/vg.Length(columns), 260)
	y := top
	if kind == loadPart {
		y -= plantDrop
	}
	mids := make([]vg.Length, rows)
	for r := range rows {
		foot := y
		for c := range columns {
			if i := r*columns + c; i < len(at) {
				x := left + vg.Length(c)*width + plantPipe
				symbol := box{x, y - symbolH, x + symbolW, y}
				words, under := setWords(all[at[i]], x+symbolW+7, y-partFace.capHeight()-1, width-plantPipe-symbolW-7-10)
				l.parts = append(l.parts, plantCell{kind, symbol, words})
				foot = min(foot, symbol.y0, under)
			}
		}
		mids[r] = y - symbolH/2
		y = foot - plantRowGap
	}
	for c := range columns {
		n := (len(at) - c + columns - 1) / columns
		l.branch(kind, left+vg.Length(c)*width, top, mids[:n])
	}
	return y + plantRowGap
}

// branch draws the pipe at the left of a column of parts whose middles are given, from the top down.
func (l *layer) branch(kind partKind, x, bar vg.Length, mids []vg.Length) {
	net, last := l.net(), len(mids)-1
	x += 4
	in := x - 4 + plantPipe
	for i, y := range mids {
		stub := pipe{net: net, arrow: kind == loadPart, pts: []vg.Point{{X: x, Y: y}, {X: in, Y: y}}}
		if kind == boilerPart {
			slices.Reverse(stub.pts)
		}
		l.pipes = append(l.pipes, stub)
		if kind == loadPart && i < last || kind == boilerPart && i > 0 {
			l.dots = append(l.dots, vg.Point{X: x, Y: y})
		}
	}
	if kind == loadPart {
		l.pipes = append(l.pipes, pipe{net: net, pts: []vg.Point{{X: x, Y: bar}, {X: x, Y: mids[last]}}})
	} else {
		l.pipes = append(l.pipes, pipe{net: net, arrow: true, pts: []vg.Point{{X: x, Y: mids[0]}, {X: x, Y: toBar}}})
	}
}

// valve lays the reducing valve between a header and the one over it.
func (l *layer) valve(h int) {
	x := l.right + 22
	from, to := l.bar[h-1]-plantBarH/2, l.bar[h]+plantBarH/2
	mid := (from + to) / 2
	l.pipes = append(l.pipes, pipe{net: l.net(), arrow: true, pts: []vg.Point{{X: x, Y: from}, {X: x, Y: to}}})
	part := PlantPart{Name: l.Headers[h].valveName(), Figures: l.Headers[h].Valve}
	symbol := box{x - 8, mid - 12, x + 8, mid + 12}
	words, under := setWords(part, x+14, 0, l.x1-x-14)
	lift := mid - under/2 - partFace.capHeight()
	for i := range words {
		words[i].y += lift
	}
	l.valves = append(l.valves, plantCell{valvePart, symbol, words})
}

// setWords sets a part's name and figures in lines from the first baseline down, and returns the last line's foot.
func setWords(x PlantPart, at, y, width vg.Length) (words []plantWord, foot vg.Length) {
	foot = y
	put := func(f face, lines []string) {
		for _, line := range lines {
			words = append(words, plantWord{line, at, y, f})
			foot = y - 3
			y -= plantLineH
		}
	}
	put(partFace, partFace.wrap(x.Name, width, 2))
	for _, s := range x.Figures {
		for _, line := range atCommas(clean(s), func(s string) bool { return valueFace.width(s) <= width }) {
			put(valueFace, valueFace.wrap(line, width, 2))
		}
	}
	return words, foot
}

func (l *layer) net() int { l.nets++; return l.nets }
