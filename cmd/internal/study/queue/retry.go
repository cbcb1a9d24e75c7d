package queue

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

// ErrLost says that the server no longer has what it held: it kept nothing on disk and was started again, or
// someone took its data away. [Conn.Put] and [Conn.Lead] set the rooms up anew.
var ErrLost = errors.New("the server has lost what it held; hand the work out again")

// ErrClosed says that the connection was closed on this side.
var ErrClosed = errors.New("the connection is closed")

const (
	callLimit     = 10 * time.Second // of one try of a call, which is then made again
	bulkLimit     = time.Minute      // the same where an input or a large result is moved
	shortestPause = 20 * time.Millisecond
	longestPause  = 500 * time.Millisecond
	surely        = 3 // sightings in a row of missing rooms that count as lost: a cluster that is starting may err once
)

// try makes a call until it succeeds, fails for good, or ctx ends.
func (c *Conn) try(ctx context.Context, what string, call func(context.Context) error) error {
	return c.tryFor(ctx, callLimit, what, call)
}

func (c *Conn) tryFor(ctx context.Context, limit time.Duration, what string, call func(context.Context) error) error {
	missing := 0
	for pause := shortestPause; ; pause = min(2*pause, longestPause) {
		err, broken := c.once(ctx, limit, call)
		switch {
		case err == nil:
			return nil
		case ctx.Err() != nil:
			return fmt.Errorf("queue: %s: %w", what, ctx.Err())
		case c.nats.IsClosed():
			return fmt.Errorf("queue: %s: %w", what, ErrClosed)
		case looksMissing(err) && c.missing(ctx):
			if missing++; missing == surely {
				return fmt.Errorf("queue: %s: %w", what, ErrLost)
			}
		case !passing(err) && !broken:
			return fmt.Errorf("queue: %s: %w", what, err)
		default:
			missing = 0
		}
		if err := sleep(ctx, pause); err != nil {
			return fmt.Errorf("queue: %s: %w", what, err)
		}
	}
}

// once makes a call within its limit. It is dropped when the connection breaks and comes back, since
// the answer then never comes; broken tells that.
func (c *Conn) once(ctx context.Context, limit time.Duration, call func(context.Context) error) (err error, broken bool) {
	ctx, stop := c.untilBack(ctx, limit)
	defer stop()
	err = call(ctx)
	return err, c.Away() || context.Cause(ctx) == errBroke
}

// errBroke is why a context of untilBack ended.
var errBroke = errors.New("the connection broke and came back")

// untilBack is a context that ends after limit, and when a connection that broke is back.
func (c *Conn) untilBack(ctx context.Context, limit time.Duration) (context.Context, context.CancelFunc) {
	ctx, broke := context.WithCancelCause(ctx)
	ctx, stop := context.WithTimeout(ctx, limit)
	back := c.whenBack()
	go func() {
		select {
		case <-back:
			broke(errBroke)
		case <-ctx.Done():
			broke(nil)
		}
	}()
	return ctx, stop
}

func sleep(ctx context.Context, d time.Duration) error {
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-time.After(d):
		return nil
	}
}

// passing tells whether a fault may go away by itself: the server is away, or has no room at present.
func passing(err error) bool {
	var answer jetstream.JetStreamError
	if errors.As(err, &answer) && answer.APIError() != nil {
		switch api := answer.APIError(); api.ErrorCode {
		case noPeers, jetstream.JSErrCodeJetStreamNotEnabled, jetstream.JSErrCodeJetStreamNotEnabledForAccount:
			return false
		case noMemory, noStorage:
			return true
		default:
			return api.Code == 503
		}
	}
	for _, known := range []error{nats.ErrTimeout, nats.ErrNoResponders, nats.ErrDisconnected, nats.ErrReconnectBufExceeded,
		nats.ErrConnectionReconnecting, nats.ErrConnectionClosed, nats.ErrStaleConnection, nats.ErrBadSubscription, jetstream.ErrDigestMismatch, jetstream.ErrMsgDeleteUnsuccessful,
		context.DeadlineExceeded, context.Canceled, io.EOF, io.ErrUnexpectedEOF, io.ErrClosedPipe} {
		if errors.Is(err, known) {
			return true
		}
	}
	var network net.Error
	return errors.As(err, &network) || looksMissing(err)
}

// Error codes of nats-server 2.15 (server/errors.json) that the client library has no names for.
const (
	noPeers   jetstream.ErrorCode = 10023 // JSInsufficientResourcesErr
	noMemory  jetstream.ErrorCode = 10028 // JSMemoryResourcesExceededErr
	noStorage jetstream.ErrorCode = 10047 // JSStorageResourcesExceededErr
)

// looksMissing tells faults that a server which lost its streams gives, though some of them pass.
func looksMissing(err error) bool {
	for _, known := range []error{nats.ErrNoResponders, nats.ErrStreamNotFound, nats.ErrConsumerNotFound, nats.ErrJetStreamNotEnabled,
		jetstream.ErrNoStreamResponse, jetstream.ErrStreamNotFound, jetstream.ErrBucketNotFound, jetstream.ErrConsumerNotFound} {
		if errors.Is(err, known) {
			return true
		}
	}
	return false
}

// missing asks the server whether it has all rooms.
func (c *Conn) missing(ctx context.Context) bool {
	ctx, stop := context.WithTimeout(ctx, callLimit)
	defer stop()
	for _, name := range streams {
		if _, err := c.js.Stream(ctx, name); errors.Is(err, jetstream.ErrStreamNotFound) {
			return true
		}
	}
	return false
}
