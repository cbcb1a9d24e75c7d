package queue

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"time"

	"github.com/nats-io/nats.go/jetstream"
	"github.com/nats-io/nuid"
)

// Taken says that another leads the study.
type Taken struct {
	Study, Owner string
	Beat         time.Time // when it was last heard
}

func (t *Taken) Error() string {
	return fmt.Sprintf("queue: study %s: is led by another (%s), last heard at %s; wait for it, or stop it first", t.Study, t.Owner, t.Beat.UTC().Format("15:04:05 UTC"))
}

// Lead is the one hand that gives a study's tasks out and takes its results.
type Lead struct {
	conn *Conn
	id   string
	term string

	mu   sync.Mutex
	kept record
	pump *pump
}

// Lead takes the lead of a study, which is then in the state s.State. It is *Taken if another owner leads it, the study is
// open, and that owner was heard within its Silence. The same owner takes over at once: then it was started again.
// Rooms that the server does not have are set up.
func (c *Conn) Lead(ctx context.Context, s Study) (*Lead, error) {
	if !idForm.MatchString(s.ID) {
		return nil, fmt.Errorf("queue: study %.80q: is no study's ID; want letters and digits, at most 64", s.ID)
	}
	if err := c.furnish(ctx); err != nil {
		return nil, err
	}
	l := &Lead{conn: c, id: s.ID, term: nuid.Next()}
	for {
		old, ok, err := c.record(ctx, s.ID)
		if err != nil {
			return nil, err
		}
		if ok && old.Term == l.term { // written, and only the answer was lost
			l.kept = old
			break
		}
		if ok && old.Owner != s.Owner && old.State == Open {
			if err := c.stale(ctx, old); err != nil {
				return nil, err
			}
		}
		l.kept = record{Study: s, Term: l.term, Silence: c.opt.Silence, revision: old.revision}
		if ok, err = c.save(ctx, &l.kept); err != nil {
			return nil, err
		}
		if ok {
			break
		}
	}
	return l, l.hire(ctx)
}

// stale is *Taken unless a record's leader has been silent for too long.
func (c *Conn) stale(ctx context.Context, old record) error {
	var now time.Time
	err := c.try(ctx, "reading the server's clock", func(ctx context.Context) error {
		bucket, err := c.bucket(ctx, studies)
		if err == nil {
			now, err = clock(ctx, bucket)
		}
		return err
	})
	if err == nil && now.Sub(old.Beat) < old.Silence {
		err = &Taken{Study: old.ID, Owner: old.Owner, Beat: old.Beat}
	}
	return err
}

// hire sets up who takes tasks and results. Results that an earlier lead had taken and not acknowledged come again at
// once, since the taker is a new one; tasks stay with the workers that have them.
func (l *Lead) hire(ctx context.Context) error {
	c := l.conn
	if err := l.dismiss(ctx, results, l.id+"-"); err != nil {
		return err
	}
	return c.try(ctx, "setting up the takers of study "+l.id, func(ctx context.Context) error {
		_, err := c.js.CreateOrUpdateConsumer(ctx, tasks, jetstream.ConsumerConfig{Durable: l.id, FilterSubject: subject("tasks", l.id),
			AckPolicy: jetstream.AckExplicitPolicy, AckWait: c.opt.Silence, MaxDeliver: -1, MaxAckPending: -1, MaxWaiting: 4096})
		if err != nil {
			return err
		}
		_, err = c.js.CreateOrUpdateConsumer(ctx, results, jetstream.ConsumerConfig{Durable: l.taker(), FilterSubject: subject("results", l.id),
			AckPolicy: jetstream.AckExplicitPolicy, AckWait: max(c.opt.Silence, usualSilence), MaxDeliver: -1, MaxAckPending: 4 * atOnce})
		return err
	})
}

// taker is the name of who takes this lead's results.
func (l *Lead) taker() string { return l.id + "-" + l.term }

// dismiss takes away the consumers of a stream whose names begin so.
func (l *Lead) dismiss(ctx context.Context, stream, prefix string) error {
	return l.conn.try(ctx, "dismissing earlier takers of study "+l.id, func(ctx context.Context) error {
		s, err := l.conn.js.Stream(ctx, stream)
		if err != nil {
			return err
		}
		names := s.ConsumerNames(ctx)
		var old []string
		for name := range names.Name() {
			if strings.HasPrefix(name, prefix) {
				old = append(old, name)
			}
		}
		if names.Err() != nil {
			return names.Err()
		}
		for _, name := range old {
			if err := s.DeleteConsumer(ctx, name); err != nil && !errors.Is(err, jetstream.ErrConsumerNotFound) {
				return err
			}
		}
		return nil
	})
}

// Beat says that the leader is alive and how far the study is: State, Done and SetAside are taken from s. It tells whether someone
// cancelled the study, which then stays so unless s says that it has ended. It is *Taken if another took the lead, and [ErrLost]
// if the server knows nothing of the study.
func (l *Lead) Beat(ctx context.Context, s Study) (cancelled bool, err error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	cancelled = l.kept.State == Cancelled
	for {
		next := l.kept
		next.State, next.Done, next.SetAside = s.State, s.Done, s.SetAside
		if cancelled && s.State != Ended {
			next.State = Cancelled
		}
		ok, err := l.conn.save(ctx, &next)
		if err != nil {
			return cancelled, err
		}
		if ok {
			l.kept = next
			return cancelled || s.State == Cancelled, nil
		}
		now, ok, err := l.conn.record(ctx, l.id)
		switch {
		case err != nil:
			return cancelled, err
		case !ok:
			return cancelled, fmt.Errorf("queue: study %s: %w", l.id, ErrLost)
		case now.Term != l.term:
			return cancelled, &Taken{Study: l.id, Owner: now.Owner, Beat: now.Beat}
		}
		cancelled = cancelled || now.State == Cancelled
		l.kept = now
	}
}

// led tells whether this lead still has the study: nil, *Taken or [ErrLost].
func (l *Lead) led(ctx context.Context) error {
	now, ok, err := l.conn.record(ctx, l.id)
	switch {
	case err != nil:
		return err
	case !ok:
		return fmt.Errorf("queue: study %s: %w", l.id, ErrLost)
	case now.Term != l.term:
		return &Taken{Study: l.id, Owner: now.Owner, Beat: now.Beat}
	}
	return nil
}
