//go:build unix

package main

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// hostileDyehouse is the dyehouse with a script in each of its names.
func hostileDyehouse(t *testing.T, text string) (hostile string, names []string) {
	t.Helper()
	for i, old := range []string{
		"\"dye machines, day shifts\"", "\"dye machines, night shift\"", "dye machines, day shifts", "dye machines, night shift",
		"stenter and dryers", "space and tank heating", "dyehouse at Kuruova", "two shifts instead of three", "Sunday instead of Saturday",
		"dryers rest for an hour at noon", "night shift's work at 10:00", ": main\n", ": B1\n", "- name: dishes\n",
	} {
		name := fmt.Sprintf("<script>alert(%d)</script><img src=x onerror=alert(%d)>", i, i)
		if i == 2 || i == 3 {
			name = fmt.Sprintf("<script>alert(%d)</script><img src=x onerror=alert(%d)>", i-2, i-2) // the same load, named without quotes
		}
		if !strings.Contains(text, old) {
			t.Fatalf("the dyehouse has no %q", old)
		}
		before, after := "", ""
		if head, _, ok := strings.Cut(old, ":"); ok && strings.HasSuffix(old, "\n") {
			before, after = head+": ", "\n"
		}
		text = strings.ReplaceAll(text, old, before+"'"+name+"'"+after)
		names = append(names, name)
	}
	return text, names
}

// A scenario full of script: each name is text, no script of its runs, and the page's own policy has nothing to complain of.
func TestDeskFullOfScript(t *testing.T) {
	t.Parallel()
	unraced(t)
	dir := deskFolder(t, "dyehouse")
	original, err := os.ReadFile(filepath.Join(dir, "dyehouse.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	text, names := hostileDyehouse(t, string(original))
	const file = "<img src=x onerror=alert(9)>.yaml"
	if err := os.WriteFile(filepath.Join(dir, file), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	b := newTab(t, startDesk(t, dir), 1280)
	b.open("/")
	safe := func(where string) {
		t.Helper()
		if n := js[int](b, `document.querySelectorAll("script:not([src^='/asset/']), img[src='x'], [onerror]").length`); n > 0 {
			t.Errorf("%s: %d elements of the scenario's making", where, n)
		}
	}
	safe("folder")
	if !js[bool](b, "document.body.innerText.includes(%q)", file) {
		t.Error("the folder does not show the file's name as it is")
	}
	b.sheet("%3Cimg%20src=x%20onerror=alert(9)%3E.yaml")
	shown := js[string](b, "document.body.textContent + [...document.querySelectorAll('textarea, input')].map(a => a.value).join()")
	for _, name := range names {
		if !strings.Contains(shown, name) {
			t.Errorf("the page does not show %s as text", name)
		}
	}
	safe("sheet")
	b.changes("a knob of a field with such a name", func() { b.pressAt("form.knob input[type=range]", 0.8) })
	safe("sheet after a change")
	b.settled("document.getElementById('part-curve').textContent")
	safe("sheet after the finer curve")
}

// axe-core finds nothing serious on the page, light or dark, wide or narrow. .ci/setup fetches it.
func TestDeskForEverybody(t *testing.T) {
	t.Parallel()
	unraced(t)
	cache, err := os.UserCacheDir()
	if err != nil {
		t.Fatal(err)
	}
	axe, err := os.ReadFile(filepath.Join(cache, "noonkeep", "axe-core-4.14.1.min.js"))
	switch {
	case err != nil && os.Getenv("CI") == "true":
		t.Fatal(err)
	case err != nil:
		t.Skip("axe-core is not on this machine: nobody looks for what the page keeps from people; .ci/setup test fetches it")
	}
	d := startDesk(t, deskFolder(t, "dyehouse"))
	for _, width := range []int64{1280, 360} {
		for _, scheme := range []string{"light", "dark"} {
			b := newTab(t, d, width)
			b.media(&emulation.MediaFeature{Name: "prefers-color-scheme", Value: scheme}, &emulation.MediaFeature{Name: "prefers-reduced-motion", Value: "reduce"})
			for _, page := range []string{"folder", "sheet"} {
				if page == "sheet" {
					b.sheet("dyehouse.yaml")
				}
				b.do(chromedp.Evaluate[chromedp.Void](string(axe)))
				for _, found := range violations(b) {
					t.Errorf("%s at %d px, %s: %s", page, width, scheme, found)
				}
				js[bool](b, "(document.querySelector('main').append(document.createElement('button')), true)")
				if len(violations(b)) == 0 {
					t.Error("a button without a name was put in, and axe does not find it")
				}
			}
		}
	}
}

// violations are axe's serious and critical ones. It must have passed some rules, or it has looked at nothing.
func violations(b *tab) (found []string) {
	b.t.Helper()
	report := js[string](b, `axe.run(document).then(r => JSON.stringify({passes: r.passes.length, violations: r.violations.map(v =>
		({id: v.id, impact: v.impact, help: v.help, nodes: v.nodes.map(n => n.target.join(" ") + " " + (n.any[0] ? n.any[0].message : ""))}))}))`)
	var r struct {
		Passes     int
		Violations []struct {
			ID, Impact, Help string
			Nodes            []string
		}
	}
	if err := json.Unmarshal([]byte(report), &r); err != nil {
		b.t.Fatal(err)
	}
	if r.Passes < 5 {
		b.t.Errorf("axe passed only %d rules", r.Passes)
	}
	for _, v := range r.Violations {
		if v.Impact == "serious" || v.Impact == "critical" {
			found = append(found, fmt.Sprintf("%s (%s): %s: %s", v.ID, v.Impact, v.Help, strings.Join(v.Nodes[:min(4, len(v.Nodes))], "; ")))
		}
	}
	return found
}

// The server is killed while it saves, again and again: the file is always whole, as it was before a save or after it.
func TestDeskKilledWhileSaving(t *testing.T) {
	t.Parallel()
	unraced(t)
	dir := deskFolder(t, "dyehouse")
	path := filepath.Join(dir, "dyehouse.yaml")
	original, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(8, 1))
	saves := 0
	for range 12 {
		d := startDesk(t, dir)
		v := newVisitor(d)
		if err := v.enter("dyehouse.yaml"); err != nil {
			t.Fatal(err)
		}
		kill := func() {
			time.Sleep(time.Duration(random.IntN(150)) * time.Millisecond)
			d.cmd.Process.Signal(syscall.SIGKILL)
		}
		for first := true; ; first = false {
			if v.change(dishCount, fmt.Sprint(20+saves%9)) != nil || v.save() != nil {
				break
			}
			saves++
			if first {
				go kill()
			}
		}
		<-d.ended
		got, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		whole := string(got) == string(original)
		for n := range 9 {
			whole = whole || string(got) == strings.Replace(string(original), "count: 30\n", fmt.Sprintf("count: %d\n", 20+n), 1)
		}
		if !whole {
			t.Fatalf("after %d saves a killed server left half a file, %d bytes:\n%s", saves, len(got), got)
		}
	}
	if saves < 5 {
		t.Errorf("only %d saves were made", saves)
	}
	d := startDesk(t, dir)
	v := newVisitor(d)
	if err := v.enter("dyehouse.yaml"); err != nil {
		t.Fatal(err)
	}
	for _, do := range []func() error{func() error { return v.change(dishCount, "31") }, v.save} {
		if err := do(); err != nil {
			t.Errorf("after the kills: %v", err)
		}
	}
	if entries, _ := os.ReadDir(dir); len(entries) != 1 {
		t.Errorf("the folder holds %v; want the scenario alone once a save has gone well", entries)
	}
}
