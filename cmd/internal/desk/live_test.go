package desk

import (
	"bufio"
	"context"
	"net/http"
	"strings"
	"testing"
	"time"
)

// A page that listens hears of a change on disk without asking, from its own sheet alone, and the desk's end ends the stream.
func TestEventsOfASheet(t *testing.T) {
	t.Parallel()
	const text = "noonkeep: 1\nname: no plant yet\n"
	d := testDesk{t: t, dir: t.TempDir()}
	d.write("a.yaml", text)
	var err error
	if d.Desk, err = New(Options{Dir: d.dir, File: "a.yaml"}); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	ended := make(chan error, 1)
	go func() { ended <- d.Serve(ctx) }()
	g := d.guest()
	b := g.open("a.yaml")
	for _, other := range []struct {
		guest
		want int
	}{{d.outside(), http.StatusForbidden}, {d.guest(), http.StatusNotFound}} {
		if a := other.get(b.base + "/events"); a.status != other.want || strings.Contains(a.kind(), "event") {
			t.Errorf("somebody else listens: status %d, %q", a.status, a.kind())
		}
	}
	stream, err := g.client.Get(g.site + b.base + "/events")
	if err != nil {
		t.Fatal(err)
	}
	defer stream.Body.Close()
	lines := make(chan string, 1000)
	go func() {
		defer close(lines)
		for s := bufio.NewScanner(stream.Body); s.Scan(); {
			lines <- s.Text()
		}
	}()
	wait := func(word string) {
		t.Helper()
		late := time.After(20 * time.Second)
		for {
			select {
			case line, open := <-lines:
				if strings.Contains(line, word) {
					return
				}
				if !open {
					t.Fatalf("the stream ended before %q came", word)
				}
			case <-late:
				t.Fatalf("%q did not come", word)
			}
		}
	}
	wait(": here")
	d.write("a.yaml", text+"# by another program\n") // with faults, so that it is asked about
	wait("event: disk")
	wait("a.yaml: was changed on disk since it was opened here")
	cancel()
	for range lines { // until the stream is closed
	}
	select {
	case err := <-ended:
		if err != nil {
			t.Error(err)
		}
	case <-time.After(5 * time.Second):
		t.Error("a page that listens keeps the desk from ending")
	}
}

// The desk refuses to start on what is not there.
func TestNewRefuses(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	for want, opt := range map[string]Options{
		"none.yaml: there is no such file in this folder":      {Dir: dir, File: "none.yaml"},
		`"../x.yaml" is not the name of a file in this folder`: {Dir: dir, File: "../x.yaml"},
		dir + "/none: there is no such folder":                 {Dir: dir + "/none"},
	} {
		if _, err := New(opt); err == nil || err.Error() != want {
			t.Errorf("%+v: %v; want %s", opt, err, want)
		}
	}
}
