package queue

import (
	"bytes"
	"context"
	"errors"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

// ackLimit is how long an acknowledgement is waited for until the message is taken away by hand.
const ackLimit = time.Second

// acknowledge waits until the server knows that a message is done with. A consumer that is no more has nothing to know.
//
// A server that was killed may have forgotten its last deliveries. It drops the acknowledgement of such a message
// without an answer, to deliver it again; so the message is then taken out of its stream.
func (c *Conn) acknowledge(ctx context.Context, what string, msg jetstream.Msg, stream, consumer string) error {
	return c.try(ctx, what, func(ctx context.Context) error {
		brief, stop := context.WithTimeout(ctx, ackLimit)
		defer stop()
		err := msg.DoubleAck(brief)
		switch {
		case errors.Is(err, jetstream.ErrMsgAlreadyAckd):
			return nil
		case errors.Is(err, nats.ErrNoResponders):
			if _, gone := c.js.Consumer(ctx, stream, consumer); errors.Is(gone, jetstream.ErrConsumerNotFound) {
				return nil
			}
		case brief.Err() != nil && ctx.Err() == nil && !c.Away():
			return c.remove(ctx, stream, msg)
		}
		return err
	})
}

// remove takes a message out of its stream, if it is still there and the same.
func (c *Conn) remove(ctx context.Context, stream string, msg jetstream.Msg) error {
	meta, err := msg.Metadata()
	if err != nil {
		return err
	}
	s, err := c.js.Stream(ctx, stream)
	if err != nil {
		return err
	}
	kept, err := s.GetMsg(ctx, meta.Sequence.Stream)
	if errors.Is(err, jetstream.ErrMsgNotFound) {
		return nil
	}
	if err != nil {
		return err
	}
	if kept.Subject != msg.Subject() || !bytes.Equal(kept.Data, msg.Data()) || !kept.Time.Equal(meta.Timestamp) {
		return nil // the stream was made anew since
	}
	return s.DeleteMsg(ctx, meta.Sequence.Stream)
}
