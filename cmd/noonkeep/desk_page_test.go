//go:build unix

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// What a hand does on a sheet: these know the page's marks (classes, ids, data- attributes), and nothing else does.

// sheet opens a file and waits until its page is whole.
func (b *tab) sheet(file string) {
	b.t.Helper()
	b.open("/open/" + file)
	b.until("a curve", "document.querySelector('#part-curve svg[data-savings]')")
	b.until("the script at work", "document.documentElement.dataset.ready")
}

func (b *tab) rev() int { b.t.Helper(); return js[int](b, "+document.body.dataset.rev") }

// changes does something and waits for the page of the change.
func (b *tab) changes(what string, f func()) {
	b.t.Helper()
	rev := b.rev()
	f()
	b.until("results after "+what, "+document.documentElement.dataset.ready > %d && +document.body.dataset.rev > %[1]d", rev)
}

// savings are the curve's numbers once the finer curve is there.
func (b *tab) savings() string {
	return b.settled("document.querySelector('#part-curve svg[data-savings]').dataset.savings")
}

// paths is the curve's picture.
func (b *tab) paths() string {
	return b.settled("[...document.querySelectorAll('#part-curve svg path')].map(p => p.getAttribute('d')).join('|')")
}

// settled is a text of the page that no longer changes: a rough curve comes first, a finer one after it.
func (b *tab) settled(expression string) string {
	b.t.Helper()
	last, since := js[string](b, "%s", expression), time.Now()
	for start := time.Now(); time.Since(since) < 600*time.Millisecond; time.Sleep(30 * time.Millisecond) {
		if now := js[string](b, "%s", expression); now != last {
			last, since = now, time.Now()
		}
		if time.Since(start) > patience {
			b.t.Fatalf("%s does not settle", expression)
		}
	}
	return last
}

// place is a point of an element, at a share of its width and half its height, after it has been scrolled into sight.
func (b *tab) place(selector string, share float64) (x, y float64) {
	b.t.Helper()
	js[bool](b, `(document.querySelector(%q).scrollIntoView({block: "center", behavior: "instant"}), true)`, selector)
	return b.at(selector, share)
}

// at is the same without scrolling.
func (b *tab) at(selector string, share float64) (x, y float64) {
	b.t.Helper()
	at := js[[]float64](b, `(r => [r.left + r.width * %g, r.top + r.height / 2])(document.querySelector(%q).getBoundingClientRect())`, share, selector)
	return at[0], at[1]
}

// drag presses at one place, goes to another in steps and lets go.
func (b *tab) drag(x, y, toX, toY float64) {
	b.t.Helper()
	b.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x, y),
		chromedp.MouseEvent(input.DispatchMouseEventTypeMousePressed, x, y, chromedp.ButtonLeft, chromedp.ClickCount(1)))
	const steps = 6
	for i := 1; i <= steps; i++ {
		part := float64(i) / steps
		b.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x+part*(toX-x), y+part*(toY-y), chromedp.ButtonLeft))
	}
	b.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseReleased, toX, toY, chromedp.ButtonLeft, chromedp.ClickCount(1)))
}

// press clicks the middle of an element.
func (b *tab) press(selector string) { b.t.Helper(); b.pressAt(selector, 0.5) }

// pressAt clicks an element at a share of its width.
func (b *tab) pressAt(selector string, share float64) {
	b.t.Helper()
	x, y := b.place(selector, share)
	b.do(chromedp.MouseClickXY(x, y))
}

func knobForm(key string) string  { return "form.knob[data-key=" + fmt.Sprintf("'%s'", key) + "]" }
func knobText(key string) string  { return knobForm(key) + " input[name=value]" }
func knobRange(key string) string { return knobForm(key) + " input[type=range]" }

func postTo(verb string) string { return "#part-bar form[action$='/" + verb + "'] button" }

// write types a value into a knob's field and ends with the enter key.
func (b *tab) write(key, value string) {
	b.t.Helper()
	field := chromedp.CSS(knobText(key))
	b.do(chromedp.ScrollIntoView(field), chromedp.Focus(field))
	js[bool](b, "(document.activeElement.select(), true)")
	b.do(chromedp.KeyEvent(value), chromedp.KeyEvent("\r"))
}

// read is a file of the desk's folder.
func (d *deskRun) read(t testing.TB, file string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(d.dir, file))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
