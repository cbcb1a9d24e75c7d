package desk

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"noonkeep/scenarios"
)

// A page that is behind is told so with status 409, whatever it asks, and nothing is done.
func TestPostFromBehind(t *testing.T) {
	t.Parallel()
	unraced(t)
	d := serveDesk(t, map[string]string{"dyehouse.yaml": string(example(t, "dyehouse"))})
	b := d.guest().open("dyehouse.yaml")
	b.done("change", "key", "store.volume", "value", "60 m3")
	now, before := b.yaml(), b.last.Rev
	for _, c := range [][]string{{"change", "key", "store.volume", "value", "70 m3"}, {"change", "key", "store.volume", "value", "70 apples"},
		{"paint", "load", "stenter and dryers", "perday", "24", "cells", strings.Repeat(strings.Repeat("1", 24)+"/", 6) + strings.Repeat("1", 24)},
		{"text", "text", "noonkeep: 1\n"}, {"undo"}, {"redo"}, {"save"}, {"keep", "name", "late"}, {"settle", "how", "theirs"},
		{"settle", "how", "mine-on-top"}, {"run", "kind", "bid-quick"}, {"run", "kind", "none"}} {
		for _, rev := range []int{before - 1, before + 1} {
			b.last.Rev = rev
			if status := b.post(c[0], c[1:]...); status != 409 || b.last.Rev != before || !strings.Contains(b.part("faults"), errBehind.Error()) {
				t.Errorf("%q at rev %d: status %d, rev %d: %s", c, rev, status, b.last.Rev, b.part("faults"))
			}
		}
		if b.yaml() != now || d.read("dyehouse.yaml") != string(example(t, "dyehouse")) {
			t.Fatalf("%q from behind changed the sheet or the file", c)
		}
	}
	if left, err := filepath.Glob(filepath.Join(d.dir, "*")); err != nil || len(left) != 1 || strings.Contains(b.part("runs"), "data-run") {
		t.Errorf("in the folder are %v, %v, and runs %s", left, err, b.part("runs"))
	}
	b.done("undo")
	hasNot(t, "the page", b.part("faults"), errBehind.Error())
}

// Without script a post leads back to the page, which has what came of it.
func TestPostWithoutScript(t *testing.T) {
	t.Parallel()
	unraced(t)
	d := serveDesk(t, map[string]string{"dyehouse.yaml": string(example(t, "dyehouse"))})
	b := d.guest().open("dyehouse.yaml")
	b.get(b.base + "?day=10&fine=30")
	a := b.form(b.base+"/change", "rev", "0", "key", "store.volume", "value", "60 m3")
	if want := b.base + "?day=10&fine=30"; a.status != 303 || !strings.HasPrefix(a.header.Get("Location"), want) {
		t.Fatalf("status %d leads to %s; want %s", a.status, a.header.Get("Location"), want)
	}
	page := b.get(a.header.Get("Location"))
	has(t, "the page", page.text(), "11 Jan", "60 m3", "not saved yet", `value="1"`, "30 min")
	a = b.form(b.base+"/change", "rev", "1", "key", "store.volume", "value", "60 apples")
	page = b.get(a.header.Get("Location"))
	has(t, "the page after a wrong value", page.text(), "60 apples", "want it in m3 or l", `id="fault-store-volume"`)
	has(t, "behind", b.get(b.form(b.base+"/undo", "rev", "0").header.Get("Location")).text(), errBehind.Error())
}

// The units, the day and the slots are the view's own: they change no text.
func TestViewSwitches(t *testing.T) {
	t.Parallel()
	unraced(t)
	d := serveDesk(t, map[string]string{"dyehouse.yaml": string(example(t, "dyehouse"))})
	b := d.guest().open("dyehouse.yaml")
	other := units{Pressure: "bar(a)", Heat: "kg/h", Energy: "t"}
	gauge, absolute := b.get(b.base).text(), b.get(b.base+"?day=364&fine=15&units="+other.Name()).text()
	has(t, "the page", gauge, "bar(g)", "MWh")
	has(t, "the other page", absolute, "bar(a)", "kg/h", "31 Dec", `data-perday="96"`)
	if strings.Contains(gauge, "31 Dec") {
		t.Error("the first page shows the last day")
	}
	has(t, "a part later", b.get(b.base+"/part/day").text(), "31 Dec")
	has(t, "a view that is not to be had", b.get(b.base+"?day=400&fine=7&units=furlongs").text(), "31 Dec", `data-perday="96"`)
	if b.yaml() != string(example(t, "dyehouse")) {
		t.Error("looking changed the text")
	}
}

