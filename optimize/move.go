package optimize

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// Move is work that a header must do within windows of time and may do at any hour of them: the plan
// chooses when. In a step it takes from LeastKW to MostKW, both 0 outside its windows.
type Move struct {
	Name    string    `json:"name"`
	Header  int       `json:"header"`
	Windows []Window  `json:"windows"`  // in order of time; two of one Move share no step
	LeastKW []float64 `json:"least_kW"` // mean over the step, as all series
	MostKW  []float64 `json:"most_kW"`
}

// Window is steps From to To-1, in which a [Move] takes HeatKWh in all.
type Window struct {
	From    int     `json:"from"`
	To      int     `json:"to"`
	HeatKWh float64 `json:"heat_kWh"`
}

// heatTol is by how much, relatively, a window's heat may pass what fits into it: the sum of many steps
// rounds. The plan then does what fits.
const heatTol = 1e-9

// reach is the least and the most heat that can go into a window, kWh.
func (m Move) reach(v Window, dt float64) (least, most float64) {
	return dt * sum(m.LeastKW[v.From:v.To]), dt * sum(m.MostKW[v.From:v.To])
}

// SoonestKW is the work done as soon as it may be, on steps of stepH hours: the most power from each
// window's start until only the least is left to do. The move must be one of a problem that passes Check.
func (m Move) SoonestKW(stepH float64) []float64 {
	kW := make([]float64, len(m.MostKW))
	for _, v := range m.Windows {
		least, _ := m.reach(v, stepH)
		left := (v.HeatKWh - least) / stepH
		for t := v.From; t < v.To; t++ {
			more := max(0, min(left, m.MostKW[t]-m.LeastKW[t]))
			kW[t] = m.LeastKW[t] + more
			left -= more
		}
	}
	return kW
}

// AtSoonest is the problem without the freedom to move: each Move is demand, done as soon as it may be.
func (p Problem) AtSoonest() Problem {
	p.Headers = slices.Clone(p.Headers)
	for l := range p.Headers {
		p.Headers[l].DemandKW = slices.Clone(p.Headers[l].DemandKW)
	}
	for _, m := range p.Moves {
		plus(p.Headers[m.Header].DemandKW, m.SoonestKW(p.StepH))
	}
	p.Moves = nil
	return p
}

func (p Problem) checkMove(f *faults, what string, m Move) {
	f.require(m.Header >= 0 && m.Header < len(p.Headers), "%s: takes from header %d; there are %d", what, m.Header, len(p.Headers))
	before := len(*f)
	f.series(what+": most", m.MostKW, p.N(), 0, math.Inf(1))
	f.series(what+": least", m.LeastKW, p.N(), 0, math.Inf(1))
	end := 0
	for j, v := range m.Windows {
		f.require(v.From >= end && v.From < v.To && v.To <= p.N(), "%s: window %d: is steps %d to %d; want steps of the problem, after the window before",
			what, j, v.From, v.To)
		end = v.To
	}
	if len(*f) > before {
		return
	}
	open := make([]bool, p.N())
	for _, v := range m.Windows {
		for t := v.From; t < v.To; t++ {
			open[t] = true
		}
	}
	for t, most := range m.MostKW {
		if !open[t] && most > 0 || m.LeastKW[t] > most {
			f.require(false, "%s: step %d takes %g to %g kW; want the least first, and nothing outside its windows", what, t, m.LeastKW[t], most)
			return
		}
	}
	for _, v := range m.Windows {
		least, most := m.reach(v, p.StepH)
		ok := finite(v.HeatKWh) && v.HeatKWh >= least*(1-heatTol) && v.HeatKWh <= most*(1+heatTol)
		f.require(ok, "%s: window of %s to %s: is %.6g kWh; its powers allow %.6g to %.6g",
			what, p.At(v.From).Format("2 Jan 15:04"), p.At(v.To).Format("2 Jan 15:04"), v.HeatKWh, least, most)
	}
}

// moves works out what the moves' columns are bounded by: MostKW, or less where the window's heat, done in
// one step, is less. Heat that passes what fits by rounding is cut to it.
func (w *work) moves() {
	w.p.Moves = slices.Clone(w.p.Moves)
	w.moveKW = grid(len(w.p.Moves), w.n)
	for i := range w.p.Moves {
		m := &w.p.Moves[i]
		m.Windows = slices.Clone(m.Windows)
		for j, v := range m.Windows {
			least, most := m.reach(v, w.dt)
			v.HeatKWh = min(max(v.HeatKWh, least), most)
			m.Windows[j] = v
			for t := v.From; t < v.To; t++ {
				w.moveKW[i][t] = min(m.MostKW[t], m.LeastKW[t]+(v.HeatKWh-least)/w.dt)
			}
		}
	}
}

