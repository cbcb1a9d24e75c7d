package desk

import (
	"context"
	"slices"
	"sync"
)

// laterEvery is how many turns are given to who is waited for before one goes to who is not.
const laterEvery = 8

// gate lets in as many as there are processors. Whoever waits outside holds nothing but a text, so that many who wait take little memory. A
// person who waits for an answer goes before work that nobody stands and waits for, which gets its turn all the same.
type gate struct {
	mu           sync.Mutex
	free         int
	since        int // turns given while somebody waited in the later row
	first, later []chan struct{}
}

// marks of a context: whose work is not waited for, and who is inside already.
type (
	notWaitedFor struct{}
	inside       struct{}
)

// later marks work that nobody stands and waits for.
func later(ctx context.Context) context.Context {
	return context.WithValue(ctx, notWaitedFor{}, true)
}

// enter waits for a turn, which leave gives back; who has one keeps it. What is begun with the context that comes back belongs to it.
func (g *gate) enter(ctx context.Context) (in context.Context, leave func(), err error) {
	if ctx.Value(inside{}) != nil {
		return ctx, func() {}, nil
	}
	in = context.WithValue(ctx, inside{}, true)
	g.mu.Lock()
	if g.free > 0 {
		g.free--
		g.mu.Unlock()
		return in, g.leave, nil
	}
	turn, row := make(chan struct{}), &g.first
	if ctx.Value(notWaitedFor{}) != nil {
		row = &g.later
	}
	*row = append(*row, turn)
	g.mu.Unlock()
	select {
	case <-turn:
		return in, g.leave, nil
	case <-ctx.Done():
	}
	g.mu.Lock()
	at := slices.Index(*row, turn)
	if at >= 0 {
		*row = slices.Delete(*row, at, at+1)
	}
	g.mu.Unlock()
	if at < 0 { // it was given a turn at the same time
		g.leave()
	}
	return ctx, nil, ctx.Err()
}

func (g *gate) leave() {
	g.mu.Lock()
	defer g.mu.Unlock()
	row := &g.first
	if len(g.later) > 0 {
		if g.since++; len(g.first) == 0 || g.since >= laterEvery {
			row, g.since = &g.later, 0
		}
	}
	if len(*row) == 0 {
		g.free++
		return
	}
	close((*row)[0])
	*row = slices.Delete(*row, 0, 1)
}