// Two change one file: the second to save is asked, and neither change is lost, nor a comment or the order of either's lines.
func TestConflictIsSettled(t *testing.T) {
	t.Parallel()
	unraced(t)
	d := serveDesk(t, map[string]string{"dyehouse.yaml": string(example(t, "dyehouse"))})
	was := d.read("dyehouse.yaml")
	one, two := d.guest().open("dyehouse.yaml"), d.guest().open("dyehouse.yaml")
	theirs := swapped(t, was, "price: 0.052 EUR/kWh", "price: 0.06 EUR/kWh  # since the new contract")
	theirs = swapped(t, theirs, "\nstore:\n", "\n# the tank is not ordered yet\nstore:\n")
	one.done("text", "text", theirs)
	two.done("change", "key", "store.volume", "value", "66 m3")
	mine := two.yaml()
	one.done("save")
	if status := two.post("save"); status != 409 || d.read("dyehouse.yaml") != theirs {
		t.Fatalf("the second save gives status %d; on disk is\n%s", status, d.read("dyehouse.yaml"))
	}
	has(t, "the conflict", two.part("conflict"), "dyehouse.yaml: was changed on disk since it was opened here; nothing was saved", "0.06 EUR/kWh", "66 m3")
	if status := two.post("settle", "how", "somehow"); status != 400 {
		t.Errorf("settled somehow: status %d", status)
	}
	two.done("settle", "how", "theirs")
	if two.yaml() != theirs || !strings.Contains(two.part("bar"), "as on disk") {
		t.Errorf("gone on from theirs, the sheet holds\n%s", two.yaml())
	}
	two.done("undo")
	if two.yaml() != mine {
		t.Errorf("taken back, the sheet holds\n%s", two.yaml())
	}
	if status := two.post("save"); status != 409 {
		t.Errorf("taken back, a save gives status %d", status)
	}
	two.done("settle", "how", "mine-on-top")
	hasNot(t, "what was done", two.last.Said, "Comments and layout")
	both := swapped(t, theirs, "volume: 40 m3", "volume: 66 m3")
	if two.yaml() != both || d.read("dyehouse.yaml") != theirs {
		t.Errorf("with mine on top the sheet holds\n%s\nwant\n%s", two.yaml(), both)
	}
	two.done("save")
	if d.read("dyehouse.yaml") != both || strings.Contains(two.part("conflict"), "form") {
		t.Errorf("saved, the file holds\n%s", d.read("dyehouse.yaml"))
	}
	one.done("text", "text", swapped(t, theirs, "# since the new contract", "# from January on"))
	one.post("save")
	one.done("settle", "how", "mine-on-top")
	if one.yaml() != both || !strings.Contains(one.last.Said, "Comments and layout that were changed here are not among them.") {
		t.Errorf("a comment of mine does not go on top, and it says %q", one.last.Said)
	}
	d.write("dyehouse.yaml", "noonkeep: [")
	one.done("change", "key", "store.volume", "value", "50 m3")
	one.post("save")
	if one.post("settle", "how", "mine-on-top"); len(one.last.Faults) == 0 || !strings.Contains(one.part("faults"), "your changes do not go on top by themselves") {
		t.Errorf("onto a text that is none: %v, %s", one.last.Faults, one.part("faults"))
	}
}

// A version is kept beside the file, and a sheet compared with it says what is otherwise.
func TestKeptVersions(t *testing.T) {
	t.Parallel()
	unraced(t)
	d := serveDesk(t, map[string]string{"dyehouse.yaml": string(example(t, "dyehouse"))})
	b := d.guest().open("dyehouse.yaml")
	b.done("change", "key", "store.volume", "value", "60 m3")
	kept := b.yaml()
	b.done("keep", "name", " larger tank ")
	has(t, "what was done", b.last.Said, "Kept as dyehouse@larger tank.yaml.")
	has(t, "the versions", b.part("versions"), "larger tank", "dyehouse@larger tank.yaml")
	if d.read("dyehouse@larger tank.yaml") != kept || d.read("dyehouse.yaml") != string(example(t, "dyehouse")) {
		t.Error("the kept file does not hold the sheet's text, or the file does")
	}
	b.done("change", "key", "store.volume", "value", "80 m3")
	has(t, "against the file", b.part("changed"), "than the file as it is on disk", "40 m3", "80 m3")
	page := b.get(b.base + "?against=larger+tank").text()
	has(t, "against the version", page, "than the kept version larger tank", "60 m3", "80 m3")
	page = b.get(b.base + "?against=none").text()
	has(t, "against none", page, "There is no such kept version to compare with: dyehouse@none.yaml: there is no such file in this folder.", "than the file as it is on disk")
	for name, says := range map[string]string{
		"":                      "the version has no name; give it one, as: two shifts",
		"a/../out":              `the version's name is "a/../out"; want letters, digits, spaces and - _ . alone`,
		"<script>":              `the version's name is "<script>"; want letters, digits, spaces and - _ . alone`,
		strings.Repeat("n", 41): "the version's name has 41 letters; want at most 40",
		"larger tank":           "dyehouse@larger tank.yaml: a version of this name is kept already, with another content; choose another name",
	} {
		if b.post("keep", "name", name); len(b.last.Faults) != 1 || b.last.Faults[0] != (fault{"keep", says}) {
			t.Errorf("kept as %q: %v; want %s", name, b.last.Faults, says)
		}
		has(t, "beside the name", b.part("versions"), says, `aria-describedby="fault-keep"`)
		hasNot(t, "the page's head", b.part("faults"), says)
	}
	if left, err := filepath.Glob(filepath.Join(d.dir, "*")); err != nil || len(left) != 2 || d.read("dyehouse@larger tank.yaml") != kept {
		t.Errorf("in the folder are %v, %v", left, err)
	}
	if got := b.open("dyehouse@larger tank.yaml").yaml(); got != kept {
		t.Errorf("opened, the version holds\n%s", got)
	}
}

