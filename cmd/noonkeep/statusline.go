package main

import (
	"fmt"
	"io"
	"sync"
	"time"

	"noonkeep/cmd/internal/report"
	"noonkeep/cmd/internal/study/crew"
)

// statusLine shows how a study goes: on a terminal one line that is written over, in a log a line a minute.
type statusLine struct {
	w        io.Writer
	terminal bool

	mu    sync.Mutex
	last  time.Time
	shown int // letters of the line that stands there
	begun time.Time
}

const (
	oftenOnScreen = 200 * time.Millisecond
	oftenInLog    = time.Minute
)

func newStatusLine(w io.Writer) *statusLine {
	now := time.Now()
	return &statusLine{w: w, terminal: terminal(w), last: now, begun: now}
}

// show tells how far a study is.
func (l *statusLine) show(p crew.Progress) {
	l.line(report.StudyProgress(report.StudyAt{Done: p.Done, Of: p.Of, SetAside: p.SetAside, CasesPerS: p.CasesPerS, Workers: p.Workers}, p.Left, p.Away))
}

// worked tells how much a worker has done.
func (l *statusLine) worked(cases int64, study string) {
	rate := float64(cases) / time.Since(l.begun).Seconds()
	l.line(fmt.Sprintf("%d cases solved, %.3g a second, now %s", cases, rate, study))
}

func (l *statusLine) line(text string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	often := oftenInLog
	if l.terminal {
		often = oftenOnScreen
	}
	if time.Since(l.last) < often {
		return
	}
	l.last = time.Now()
	w := report.Plain(l.w)
	if !l.terminal {
		fmt.Fprintf(w, "noonkeep: %s\n", text)
		return
	}
	n := len([]rune(text))
	fmt.Fprintf(l.w, "\r%s%*s", text, max(l.shown-n, 0), "")
	l.shown = n
}

// say prints a line that stays.
func (l *statusLine) say(text string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.clear()
	fmt.Fprintf(report.Plain(l.w), "noonkeep: %s\n", text)
}

// wipe takes the line away.
func (l *statusLine) wipe() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.clear()
}

func (l *statusLine) clear() {
	if l.terminal && l.shown > 0 {
		fmt.Fprintf(l.w, "\r%*s\r", l.shown, "")
		l.shown = 0
	}
}
