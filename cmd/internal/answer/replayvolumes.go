package answer

import (
	"context"
	"math"
	"slices"
	"sync"
)

// usualVolumes are how many sizes of the store are played for the best; fewer of a plant that only Clp takes, whose rolling
// plan solves 2920 programs for each.
const usualVolumes, usualVolumesClp = 7, 4

// volumes finds the best volume of each way: round sizes over the scenario's range are played, and the top of the parabola
// through the best and its neighbours. By the same rule as [Comparison]: what a m³ costs is taken off where it is given.
func (s *stage) volumes(ctx context.Context, x *set, out *Replay, opt ReplayOptions) error {
	price := func(float64) float64 { return 0 }
	out.Rule = RuleSaves
	if yearly := storeYearly(s.c.StoreYearly()); yearly != nil {
		out.Rule = RulePays
		price = func(m3 float64) float64 {
			whole, _ := yearly(m3)
			return whole
		}
	}
	n := opt.Volumes
	switch {
	case n < 0:
		return nil
	case n == 0 && x.usual.noWhy != "":
		n = usualVolumesClp
	case n == 0:
		n = usualVolumes
	}
	names := ways()
	grid := volumeGrid(s.c.Store.ToM3, max(n, 3))
	var mu sync.Mutex
	done := 0
	err := each(len(grid), func(i int) error {
		x, err := s.ready(ctx, grid[i].VolumeM3, false)
		if err != nil {
			return err
		}
		costs := map[string]float64{}
		for _, name := range names {
			as := s.same(name, x)
			if _, has := costs[as]; !has {
				if costs[as], err = s.costOf(ctx, as, x); err != nil {
					return err
				}
			}
			grid[i].Costs = append(grid[i].Costs, costs[as])
		}
		mu.Lock()
		defer mu.Unlock()
		if done++; opt.Progress != nil {
			opt.Progress(done, len(grid))
		}
		return nil
	})
	if err != nil {
		return err
	}
	best := make([]float64, len(names))
	for j := range names {
		best[j] = top(grid, j, price)
	}
	fine := make([]PlayedVolume, len(names))
	err = each(len(names), func(j int) error {
		if at := slices.IndexFunc(grid, func(g PlayedVolume) bool { return g.VolumeM3 == best[j] }); at >= 0 {
			fine[j] = PlayedVolume{best[j], []float64{grid[at].Costs[j]}}
			return nil
		}
		x, err := s.ready(ctx, best[j], false)
		if err != nil {
			return err
		}
		cost, err := s.costOf(ctx, s.same(names[j], x), x)
		fine[j] = PlayedVolume{best[j], []float64{cost}}
		return err
	})
	if err != nil {
		return err
	}
	for j := range names {
		w := &out.Ways[j]
		at, net := 0.0, math.Inf(1)
		for _, g := range append(slices.Clone(grid), PlayedVolume{fine[j].VolumeM3, costAt(j, len(names), fine[j].Costs[0])}) {
			if x := g.Costs[j] + price(g.VolumeM3); x < net {
				at, net = g.VolumeM3, x
			}
		}
		w.BestVolumeM3, w.BestAtEdge = at, at == grid[len(grid)-1].VolumeM3
	}
	out.Volumes = grid
	return nil
}

// volumeGrid are round sizes from none to the largest, so many at most.
func volumeGrid(toM3 float64, n int) []PlayedVolume {
	var out []PlayedVolume
	step := RoundStep(toM3 / float64(n-1))
	for i := 0; float64(i)*step < toM3*(1-1e-9); i++ {
		out = append(out, PlayedVolume{VolumeM3: float64(i) * step})
	}
	return append(out, PlayedVolume{VolumeM3: toM3})
}

func costAt(j, n int, cost float64) []float64 {
	all := make([]float64, n)
	all[j] = cost
	return all
}

// top is the volume of the top of the parabola through a way's best volume and its neighbours; the volume itself at an end.
func top(grid []PlayedVolume, j int, price func(m3 float64) float64) float64 {
	net := func(i int) float64 { return grid[i].Costs[j] + price(grid[i].VolumeM3) }
	best := 0
	for i := range grid {
		if net(i) < net(best) {
			best = i
		}
	}
	if best == 0 || best == len(grid)-1 {
		return grid[best].VolumeM3
	}
	// Newton's divided differences through the three.
	v0, v1, v2 := grid[best-1].VolumeM3, grid[best].VolumeM3, grid[best+1].VolumeM3
	slope := (net(best) - net(best-1)) / (v1 - v0)
	bend := ((net(best+1)-net(best))/(v2-v1) - slope) / (v2 - v0)
	if !(bend > 0) {
		return v1
	}
	return min(max((v0+v1)/2-slope/(2*bend), v0), v2)
}

// costOf is what a way costs; the plan is not mended, and its boilers are on and off as needed.
func (s *stage) costOf(ctx context.Context, name string, x *set) (float64, error) {
	if name == WaySight {
		return s.m.bound(ctx, x.p, &s.t, s.engine)
	}
	out, err := s.play(ctx, name, x)
	if err != nil {
		return 0, err
	}
	return out.cost, nil
}
