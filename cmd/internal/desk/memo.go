package desk

import (
	"context"
	"sync"
)

// memo works values out once for all who ask at the same time, and keeps the newest. A value that nobody waits for any more is
// given up. What failed is kept as well, but not what was given up.
type memo[K comparable, V any] struct {
	most int // values kept

	mu    sync.Mutex
	clock uint64
	byKey map[K]*kept[V]
}

// kept is a value or the work on it.
type kept[V any] struct {
	done   chan struct{}
	cancel context.CancelFunc
	wait   int    // who waits for it
	used   uint64 // when it was asked for last
	value  V
	err    error
}

func newMemo[K comparable, V any](most int) *memo[K, V] {
	return &memo[K, V]{most: most, byKey: map[K]*kept[V]{}}
}

// get gives the value of a key, worked out by work where it is not there.
func (m *memo[K, V]) get(ctx context.Context, key K, work func(context.Context) (V, error)) (V, error) {
	m.mu.Lock()
	m.clock++
	k := m.byKey[key]
	if k == nil {
		inner, cancel := context.WithCancel(context.WithoutCancel(ctx))
		k = &kept[V]{done: make(chan struct{}), cancel: cancel}
		m.byKey[key] = k
		go m.fill(inner, key, k, work)
	}
	k.used = m.clock
	k.wait++
	m.mu.Unlock()
	defer m.leave(key, k)
	select {
	case <-k.done:
		return k.value, k.err
	case <-ctx.Done():
		var none V
		return none, ctx.Err()
	}
}

// peek gives a value that is there already.
func (m *memo[K, V]) peek(key K) (value V, there bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	k := m.byKey[key]
	if k == nil {
		return value, false
	}
	select {
	case <-k.done:
		return k.value, k.err == nil
	default:
		return value, false
	}
}

// forget drops a value, so that it is worked out anew.
func (m *memo[K, V]) forget(key K) {
	m.mu.Lock()
	defer m.mu.Unlock()
	delete(m.byKey, key)
}

func (m *memo[K, V]) fill(ctx context.Context, key K, k *kept[V], work func(context.Context) (V, error)) {
	defer k.cancel()
	k.value, k.err = work(ctx)
	m.mu.Lock()
	defer m.mu.Unlock()
	if ctx.Err() != nil && m.byKey[key] == k {
		delete(m.byKey, key)
	}
	close(k.done)
	m.drop()
}

// leave gives the work up when the last who waited has gone.
func (m *memo[K, V]) leave(key K, k *kept[V]) {
	m.mu.Lock()
	defer m.mu.Unlock()
	k.wait--
	if k.wait > 0 {
		return
	}
	select {
	case <-k.done:
	default:
		k.cancel()
		if m.byKey[key] == k {
			delete(m.byKey, key) // whoever asks now begins anew
		}
	}
}

// drop lets the oldest values go.
func (m *memo[K, V]) drop() {
	for len(m.byKey) > m.most {
		var oldest K
		found := false
		var used uint64
		for key, k := range m.byKey {
			if k.wait == 0 && (!found || k.used < used) {
				oldest, used, found = key, k.used, true
			}
		}
		if !found {
			return
		}
		delete(m.byKey, oldest)
	}
}
