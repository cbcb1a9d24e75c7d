package desk

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"noonkeep/scenarios"
)

// yard is a desk's runs with works that stand until the test lets them go, told apart by their case's name.
type yard struct {
	*runs
	note  sync.Mutex
	begun []string               // in their order
	end   map[string]chan result // what ends each
	told  []string               // "sheet name-of-kind done/of state", in their order
}

type result struct {
	out outcome
	err error
}

// newYard makes runs with so many seats. Call it in a synctest bubble: the test looks at the fields only when all others wait.
func newYard(seats int) *yard {
	y := &yard{end: map[string]chan result{}}
	y.runs = newRuns(func(sheet string, r runView) {
		y.note.Lock()
		defer y.note.Unlock()
		y.told = append(y.told, fmt.Sprintf("%s %d/%d %s", sheet, r.Done, r.Of, r.State))
	})
	y.seats = make(chan struct{}, seats)
	y.kinds = []runKind{{runKindView{Kind: "held", Name: "Held"}, func(ctx context.Context, c scenarios.Case, _ tells) (outcome, error) {
		y.note.Lock()
		y.begun = append(y.begun, c.Name)
		y.note.Unlock()
		select {
		case r := <-y.end[c.Name]:
			return r.out, r.err
		case <-ctx.Done():
			return outcome{}, fmt.Errorf("year 3: %w", ctx.Err())
		}
	}}}
	return y
}

// queue starts a held run of a name, on the visitor's sheet.
func (y *yard) queue(t *testing.T, visitor, name string) int {
	t.Helper()
	y.end[name] = make(chan result, 1)
	n, err := y.start(visitor, "sheet of "+visitor, "held", scenarios.Case{Name: name})
	if err != nil {
		t.Fatal(err)
	}
	synctest.Wait()
	return n
}

func (y *yard) finish(name string, r result) {
	y.end[name] <- r
	synctest.Wait()
}

// states are a visitor's runs, the oldest first.
func (y *yard) states(visitor string) string {
	var list []string
	for _, v := range slices.Backward(y.views("sheet of " + visitor)) {
		list = append(list, v.State)
	}
	return strings.Join(list, ", ")
}

func (y *yard) want(t *testing.T, when, visitor, states string, begun ...string) {
	t.Helper()
	if got := y.states(visitor); got != states {
		t.Errorf("%s: the runs are %s; want %s", when, got, states)
	}
	if !slices.Equal(y.begun, begun) {
		t.Errorf("%s: begun were %q; want %q", when, y.begun, begun)
	}
}

// A visitor's runs go one after another in the order in which they were asked for, also past one that failed or was given up while it waited.
func TestRunsOfOneVisitorGoInTheirOrder(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		y := newYard(4)
		defer y.close()
		y.queue(t, "a", "one")
		y.queue(t, "a", "two")
		third := y.queue(t, "a", "three")
		y.queue(t, "a", "four")
		y.want(t, "at first", "a", "under way, waiting, waiting, waiting", "one")
		y.finish("one", result{out: outcome{text: "said", name: "held.zip", zip: []byte("zip")}})
		y.want(t, "when one is done", "a", "done, under way, waiting, waiting", "one", "two")
		if !y.cancel("sheet of a", third) {
			t.Error("a waiting run cannot be given up")
		}
		y.want(t, "when the middle one was given up", "a", "done, under way, given up, waiting", "one", "two")
		y.finish("two", result{err: errors.New("the plant is too small")})
		y.want(t, "when one has failed", "a", "done, failed, given up, under way", "one", "two", "four")
		views := y.views("sheet of a")
		if views[3].Text != "said" || views[2].Text != "the plant is too small" || views[3].Under || views[1].Under || !views[0].Under {
			t.Errorf("the page is told %+v", views)
		}
		if y.cancel("sheet of a", third) || y.cancel("sheet of a", 99) {
			t.Error("what is over, or never was, was given up")
		}
	})
}

// Visitors work side by side, as far as there are seats; whoever waits for one has begun nothing.
func TestRunsOfTwoVisitorsTakeSeats(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		y := newYard(2)
		defer y.close()
		y.queue(t, "a", "a1")
		y.queue(t, "b", "b1")
		y.queue(t, "a", "a2")
		c := y.queue(t, "c", "c1")
		y.queue(t, "d", "d1")
		y.want(t, "with two seats", "c", "waiting", "a1", "b1")
		y.cancel("sheet of c", c)
		synctest.Wait()
		y.want(t, "given up while it waited for a seat", "c", "given up", "a1", "b1")
		y.finish("b1", result{})
		y.want(t, "with a seat free again", "d", "under way", "a1", "b1", "d1")
		y.finish("a1", result{})
		y.want(t, "and again", "a", "done, under way", "a1", "b1", "d1", "a2")
	})
	if n := cap(newRuns(nil).seats); n < 1 {
		t.Errorf("a machine of one processor has %d seats", n)
	}
}

func TestRunGivenUpUnderWay(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		y := newYard(1)
		defer y.close()
		n := y.queue(t, "a", "one")
		y.queue(t, "a", "two")
		if y.cancel("sheet of b", n) {
			t.Error("a run was given up from another's sheet")
		}
		y.cancel("sheet of a", n)
		synctest.Wait()
		y.want(t, "after it", "a", "given up, under way", "one", "two")
		if v := y.views("sheet of a")[1]; v.Text != "" || v.HasFiles {
			t.Errorf("a run that was given up says %+v", v)
		}
	})
}

