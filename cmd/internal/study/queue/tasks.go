package queue

import (
	"context"
	"errors"
	"strings"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

// Add hands a task out. One whose key the server has seen within five minutes is dropped, also if it was done meanwhile.
func (l *Lead) Add(ctx context.Context, key string, body []byte) error {
	return l.conn.Again(ctx, l.id, key, body)
}

// Again is [Lead.Add] for a worker: a part of its own task that another shall do.
func (c *Conn) Again(ctx context.Context, study, key string, body []byte) error {
	return c.try(ctx, "handing out a task of study "+study, func(ctx context.Context) error {
		_, err := c.js.PublishMsg(ctx, &nats.Msg{Subject: subject("tasks", study), Data: body}, jetstream.WithMsgID(study+"."+key))
		return err
	})
}

// Tasks gives the bodies of all tasks that are not done: waiting, or with a worker. It asks the server that leads the room, so
// that it sees whatever was handed out before.
func (l *Lead) Tasks(ctx context.Context) (bodies [][]byte, err error) {
	for at := uint64(1); ; {
		var msg *jetstream.RawStreamMsg
		err := l.conn.try(ctx, "reading the tasks of study "+l.id, func(ctx context.Context) error {
			s, err := l.conn.js.Stream(ctx, tasks)
			if err != nil {
				return err
			}
			msg, err = s.GetMsg(ctx, at, jetstream.WithGetMsgSubject(subject("tasks", l.id)))
			if errors.Is(err, jetstream.ErrMsgNotFound) {
				return nil
			}
			return err
		})
		if err != nil {
			return nil, err
		}
		if msg == nil {
			return bodies, nil
		}
		bodies = append(bodies, msg.Data)
		at = msg.Sequence + 1
	}
}

// Waiting is how many results the server holds, those taken and not acknowledged among them.
func (l *Lead) Waiting(ctx context.Context) (n int, err error) {
	at := subject("results", l.id)
	err = l.conn.try(ctx, "counting the results of study "+l.id, func(ctx context.Context) error {
		s, err := l.conn.js.Stream(ctx, results)
		if err != nil {
			return err
		}
		info, err := s.Info(ctx, jetstream.WithSubjectFilter(at))
		if err != nil {
			return err
		}
		n = int(info.State.Subjects[at])
		return nil
	})
	return n, err
}

// Clear takes the study's tasks and results away. The study itself stays listed, and its inputs may be another's too.
func (l *Lead) Clear(ctx context.Context) error {
	l.turn(nil)
	if err := l.dismiss(ctx, tasks, l.id); err != nil {
		return err
	}
	if err := l.dismiss(ctx, results, l.id+"-"); err != nil {
		return err
	}
	for room, stream := range map[string]string{"tasks": tasks, "results": results} {
		err := l.conn.try(ctx, "clearing study "+l.id, func(ctx context.Context) error {
			s, err := l.conn.js.Stream(ctx, stream)
			if err != nil {
				return err
			}
			return s.Purge(ctx, jetstream.WithPurgeSubject(subject(room, l.id)))
		})
		if err != nil {
			return err
		}
	}
	return l.clearLarge(ctx)
}

// clearLarge takes away results that were too large for a message.
func (l *Lead) clearLarge(ctx context.Context) error {
	return l.conn.tryFor(ctx, bulkLimit, "clearing study "+l.id, func(ctx context.Context) error {
		store, err := l.conn.js.ObjectStore(ctx, inputs)
		if err != nil {
			return err
		}
		all, err := store.List(ctx)
		if err != nil && !errors.Is(err, jetstream.ErrNoObjectsFound) {
			return err
		}
		for _, o := range all {
			if strings.HasPrefix(o.Name, largeName(l.id, "")) {
				if err := store.Delete(ctx, o.Name); err != nil && !errors.Is(err, jetstream.ErrObjectNotFound) {
					return err
				}
			}
		}
		return nil
	})
}
