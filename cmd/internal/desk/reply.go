package desk

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"strconv"
	"strings"
	"time"
)

// How long a request waits for results before its page says that they are being worked out.
const (
	waitFine  = 1500 * time.Millisecond // for the finer curve, of a page that is opened
	waitRough = 8 * time.Second
	waitReply = 4 * time.Second // of a change: the rest comes by an event
)

// parts are the regions of a sheet's page.
var parts = []string{"part-bar", "part-answer", "part-curve", "part-knobs", "part-changed", "part-weeks", "part-day", "part-year",
	"part-versions", "part-runs", "part-text", "part-conflict", "part-faults"}

// reply is what the script is answered.
type reply struct {
	Rev    int               `json:"rev"`
	Parts  map[string]string `json:"parts"`
	Said   string            `json:"said"`
	Faults []fault           `json:"faults,omitempty"`
	MS     *spent            `json:"ms,omitempty"`
}

// spent is how long an answer took, ms: the engine alone, and the server in all.
type spent struct {
	Engine float64 `json:"engine"`
	Server float64 `json:"server"`
}

// posted does what a post asks, and answers with parts or, without script, with the way back to the page.
func (d *Desk) posted(do doing) func(http.ResponseWriter, *http.Request, *sheet) {
	return func(w http.ResponseWriter, r *http.Request, s *sheet) {
		start := time.Now()
		if err := r.ParseForm(); err != nil {
			http.Error(w, "the form is too large or not readable", http.StatusBadRequest)
			return
		}
		rev, err := strconv.Atoi(r.PostFormValue("rev"))
		if err == nil {
			err = do(r.Context(), r, s, rev)
		} else {
			err = errBadRequest
		}
		status := http.StatusOK
		switch {
		case r.Context().Err() != nil:
			return
		case errors.Is(err, errBehind), errors.Is(err, errClash):
			status = http.StatusConflict
		case err != nil:
			http.Error(w, err.Error(), http.StatusBadRequest)
			return
		}
		if !strings.Contains(r.Header.Get("Accept"), "application/json") {
			http.Redirect(w, r, "/sheet/"+s.id+"?"+queryOf(s.snapshot().view), http.StatusSeeOther)
			return
		}
		d.replyParts(w, r, s, status, start)
	}
}

func (d *Desk) replyParts(w http.ResponseWriter, r *http.Request, s *sheet, status int, start time.Time) {
	d.followUp(s)
	ctx, cancel := context.WithTimeout(r.Context(), waitReply)
	defer cancel()
	now := s.snapshot()
	results, was := d.both(ctx, now, d.fineIsThere(now))
	out, err := d.replyOf(now, results, was)
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	out.MS = &spent{Engine: results.engineMS, Server: msSince(start)}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(status)
	json.NewEncoder(w).Encode(out)
}

// replyOf writes all parts. The script sets in what differs from what is shown.
func (d *Desk) replyOf(now snapshot, results, was solved) (reply, error) {
	p := d.pageOf(now, results, was)
	out := reply{Rev: now.rev, Parts: map[string]string{}, Said: now.said, Faults: now.faults}
	for _, name := range parts {
		var b bytes.Buffer
		if err := d.pages.ExecuteTemplate(&b, name, &p); err != nil {
			return out, err
		}
		out.Parts[name] = b.String()
	}
	return out, nil
}

// both gives the results of a sheet's text and of the version that it is compared with.
func (d *Desk) both(ctx context.Context, now snapshot, fine bool) (results, was solved) {
	results = d.solver.results(ctx, now.file, now.text, fine)
	base := now.base
	if now.view.against != "" {
		if file, err := keptFile(now.file, now.view.against); err == nil {
			if text, err := d.folder.read(file); err == nil {
				base = text
			}
		}
	}
	// What was there before the hand moved has its finer curve already; only where it has not, the rough one has to do.
	was = d.solver.results(ctx, now.file, base, fine || d.solver.known(now.file, base))
	return results, was
}

// fineIsThere tells whether the finer curve of a sheet was worked out already, so that nobody need see the rough one.
func (d *Desk) fineIsThere(now snapshot) bool {
	return d.solver.known(now.file, now.text)
}

// followUp works the finer curve out after a reply, and sends it to the pages that listen; what came before it and is not
// wanted any more is given up.
func (d *Desk) followUp(s *sheet) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.follow != nil {
		s.follow()
	}
	ctx, cancel := context.WithCancel(d.ctx)
	s.follow = cancel
	rev := s.rev
	d.work.Go(func() {
		defer cancel()
		if d.hub.listeners(s.id) == 0 {
			return
		}
		for _, fine := range []bool{false, true} {
			now := s.snapshot()
			if now.rev != rev {
				return
			}
			known := d.fineIsThere(now)
			mine := ctx
			if fine {
				mine = later(ctx)
			}
			results, was := d.both(mine, now, fine)
			if ctx.Err() != nil || s.snapshot().rev != rev {
				return
			}
			if fine && !known || results.waiting {
				d.send(s, results, was)
			}
		}
	})
}

func (d *Desk) send(s *sheet, results, was solved) {
	now := s.snapshot() // the day and the units may have been changed since
	out, err := d.replyOf(now, results, was)
	if err != nil {
		return
	}
	out.Said = ""
	if data, err := json.Marshal(out); err == nil {
		d.hub.send(s.id, "parts", data)
	}
}

// showSheet is the whole page.
func (d *Desk) showSheet(w http.ResponseWriter, r *http.Request, s *sheet) {
	now := s.snapshot()
	fine, cancel := context.WithTimeout(r.Context(), waitFine)
	results, was := d.both(fine, now, true)
	cancel()
	if results.waiting || was.waiting {
		rough, cancel := context.WithTimeout(r.Context(), waitRough)
		results, was = d.both(rough, now, false)
		cancel()
	}
	p := d.pageOf(now, results, was)
	var b bytes.Buffer
	if err := d.pages.ExecuteTemplate(&b, "sheet", &p); err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Write(b.Bytes())
}

// showPart is one region of the page.
func (d *Desk) showPart(w http.ResponseWriter, r *http.Request, s *sheet) {
	name := "part-" + r.PathValue("part")
	now := s.snapshot()
	ctx, cancel := context.WithTimeout(r.Context(), waitReply)
	defer cancel()
	results, was := d.both(ctx, now, d.fineIsThere(now))
	p := d.pageOf(now, results, was)
	var b bytes.Buffer
	if d.pages.Lookup(name) == nil || d.pages.ExecuteTemplate(&b, name, &p) != nil {
		http.Error(w, "there is no such part", http.StatusNotFound)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Write(b.Bytes())
}

// tellRun sends how far a run is.
func (d *Desk) tellRun(sheet string, r runView) {
	data, err := json.Marshal(map[string]any{"run": r.N, "done": r.Done, "of": r.Of, "what": r.What, "over": !r.Under})
	if err == nil {
		d.hub.send(sheet, "job", data)
	}
}
