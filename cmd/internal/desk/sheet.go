package desk

import (
	"bytes"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"sync"
	"time"

	"noonkeep/scenarios"
)

// Limits of what a visitor can make the desk hold.
const (
	mostUndo          = 300  // that can be taken back
	mostSheets        = 1500 // of all visitors
	mostSheetsVisitor = 30
)

// sheet is one scenario as one tab works on it: its text, what it was before and what was taken back, and the bytes on disk that it
// came from. Its methods may be called by several requests at once.
type sheet struct {
	id, visitor, file string

	mu       sync.Mutex
	base     []byte // as on disk when it was read or saved last
	steps    []step // the texts it has had; the first is that with which it was opened
	at       int    // which of them it is now
	rev      int    // rises with each change of any kind
	said     string // what was done last
	faults   []fault
	typed    map[string]string // what was written into a field and refused
	conflict *conflict         // a save that would have taken somebody's change
	stale    bool              // a change came from a page that was behind
	view     view
	used     time.Time
	follow   context.CancelFunc // of the work on the finer curve
}

// step is one text of a sheet and what led to it.
type step struct {
	text   []byte
	says   string
	ground *ground // nil: the file on disk was the same before it and after
}

// ground is what a sheet stands on, before and after it went on from another file on disk. Taking such a step back brings the old one
// back as well: else a save would write over what others changed, and ask nobody.
type ground struct{ before, after []byte }

// view is what a page chose to look at.
type view struct {
	day     int // anyDay: none was chosen
	perDay  int // slots of a week grid
	units   units
	against string // a kept version's name, "" for the file as it is on disk
}

// snapshot is a sheet at one time.
type snapshot struct {
	id, file         string
	base, text       []byte
	rev              int
	said, undo, redo string // what would be taken back and done again
	faults           []fault
	typed            map[string]string
	conflict         *conflict
	stale            bool
	view             view
}

var errBehind = errors.New("this page is behind: the sheet was changed in another tab, or on disk, since. It now shows the newest; do the last thing again if it is still wanted")

func (s *sheet) snapshot() snapshot {
	s.mu.Lock()
	defer s.mu.Unlock()
	out := snapshot{id: s.id, file: s.file, base: s.base, text: s.steps[s.at].text, rev: s.rev, said: s.said, faults: s.faults,
		typed: s.typed, conflict: s.conflict, stale: s.stale, view: s.view}
	if s.at > 0 {
		out.undo = s.steps[s.at].says
	}
	if s.at+1 < len(s.steps) {
		out.redo = s.steps[s.at+1].says
	}
	return out
}

func (s snapshot) unsaved() bool { return !bytes.Equal(s.base, s.text) }

// begin checks that a change comes from a page that shows the newest revision, and forgets what was said of the one before.
func (s *sheet) begin(rev int) error {
	s.faults, s.typed, s.stale = nil, nil, rev != s.rev
	if s.stale {
		return errBehind
	}
	return nil
}

// check tells whether a page is behind.
func (s *sheet) check(rev int) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.begin(rev)
}

// change sets a new text, if the sheet is still at a revision.
func (s *sheet) change(rev int, text []byte, says string) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.begin(rev); err != nil {
		return err
	}
	if bytes.Equal(text, s.steps[s.at].text) {
		s.said = "Nothing changed: it stands there already."
		return nil
	}
	s.steps = append(s.steps[:s.at+1:s.at+1], step{text: text, says: says})
	s.laid(says)
	return nil
}

// laid goes to a step that was set at the end; the caller holds the lock.
func (s *sheet) laid(says string) {
	if len(s.steps) > mostUndo {
		s.steps = s.steps[len(s.steps)-mostUndo:]
	}
	s.at = len(s.steps) - 1
	s.rev++
	s.said = says
}

// refuse keeps what was wrong with a change, and what was written, until the next one.
func (s *sheet) refuse(rev int, list []fault, typed map[string]string) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.begin(rev); err != nil {
		return err
	}
	s.faults, s.typed, s.said = list, typed, "Not changed: what was written is not right."
	return nil
}

