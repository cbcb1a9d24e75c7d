package desk

import (
	"context"
	"errors"
	"net/http"
	"strconv"
	"strings"

	"noonkeep/scenarios"
)

// doing is what a post does to a sheet, at the revision that the page shows. It notes what is wrong in the sheet; the error is
// one of those below, or of the request alone.
type doing func(ctx context.Context, r *http.Request, s *sheet, rev int) error

// errBadRequest says that no page of the desk sends this.
var errBadRequest = errors.New("the desk's page sends no such thing")

// errClash says that the file on disk is another than the sheet came from.
var errClash = errors.New("the file was changed on disk")

// change sets and removes values: key and value in pairs, or remove.
func (d *Desk) change(ctx context.Context, r *http.Request, s *sheet, rev int) error {
	var changes []scenarios.Setting
	keys, values := r.PostForm["key"], r.PostForm["value"]
	if len(keys) != len(values) || len(keys) > 100 {
		return errBadRequest
	}
	typed := map[string]string{}
	for _, key := range r.PostForm["remove"] {
		changes = append(changes, scenarios.Setting{Key: key, Remove: true})
	}
	for i, key := range keys {
		changes = append(changes, scenarios.Setting{Key: key, Value: strings.TrimSpace(values[i])})
		typed[key] = values[i]
	}
	if len(changes) == 0 {
		return errBadRequest
	}
	now := s.snapshot()
	text, err := d.written(ctx, now, changes...)
	return d.settled(ctx, s, rev, now, text, typed, err)
}

// settled sets a new text, or keeps why it is refused.
func (d *Desk) settled(ctx context.Context, s *sheet, rev int, now snapshot, text []byte, typed map[string]string, err error) error {
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		return s.refuse(rev, faultsBy(err), typed)
	}
	return s.change(rev, text, sayChanges(now.text, text))
}

// sayChanges says what a text gives otherwise, for undo and for those who listen to the page.
func sayChanges(before, after []byte) string {
	edits, err := scenarios.Changes(before, after)
	if err != nil || len(edits) == 0 {
		return "The text was changed, no value."
	}
	var say []string
	for _, e := range edits {
		say = append(say, editLineOf(e).Text)
	}
	if len(say) > 3 {
		say = append(say[:3], "and "+strconv.Itoa(len(edits)-3)+" more")
	}
	return strings.Join(say, "; ")
}

// paint sets the painted hours of a load.
func (d *Desk) paint(ctx context.Context, r *http.Request, s *sheet, rev int) error {
	now, load := s.snapshot(), r.PostFormValue("load")
	c, err := d.solver.read(ctx, now.file, now.text)
	if err != nil {
		return s.refuse(rev, faultsBy(err), nil)
	}
	if err := c.HasLoad(load); err != nil {
		return s.refuse(rev, []fault{{"", err.Error()}}, nil)
	}
	perDay, _ := strconv.Atoi(r.PostFormValue("perday"))
	week, err := weekFromCells(perDay, r.PostFormValue("cells"))
	var setting scenarios.Setting
	if err == nil {
		setting, err = painted(c, load, week)
	}
	var text []byte
	if err == nil {
		text, err = d.written(ctx, now, setting)
	}
	return d.settled(ctx, s, rev, now, text, nil, err)
}

// setText sets the whole text as it was written by hand.
func (d *Desk) setText(ctx context.Context, r *http.Request, s *sheet, rev int) error {
	now := s.snapshot()
	text := r.PostFormValue("text")
	if !strings.Contains(string(now.base), "\r\n") { // a browser sends all line ends so
		text = strings.ReplaceAll(text, "\r\n", "\n")
	}
	err := d.sound(ctx, now, []byte(text))
	if err != nil && ctx.Err() == nil {
		// The faults are of what was written, with its lines; beside the fields, which show what holds, they would say what is not so.
		if _, whole := d.solver.read(ctx, now.file, []byte(text)); whole != nil {
			err = whole
		}
		var list []fault
		for _, line := range linesOf(err) {
			list = append(list, fault{Text: line})
		}
		return s.refuse(rev, list, map[string]string{"text": text})
	}
	return d.settled(ctx, s, rev, now, []byte(text), map[string]string{"text": text}, err)
}

func (d *Desk) undo(_ context.Context, _ *http.Request, s *sheet, rev int) error {
	return s.turn(rev, -1)
}
func (d *Desk) redo(_ context.Context, _ *http.Request, s *sheet, rev int) error {
	return s.turn(rev, 1)
}

// keep writes a kept version beside the file.
func (d *Desk) keep(_ context.Context, r *http.Request, s *sheet, rev int) error {
	if err := s.check(rev); err != nil {
		return err
	}
	now := s.snapshot()
	name := strings.TrimSpace(r.PostFormValue("name"))
	file, err := d.folder.keep(now.file, name, now.text)
	if err != nil {
		return s.refuse(rev, []fault{{"keep", err.Error()}}, map[string]string{"keep": name})
	}
	s.tell("Kept as " + file + ".")
	return nil
}

// save writes the file, if it is still what the sheet came from.
func (d *Desk) save(_ context.Context, _ *http.Request, s *sheet, rev int) error {
	if err := s.check(rev); err != nil {
		return err
	}
	now := s.snapshot()
	err := d.folder.save(now.file, now.base, now.text)
	var clash *conflict
	switch {
	case errors.As(err, &clash):
		s.clash(clash)
		s.tell("Not saved: " + clash.Error())
		return errClash
	case err != nil:
		return s.refuse(rev, []fault{{"", "not saved: " + err.Error()}}, nil)
	}
	s.saved(now.text, "Saved as "+now.file+".")
	return nil
}

// run starts a long run.
func (d *Desk) run(ctx context.Context, r *http.Request, s *sheet, rev int) error {
	if err := s.check(rev); err != nil {
		return err
	}
	now := s.snapshot()
	c, err := d.solver.read(ctx, now.file, now.text)
	if err == nil {
		_, err = d.runs.start(s.visitor, s.id, r.PostFormValue("kind"), c)
	}
	if err != nil {
		return s.refuse(rev, faultsBy(err), nil)
	}
	s.tell("The run is begun, or waits until it is its turn.")
	return nil
}

func (d *Desk) cancelRun(_ context.Context, r *http.Request, s *sheet, rev int) error {
	n, _ := strconv.Atoi(r.PathValue("n"))
	if d.runs.cancel(s.id, n) {
		s.tell("The run was given up.")
	}
	return nil
}