func TestRunsWaitingAreLimited(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		y := newYard(1)
		defer y.close()
		for i := range mostWaiting + 1 {
			y.queue(t, "a", fmt.Sprint(i))
		}
		_, err := y.start("a", "another sheet", "held", scenarios.Case{})
		if want := "4 runs of yours are waiting already; give one up, or wait for it"; err == nil || err.Error() != want {
			t.Errorf("one run too many: %v; want %s", err, want)
		}
		y.queue(t, "b", "of another visitor")
		y.finish("0", result{})
		y.queue(t, "a", "again")
		if _, err := y.start("b", "s", "<b>", scenarios.Case{}); err == nil || err.Error() != `"<b>" is no run that the desk knows` {
			t.Errorf("an unknown kind: %v", err)
		}
	})
}

// Of very many the oldest finished ones go, and the files of old ones sooner; what waits or is under way stays.
func TestRunsKeepSoMuch(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		y := newYard(2)
		defer y.close()
		first := y.queue(t, "long", "long")
		y.finish("long", result{out: outcome{text: "old", name: "held.zip", zip: make([]byte, mostZip-10)}})
		y.queue(t, "held", "held")
		if name, zip, ok := y.files("sheet of long", first); !ok || name != "held.zip" || len(zip) != mostZip-10 {
			t.Errorf("the files are %q of %d bytes, %v", name, len(zip), ok)
		}
		for i := range mostOver - 1 {
			n := y.queue(t, "a", fmt.Sprint(i))
			y.finish(fmt.Sprint(i), result{out: outcome{zip: make([]byte, 2)}})
			if _, _, ok := y.files("sheet of long", first); ok != (i < 5) {
				t.Fatalf("with %d bytes more than the largest the oldest files are kept: %v", 2*(i+1)-10, ok)
			}
			if _, _, ok := y.files("sheet of a", n); !ok {
				t.Fatal("the newest files are gone")
			}
		}
		if v := y.views("sheet of long"); len(v) != 1 || v[0].HasFiles || v[0].Text != "old" {
			t.Errorf("of the oldest there is %+v", v)
		}
		y.queue(t, "a", "last")
		y.finish("last", result{})
		if v := y.views("sheet of long"); len(v) != 0 {
			t.Errorf("one too many is kept: %+v", v)
		}
		y.want(t, "what is under way", "held", "under way", y.begun...)
	})
}

func TestRunFilesAreOfTheirSheet(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		y := newYard(1)
		defer y.close()
		n := y.queue(t, "a", "one")
		if _, _, ok := y.files("sheet of a", n); ok {
			t.Error("a run under way has files")
		}
		y.finish("one", result{out: outcome{zip: []byte("zip")}})
		if _, _, ok := y.files("sheet of b", n); ok {
			t.Error("another sheet takes a run's files")
		}
		if _, zip, ok := y.files("sheet of a", n); !ok || string(zip) != "zip" {
			t.Errorf("its own sheet gets %q, %v", zip, ok)
		}
		if len(y.views("sheet of b")) > 0 {
			t.Error("another sheet sees a run")
		}
	})
}

// The end gives up what is under way and what waits, and leaves nothing running: the bubble would say so.
func TestRunsCloseEndsAll(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		y := newYard(1)
		y.queue(t, "a", "one")
		y.queue(t, "a", "two")
		y.queue(t, "b", "three") // it waits for a seat
		y.close()
		y.want(t, "at the end", "a", "given up, given up", "one")
		y.want(t, "at the end", "b", "given up", "one")
		if _, err := y.start("a", "s", "held", scenarios.Case{}); err == nil || err.Error() != "the desk is being ended" {
			t.Errorf("a run after the end: %v", err)
		}
	})
}

// A page is told at most each 200 ms how far a run is, and of each state at once, of the last one last.
func TestRunsAreTold(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		y := newYard(1)
		defer y.close()
		y.kinds = append(y.kinds, runKind{runKindView{Kind: "steps"}, func(_ context.Context, _ scenarios.Case, tell tells) (outcome, error) {
			for i := range 100 {
				tell(i+1, 100, "steps taken")
				time.Sleep(10 * time.Millisecond)
			}
			return outcome{}, nil
		}}, runKind{runKindView{Kind: "none"}, func(context.Context, scenarios.Case, tells) (outcome, error) {
			return outcome{}, errors.New("at once")
		}})
		for _, c := range []struct {
			kind string
			want []string
		}{
			{"steps", []string{"s 0/0 waiting", "s 0/0 under way", "s 1/100 under way", "s 21/100 under way", "s 41/100 under way", "s 61/100 under way",
				"s 81/100 under way", "s 100/100 done"}},
			{"none", []string{"s 0/0 waiting", "s 0/0 under way", "s 0/0 failed"}},
		} {
			y.told = nil
			if _, err := y.start("a", "s", c.kind, scenarios.Case{}); err != nil {
				t.Fatal(err)
			}
			time.Sleep(2 * time.Second)
			synctest.Wait()
			if !slices.Equal(y.told, c.want) {
				t.Errorf("%s: told was %q; want %q", c.kind, y.told, c.want)
			}
		}
		y.queue(t, "b", "one")
		n := y.queue(t, "b", "two")
		y.told = nil
		y.cancel("sheet of b", n)
		if want := []string{"sheet of b 0/0 given up"}; !slices.Equal(y.told, want) {
			t.Errorf("of a waiting run that was given up was told %q; want %q", y.told, want)
		}
	})
}
