package desk

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"net/http"
)

// lookAtDisk notes when a file is no longer what the sheet came from. A sheet without changes of its own goes on from the file by
// itself, which can be taken back; one with changes, or with something to do again, which that would end, is asked. A file
// with faults, which may be one half written, is not gone on from by itself.
func (d *Desk) lookAtDisk(s *sheet) {
	now := s.snapshot()
	disk, err := d.folder.read(now.file)
	switch {
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return
	case err != nil:
		disk = nil
	}
	switch {
	case bytes.Equal(disk, now.base), err == nil && bytes.Equal(disk, now.text): // the second: just saved, or the same made elsewhere
		if s.agree(now, disk) {
			d.hub.send(s.id, "disk", []byte(`{"said":""}`))
		}
	case now.conflict != nil && bytes.Equal(now.conflict.Now, disk):
	case err == nil && !now.unsaved() && now.redo == "" && d.isSound(now.file, disk):
		if s.reload(now, disk) {
			d.show(s)
		}
	default:
		c := &conflict{File: now.file, Now: disk}
		if !s.clashAt(now, c) {
			return
		}
		if data, err := json.Marshal(map[string]string{"said": c.Error()}); err == nil {
			d.hub.send(s.id, "disk", data)
		}
	}
}

func (d *Desk) isSound(file string, text []byte) bool {
	_, err := d.solver.read(d.ctx, file, text)
	return err == nil
}

// show sends all parts of a sheet to the pages that listen.
func (d *Desk) show(s *sheet) {
	ctx, cancel := context.WithTimeout(d.ctx, waitReply)
	defer cancel()
	d.followUp(s)
	now := s.snapshot()
	results, was := d.both(ctx, now, d.fineIsThere(now))
	if out, err := d.replyOf(now, results, was); err == nil {
		if data, err := json.Marshal(out); err == nil {
			d.hub.send(s.id, "parts", data)
		}
	}
}

// unmoved tells whether a sheet is as it was seen; the caller holds the lock.
func (s *sheet) unmoved(seen snapshot) bool {
	return s.rev == seen.rev && bytes.Equal(s.base, seen.base)
}

// agree notes that the disk holds what the sheet holds or came from; it tells whether a conflict is over with that.
func (s *sheet) agree(seen snapshot, disk []byte) (over bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.unmoved(seen) {
		return false
	}
	over = s.conflict != nil
	s.base, s.conflict = disk, nil
	return over
}

// reload goes on from what is on disk.
func (s *sheet) reload(seen snapshot, disk []byte) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.unmoved(seen) {
		return false
	}
	s.goOn(disk, disk, s.file+" was changed on disk, and this sheet goes on from it.")
	return true
}

func (s *sheet) clashAt(seen snapshot, c *conflict) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.unmoved(seen) {
		return false
	}
	s.conflict = c
	return true
}

// settle ends a conflict: the sheet goes on from what is on disk, with its own changes on top or without. Either can be taken back, and
// then the conflict is there again. Where the file is gone, the sheet goes on without one, and saving makes it anew.
func (d *Desk) settle(ctx context.Context, r *http.Request, s *sheet, rev int) error {
	if err := s.check(rev); err != nil {
		return err
	}
	now := s.snapshot()
	disk, err := d.folder.read(now.file)
	gone := errors.Is(err, fs.ErrNotExist)
	switch how := r.PostFormValue("how"); {
	case how != "theirs" && how != "mine-on-top":
		return errBadRequest
	case gone && how == "mine-on-top":
		return s.take(rev, nil, now.text, "Goes on without the file, which is gone; saving makes it anew.")
	case err != nil:
		return s.refuse(rev, []fault{{"", err.Error()}}, nil)
	case how == "theirs":
		return s.take(rev, disk, disk, "Went on from the file as it is on disk.")
	}
	text, err := onTop(now.file, now.base, now.text, disk)
	if err == nil {
		err = d.sound(ctx, snapshot{file: now.file, text: disk}, text)
	}
	if err != nil {
		return s.refuse(rev, faultsBy(err), nil)
	}
	says := "Put this sheet's changes on top of the file as it is on disk; look at them and save."
	if hasWords(now) {
		says += " Comments and layout that were changed here are not among them."
	}
	return s.take(rev, disk, text, says)
}

// hasWords tells whether a sheet changed more than values of the text that it came from: comments, order, blank lines.
func hasWords(now snapshot) bool {
	again, err := onTop(now.file, now.base, now.text, now.base)
	return err != nil || !bytes.Equal(again, now.text)
}
