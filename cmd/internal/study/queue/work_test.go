package queue

import (
	"bytes"
	"context"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/nats-io/nats.go/jetstream"
)

func TestRedelivery(t *testing.T) {
	t.Parallel()
	c := dialled(t, jetServer(t).ClientURL(), Options{Silence: 300 * time.Millisecond})
	l := led(t, c, "s1")
	must(t, l.Add(t.Context(), "a", []byte("a")))
	first := taken(t, c, "s1")
	second := taken(t, c, "s1") // after Silence
	if first.Tries != 1 || second.Tries != 2 || string(second.Body) != "a" {
		t.Fatalf("got try %d, then %d of %q; want 1, 2", first.Tries, second.Tries, second.Body)
	}
	second.Back()
	third := taken(t, c, "s1")
	if third.Tries < 3 {
		t.Fatalf("given back: got try %d; want 3 or more", third.Tries)
	}
	must(t, third.Done(t.Context()))
	must(t, third.Done(t.Context()))
	must(t, first.Done(t.Context())) // of one who was thought dead
	if job, err := c.Next(t.Context(), "s1", 10*time.Millisecond); job != nil || err != nil {
		t.Fatal("a task that is done came again", err)
	}
}

// TestForgottenDelivery ends a task as is done when the server does not know that it was delivered.
func TestForgottenDelivery(t *testing.T) {
	t.Parallel()
	c := dialled(t, jetServer(t).ClientURL(), Options{})
	l := led(t, c, "s1")
	must(t, l.Add(t.Context(), "a", []byte("a")))
	must(t, l.Add(t.Context(), "b", []byte("b")))
	job := taken(t, c, "s1")
	for range 2 {
		must(t, c.remove(t.Context(), tasks, job.msg))
	}
	if bodies, err := l.Tasks(t.Context()); len(bodies) != 1 || string(bodies[0]) != "b" || err != nil {
		t.Errorf("got tasks %q, %v; want b", bodies, err)
	}
}

func TestSameKey(t *testing.T) {
	t.Parallel()
	c := dialled(t, jetServer(t).ClientURL(), Options{})
	l, m := led(t, c, "s1"), led(t, c, "s2")
	for range 3 {
		must(t, l.Add(t.Context(), "k", []byte("task")))
		must(t, c.Again(t.Context(), "s1", "k", []byte("task")))
		must(t, c.Report(t.Context(), "s1", "k", []byte("result")))
		must(t, m.Add(t.Context(), "k", []byte("another's")))
	}
	if bodies, err := l.Tasks(t.Context()); len(bodies) != 1 || err != nil {
		t.Errorf("got %q, %v; want one task", bodies, err)
	}
	if n, err := l.Waiting(t.Context()); n != 1 || err != nil {
		t.Errorf("got %d results, %v; want one", n, err)
	}
	if n, err := m.Waiting(t.Context()); n != 0 || err != nil {
		t.Errorf("of the other study: got %d results, %v; want none", n, err)
	}
	must(t, l.Clear(t.Context()))
	if bodies, err := m.Tasks(t.Context()); len(bodies) != 1 || err != nil {
		t.Errorf("after the other was cleared: got %q, %v; want one task", bodies, err)
	}
}

func TestReportWaitsForRoom(t *testing.T) {
	t.Parallel()
	c := dialled(t, jetServer(t).ClientURL(), Options{})
	c.limits.results = 2
	l, other := led(t, c, "s1"), led(t, c, "s2")
	for _, key := range []string{"a", "b"} {
		must(t, c.Report(t.Context(), "s1", key, []byte(key)))
	}
	must(t, c.Report(t.Context(), "s2", "a", nil)) // a full study is not in another's way
	if n, err := other.Waiting(t.Context()); n != 1 || err != nil {
		t.Fatal(n, err)
	}
	brief, stop := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer stop()
	if err := c.Report(brief, "s1", "c", []byte("c")); err == nil {
		t.Fatal("a third result where two may be: got no error when the context ended")
	}
	done := make(chan error)
	go func() { done <- c.Report(t.Context(), "s1", "d", []byte("d")) }()
	out, lost := l.Results(t.Context())
	var got string
	for range 3 {
		r := received(t, out, lost)
		got += string(r.Body)
		must(t, r.Ack(t.Context()))
	}
	must(t, <-done)
	if got != "abd" {
		t.Errorf("got results %q; want abd", got)
	}
}

