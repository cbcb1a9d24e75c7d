package queue

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

// States of a study.
const (
	Open      = "open"      // there is work
	Paused    = "paused"    // its leader stopped before the end
	Ended     = "ended"     // all cases are done
	Cancelled = "cancelled" // someone wants no more of it
	Lost      = "lost"      // told by Watch alone: the server had it, and has it no more
)

// Study is what all see of a study.
type Study struct {
	ID       string    `json:"id"` // letters, digits, - and _
	Name     string    `json:"name"`
	Build    string    `json:"build"` // the program that may work on it
	Owner    string    `json:"owner"` // who leads it
	State    string    `json:"state"`
	Manifest string    `json:"manifest"` // hash of an input
	Beat     time.Time `json:"beat"`     // when its leader was last heard, by the server's clock
	Done     int64     `json:"done"`     // cases
	Of       int64     `json:"of"`
	SetAside int64     `json:"set_aside"`
}

// record is a study as it is kept.
type record struct {
	Study
	Term    string        `json:"term"` // tells the leads of a study apart
	Silence time.Duration `json:"silence_ns"`

	revision uint64
}

var idForm = regexp.MustCompile(`^[A-Za-z0-9_-]{1,64}$`)

// readRecord reads what the bucket has under a key; false for what is none of ours.
func readRecord(e jetstream.KeyValueEntry) (record, bool) {
	var r record
	if e.Operation() != jetstream.KeyValuePut || json.Unmarshal(e.Value(), &r) != nil || r.ID != e.Key() || !idForm.MatchString(r.ID) {
		return record{}, false
	}
	r.Beat, r.revision = e.Created(), e.Revision()
	return r, true
}

// Studies lists what the server has, by ID.
func (c *Conn) Studies(ctx context.Context) ([]Study, error) {
	entries, _, err := c.entries(ctx, studies)
	if err != nil {
		return nil, err
	}
	out := []Study{}
	for _, e := range entries {
		if r, ok := readRecord(e); ok {
			out = append(out, r.Study)
		}
	}
	slices.SortFunc(out, func(a, b Study) int { return strings.Compare(a.ID, b.ID) })
	return out, nil
}

// Study gives one study; false if the server does not have it.
func (c *Conn) Study(ctx context.Context, id string) (Study, bool, error) {
	r, ok, err := c.record(ctx, id)
	return r.Study, ok, err
}

// Cancel tells who leads a study, and all who work on it, to stop.
func (c *Conn) Cancel(ctx context.Context, id string) error {
	for {
		r, ok, err := c.record(ctx, id)
		if err != nil {
			return err
		}
		if !ok {
			return fmt.Errorf("queue: study %.80s: is not on this server; see noonkeep study status --nats", id)
		}
		if r.State == Cancelled || r.State == Ended {
			return nil
		}
		r.State = Cancelled
		if ok, err := c.save(ctx, &r); ok || err != nil {
			return err
		}
	}
}

// record reads a study; false where the server does not have it, or has nothing at all.
func (c *Conn) record(ctx context.Context, id string) (r record, ok bool, err error) {
	if !idForm.MatchString(id) {
		return record{}, false, fmt.Errorf("queue: study %.80q: is no study's ID; want letters and digits, at most 64", id)
	}
	err = c.try(ctx, "reading study "+id, func(ctx context.Context) error {
		bucket, err := c.bucket(ctx, studies)
		if err != nil {
			return err
		}
		e, err := bucket.Get(ctx, id)
		if errors.Is(err, jetstream.ErrKeyNotFound) {
			ok = false
			return nil
		}
		if err != nil {
			return err
		}
		if r, ok = readRecord(e); !ok {
			return fmt.Errorf("is not as this program writes it; want a server that only noonkeep writes to")
		}
		return nil
	})
	if errors.Is(err, ErrLost) {
		return record{}, false, nil
	}
	return r, ok, err
}

// save writes a study if it is still at its revision, 0 for none; false if another wrote it meanwhile. An answer that got
// lost counts as another's writing: the caller reads again and finds its own.
func (c *Conn) save(ctx context.Context, r *record) (ok bool, err error) {
	data, err := json.Marshal(r)
	if err != nil {
		return false, fmt.Errorf("queue: study %s: %w", r.ID, err)
	}
	err = c.try(ctx, "writing study "+r.ID, func(ctx context.Context) error {
		bucket, err := c.bucket(ctx, studies)
		if err != nil {
			return err
		}
		var at uint64
		if r.revision == 0 {
			at, err = bucket.Create(ctx, r.ID, data)
		} else {
			at, err = bucket.Update(ctx, r.ID, data, r.revision)
		}
		if wroteAnother(err) {
			ok = false
			return nil
		}
		if err == nil {
			r.revision, ok = at, true
		}
		return err
	})
	return ok, err
}

func wroteAnother(err error) bool {
	var answer jetstream.JetStreamError
	if errors.Is(err, jetstream.ErrKeyExists) {
		return true
	}
	if !errors.As(err, &answer) || answer.APIError() == nil {
		return false
	}
	code := answer.APIError().ErrorCode
	return code == jetstream.JSErrCodeStreamWrongLastSequence || code == jetstream.JSErrCodeStreamWrongLastSequenceConstant
}

// entries reads a whole bucket, and the server's clock. A bucket that is not there is empty.
func (c *Conn) entries(ctx context.Context, name string) (list []jetstream.KeyValueEntry, now time.Time, err error) {
	err = c.try(ctx, "reading "+name, func(ctx context.Context) error {
		list = nil
		bucket, err := c.bucket(ctx, name)
		if err != nil {
			return err
		}
		if now, err = clock(ctx, bucket); err != nil {
			return err
		}
		w, err := bucket.WatchAll(ctx, jetstream.IgnoreDeletes())
		if err != nil {
			return err
		}
		defer stopWatching(w)
		for {
			select {
			case <-ctx.Done():
				return ctx.Err()
			case e, more := <-w.Updates():
				if !more {
					return nats.ErrDisconnected
				}
				if e == nil {
					return nil
				}
				list = append(list, e)
			}
		}
	})
	if errors.Is(err, ErrLost) {
		return nil, time.Time{}, nil
	}
	return list, now, err
}

// clock is the server's time.
func clock(ctx context.Context, bucket jetstream.KeyValue) (time.Time, error) {
	status, err := bucket.Status(ctx)
	if err != nil {
		return time.Time{}, err
	}
	s, ok := status.(*jetstream.KeyValueBucketStatus)
	if !ok {
		return time.Time{}, fmt.Errorf("the client library gives no time: %T", status)
	}
	return s.StreamInfo().TimeStamp, nil
}
