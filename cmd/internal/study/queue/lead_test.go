package queue

import (
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"
)

func TestOneLeads(t *testing.T) {
	t.Parallel()
	s := jetServer(t)
	c := dialled(t, s.ClientURL(), Options{})
	led(t, c, "s1")
	var other *Taken
	if _, err := c.Lead(t.Context(), Study{ID: "s1", Owner: "berta", State: Open}); !errors.As(err, &other) || other.Owner != "anna" {
		t.Fatalf("a second owner: got %v; want *Taken by anna", err)
	}
	again := led(t, c, "s1")
	if _, err := again.Beat(t.Context(), Study{State: Paused}); err != nil {
		t.Fatal(err)
	}
	l, err := c.Lead(t.Context(), Study{ID: "s1", Owner: "berta", State: Open})
	must(t, err)
	if _, err := again.Beat(t.Context(), Study{State: Open}); !errors.As(err, &other) || other.Owner != "berta" {
		t.Fatalf("the beat of who lost the lead: got %v; want *Taken by berta", err)
	}
	if cancelled, err := l.Beat(t.Context(), Study{State: Open, Done: 3, SetAside: 1}); cancelled || err != nil {
		t.Fatal(cancelled, err)
	}
	got, ok, err := c.Study(t.Context(), "s1")
	if want := (Study{ID: "s1", Owner: "berta", State: Open, Done: 3, SetAside: 1, Beat: got.Beat}); !ok || err != nil || got != want || got.Beat.IsZero() {
		t.Fatalf("got %+v, %v, %v; want %+v with a beat", got, ok, err, want)
	}
}

func TestManyWantToLead(t *testing.T) {
	t.Parallel()
	s := jetServer(t)
	var all sync.WaitGroup
	errs := make([]error, 6)
	for i := range errs {
		c := dialled(t, s.ClientURL(), Options{})
		all.Go(func() {
			_, errs[i] = c.Lead(t.Context(), Study{ID: "s1", Owner: fmt.Sprint("owner", i), State: Open})
		})
	}
	all.Wait()
	leads := 0
	for _, err := range errs {
		var other *Taken
		switch {
		case err == nil:
			leads++
		case !errors.As(err, &other):
			t.Error(err)
		}
	}
	if leads != 1 {
		t.Errorf("%d lead; want 1", leads)
	}
}

func TestSilentLeaderIsFollowed(t *testing.T) {
	t.Parallel()
	c := dialled(t, jetServer(t).ClientURL(), Options{Silence: 100 * time.Millisecond})
	led(t, c, "s1")
	until(t, "another owner leads", func() bool {
		_, err := c.Lead(t.Context(), Study{ID: "s1", Owner: "berta", State: Open})
		return err == nil
	})
}

func TestCancel(t *testing.T) {
	t.Parallel()
	c := dialled(t, jetServer(t).ClientURL(), Options{})
	l := led(t, c, "s1")
	must(t, c.Cancel(t.Context(), "s1"))
	must(t, c.Cancel(t.Context(), "s1"))
	for range 2 { // also when the lead has not understood
		if cancelled, err := l.Beat(t.Context(), Study{State: Open, Done: 4}); !cancelled || err != nil {
			t.Fatalf("got %v, %v; want cancelled", cancelled, err)
		}
		if got, _, _ := c.Study(t.Context(), "s1"); got.State != Cancelled || got.Done != 4 {
			t.Fatalf("got %+v; want it cancelled with 4 done", got)
		}
	}
	led(t, c, "s1")
	if got, _, _ := c.Study(t.Context(), "s1"); got.State != Open {
		t.Fatalf("led again: got %q; want open", got.State)
	}
	if err := c.Cancel(t.Context(), "s2"); err == nil {
		t.Error("cancelling a study that is not there: got no error")
	}
	if err := c.Cancel(t.Context(), "a.b"); err == nil {
		t.Error("cancelling what is no ID: got no error")
	}
}

// TestEmptyServer asks a server that never had a study.
func TestEmptyServer(t *testing.T) {
	t.Parallel()
	c := dialled(t, jetServer(t).ClientURL(), Options{})
	if all, err := c.Studies(t.Context()); len(all) != 0 || err != nil {
		t.Error(all, err)
	}
	if all, err := c.Workers(t.Context()); len(all) != 0 || err != nil {
		t.Error(all, err)
	}
	if job, err := c.Next(t.Context(), "s1", time.Millisecond); job != nil || err != nil {
		t.Error(job, err)
	}
	must(t, c.Hello(t.Context(), Worker{ID: "w1", Host: "barn", Jobs: 2}))
	must(t, c.Hello(t.Context(), Worker{ID: "w1", Host: "barn", Jobs: 2, Cases: 7}))
	if all, err := c.Workers(t.Context()); len(all) != 1 || all[0] != (Worker{ID: "w1", Host: "barn", Jobs: 2, Cases: 7}) || err != nil {
		t.Error(all, err)
	}
	brief := dialled(t, c.nats.ConnectedUrl(), Options{Silence: time.Millisecond})
	must(t, brief.Hello(t.Context(), Worker{ID: "w1"}))
	until(t, "a silent worker is seen no more", func() bool {
		all, err := c.Workers(t.Context())
		must(t, err)
		return len(all) == 0
	})
}
