package crew

import (
	"context"
	"errors"
	"fmt"
	"os"
	"sync/atomic"
	"time"

	"golang.org/x/sync/errgroup"

	"noonkeep/cmd/internal/study/queue"
)

// Worker solves cases of the studies that a queue has. The zero value is one that solves one case at a time.
type Worker struct {
	Jobs    int           // cases at once; 0: one
	Cache   string        // folder that keeps inputs between runs; empty: none
	Silence time.Duration // as the coordinator's; 0: a minute
	Say     func(string)  // a line for the user; nil is silent
	Seen    func(cases int64, study string)

	only string // the one study to work on: that of a coordinator in this process
}

// Refused says that a queue has studies, but none that this build may work on.
type Refused struct{ Study, Wants, Build string }

func (r *Refused) Error() string {
	return fmt.Sprintf("study %s is of another build of noonkeep (%s; this is %s), and results of two are not mixed; install the program that runs it on every machine", r.Study, r.Wants, r.Build)
}

// Work solves cases until ctx ends, and then hands over what is solved and gives the rest back. An error is *Refused, or
// says that the queue is lost.
func (w Worker) Work(ctx context.Context, conn *queue.Conn) error {
	w.Jobs = max(w.Jobs, 1)
	if w.Silence == 0 {
		w.Silence = usualSilence
	}
	if w.Say == nil {
		w.Say = func(string) {}
	}
	build, err := Build()
	if err != nil {
		return err
	}
	c := &crewman{Worker: w, conn: conn, build: build, id: newOwner(), board: newBoard(w.only, build), inputs: newInputs(conn, w.Cache)}
	group, ctx := errgroup.WithContext(ctx)
	group.Go(func() error { return c.watch(ctx) })
	group.Go(func() error { return c.greet(ctx) })
	for range w.Jobs {
		group.Go(func() error { return c.pull(ctx) })
	}
	err = group.Wait()
	if errors.Is(err, context.Canceled) {
		return nil
	}
	return err
}

// crewman is a worker at work.
type crewman struct {
	Worker
	conn   *queue.Conn
	build  string
	id     string
	board  *board
	inputs *inputs
	cases  atomic.Int64
}

// watch keeps the board of open studies.
func (c *crewman) watch(ctx context.Context) error {
	changes, err := c.conn.Watch(ctx)
	if err != nil {
		return err
	}
	for s := range changes {
		refused := c.board.set(ctx, s)
		if refused != nil && c.only == "" {
			if c.board.idle() && c.cases.Load() == 0 {
				return refused
			}
			c.Say(refused.Error())
		}
	}
	return ctx.Err()
}

// greet tells the queue that the worker is there, and how much it has done.
func (c *crewman) greet(ctx context.Context) error {
	host, err := os.Hostname()
	if err != nil {
		host = "unknown"
	}
	for {
		if err := c.conn.Hello(ctx, queue.Worker{ID: c.id, Build: c.build, Host: host, Jobs: c.Jobs, Cases: c.cases.Load()}); err != nil {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(c.Silence / 4):
		}
	}
}

// pull takes one task after the other, of the open studies in turn.
func (c *crewman) pull(ctx context.Context) error {
	hand := &hand{crewman: c}
	for ctx.Err() == nil {
		s, ok := c.board.next(ctx)
		if !ok {
			break
		}
		job, err := c.conn.Next(s.ctx, s.ID, time.Second)
		switch {
		case s.ctx.Err() != nil && job == nil:
		case err != nil:
			return err
		case job != nil:
			if err := hand.do(ctx, s, job); err != nil && !errors.Is(err, queue.ErrLost) {
				return err // of a queue that has lost all, the coordinator hands the work out again
			}
		}
	}
	return ctx.Err()
}
