package desk

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
)

// Who is waited for goes first and in the order of coming; one turn in so many goes to the others, and no turn is lost.
func TestGate(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := &gate{free: 1}
		_, leave, err := g.enter(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		var order []string
		turns := make(chan func())
		wait := func(ctx context.Context, name string) {
			go func() {
				_, leave, err := g.enter(ctx)
				if err == nil {
					order = append(order, name)
					turns <- leave
				}
			}()
			synctest.Wait()
		}
		wait(later(t.Context()), "later")
		for range laterEvery {
			wait(t.Context(), "first")
		}
		gone, cancel := context.WithCancel(t.Context())
		wait(gone, "gone")
		wait(t.Context(), "last")
		cancel()
		synctest.Wait()
		for range laterEvery + 2 {
			leave()
			leave = <-turns
		}
		leave()
		if g.free != 1 || len(g.first)+len(g.later) != 0 {
			t.Errorf("after all have left, %d are free and %d wait", g.free, len(g.first)+len(g.later))
		}
		at := -1
		for i, name := range order {
			if name == "later" {
				at = i
			}
		}
		if len(order) != laterEvery+2 || at != laterEvery-1 || order[len(order)-1] != "last" {
			t.Errorf("the order was %v; want the later one after %d others", order, laterEvery-1)
		}
	})
}

// Who is inside goes on without a second turn; who gives up while waiting is told so.
func TestGateInside(t *testing.T) {
	g := &gate{free: 1}
	in, leave, err := g.enter(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if _, again, err := g.enter(in); err != nil {
		t.Error(err)
	} else {
		again()
	}
	gone, cancel := context.WithCancel(t.Context())
	cancel()
	if _, _, err := g.enter(gone); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v; want that it was given up", err)
	}
	leave()
	if g.free != 1 {
		t.Errorf("%d are free; want 1", g.free)
	}
}
