package queue

import (
	"testing"
	"time"
)

func TestEmbeddedRoundTrip(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	c, err := Embedded(ctx)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(c.Close)
	hash, err := c.Put(ctx, []byte("sun"))
	if err != nil {
		t.Fatal(err)
	}
	if got, err := c.Get(ctx, hash); err != nil || string(got) != "sun" {
		t.Fatalf("got %q, %v", got, err)
	}
	l, err := c.Lead(ctx, Study{ID: "s1", Owner: "anna", State: Open})
	if err != nil {
		t.Fatal(err)
	}
	if err := l.Add(ctx, "k", []byte("one")); err != nil {
		t.Fatal(err)
	}
	job, err := c.Next(ctx, "s1", time.Second)
	if err != nil || job == nil || string(job.Body) != "one" || job.Tries != 1 {
		t.Fatalf("got %+v, %v", job, err)
	}
	if bodies, err := l.Tasks(ctx); err != nil || len(bodies) != 1 {
		t.Fatalf("got %q, %v", bodies, err)
	}
	if err := c.Report(ctx, "s1", "k", []byte("two")); err != nil {
		t.Fatal(err)
	}
	if err := job.Done(ctx); err != nil {
		t.Fatal(err)
	}
	if bodies, err := l.Tasks(ctx); err != nil || len(bodies) != 0 {
		t.Fatalf("got %q, %v", bodies, err)
	}
	out, lost := l.Results(ctx)
	select {
	case r := <-out:
		if n, err := l.Waiting(ctx); string(r.Body) != "two" || n != 1 || err != nil {
			t.Fatalf("got %q, %d waiting, %v", r.Body, n, err)
		}
		if err := r.Ack(ctx); err != nil {
			t.Fatal(err)
		}
	case err := <-lost:
		t.Fatal(err)
	}
	if n, err := l.Waiting(ctx); n != 0 || err != nil {
		t.Fatalf("got %d waiting, %v", n, err)
	}
	if cancelled, err := l.Beat(ctx, Study{State: Ended, Done: 1}); cancelled || err != nil {
		t.Fatal(cancelled, err)
	}
	if err := l.Clear(ctx); err != nil {
		t.Fatal(err)
	}
}
