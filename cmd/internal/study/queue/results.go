package queue

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
	"github.com/nats-io/nuid"
)

const (
	atOnce      = 16                     // results on their way to the lead
	pumpWait    = 250 * time.Millisecond // a pump that is told to end does so after this
	headerBytes = 4 << 10                // of a message, left free for what is not its body
	largeHeader = "Noonkeep-Large"
)

// largeName is a result in the object store.
func largeName(study, id string) string { return "result." + study + "." + id }

// Report hands a result over. One whose key the server has seen within five minutes is dropped. It waits while the
// server holds as many results as it may, until ctx ends.
func (c *Conn) Report(ctx context.Context, study, key string, body []byte) error {
	msg := &nats.Msg{Subject: subject("results", study), Data: body, Header: nats.Header{}}
	what := "handing over a result of study " + study
	large := ""
	if int64(len(body)) > c.nats.MaxPayload()-headerBytes {
		large = largeName(study, nuid.Next())
		msg.Data = nil
		msg.Header.Set(largeHeader, large)
		err := c.tryFor(ctx, bulkLimit, what, func(ctx context.Context) error {
			store, err := c.js.ObjectStore(ctx, inputs)
			if err == nil {
				_, err = store.Put(ctx, jetstream.ObjectMeta{Name: large}, bytes.NewReader(body))
			}
			return err
		})
		if err != nil {
			return err
		}
	}
	calls, dropped := 0, false
	err := c.try(ctx, what, func(ctx context.Context) error {
		calls++
		ack, err := c.js.PublishMsg(ctx, msg, jetstream.WithMsgID(study+"."+key))
		dropped = err == nil && ack.Duplicate && calls == 1 // a repeated call may have met its own message
		return err
	})
	if err == nil && dropped && large != "" {
		err = c.forget(ctx, large)
	}
	return err
}

// forget takes a large result away.
func (c *Conn) forget(ctx context.Context, large string) error {
	return c.try(ctx, "forgetting a large result", func(ctx context.Context) error {
		store, err := c.js.ObjectStore(ctx, inputs)
		if err == nil {
			err = store.Delete(ctx, large)
		}
		if errors.Is(err, jetstream.ErrObjectNotFound) {
			return nil
		}
		return err
	})
}

// Result is one result.
type Result struct {
	Body []byte

	lead  *Lead
	msg   jetstream.Msg
	large string
}

// Results gives the study's results, each at least once, until ctx ends. It goes on by itself when the server is away and
// comes back. What is not acknowledged comes again. The other channel tells once why no more come: *Taken or [ErrLost].
// A second call ends the first, whose results that were not received come to the second.
func (l *Lead) Results(ctx context.Context) (<-chan *Result, <-chan error) {
	ctx, stop := context.WithCancel(ctx)
	p := &pump{lead: l, out: make(chan *Result), lost: make(chan error, 1), stop: stop, ended: make(chan struct{})}
	before := l.turn(p)
	go func() {
		defer close(p.ended)
		defer stop()
		if before != nil {
			<-before.ended
		}
		if err := p.run(ctx); err != nil && ctx.Err() == nil {
			p.lost <- err
		}
	}()
	return p.out, p.lost
}

// turn makes p the one pump, and ends the one before.
func (l *Lead) turn(p *pump) (before *pump) {
	l.mu.Lock()
	defer l.mu.Unlock()
	before, l.pump = l.pump, p
	if before != nil {
		before.stop()
	}
	return before
}

// pump brings results from the server to a channel.
type pump struct {
	lead  *Lead
	out   chan *Result
	lost  chan error
	stop  context.CancelFunc
	ended chan struct{}
}

// run fetches until ctx ends or the lead is lost.
func (p *pump) run(ctx context.Context) error {
	var taker jetstream.Consumer
	for ctx.Err() == nil {
		if taker == nil {
			var err error
			if taker, err = p.taker(ctx); err != nil {
				return err
			}
		}
		batch, err := taker.Fetch(atOnce, jetstream.FetchMaxWait(pumpWait))
		if err == nil {
			err = p.pass(ctx, batch)
		}
		if err != nil {
			taker = nil // deleted, or the server is away: ask which
			_ = sleep(ctx, shortestPause)
		}
	}
	return ctx.Err()
}

// taker finds the consumer of this lead. Where the server has none, the lead was taken or lost.
func (p *pump) taker(ctx context.Context) (taker jetstream.Consumer, err error) {
	l := p.lead
	err = l.conn.try(ctx, "taking the results of study "+l.id, func(ctx context.Context) error {
		var err error
		taker, err = l.conn.js.Consumer(ctx, results, l.taker())
		if errors.Is(err, jetstream.ErrConsumerNotFound) {
			taker = nil
			return nil
		}
		return err
	})
	if err == nil && taker == nil {
		if err = l.led(ctx); err == nil { // cleared by a hand on the server
			err = fmt.Errorf("queue: results of study %s: %w", l.id, ErrLost)
		}
	}
	return taker, err
}

// pass hands a batch on; what finds no taker goes back to the server.
func (p *pump) pass(ctx context.Context, batch jetstream.MessageBatch) error {
	for msg := range batch.Messages() {
		r := &Result{Body: msg.Data(), lead: p.lead, msg: msg, large: msg.Headers().Get(largeHeader)}
		if r.large != "" && ctx.Err() == nil {
			body, err := p.lead.conn.object(ctx, "a large result", r.large)
			if errors.Is(err, jetstream.ErrObjectNotFound) {
				body, err = nil, nil // the taker finds it empty, and has the case done again
			}
			if err != nil {
				_ = msg.Nak()
				continue
			}
			r.Body = body
		}
		select {
		case p.out <- r:
		case <-ctx.Done():
			_ = msg.Nak()
		}
	}
	return batch.Error()
}

// Ack says that the result is where it is safe; the server forgets it. That another lead has taken over is no fault:
// the result then comes to that one.
func (r *Result) Ack(ctx context.Context) error {
	c := r.lead.conn
	err := c.acknowledge(ctx, "acknowledging a result", r.msg, results, r.lead.taker())
	if err == nil && r.large != "" {
		err = c.forget(ctx, r.large)
	}
	return err
}
