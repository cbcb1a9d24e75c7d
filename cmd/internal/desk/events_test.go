package desk

import (
	"bufio"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"
)

func listenTo(t *testing.T, h *hub, sheet string) *bufio.Reader {
	t.Helper()
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { h.serve(w, r, sheet) }))
	t.Cleanup(func() { h.close(); server.Close() })
	answer, err := http.Get(server.URL)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { answer.Body.Close() })
	if kind := answer.Header.Get("Content-Type"); kind != "text/event-stream" {
		t.Errorf("the stream is called %q", kind)
	}
	r := bufio.NewReader(answer.Body)
	if line, err := r.ReadString('\n'); line != ": here\n" || err != nil {
		t.Fatalf("a stream begins with %q, %v", line, err)
	}
	r.ReadString('\n')
	return r
}

func TestHubBringsEvents(t *testing.T) {
	h := newHub()
	r := listenTo(t, h, "a")
	h.send("b", "parts", []byte("for others"))
	h.send("a", "parts", []byte("one\ntwo"))
	var got strings.Builder
	for range 4 {
		line, err := r.ReadString('\n')
		if err != nil {
			t.Fatal(err)
		}
		got.WriteString(line)
	}
	if want := "event: parts\ndata: one\ndata: two\n\n"; got.String() != want {
		t.Errorf("got %q; want %q", got.String(), want)
	}
	h.close()
	if line, err := r.ReadString('\n'); err == nil {
		t.Errorf("after the end comes %q", line)
	}
	if h.listeners("a") != 0 {
		t.Error("somebody still listens")
	}
}

// Whoever reads nothing is let go, and whoever sends is never held up.
func TestHubLetsSlowOnesGo(t *testing.T) {
	h := newHub()
	l := h.join("a")
	sent := make(chan bool)
	go func() {
		for range 10 * behind {
			h.send("a", "parts", []byte("x"))
		}
		close(sent)
	}()
	select {
	case <-sent:
	case <-time.After(10 * time.Second):
		t.Fatal("a listener who reads nothing holds up who sends")
	}
	n := 0
	for range l.events {
		n++
	}
	if n != behind || h.listeners("a") != 0 {
		t.Errorf("%d events waited, %d listen; want %d, 0", n, h.listeners("a"), behind)
	}
}