func TestLargeResult(t *testing.T) {
	t.Parallel()
	c := dialled(t, jetServer(t).ClientURL(), Options{})
	l := led(t, c, "s1")
	body := make([]byte, 8<<20)
	random := rand.NewChaCha8([32]byte{1})
	_, _ = random.Read(body)
	for _, key := range []string{"a", "b", "a"} {
		must(t, c.Report(t.Context(), "s1", key, body))
	}
	if n := objects(t, c); n != 2 {
		t.Errorf("%d large results are kept; want 2, the third being the first again", n)
	}
	out, lost := l.Results(t.Context())
	r := received(t, out, lost)
	if !bytes.Equal(r.Body, body) {
		t.Error("a result of 8 MB came back otherwise")
	}
	must(t, r.Ack(t.Context()))
	if n := objects(t, c); n != 1 {
		t.Errorf("after one was acknowledged %d large results are kept; want 1", n)
	}
	hash, err := c.Put(t.Context(), body)
	must(t, err)
	must(t, l.Clear(t.Context()))
	if n := objects(t, c); n != 1 {
		t.Errorf("after Clear %d objects are kept; want the input alone", n)
	}
	if got, err := c.Get(t.Context(), hash); err != nil || !bytes.Equal(got, body) {
		t.Error("an input of 8 MB came back otherwise", err)
	}
	if _, err := c.Get(t.Context(), "00"); err == nil {
		t.Error("an input that nobody put: got no error")
	}
}

func objects(t *testing.T, c *Conn) int {
	t.Helper()
	store, err := c.js.ObjectStore(t.Context(), inputs)
	must(t, err)
	all, err := store.List(t.Context())
	if err != nil && err != jetstream.ErrNoObjectsFound {
		t.Fatal(err)
	}
	return len(all)
}

// TestResultsOfTheLeadBefore leaves results behind that were received and not acknowledged.
func TestResultsOfTheLeadBefore(t *testing.T) {
	t.Parallel()
	c := dialled(t, jetServer(t).ClientURL(), Options{}) // Silence is a minute: nothing comes by waiting
	l := led(t, c, "s1")
	for _, key := range []string{"a", "b", "c"} {
		must(t, c.Report(t.Context(), "s1", key, []byte(key)))
	}
	out, lost := l.Results(t.Context())
	stale := received(t, out, lost)
	out2, lost2 := l.Results(t.Context()) // the first call's b and c come here, a stays with who has it
	if got := string(received(t, out2, lost2).Body) + string(received(t, out2, lost2).Body); got != "bc" && got != "cb" {
		t.Errorf("the second call gives %q; want b and c", got)
	}
	next := led(t, c, "s1")
	if err := <-lost2; err == nil {
		t.Error("who lost the lead hears nothing of it")
	}
	got := map[string]bool{}
	out3, lost3 := next.Results(t.Context())
	for range 3 {
		r := received(t, out3, lost3)
		got[string(r.Body)] = true
		must(t, r.Ack(t.Context()))
	}
	if len(got) != 3 {
		t.Errorf("the next lead gets %v; want a, b and c", got)
	}
	must(t, stale.Ack(t.Context()))
}

func TestWatch(t *testing.T) {
	t.Parallel()
	c := dialled(t, jetServer(t).ClientURL(), Options{})
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	changes, err := c.Watch(ctx) // before there is a room
	must(t, err)
	l := led(t, c, "s1")
	if s := <-changes; s.ID != "s1" || s.State != Open {
		t.Fatalf("got %+v; want s1 open", s)
	}
	_, err = l.Beat(t.Context(), Study{State: Ended})
	must(t, err)
	for s := range changes {
		if s.State == Ended {
			break
		}
	}
	stop()
	for range changes { // until it is closed
	}
}
