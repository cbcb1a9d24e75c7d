package desk

import (
	"errors"
	"fmt"
	"strings"
	"testing"
)

func testSheet() *sheet { return newSheets().open("v", "a.yaml", []byte("0")) }

func (s *sheet) must(t *testing.T, err error) snapshot {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return s.snapshot()
}

func TestSheetUndoRedo(t *testing.T) {
	s := testSheet()
	for i := 1; i <= 3; i++ {
		s.must(t, s.change(s.rev, fmt.Append(nil, i), fmt.Sprint("to ", i)))
	}
	now := s.snapshot()
	if now.undo != "to 3" || now.redo != "" || !now.unsaved() {
		t.Errorf("after three changes: %+v", now)
	}
	now = s.must(t, s.turn(s.rev, -1))
	if string(now.text) != "2" || now.redo != "to 3" || now.said != "Taken back: to 3" {
		t.Errorf("after undo: text %s, redo %q, said %q", now.text, now.redo, now.said)
	}
	s.must(t, s.turn(s.rev, -1))
	now = s.must(t, s.turn(s.rev, -1))
	if string(now.text) != "0" || now.undo != "" || now.unsaved() {
		t.Errorf("after three times undo: text %s, undo %q", now.text, now.undo)
	}
	rev := now.rev
	if now = s.must(t, s.turn(s.rev, -1)); now.rev != rev || now.said != "There is nothing to take back." {
		t.Errorf("one undo too many: rev %d, %q", now.rev, now.said)
	}
	s.must(t, s.turn(s.rev, 1))
	now = s.must(t, s.change(s.rev, []byte("x"), "elsewhere"))
	if now.redo != "" || string(now.text) != "x" {
		t.Error("a change after undo keeps a future of the other way")
	}
}

// A page that is behind changes nothing, whatever it asks.
func TestSheetBehind(t *testing.T) {
	s := testSheet()
	s.must(t, s.change(0, []byte("1"), "one"))
	for what, do := range map[string]func() error{
		"change": func() error { return s.change(0, []byte("2"), "two") }, "undo": func() error { return s.turn(0, -1) },
		"refuse": func() error { return s.refuse(0, nil, nil) }, "take": func() error { return s.take(0, nil, nil, "") },
		"check": func() error { return s.check(0) },
	} {
		if err := do(); !errors.Is(err, errBehind) || string(s.snapshot().text) != "1" || !s.snapshot().stale {
			t.Errorf("%s from a page that is behind: %v, text %s", what, err, s.snapshot().text)
		}
	}
	if s.must(t, s.check(1)).stale {
		t.Error("still called behind")
	}
}

func TestSheetKeepsSoManySteps(t *testing.T) {
	s := testSheet()
	for i := range mostUndo + 50 {
		s.must(t, s.change(s.rev, fmt.Append(nil, i+1), "on"))
	}
	if len(s.steps) != mostUndo || s.at != mostUndo-1 || string(s.snapshot().text) != fmt.Sprint(mostUndo+50) {
		t.Errorf("%d steps, at %d", len(s.steps), s.at)
	}
}

func TestSheetsOfVisitors(t *testing.T) {
	all := newSheets()
	first := all.open("a", "f.yaml", nil)
	other := all.open("b", "f.yaml", nil)
	if all.find("b", first.id) != nil || all.find("a", first.id) != first {
		t.Error("a sheet is its visitor's alone")
	}
	for range mostSheetsVisitor {
		all.open("a", "f.yaml", nil)
	}
	if all.find("a", first.id) != nil || all.find("b", other.id) == nil {
		t.Error("of too many the visitor's own oldest is closed")
	}
}

func TestOnTop(t *testing.T) {
	base := "noonkeep: 1\nname: a   # mine\nstore:\n  volume: 40 m3\n  working_pressure: 18 bar(g)\n"
	mine := strings.Replace(base, "40 m3", "60 m3", 1)
	disk := strings.Replace(base, "18 bar(g)", "15 bar(g)  # boiler room", 1)
	got, err := onTop("a.yaml", []byte(base), []byte(mine), []byte(disk))
	if want := strings.Replace(disk, "40 m3", "60 m3", 1); err != nil || string(got) != want {
		t.Errorf("got %v\n%s; want\n%s", err, got, want)
	}
	if _, err := onTop("a.yaml", []byte(base), []byte(mine), []byte("noonkeep: [")); err == nil || !strings.Contains(err.Error(), "do not go on top") {
		t.Errorf("onto a text that is none: %v", err)
	}
}
