package desk

import (
	"bytes"
	"fmt"
	"net/http"
	"sync"
	"time"
)

// heartbeat is how often a silent stream says that it lives, so that nothing between takes it for dead.
const heartbeat = 15 * time.Second

// behind is how many events may wait for one listener. Whoever falls further behind is let go, and begins anew: a page takes the newest
// parts then.
const behind = 32

// hub brings events to the pages that listen to a sheet. Close it to end all streams.
type hub struct {
	mu      sync.Mutex
	closed  bool
	bySheet map[string]map[*listener]bool
}

type listener struct {
	events chan []byte // closed when it is let go
}

func newHub() *hub { return &hub{bySheet: map[string]map[*listener]bool{}} }

// send brings an event to all who listen to a sheet; it never waits.
func (h *hub) send(sheet, event string, data []byte) {
	message := eventText(event, data)
	h.mu.Lock()
	defer h.mu.Unlock()
	for l := range h.bySheet[sheet] {
		select {
		case l.events <- message:
		default:
			h.letGo(sheet, l)
		}
	}
}

// eventText is an event as the stream carries it (HTML standard, section "server-sent events").
func eventText(event string, data []byte) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "event: %s\n", event)
	for line := range bytes.SplitSeq(data, []byte("\n")) {
		fmt.Fprintf(&b, "data: %s\n", line)
	}
	b.WriteByte('\n')
	return b.Bytes()
}

func (h *hub) listeners(sheet string) int {
	h.mu.Lock()
	defer h.mu.Unlock()
	return len(h.bySheet[sheet])
}

func (h *hub) join(sheet string) *listener {
	h.mu.Lock()
	defer h.mu.Unlock()
	l := &listener{events: make(chan []byte, behind)}
	if h.closed {
		close(l.events)
		return l
	}
	if h.bySheet[sheet] == nil {
		h.bySheet[sheet] = map[*listener]bool{}
	}
	h.bySheet[sheet][l] = true
	return l
}

// letGo ends a listener's stream; the caller holds the lock.
func (h *hub) letGo(sheet string, l *listener) {
	if !h.bySheet[sheet][l] {
		return
	}
	delete(h.bySheet[sheet], l)
	if len(h.bySheet[sheet]) == 0 {
		delete(h.bySheet, sheet)
	}
	close(l.events)
}

// close ends all streams, and lets nobody in after that.
func (h *hub) close() {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.closed = true
	for sheet, all := range h.bySheet {
		for l := range all {
			h.letGo(sheet, l)
		}
	}
}

// serve is the stream of one page, until the page goes, falls behind, or the hub is closed.
func (h *hub) serve(w http.ResponseWriter, r *http.Request, sheet string) {
	l := h.join(sheet)
	defer func() {
		h.mu.Lock()
		defer h.mu.Unlock()
		h.letGo(sheet, l)
	}()
	stream := http.NewResponseController(w)
	w.Header().Set("Content-Type", "text/event-stream")
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	message := []byte(": here\n\n")
	for open := true; open; {
		stream.SetWriteDeadline(time.Now().Add(heartbeat))
		if _, err := w.Write(message); err != nil {
			return
		}
		if err := stream.Flush(); err != nil {
			return
		}
		select {
		case message, open = <-l.events:
		case <-beat.C:
			message = []byte(": here\n\n")
		case <-r.Context().Done():
			return
		}
	}
}
