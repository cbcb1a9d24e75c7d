package desk

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// onDisk is a desk with a sheet of the dyehouse, and what its page hears.
func onDisk(t *testing.T) (testDesk, *tab, *sheet, *listener) {
	t.Helper()
	d := serveDesk(t, map[string]string{"dyehouse.yaml": string(example(t, "dyehouse"))})
	b := d.guest().open("dyehouse.yaml")
	var s *sheet
	for _, s = range d.sheets.byID {
	}
	return d, b, s, d.hub.join(s.id)
}

// heard is what a page has been sent since.
func heard(l *listener) string {
	var all []string
	for {
		select {
		case message := <-l.events:
			all = append(all, string(message))
		default:
			return strings.Join(all, "")
		}
	}
}

func swapped(t *testing.T, text, old, by string) string {
	t.Helper()
	if !strings.Contains(text, old) {
		t.Fatalf("there is no %q in %s", old, text)
	}
	return strings.Replace(text, old, by, 1)
}

// A sheet without changes of its own goes on from a file that somebody changed, and that can be taken back.
func TestDiskChangedUnderAnUnchangedSheet(t *testing.T) {
	t.Parallel()
	d, b, s, l := onDisk(t)
	was := d.read("dyehouse.yaml")
	d.lookAtDisk(s)
	if said := heard(l); said != "" {
		t.Errorf("without a change the page hears %s", said)
	}
	theirs := swapped(t, was, "volume: 40 m3", "volume: 55 m3  # the boiler room's wish")
	d.write("dyehouse.yaml", theirs)
	d.lookAtDisk(s)
	now := s.snapshot()
	if string(now.text) != theirs || now.conflict != nil || now.unsaved() || now.rev != 1 {
		t.Errorf("after it: rev %d, unsaved %v, conflict %v", now.rev, now.unsaved(), now.conflict)
	}
	has(t, "the page hears", heard(l), "event: parts", "dyehouse.yaml was changed on disk, and this sheet goes on from it.", `"rev":1`)
	b.last.Rev = 1
	b.done("undo")
	if b.yaml() != was || d.read("dyehouse.yaml") != theirs {
		t.Error("it cannot be taken back, or taking it back wrote the file")
	}
	if status := b.post("save"); status != 409 || d.read("dyehouse.yaml") != theirs {
		t.Errorf("taken back, a save writes over their change, status %d", status)
	}
	d.lookAtDisk(s)
	if b.yaml() != was {
		t.Error("taken back, it is done again by itself")
	}
	b.done("redo")
	b.done("save")
	if b.yaml() != theirs || s.snapshot().conflict != nil || s.snapshot().unsaved() {
		t.Error("done again, it is not the file that is on disk")
	}
}

// A sheet with changes of its own is asked, and so is one that has something to do again, and one whose file is half written.
func TestDiskChangedUnderAChangedSheet(t *testing.T) {
	t.Parallel()
	unraced(t)
	d, b, s, l := onDisk(t)
	was := d.read("dyehouse.yaml")
	b.done("change", "key", "store.volume", "value", "60 m3")
	mine := b.yaml()
	heard(l)
	theirs := swapped(t, was, "price: 0.052 EUR/kWh", "price: 0.06 EUR/kWh")
	d.write("dyehouse.yaml", theirs)
	d.lookAtDisk(s)
	const word = "dyehouse.yaml: was changed on disk since it was opened here; nothing was saved"
	if now := s.snapshot(); string(now.text) != mine || now.conflict == nil || string(now.conflict.Now) != theirs {
		t.Errorf("after it: conflict %v", now.conflict)
	}
	has(t, "the page hears", heard(l), "event: disk", word)
	has(t, "the part", b.get(b.base+"/part/conflict").text(), word, "0.06 EUR/kWh", "60 m3")
	d.lookAtDisk(s)
	if said := heard(l); strings.Contains(said, "event: disk") {
		t.Errorf("the same conflict is told twice: %s", said)
	}
	d.write("dyehouse.yaml", was)
	d.lookAtDisk(s)
	if s.snapshot().conflict != nil || !strings.Contains(heard(l), "event: disk") {
		t.Error("the file is as it was, and the conflict is still there")
	}
	b.done("undo")
	for what, disk := range map[string]string{"with something to do again": theirs, "half a file": was[:len(was)/2] + "\n  x: ["} {
		d.write("dyehouse.yaml", disk)
		d.lookAtDisk(s)
		if now := s.snapshot(); string(now.text) != was || now.conflict == nil {
			t.Errorf("%s: the sheet went on from it by itself", what)
		}
	}
}

// The same made in another program, or a save seen at its half, is no conflict.
func TestDiskHoldsWhatTheSheetHolds(t *testing.T) {
	t.Parallel()
	unraced(t)
	d, b, s, l := onDisk(t)
	b.done("change", "key", "store.volume", "value", "60 m3")
	heard(l)
	d.write("dyehouse.yaml", b.yaml())
	d.lookAtDisk(s)
	if now := s.snapshot(); now.conflict != nil || now.unsaved() || strings.Contains(heard(l), "event: disk") {
		t.Errorf("the disk holds the sheet's text: conflict %v, unsaved %v", now.conflict, now.unsaved())
	}
}

// A file that is gone is told, and can be made anew from the sheet.
func TestDiskFileGone(t *testing.T) {
	t.Parallel()
	unraced(t)
	d, b, s, l := onDisk(t)
	b.done("change", "key", "store.volume", "value", "60 m3")
	mine := b.yaml()
	heard(l)
	if err := os.Remove(filepath.Join(d.dir, "dyehouse.yaml")); err != nil {
		t.Fatal(err)
	}
	const word = "dyehouse.yaml: is no longer in the folder; nothing was saved"
	d.lookAtDisk(s)
	has(t, "the page hears", heard(l), "event: disk", word)
	if status := b.post("save"); status != 409 || !strings.Contains(b.last.Said, word) {
		t.Errorf("save gives status %d and says %q", status, b.last.Said)
	}
	has(t, "the conflict", b.part("conflict"), "The file is gone from the disk", "Go on without it")
	hasNot(t, "the conflict", b.part("conflict"), "Go on from the file")
	if status := b.post("settle", "how", "theirs"); status != 200 || len(b.last.Faults) != 1 || b.last.Faults[0].Text != "dyehouse.yaml: there is no such file in this folder" {
		t.Errorf("to go on from what is gone: status %d, %v", status, b.last.Faults)
	}
	b.done("settle", "how", "mine-on-top")
	has(t, "the bar", b.part("bar"), "not saved yet")
	b.done("save")
	if d.read("dyehouse.yaml") != mine || s.snapshot().conflict != nil {
		t.Errorf("made anew it holds %s", d.read("dyehouse.yaml"))
	}
}
