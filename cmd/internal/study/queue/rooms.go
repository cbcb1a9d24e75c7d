package queue

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/nats-io/nats.go/jetstream"
)

// Names on the server.
const (
	tasks   = "noonkeep-tasks"
	results = "noonkeep-results"
	inputs  = "noonkeep-inputs"
	studies = "noonkeep-studies"
	workers = "noonkeep-workers"
)

// streams are all rooms as JetStream keeps them: a bucket is a stream with a prefix.
var streams = [...]string{tasks, results, "OBJ_" + inputs, "KV_" + studies, "KV_" + workers}

const (
	forgetAfter   = 90 * 24 * time.Hour
	workersForget = 2 * time.Hour // more than any Silence
	sameWithin    = 5 * time.Minute
)

// limits are how much the server keeps, and where.
type limits struct {
	storage     jetstream.StorageType
	results     int64 // messages of a study
	resultBytes int64 // of all studies
}

// A coordinator takes some thousand results a second, so that these are seconds of work of a large crew; the bytes are
// set aside by the server as soon as the room is there, so they are few.
var (
	fileLimits   = limits{jetstream.FileStorage, 1024, 256 << 20}
	memoryLimits = limits{jetstream.MemoryStorage, 256, 64 << 20}
)

// furnish makes the rooms that are not there, and raises the replicas of those that have fewer than asked for.
func (c *Conn) furnish(ctx context.Context) error {
	for i, name := range streams {
		err := c.try(ctx, "setting up "+name, func(ctx context.Context) error {
			s, err := c.js.Stream(ctx, name)
			if errors.Is(err, jetstream.ErrStreamNotFound) {
				return c.roomFault(c.build(ctx, i))
			}
			if err != nil || s.CachedInfo().Config.Replicas >= c.opt.Replicas {
				return err
			}
			more := s.CachedInfo().Config
			more.Replicas = c.opt.Replicas
			_, err = c.js.UpdateStream(ctx, more)
			return c.roomFault(err)
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// build makes the i-th of streams. That another was quicker is no fault.
func (c *Conn) build(ctx context.Context, i int) error {
	replicas := max(c.opt.Replicas, 1)
	queue := jetstream.StreamConfig{Name: streams[i], Subjects: []string{"noonkeep.tasks.*"}, Retention: jetstream.WorkQueuePolicy,
		Storage: c.limits.storage, Replicas: replicas, MaxAge: forgetAfter, Duplicates: sameWithin}
	var err error
	switch streams[i] {
	case tasks:
		_, err = c.js.CreateStream(ctx, queue)
	case results:
		queue.Subjects = []string{"noonkeep.results.*"}
		queue.Discard, queue.DiscardNewPerSubject = jetstream.DiscardNew, true
		queue.MaxMsgsPerSubject, queue.MaxBytes = c.limits.results, c.limits.resultBytes
		_, err = c.js.CreateStream(ctx, queue)
	case "OBJ_" + inputs:
		_, err = c.js.CreateObjectStore(ctx, jetstream.ObjectStoreConfig{Bucket: inputs, Storage: c.limits.storage, Replicas: replicas, TTL: forgetAfter})
	case "KV_" + studies:
		_, err = c.js.CreateKeyValue(ctx, jetstream.KeyValueConfig{Bucket: studies, Storage: c.limits.storage, Replicas: replicas, TTL: forgetAfter})
	case "KV_" + workers:
		_, err = c.js.CreateKeyValue(ctx, jetstream.KeyValueConfig{Bucket: workers, Storage: c.limits.storage, Replicas: replicas, TTL: workersForget})
	}
	if errors.Is(err, jetstream.ErrStreamNameAlreadyInUse) || errors.Is(err, jetstream.ErrBucketExists) {
		return nil
	}
	return err
}

// roomFault says what a server means that has no place for a room; it is final, since room seldom comes by waiting.
func (c *Conn) roomFault(err error) error {
	var answer jetstream.JetStreamError
	if !errors.As(err, &answer) || answer.APIError() == nil {
		return err
	}
	switch api := answer.APIError(); {
	case api.ErrorCode == noMemory || api.ErrorCode == noStorage:
		return fmt.Errorf("the server has no room (%s); want at least %d MB for its JetStream", api.Description, c.limits.resultBytes>>20)
	case c.opt.Replicas > 1 && api.Code != 503 || api.ErrorCode == noPeers:
		return fmt.Errorf("the server cannot keep %d replicas (%s); want no more than its cluster has servers", max(c.opt.Replicas, 1), api.Description)
	}
	return err
}

// making is a try that sets the rooms up where they are missing.
func (c *Conn) making(ctx context.Context, what string, call func(context.Context) error) error {
	err := c.tryFor(ctx, bulkLimit, what, call)
	if errors.Is(err, ErrLost) {
		if err = c.furnish(ctx); err == nil {
			err = c.tryFor(ctx, bulkLimit, what, call)
		}
	}
	return err
}

// bucket gives a key-value bucket.
func (c *Conn) bucket(ctx context.Context, name string) (jetstream.KeyValue, error) {
	c.mu.Lock()
	b := c.buckets[name]
	c.mu.Unlock()
	if b != nil {
		return b, nil
	}
	b, err := c.js.KeyValue(ctx, name)
	if err != nil {
		return nil, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.buckets[name] = b
	return b, nil
}
