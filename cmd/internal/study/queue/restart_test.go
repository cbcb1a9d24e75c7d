package queue

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/nats-io/nats-server/v2/server"
)

// TestKilledServer kills the server with SIGKILL while everything is under way.
func TestKilledServer(t *testing.T) {
	t.Parallel()
	const n, times = 60, 3
	p := newProcess(t)
	c := dialled(t, p.url(), Options{Silence: time.Second})
	w := dialled(t, p.url(), Options{Silence: time.Second})
	hash, err := c.Put(t.Context(), []byte("an input"))
	must(t, err)
	l := led(t, c, "s1")
	changes, err := w.Watch(t.Context())
	must(t, err)
	ended := make(chan bool, 1)
	go func() {
		for s := range changes {
			if s.State == Ended {
				ended <- true
			}
		}
	}()
	var crew sync.WaitGroup
	work, stop := context.WithCancel(t.Context())
	defer stop()
	for i := range 2 {
		crew.Go(func() { workThrough(t, work, w, hash, fmt.Sprint("w", i)) })
	}
	go func() {
		for i := range n {
			if err := l.Add(t.Context(), fmt.Sprint(i), fmt.Append(nil, i)); err != nil {
				t.Error(err)
			}
		}
	}()
	out, lost := l.Results(t.Context())
	got := map[string]bool{}
	for killed := 0; len(got) < n; {
		r := received(t, out, lost)
		got[string(r.Body)] = true
		if killed < times && len(got) >= n*(killed+1)/(times+1) {
			killed++
			p.kill()
			if killed == 2 { // the calls go on meanwhile and find it away
				until(t, "the connection sees that the server is away", c.Away)
			}
			p.start()
		}
		must(t, r.Ack(t.Context()))
		_, err := l.Beat(t.Context(), Study{State: Open, Done: int64(len(got))})
		must(t, err)
	}
	until(t, "no task is left", func() bool {
		bodies, err := l.Tasks(t.Context())
		must(t, err)
		return len(bodies) == 0
	})
	if all, err := c.Workers(t.Context()); err != nil || len(all) == 0 {
		t.Error("no worker was seen", err)
	}
	_, err = l.Beat(t.Context(), Study{State: Ended, Done: n})
	must(t, err)
	<-ended
	stop()
	crew.Wait()
}

// workThrough does tasks until ctx ends.
func workThrough(t *testing.T, ctx context.Context, c *Conn, hash, id string) {
	for ctx.Err() == nil {
		job, err := c.Next(ctx, "s1", 100*time.Millisecond)
		if err == nil && job != nil {
			_, err = c.Get(ctx, hash)
		}
		if err == nil {
			err = c.Hello(ctx, Worker{ID: id})
		}
		if err == nil && job != nil {
			if err = c.Report(ctx, "s1", string(job.Body), job.Body); err == nil {
				err = job.Done(ctx)
			}
		}
		if err != nil && ctx.Err() == nil {
			t.Error(err)
		}
	}
}

// TestLostServer starts the server again without what it held.
func TestLostServer(t *testing.T) {
	t.Parallel()
	s := jetServer(t)
	c := dialled(t, s.ClientURL(), Options{})
	_, err := c.Put(t.Context(), []byte("an input"))
	must(t, err)
	l := led(t, c, "s1")
	must(t, l.Add(t.Context(), "a", []byte("a")))
	job := taken(t, c, "s1")
	changes, err := c.Watch(t.Context())
	must(t, err)
	if s := <-changes; s.State != Open {
		t.Fatalf("got %+v", s)
	}
	_, lost := l.Results(t.Context())
	port := portOf(s)
	s.Shutdown()
	s.WaitForShutdown()
	startServer(t, &server.Options{Port: port, JetStream: true, StoreDir: t.TempDir()})

	var all sync.WaitGroup
	for name, call := range map[string]func() error{
		"Results": func() error { return <-lost },
		"Done":    func() error { return job.Done(t.Context()) },
		"Report":  func() error { return c.Report(t.Context(), "s1", "a", nil) },
		"Add":     func() error { return l.Add(t.Context(), "b", nil) },
		"Beat":    func() error { _, err := l.Beat(t.Context(), Study{State: Open}); return err },
		"Tasks":   func() error { _, err := l.Tasks(t.Context()); return err },
		"Waiting": func() error { _, err := l.Waiting(t.Context()); return err },
	} {
		all.Go(func() {
			if err := call(); !errors.Is(err, ErrLost) {
				t.Errorf("%s: got %v; want ErrLost", name, err)
			}
		})
	}
	all.Wait()
	if s := <-changes; s.ID != "s1" || s.State != Lost {
		t.Errorf("watch: got %+v; want s1 lost", s)
	}
	if job, err := c.Next(t.Context(), "s1", time.Millisecond); job != nil || err != nil {
		t.Error("Next:", job, err)
	}

	hash, err := c.Put(t.Context(), []byte("an input"))
	must(t, err)
	l = led(t, c, "s1")
	must(t, l.Add(t.Context(), "a", []byte("a")))
	must(t, taken(t, c, "s1").Done(t.Context()))
	if _, err := c.Get(t.Context(), hash); err != nil {
		t.Error(err)
	}
	for s := range changes {
		if s.State == Open {
			break
		}
	}
}

// TestAwayEndsWithContext has no server any more.
func TestAwayEndsWithContext(t *testing.T) {
	t.Parallel()
	s := jetServer(t)
	c := dialled(t, s.ClientURL(), Options{})
	l := led(t, c, "s1")
	must(t, l.Add(t.Context(), "a", []byte("a")))
	job := taken(t, c, "s1")
	s.Shutdown()
	s.WaitForShutdown()
	until(t, "the server is away", c.Away)
	ctx, stop := context.WithTimeout(t.Context(), 100*time.Millisecond)
	defer stop()
	if _, err := c.Lead(ctx, Study{ID: "s2"}); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("Lead: got %v; want that the time is over", err)
	}
	if err := job.Done(ctx); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("Done: got %v; want that the time is over", err)
	}
	job.Alive()
	job.Back()
	if job, err := c.Next(t.Context(), "s1", 10*time.Millisecond); job != nil || err != nil {
		t.Error("Next:", job, err)
	}
	c.Close()
	if err := l.Add(t.Context(), "b", nil); !errors.Is(err, ErrClosed) {
		t.Errorf("Add: got %v; want ErrClosed", err)
	}
	if _, err := c.Next(t.Context(), "s1", time.Millisecond); !errors.Is(err, ErrClosed) {
		t.Errorf("Next: got %v; want ErrClosed", err)
	}
}
