package crew

import (
	"context"
	"slices"
	"sync"

	"noonkeep/cmd/internal/study/queue"
)

// board is which studies are open to a worker.
type board struct {
	only, build string

	mu      sync.Mutex
	open    []*posted
	turn    int
	changed chan struct{} // closed when the board changes
	refused map[string]bool
}

// posted is an open study. Its context ends when it is open no more; over then tells whether its cases are wanted at all.
type posted struct {
	queue.Study
	ctx  context.Context
	stop context.CancelFunc
}

func newBoard(only, build string) *board {
	return &board{only: only, build: build, changed: make(chan struct{}), refused: map[string]bool{}}
}

// set takes news of a study, and says once if it is not for this build.
func (b *board) set(ctx context.Context, s queue.Study) *Refused {
	if b.only != "" && s.ID != b.only {
		return nil
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	i := slices.IndexFunc(b.open, func(p *posted) bool { return p.ID == s.ID })
	wanted := s.State == queue.Open && s.Build == b.build
	switch {
	case wanted && i < 0:
		p := &posted{Study: s}
		p.ctx, p.stop = context.WithCancel(ctx)
		b.open = append(b.open, p)
	case !wanted && i >= 0:
		p := b.open[i]
		b.open = slices.Delete(b.open, i, i+1)
		p.State = s.State
		p.stop()
	default:
		if s.State == queue.Open && s.Build != b.build && !b.refused[s.ID] {
			b.refused[s.ID] = true
			return &Refused{Study: s.ID, Wants: s.Build, Build: b.build}
		}
		return nil
	}
	close(b.changed)
	b.changed = make(chan struct{})
	return nil
}

func (b *board) idle() bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	return len(b.open) == 0
}

// next gives the open studies in turn, and waits while there is none; false when ctx ends.
func (b *board) next(ctx context.Context) (*posted, bool) {
	for {
		b.mu.Lock()
		changed := b.changed
		if n := len(b.open); n > 0 {
			b.turn++
			p := b.open[b.turn%n]
			b.mu.Unlock()
			return p, ctx.Err() == nil
		}
		b.mu.Unlock()
		select {
		case <-ctx.Done():
			return nil, false
		case <-changed:
		}
	}
}

// over tells whether nobody wants the study's cases any more.
func (b *board) over(p *posted) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	return p.State == queue.Ended
}