// moveRoom is the most that the moves of header l can take in a step.
func (w *work) moveRoom(l, t int) float64 {
	room := 0.0
	for i, m := range w.p.Moves {
		if m.Header == l {
			room += w.moveKW[i][t]
		}
	}
	return room
}

// moveColumns: a window's row stands at its first step, in kWh.
func (b *builder) moveColumns(t int) {
	for i, m := range b.p.Moves {
		col := b.y.move[i].at(t)
		if col == none {
			continue
		}
		window := b.y.window[i].at(m.Windows[m.windowAt(t)].From)
		b.add(col, b.moveKW[i][t], 0, el{b.y.header[m.Header].at(t), -1}, el{window, b.dt})
		b.m.lower[col] = m.LeastKW[t]
	}
}

// windowAt is the window that holds step t; the last one that starts before it if none does.
func (m Move) windowAt(t int) int {
	j, exact := slices.BinarySearchFunc(m.Windows, t, func(v Window, t int) int { return v.From - t })
	if exact {
		return j
	}
	return j - 1
}

// windowRows sets the windows' right sides.
func (b *builder) windowRows() {
	for i, m := range b.p.Moves {
		for _, v := range m.Windows {
			if row := b.y.window[i].at(v.From); row != none {
				b.m.rowLower[row], b.m.rowUpper[row] = v.HeatKWh, v.HeatKWh
			}
		}
	}
}

// boundMoves is the moves' part of the bound of bound.go: their windows' heat, their columns between
// their own bounds, and the room that they give to unmet heat.
func (w *work) boundMoves(q *prices) float64 {
	sum := 0.0
	for i, m := range w.p.Moves {
		header, penalty := q.header[m.Header], w.dt*w.penalty[m.Header]
		for j, v := range m.Windows {
			price := w.dt * q.window[i][j]
			sum += v.HeatKWh * q.window[i][j]
			for t := v.From; t < v.To; t++ {
				d, most := header[t]-price, w.moveKW[i][t]
				sum += m.LeastKW[t]*d + (most-m.LeastKW[t])*below(d) + most*below(penalty-header[t])
			}
		}
	}
	return sum
}

func (c *checker) moves() {
	for i, m := range c.p.Moves {
		kW := c.s.MovedKW[i]
		var low peakBreach
		for t, x := range kW {
			low.at(t, m.LeastKW[t]-x)
		}
		c.note(low.kW, "least of move", m.Name, low.t)
		c.boxes(kW, m.MostKW, 1, "move", m.Name)
		var heat peakBreach
		for _, v := range m.Windows {
			got := 0.0
			for _, x := range kW[v.From:v.To] {
				got += x
			}
			heat.at(v.From, math.Abs(got-v.HeatKWh/c.dt))
		}
		c.note(heat.kW, "window of move", m.Name, heat.t)
	}
}

func (c *checker) dualMoves(q *prices, d *dualCheck) {
	for i, m := range c.p.Moves {
		header := q.header[m.Header]
		for j, v := range m.Windows {
			price := c.dt * q.window[i][j]
			for t := v.From; t < v.To; t++ {
				least := m.LeastKW[t]
				d.column(c.s.MovedKW[i][t]-least, c.moveKW[i][t]-least, header[t]-price)
			}
		}
	}
}

// span is the move over steps from to to-1 alone. A window that is cut keeps, between its least and its
// most, the share of heat that it has as a whole.
func (m Move) span(from, to int, dt float64) Move {
	whole := m
	m.LeastKW, m.MostKW, m.Windows = m.LeastKW[from:to], m.MostKW[from:to], nil
	for _, v := range whole.Windows {
		part := Window{From: max(v.From, from), To: min(v.To, to)}
		if part.From >= part.To {
			continue
		}
		part.HeatKWh = v.HeatKWh
		if part.To-part.From < v.To-v.From {
			least, most := whole.reach(v, dt)
			low, high := whole.reach(part, dt)
			part.HeatKWh = low
			if most > least {
				part.HeatKWh += (v.HeatKWh - least) / (most - least) * (high - low)
			}
		}
		part.From, part.To = part.From-from, part.To-from
		m.Windows = append(m.Windows, part)
	}
	return m
}

// movable names the moves of a header: "a", "b" and "c".
func (p Problem) movable(l int) string {
	var names []string
	for _, m := range p.Moves {
		if m.Header == l {
			names = append(names, strconv.Quote(m.Name))
		}
	}
	if last := len(names) - 1; last > 0 {
		return strings.Join(names[:last], ", ") + " and " + names[last]
	}
	return strings.Join(names, "")
}
