package scenarios

import (
	"cmp"
	"slices"

	"noonkeep/demand"
)

// moving is a window of a load with what is left to do in it.
type moving struct {
	demand.Window
	load    string
	mostKW  float64
	leftKWh float64
}

// doubtMoves looks for a window whose work the boilers have no room for beside the loads that have their
// hours: alone in the window at its most power, or together with the other windows, earliest end first. That is
// as good as any order, if no most power limits it: what fails it no order can do.
func (b *builder) doubtMoves(near at, headers []int, spareKW []float64) {
	dt := b.c.Axis.StepH()
	var todo []*moving
	for _, load := range b.c.Loads {
		if load.Moved == nil || !slices.Contains(headers, load.Header) {
			continue
		}
		for _, w := range load.Moved.Windows {
			m := &moving{w, load.Name, load.Moved.MostKW, w.HeatKWh}
			room := 0.0
			for i, share := range w.Shares {
				room += dt * min(share*m.mostKW, spareKW[w.First+i])
			}
			if b.doubtRoom(near, m, room, "") {
				return
			}
			todo = append(todo, m)
		}
	}
	slices.SortStableFunc(todo, func(x, y *moving) int { return cmp.Compare(x.First, y.First) })
	var open []*moving
	for t, kW := range spareKW {
		for len(todo) > 0 && todo[0].First == t {
			open, todo = append(open, todo[0]), todo[1:]
		}
		slices.SortStableFunc(open, func(x, y *moving) int { return cmp.Compare(x.lastStep(), y.lastStep()) })
		room := kW * dt
		for _, m := range open {
			done := min(room, m.leftKWh)
			room, m.leftKWh = room-done, m.leftKWh-done
		}
		for _, m := range open {
			if m.lastStep() == t && b.doubtRoom(near, m, m.HeatKWh-m.leftKWh, " and other work that may be moved") {
				return
			}
		}
		open = slices.DeleteFunc(open, func(m *moving) bool { return m.leftKWh <= 0 || m.lastStep() == t })
	}
}

func (m *moving) lastStep() int { return m.First + len(m.Shares) - 1 }

// doubtRoom doubts a window that wants more than there is room for.
func (b *builder) doubtRoom(near at, m *moving, roomKWh float64, beside string) bool {
	if roomKWh >= m.HeatKWh*(1-1e-9) {
		return false
	}
	b.doubtAt(near, "boilers have %.4g kWh to spare beside the other loads%s for load %s in its window of %s to %s, and it takes %.4g kWh; without enough sun just then no plan meets it",
		roomKWh, beside, quoted(m.load), m.From.Format("2 Jan 15:04"), m.To.Format("2 Jan 15:04"), m.HeatKWh)
	return true
}