// An example is copied whole, into a file that is not there yet.
func TestBegin(t *testing.T) {
	t.Parallel()
	d := serveDesk(t, nil)
	g := d.guest()
	for _, s := range scenarios.Starters() {
		a := g.form("/begin", "name", s.Name, "as", " "+s.Name+" of mine.yaml ")
		if a.status != 303 || a.header.Get("Location") != "/open/"+s.Name+"%20of%20mine.yaml" || d.read(s.Name+" of mine.yaml") != string(example(t, s.Name)) {
			t.Errorf("%s: status %d leads to %s: %s", s.Name, a.status, a.header.Get("Location"), a.body)
		}
	}
	for _, c := range [][3]string{
		{"winery", "dyehouse of mine.yaml", "dyehouse of mine.yaml: there is such a file already, and it is left as it is; choose another name"},
		{"winery", "mine", "mine: is no scenario file; want one whose name ends in .yaml"},
		{"none", "other.yaml", "There is no such example."},
		{"dyehouse.yaml", "other.yaml", "There is no such example."},
	} {
		a := g.form("/begin", "name", c[0], "as", c[1])
		if a.status != 400 || strings.Count(a.text(), c[2]) != 1 {
			t.Errorf("%s as %s: status %d: %s", c[0], c[1], a.status, a.body)
		}
		if c[0] == "winery" {
			has(t, "the form as it was filled in", a.body, `value="winery" selected`, `value="`+c[1]+`"`)
		}
	}
	if d.read("dyehouse of mine.yaml") != string(example(t, "dyehouse")) {
		t.Error("a file that was there was written over")
	}
	if left, err := filepath.Glob(filepath.Join(d.dir, "*")); err != nil || len(left) != len(scenarios.Starters()) {
		t.Errorf("in the folder are %v, %v", left, err)
	}
}

// A text that is refused leaves the results as they were, and what is wrong is said with file and line as the commands say it.
func TestRefusedText(t *testing.T) {
	t.Parallel()
	unraced(t)
	d := serveDesk(t, map[string]string{"dyehouse.yaml": string(example(t, "dyehouse"))})
	b := d.guest().open("dyehouse.yaml")
	b.done("change", "key", "store.volume", "value", "60 m3")
	good, answer := b.yaml(), b.part("answer")
	bad := swapped(t, swapped(t, good, "volume: 60 m3", "volume: 60 apples"), "price: 0.052 EUR/kWh", "prise: 0.052 EUR/kWh")
	path := filepath.Join(t.TempDir(), "dyehouse.yaml")
	if err := os.WriteFile(path, []byte(bad), 0o600); err != nil {
		t.Fatal(err)
	}
	_, loaded := scenarios.Load(path)
	if loaded == nil {
		t.Fatal("the text is right")
	}
	want := linesOf(errors.New(strings.ReplaceAll(loaded.Error(), path, "dyehouse.yaml")))
	if len(want) < 2 || !strings.HasPrefix(want[0], "dyehouse.yaml:") {
		t.Fatalf("the commands say %q", want)
	}
	b.post("text", "text", strings.ReplaceAll(bad, "\n", "\r\n")) // as a browser sends it
	var got []string
	for _, f := range b.last.Faults {
		got = append(got, f.Text)
	}
	if !slices.Equal(got, want) {
		t.Errorf("the page says %q; want %q", got, want)
	}
	has(t, "the text's part", b.part("text"), append(want, "60 apples", "prise")...)
	has(t, "the head", b.part("faults"), "The text was not taken; what is wrong in it stands beside it.")
	hasNot(t, "the head", b.part("faults"), "apples")
	hasNot(t, "the knobs", b.part("knobs"), "apples")
	if b.yaml() != good || b.part("answer") != answer || b.last.Rev != 1 {
		t.Error("a refused text changed the sheet or its results")
	}
	b.done("text", "text", swapped(t, good, "volume: 60 m3", "volume: 61 m3   # asked for"))
	b.done("save")
	if want := swapped(t, good, "volume: 60 m3", "volume: 61 m3   # asked for"); d.read("dyehouse.yaml") != want {
		t.Errorf("the file holds\n%s", d.read("dyehouse.yaml"))
	}
	crlf := strings.ReplaceAll(good, "\n", "\r\n")
	d.write("crlf.yaml", crlf)
	c := b.open("crlf.yaml")
	c.done("text", "text", strings.Replace(crlf, "60 m3", "62 m3", 1))
	c.done("save")
	if got := d.read("crlf.yaml"); got != strings.Replace(crlf, "60 m3", "62 m3", 1) || bytes.Count([]byte(got), []byte("\r\n")) != strings.Count(got, "\n") {
		t.Error("the ends of lines are not kept")
	}
}
