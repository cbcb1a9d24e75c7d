package queue

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/nats-io/nats.go/jetstream"
)

// Job is a task that a worker has.
type Job struct {
	Body  []byte
	Tries int // which delivery this is, from 1; given back, and lost with a worker, count alike

	conn  *Conn
	study string
	msg   jetstream.Msg
}

// Next takes a task of a study, or gives nil when there is none within wait: no work, no such study, or the server is
// away. A ctx that ends is seen after wait at the latest, since a task under way would otherwise be nobody's for a while; a
// task may be given although ctx has ended. The error is that of ctx, or [ErrClosed].
func (c *Conn) Next(ctx context.Context, study string, wait time.Duration) (*Job, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	end := time.Now().Add(wait)
	taker, err := c.tasker(ctx, study)
	var msg jetstream.Msg
	if err == nil {
		msg, err = taker.Next(jetstream.FetchMaxWait(wait))
	}
	if msg != nil {
		return c.job(study, msg), nil
	}
	if c.nats.IsClosed() {
		return nil, fmt.Errorf("queue: taking a task: %w", ErrClosed)
	}
	if err != nil {
		c.mu.Lock()
		delete(c.consumers, study)
		c.mu.Unlock()
		_ = sleep(ctx, min(max(time.Until(end), shortestPause), longestPause))
	}
	return nil, ctx.Err()
}

func (c *Conn) job(study string, msg jetstream.Msg) *Job {
	j := &Job{Body: msg.Data(), Tries: 1, conn: c, study: study, msg: msg}
	if meta, err := msg.Metadata(); err == nil {
		j.Tries = int(meta.NumDelivered)
	}
	return j
}

// tasker finds the consumer of a study's tasks.
func (c *Conn) tasker(ctx context.Context, study string) (jetstream.Consumer, error) {
	c.mu.Lock()
	taker := c.consumers[study]
	c.mu.Unlock()
	if taker != nil {
		return taker, nil
	}
	if !idForm.MatchString(study) {
		return nil, errors.New("no study's ID")
	}
	ctx, stop := context.WithTimeout(ctx, callLimit)
	defer stop()
	taker, err := c.js.Consumer(ctx, tasks, study)
	if err != nil {
		return nil, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.consumers[study] = taker
	return taker, nil
}

// Alive says that the task is still worked on; to be said several times within a Silence. It does not wait, and it is no fault
// if the server is away.
func (j *Job) Alive() { _ = j.msg.InProgress() }

// Done says that the task is done and its results are handed over; the server forgets it. It is no fault if the study was
// cleared meanwhile.
func (j *Job) Done(ctx context.Context) error {
	return j.conn.acknowledge(ctx, "ending a task of study "+j.study, j.msg, tasks, j.study)
}

// Back gives the task to another worker at once. Like Alive it does not wait.
func (j *Job) Back() { _ = j.msg.Nak() }
