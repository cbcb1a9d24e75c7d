package queue

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"

	"github.com/nats-io/nats.go/jetstream"
)

// Put keeps data where every worker finds it, and gives its SHA-256 in hex. Data that is there already is not sent again.
func (c *Conn) Put(ctx context.Context, data []byte) (hash string, err error) {
	sum := sha256.Sum256(data)
	hash = hex.EncodeToString(sum[:])
	err = c.making(ctx, "keeping an input", func(ctx context.Context) error {
		store, err := c.js.ObjectStore(ctx, inputs)
		if err != nil {
			return err
		}
		info, err := store.GetInfo(ctx, inputName(hash))
		if err == nil && info.Size == uint64(len(data)) {
			return nil
		}
		if err != nil && !errors.Is(err, jetstream.ErrObjectNotFound) {
			return err
		}
		_, err = store.Put(ctx, jetstream.ObjectMeta{Name: inputName(hash)}, bytes.NewReader(data))
		return err
	})
	return hash, err
}

// Get gives the data that has the hash, and checks it.
func (c *Conn) Get(ctx context.Context, hash string) ([]byte, error) {
	data, err := c.object(ctx, "input "+hash, inputName(hash))
	if err != nil {
		return nil, err
	}
	if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != hash {
		return nil, fmt.Errorf("queue: input %.80s: the server gives other data under this hash; start the study again with an empty server", hash)
	}
	return data, nil
}

func inputName(hash string) string { return "input." + hash }

// object reads what the object store has under a name.
func (c *Conn) object(ctx context.Context, what, name string) (data []byte, err error) {
	err = c.tryFor(ctx, bulkLimit, what, func(ctx context.Context) error {
		store, err := c.js.ObjectStore(ctx, inputs)
		if err != nil {
			return err
		}
		got, err := store.Get(ctx, name)
		if err != nil {
			return err
		}
		defer func() { _ = got.Close() }()
		data, err = io.ReadAll(got)
		return err
	})
	if errors.Is(err, jetstream.ErrObjectNotFound) {
		err = fmt.Errorf("queue: %s: is not on the server; start the study again: %w", what, err)
	}
	return data, err
}
