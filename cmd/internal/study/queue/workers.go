package queue

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Worker is what all see of a worker.
type Worker struct {
	ID    string `json:"id"` // letters, digits, - and _
	Build string `json:"build"`
	Host  string `json:"host"`
	Jobs  int    `json:"jobs"`  // cases at once
	Cases int64  `json:"cases"` // solved so far
}

// greeting is a worker as it is kept.
type greeting struct {
	Worker
	Silence time.Duration `json:"silence_ns"`
}

// Hello says that a worker is there; to be said several times within a Silence. It sets the rooms up where they are missing.
func (c *Conn) Hello(ctx context.Context, w Worker) error {
	if !idForm.MatchString(w.ID) {
		return fmt.Errorf("queue: worker %.80q: is no worker's ID; want letters and digits, at most 64", w.ID)
	}
	data, err := json.Marshal(greeting{w, c.opt.Silence})
	if err != nil {
		return fmt.Errorf("queue: worker %s: %w", w.ID, err)
	}
	return c.making(ctx, "greeting", func(ctx context.Context) error {
		bucket, err := c.bucket(ctx, workers)
		if err == nil {
			_, err = bucket.Put(ctx, w.ID, data)
		}
		return err
	})
}

// Workers lists the workers that were heard within their Silence, by ID.
func (c *Conn) Workers(ctx context.Context) ([]Worker, error) {
	entries, now, err := c.entries(ctx, workers)
	if err != nil {
		return nil, err
	}
	out := []Worker{}
	for _, e := range entries {
		var g greeting
		if json.Unmarshal(e.Value(), &g) == nil && g.ID == e.Key() && now.Sub(e.Created()) < g.Silence {
			out = append(out, g.Worker)
		}
	}
	slices.SortFunc(out, func(a, b Worker) int { return strings.Compare(a.ID, b.ID) })
	return out, nil
}
