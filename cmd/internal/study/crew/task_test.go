package crew

import (
	"math/rand/v2"
	"testing"
	"time"
)

// A set does what a map does.
func TestSetIsAMap(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(7, 0))
	for range 200 {
		n := 1 + rng.Int64N(200)
		s, or, want, wantOr := newSet(n), newSet(n), map[int64]bool{}, map[int64]bool{}
		for range 3 * n {
			i := rng.Int64N(n)
			switch rng.IntN(4) {
			case 0:
				s.remove(i)
				delete(want, i)
			case 1:
				or.add(i)
				wantOr[i] = true
			default:
				if s.add(i) == want[i] {
					t.Fatalf("add(%d) of %d tells wrong", i, n)
				}
				want[i] = true
			}
		}
		next := n
		from := rng.Int64N(n)
		for i := n - 1; i >= from; i-- {
			if s.has(i) != want[i] {
				t.Fatalf("has(%d) of %d is %v", i, n, s.has(i))
			}
			if !want[i] && !wantOr[i] {
				next = i
			}
		}
		if s.count != int64(len(want)) || s.missing(from, or) != next {
			t.Fatalf("of %d: count %d, missing from %d on %d; want %d, %d", n, s.count, from, s.missing(from, or), len(want), next)
		}
	}
}

func TestTasksRefused(t *testing.T) {
	t.Parallel()
	for _, body := range []string{"", "{}", "[]", `{"first":-1,"count":1}`, `{"first":0,"count":0}`, `{"first":8,"count":3}`, `{"first":1,"count":9223372036854775807}`,
		`{"first":1,"count":1,"x":2}`, `{"first":1,"count":1} {}`} {
		if s, err := readSpan([]byte(body), 10); err == nil {
			t.Errorf("%q is read as %v", body, s)
		}
	}
	want := span{3, 4}
	if s, err := readSpan(want.body(), 10); err != nil || s != want {
		t.Errorf("%s is read as %v, %v", want.body(), s, err)
	}
}

// FuzzTask: whatever a task says, it is refused or lies within the study, and is written as it was read.
func FuzzTask(f *testing.F) {
	f.Add([]byte(`{"first":1,"count":2}`), int64(10))
	f.Fuzz(func(t *testing.T, body []byte, n int64) {
		s, err := readSpan(body, n)
		if err != nil {
			return
		}
		if s.First < 0 || s.Count < 1 || s.end() > n || s.end() < s.First {
			t.Errorf("%q is read as %v of %d", body, s, n)
		}
		if again, err := readSpan(s.body(), n); err != nil || again != s {
			t.Errorf("%v is read again as %v, %v", s, again, err)
		}
	})
}

func TestPace(t *testing.T) {
	t.Parallel()
	begin := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	p := newPace(begin, 10)
	if rate, left := p.at(begin.Add(time.Second), 10, 100); rate != 0 || left != 0 {
		t.Errorf("before the first case it says %v a second, %v left", rate, left)
	}
	if rate, left := p.at(begin.Add(10*time.Second), 30, 100); rate != 2 || left != 35*time.Second {
		t.Errorf("20 cases in 10 s are %v a second, %v left; want 2 and 35 s", rate, left)
	}
	p.at(begin.Add(100*time.Second), 30, 100)
	if rate, _ := p.at(begin.Add(110*time.Second), 60, 100); rate != 0.3 {
		t.Errorf("30 cases since the mark at 10 s are %v a second; want 0.3", rate)
	}
}
