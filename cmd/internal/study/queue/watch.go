package queue

import (
	"context"
	"time"

	"github.com/nats-io/nats.go/jetstream"
)

// lookAgain is how often a watch begins anew, in case the server has forgotten it.
const lookAgain = time.Minute

// Watch tells of every study, first those that the server has and then each change, until ctx ends and the channel is
// closed. It goes on by itself when the server is away and comes back. A study that the server has no more is told
// once with the state [Lost]. Rooms that are not there yet are waited for.
func (c *Conn) Watch(ctx context.Context) (<-chan Study, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	w := &watch{conn: c, out: make(chan Study), seen: map[string]Study{}}
	go func() {
		defer close(w.out)
		for ctx.Err() == nil {
			w.round(ctx)
			_ = sleep(ctx, shortestPause*10)
		}
	}()
	return w.out, nil
}

type watch struct {
	conn *Conn
	out  chan Study
	seen map[string]Study
}

// round watches until the connection breaks and is back, the watch ends, or it is time to look again.
func (w *watch) round(ctx context.Context) {
	begin, stop := w.conn.untilBack(ctx, callLimit)
	defer stop()
	bucket, err := w.conn.bucket(begin, studies)
	if err == nil {
		_, err = clock(begin, bucket)
	}
	if err != nil {
		if looksMissing(err) && w.conn.missing(ctx) {
			w.gone(ctx, nil)
		}
		return
	}
	whole, stop := w.conn.untilBack(ctx, lookAgain)
	defer stop()
	updates, err := bucket.WatchAll(whole)
	if err != nil {
		return
	}
	defer stopWatching(updates)
	there := map[string]bool{}
	for {
		select {
		case <-whole.Done():
			return
		case e, more := <-updates.Updates():
			switch {
			case !more:
				return
			case e == nil:
				w.gone(ctx, there)
			default:
				if r, ok := readRecord(e); ok {
					there[r.ID] = true
					w.tell(ctx, r.Study)
				}
			}
		}
	}
}

// tell passes a change on; what was told before is no change.
func (w *watch) tell(ctx context.Context, s Study) {
	if w.seen[s.ID] == s {
		return
	}
	select {
	case w.out <- s:
		w.seen[s.ID] = s
	case <-ctx.Done():
	}
}

// gone tells of studies that the server has no more.
func (w *watch) gone(ctx context.Context, there map[string]bool) {
	for id, s := range w.seen {
		if !there[id] && s.State != Lost {
			s.State = Lost
			w.tell(ctx, s)
		}
	}
}

// stopWatching ends a watch, and takes what it still wants to say so that it can end.
func stopWatching(w jetstream.KeyWatcher) {
	_ = w.Stop()
	go func() {
		for range w.Updates() { // until it is closed
		}
	}()
}