// turn goes so many steps back (-1) or forward (1).
func (s *sheet) turn(rev, by int) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.begin(rev); err != nil {
		return err
	}
	to := s.at + by
	switch {
	case to < 0:
		s.said = "There is nothing to take back."
		return nil
	case to >= len(s.steps):
		s.said = "There is nothing to do again."
		return nil
	case by < 0:
		s.said = "Taken back: " + s.steps[s.at].says
		if g := s.steps[s.at].ground; g != nil && bytes.Equal(s.base, g.after) {
			s.base = g.before
		}
	default:
		s.said = "Done again: " + s.steps[to].says
		if g := s.steps[to].ground; g != nil && bytes.Equal(s.base, g.before) {
			s.base, s.conflict = g.after, nil
		}
	}
	s.at = to
	s.rev++
	return nil
}

// saved notes that a text is on disk now.
func (s *sheet) saved(text []byte, said string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.base, s.conflict, s.said = text, nil, said
}

func (s *sheet) tell(said string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.said = said
}

// clash notes that the file on disk is another than the sheet came from.
func (s *sheet) clash(c *conflict) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.conflict = c
}

// take goes on from what is on disk now, with a text made for it.
func (s *sheet) take(rev int, disk, text []byte, says string) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.begin(rev); err != nil {
		return err
	}
	s.goOn(disk, text, says)
	return nil
}

// goOn is take where the caller holds the lock.
func (s *sheet) goOn(disk, text []byte, says string) {
	s.steps = append(s.steps[:s.at+1:s.at+1], step{text, says, &ground{s.base, disk}})
	s.base, s.conflict = disk, nil
	s.laid(says)
}

// look sets what the page looks at.
func (s *sheet) look(change func(*view)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	change(&s.view)
}

// sheets are all that are open.
type sheets struct {
	mu   sync.Mutex
	byID map[string]*sheet
}

func newSheets() *sheets { return &sheets{byID: map[string]*sheet{}} }

// open makes a sheet of a file. Of too many the one that was used longest ago is closed, of the visitor's own first.
func (all *sheets) open(visitor, file string, text []byte) *sheet {
	s := &sheet{id: rand.Text(), visitor: visitor, file: file, base: text, steps: []step{{text: text, says: "opened"}}, used: time.Now(),
		view: view{day: anyDay, perDay: 24, units: parseUnits("")}, said: file + " is open."}
	all.mu.Lock()
	defer all.mu.Unlock()
	all.byID[s.id] = s
	own := 0
	for _, other := range all.byID {
		if other.visitor == visitor {
			own++
		}
	}
	if own > mostSheetsVisitor {
		all.closeOldest(func(other *sheet) bool { return other.visitor == visitor })
	}
	if len(all.byID) > mostSheets {
		all.closeOldest(func(*sheet) bool { return true })
	}
	return s
}

func (all *sheets) closeOldest(of func(*sheet) bool) {
	var oldest *sheet
	for _, s := range all.byID {
		if of(s) && (oldest == nil || s.used.Before(oldest.used)) {
			oldest = s
		}
	}
	if oldest != nil {
		delete(all.byID, oldest.id)
	}
}

// find gives a visitor's sheet; nil where there is none, or another's.
func (all *sheets) find(visitor, id string) *sheet {
	all.mu.Lock()
	defer all.mu.Unlock()
	s := all.byID[id]
	if s == nil || s.visitor != visitor {
		return nil
	}
	s.used = time.Now()
	return s
}

// written makes changes in a sheet's text and reads the result as a whole, as the command `set` does: faults that were there before do
// not hinder. The error is of the values that are wrong.
func (d *Desk) written(ctx context.Context, now snapshot, changes ...scenarios.Setting) ([]byte, error) {
	text, err := scenarios.Rewrite(now.file, now.text, changes...)
	if err != nil {
		return nil, err
	}
	return text, d.sound(ctx, now, text)
}

func (d *Desk) sound(ctx context.Context, now snapshot, text []byte) error {
	_, fault := d.solver.read(ctx, now.file, text)
	if fault == nil || ctx.Err() != nil {
		return fault
	}
	_, before := d.solver.read(ctx, now.file, now.text)
	return scenarios.NewFaults(before, fault)
}

// onTop makes a sheet's own changes in the text that is on disk now.
func onTop(file string, base, mine, disk []byte) ([]byte, error) {
	edits, err := scenarios.Changes(base, mine)
	if err != nil {
		return nil, err
	}
	var changes []scenarios.Setting
	for _, e := range edits {
		changes = append(changes, scenarios.Setting{Key: e.Key, Value: e.To, Remove: e.To == ""})
	}
	text, err := scenarios.Rewrite(file, disk, changes...)
	if err != nil {
		return nil, fmt.Errorf("your changes do not go on top by themselves: %w", err)
	}
	return text, nil
}
