//go:build unix

package main

import (
	"fmt"
	"regexp"
	"strings"
	"syscall"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

const dishCount = "fields[dishes].count"

// A shift is painted over Saturday: the curve is another; undo and redo bring back what was, to the last digit.
func TestDeskPaintUndoRedo(t *testing.T) {
	t.Parallel()
	unraced(t)
	b := newTab(t, startDesk(t, deskFolder(t, "dyehouse")), 1280)
	b.sheet("dyehouse.yaml")
	before := b.savings()
	cell := func(day, slot int) string {
		return fmt.Sprintf("table.week[data-load='stenter and dryers'] td[data-day='%d'][data-slot='%d']", day, slot)
	}
	chosen := func(day, slot int) bool {
		return js[string](b, `document.querySelector("%s").getAttribute("aria-selected")`, cell(day, slot)) == "true"
	}
	if chosen(5, 9) || !chosen(4, 9) {
		t.Fatal("the dryers' grid does not show Mon-Fri 07:00-19:00")
	}
	b.changes("painting", func() {
		b.place(cell(5, 8), 0.5)
		x, y := b.at(cell(5, 8), 0.5)
		toX, toY := b.at(cell(5, 15), 0.5)
		b.drag(x, y, toX, toY)
	})
	painted := b.savings()
	if painted == before {
		t.Error("a shift was painted, and the curve is the same")
	}
	b.screen("painted")
	for slot, want := range map[int]bool{7: false, 8: true, 12: true, 15: true, 16: false} {
		if chosen(5, slot) != want {
			t.Errorf("Saturday's slot %d is painted: %v; want %v", slot, !want, want)
		}
	}
	b.changes("undo", func() { b.press(postTo("undo")) })
	if got := b.savings(); got != before || chosen(5, 9) {
		t.Error("undo does not bring back the curve and the grid")
	}
	b.changes("redo", func() { b.press(postTo("redo")) })
	if got := b.savings(); got != painted || !chosen(5, 9) {
		t.Error("redo does not bring back what was painted")
	}
}

// The handle is drawn along the curve: the words follow while it moves, and the volume is set when it is let go.
func TestDeskHandleAndKnob(t *testing.T) {
	t.Parallel()
	unraced(t)
	d := startDesk(t, deskFolder(t, "dyehouse"))
	b := newTab(t, d, 1280)
	b.sheet("dyehouse.yaml")
	saving := js[string](b, "document.getElementById('at-saving').textContent")
	b.changes("the handle", func() {
		share := js[float64](b, "(h => (h.value - h.min) / (h.max - h.min))(document.getElementById('handle'))")
		x, y := b.place("#handle", share)
		toX, _ := b.place("#handle", 0.75)
		b.drag(x, y, toX, y)
	})
	m3 := js[float64](b, "+document.getElementById('handle').value")
	if m3 < 70 || m3 > 110 {
		t.Errorf("the handle stands at %g m³ after it was drawn to three quarters of 0 to 120", m3)
	}
	if got := js[string](b, "document.getElementById('at-saving').textContent"); got == saving {
		t.Errorf("the saving beside the handle is still %q", got)
	}
	written := js[string](b, `document.querySelector(%q).value`, knobText("store.volume"))
	if want := fmt.Sprintf("%g m3", m3); written != want {
		t.Errorf("the volume's field reads %q; want %q", written, want)
	}
	before := b.savings()
	b.changes("a knob", func() { b.pressAt(knobRange(dishCount), 0.8) })
	if b.savings() == before {
		t.Error("a knob was turned, and the curve is the same")
	}
}

// What is saved is the person's own file with one value changed, and a new server shows the same picture of it.
func TestDeskSaveAndRestart(t *testing.T) {
	t.Parallel()
	unraced(t)
	dir := deskFolder(t, "dyehouse")
	d := startDesk(t, dir)
	b := newTab(t, d, 1280)
	b.sheet("dyehouse.yaml")
	original := d.read(t, "dyehouse.yaml")
	b.changes("42 dishes", func() { b.write(dishCount, "42") })
	if d.read(t, "dyehouse.yaml") != original {
		t.Error("the file was changed before it was saved")
	}
	b.press(postTo("save"))
	b.until("a word on the saved file", "/saved/i.test(document.getElementById('said').textContent)")
	picture := b.paths()
	want := strings.Replace(original, "count: 30\n", "count: 42\n", 1)
	if got := d.read(t, "dyehouse.yaml"); got != want || want == original {
		t.Errorf("the saved file is not the person's own with one value changed:\n%s", got)
	}
	b.untroubled()
	b.open("/")
	d.signal(syscall.SIGINT)

	again := newTab(t, startDesk(t, dir), 1280)
	again.sheet("dyehouse.yaml")
	if got := again.paths(); got != picture {
		t.Errorf("after a restart the curve's picture is another:\n%.300s\n%.300s", got, picture)
	}
}

// What the command says of a bad value stands beside its field.
func TestDeskBadValue(t *testing.T) {
	t.Parallel()
	unraced(t)
	d := startDesk(t, deskFolder(t, "dyehouse"))
	b := newTab(t, d, 1280)
	b.sheet("dyehouse.yaml")
	for _, bad := range []struct{ key, value string }{
		{dishCount, "-3"}, {"store.volume", "forty"}, {"store.working_pressure", "18 bar"}, {"store.volume", "40 kg"},
	} {
		said, err := shell(d.dir, fmt.Sprintf("noonkeep set dyehouse.yaml '%s=%s'", bad.key, bad.value)).CombinedOutput()
		if err == nil {
			t.Fatalf("set takes %v", bad)
		}
		b.write(bad.key, bad.value)
		fault := fmt.Sprintf("document.querySelector(%q)", knobForm(bad.key)+" .fault")
		b.until("a fault beside "+bad.key, "%s && %[1]s.textContent.trim()", fault)
		text := js[string](b, "%s.textContent.trim()", fault)
		if !strings.Contains(string(said), text) {
			t.Errorf("%v: the page says %q; the command says %q", bad, text, said)
		}
		b.screen("fault")
		if role := js[string](b, "%s.getAttribute('role') || ''", fault); role != "alert" {
			t.Errorf("the fault's role is %q", role)
		}
		b.sheet("dyehouse.yaml")
	}
}

// Two tabs change one file: the second to save is told, and neither change is lost.
func TestDeskTwoTabs(t *testing.T) {
	t.Parallel()
	unraced(t)
	d := startDesk(t, deskFolder(t, "dyehouse"))
	one := newTab(t, d, 1280)
	two := one.beside()
	two.allowed = regexp.MustCompile(`409`)
	one.sheet("dyehouse.yaml")
	two.sheet("dyehouse.yaml")
	one.changes("33 dishes", func() { one.write(dishCount, "33") })
	two.changes("66 m³", func() { two.write("store.volume", "66 m3") })
	one.press(postTo("save"))
	one.until("a word on the saved file", "/saved/i.test(document.getElementById('said').textContent)")
	saved := d.read(t, "dyehouse.yaml")
	two.press(postTo("save"))
	two.until("the conflict", "document.querySelector('#part-conflict') && document.querySelector('#part-conflict').textContent.trim()")
	two.screen("conflict")
	if got := d.read(t, "dyehouse.yaml"); got != saved || !strings.Contains(got, "count: 33\n") {
		t.Error("the second tab wrote over the first one's change")
	}
	if text := js[string](two, "document.getElementById('part-text').textContent + [...document.querySelectorAll('#part-text textarea')].map(a => a.value).join()"); !strings.Contains(text, "volume: 66 m3") {
		t.Errorf("the second tab's own change is gone from its text")
	}
}

// With script switched off the results are there to read, and a form changes them.
func TestDeskWithoutScript(t *testing.T) {
	t.Parallel()
	unraced(t)
	b := newTab(t, startDesk(t, deskFolder(t, "dyehouse")), 1280)
	if _, err := chromedp.Call(b.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		t.Fatal(err)
	}
	b.open("/open/dyehouse.yaml")
	b.until("a curve", "document.querySelector('#part-curve svg[data-savings]')")
	if js[bool](b, "!!document.documentElement.dataset.ready") {
		t.Fatal("the script runs, though it is switched off")
	}
	before := js[string](b, "document.getElementById('part-answer').textContent")
	if !regexp.MustCompile(`\d.*m³`).MatchString(before) {
		t.Errorf("the answer reads %q; want a volume", before)
	}
	b.write(dishCount, "60")
	b.until("another answer", "document.getElementById('part-answer') && document.getElementById('part-answer').textContent !== %q", before)
	b.screen("without-script")
	if got := js[string](b, "document.querySelector(%q).value", knobText(dishCount)); got != "60" {
		t.Errorf("the field reads %q after 60 was sent", got)
	}
}

// With the keyboard alone: a knob, the handle, the grid, the save button, each reached by tab.
func TestDeskKeyboard(t *testing.T) {
	t.Parallel()
	unraced(t)
	d := startDesk(t, deskFolder(t, "dyehouse"))
	b := newTab(t, d, 1280)
	b.sheet("dyehouse.yaml")
	original := d.read(t, "dyehouse.yaml")
	reach := func(selector string) {
		t.Helper()
		for range 400 {
			if js[bool](b, "document.activeElement.matches(%q)", selector) {
				if !js[bool](b, `(s => s.outlineStyle !== "none" || s.boxShadow !== "none")(getComputedStyle(document.activeElement))`) {
					t.Errorf("%s: nothing shows that it has the focus", selector)
				}
				return
			}
			b.do(chromedp.KeyEvent(kb.Tab))
		}
		t.Fatalf("tab does not reach %s", selector)
	}
	reach(knobRange(dishCount))
	b.changes("an arrow on a knob", func() { b.do(chromedp.KeyEvent(kb.ArrowRight)) })
	reach("#handle")
	b.changes("an arrow on the handle", func() { b.do(chromedp.KeyEvent(kb.ArrowRight)) })
	grid := "table.week[data-load='stenter and dryers'] td"
	reach(grid)
	b.changes("a space in the grid", func() {
		b.do(chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(" "))
	})
	reach(postTo("save"))
	b.do(chromedp.KeyEvent("\r"))
	b.until("a word on the saved file", "/saved/i.test(document.getElementById('said').textContent)")
	saved := d.read(t, "dyehouse.yaml")
	if n := linesThatDiffer(original, saved); n != 3 {
		t.Errorf("%d lines of the file are others; want those of dishes, volume and hours:\n%s", n, saved)
	}
}

func linesThatDiffer(a, b string) (n int) {
	x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range min(len(x), len(y)) {
		if x[i] != y[i] {
			n++
		}
	}
	return n + max(len(x), len(y)) - min(len(x), len(y))
}
