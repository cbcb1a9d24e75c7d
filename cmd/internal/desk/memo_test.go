package desk

import (
	"context"
	"errors"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

func TestMemoWorksOnceForAll(t *testing.T) {
	m := newMemo[int, int](4)
	var works atomic.Int32
	gate := make(chan struct{})
	var in sync.WaitGroup
	for range 50 {
		in.Go(func() {
			v, err := m.get(context.Background(), 7, func(context.Context) (int, error) {
				works.Add(1)
				<-gate
				return 49, nil
			})
			if v != 49 || err != nil {
				t.Errorf("got %d, %v", v, err)
			}
		})
	}
	close(gate)
	in.Wait()
	if works.Load() != 1 {
		t.Errorf("worked out %d times", works.Load())
	}
	if v, there := m.peek(7); v != 49 || !there {
		t.Errorf("peek gives %d, %v", v, there)
	}
}

// What nobody waits for is given up, and the next who asks begins anew.
func TestMemoGivesUp(t *testing.T) {
	m := newMemo[string, int](4)
	ctx, cancel := context.WithCancel(context.Background())
	begun, ended := make(chan struct{}), make(chan struct{})
	go func() { <-begun; cancel() }()
	_, err := m.get(ctx, "a", func(ctx context.Context) (int, error) {
		close(begun)
		<-ctx.Done()
		defer close(ended)
		return 0, ctx.Err()
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	select {
	case <-ended:
	case <-time.After(10 * time.Second):
		t.Fatal("the work goes on though nobody waits")
	}
	if v, err := m.get(context.Background(), "a", func(context.Context) (int, error) { return 3, nil }); v != 3 || err != nil {
		t.Errorf("asked again: %d, %v", v, err)
	}
}

func TestMemoKeepsTheNewest(t *testing.T) {
	m := newMemo[int, int](3)
	square := func(k int) {
		m.get(context.Background(), k, func(context.Context) (int, error) { return k * k, nil })
	}
	for k := range 10 {
		square(k)
		square(0) // is asked for again and again
	}
	m.mu.Lock()
	held := len(m.byKey)
	m.mu.Unlock()
	if _, there := m.peek(0); held != 3 || !there {
		t.Errorf("%d values are kept, the one in use among them: %v; want 3, true", held, there)
	}
	if _, there := m.peek(1); there {
		t.Error("an old value is kept")
	}
}

// A failure is told to all and kept, since the same input fails again.
func TestMemoFailure(t *testing.T) {
	m := newMemo[int, int](3)
	bad := errors.New("no such plant")
	works := 0
	for range 2 {
		if _, err := m.get(context.Background(), 1, func(context.Context) (int, error) { works++; return 0, bad }); !errors.Is(err, bad) {
			t.Errorf("got %v", err)
		}
	}
	if _, there := m.peek(1); there || works != 1 {
		t.Errorf("worked %d times, peek says there: %v", works, there)
	}
}
