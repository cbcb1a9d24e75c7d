package desk

import (
	"encoding/json"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Names as nobody should give them: an element, one that ends what it stands in, and one that ends an attribute.
const (
	script = `<script>alert(1)</script>`
	breaks = `</textarea></code></title><img src=x onerror=alert(2)>`
	quotes = `" onmouseover="alert(3)" x='`
)

// raw are those names as they must never come.
var raw = []string{"<script>alert", "<img src=x", `" onmouseover="`, "</textarea></code>"}

// hostile is the dyehouse with such names for all that has one.
func hostile(t *testing.T) string {
	t.Helper()
	text := string(example(t, "dyehouse"))
	for old, name := range map[string]string{"stenter and dryers": script, "space and tank heating": breaks, "dyehouse at Kuruova": script + breaks,
		"- name: dishes\n": quotes, "two shifts instead of three": quotes, ": main\n": breaks, ": B1\n": quotes} {
		if !strings.Contains(text, old) {
			t.Fatalf("the dyehouse has no %q", old)
		}
		before, after := "", ""
		if head, _, ok := strings.Cut(old, ":"); ok && strings.HasSuffix(old, "\n") {
			before, after = head+": ", "\n"
		}
		text = strings.ReplaceAll(text, old, before+"'"+strings.ReplaceAll(name, "'", "''")+"'"+after)
	}
	return text + "\n# " + script + breaks + quotes + "\n"
}

// safe wants an answer that no browser takes for markup of the scenario's making.
func safe(t *testing.T, what string, a given) {
	t.Helper()
	switch kind, _, _ := strings.Cut(a.kind(), ";"); kind {
	case "text/html":
		hasNot(t, what, a.body, raw...)
	case "application/json":
		var r reply
		if err := json.Unmarshal([]byte(a.body), &r); err != nil {
			t.Errorf("%s: %v", what, err)
		}
		for name, part := range r.Parts {
			hasNot(t, what+", "+name, part, raw...)
		}
	case "image/svg+xml":
		hasNot(t, what, a.body, raw...)
	case "text/plain", "application/yaml", "text/csv", "": // no browser shows these as pages
	default:
		t.Errorf("%s comes as %q", what, a.kind())
	}
	if a.header.Get("X-Content-Type-Options") != "nosniff" || !strings.Contains(a.header.Get("Content-Security-Policy"), "script-src 'self';") {
		t.Errorf("%s comes without its guards: %v", what, a.header)
	}
	hasNot(t, what+", header", strings.Join([]string{a.header.Get("Content-Disposition"), a.header.Get("Location")}, "\n"), "<", `" on`)
}

// Nothing of a scenario, of its file's name, or of what is asked for reaches a page as markup.
func TestMarkupStaysText(t *testing.T) {
	t.Parallel()
	unraced(t)
	const file = `<img src=x onerror=alert(9)>.yaml`
	text := hostile(t)
	d := serveDesk(t, map[string]string{file: text, "bad.yaml": strings.Replace(text, "volume: 40 m3", `volume: '<script>alert(4)</script>'`, 1)})
	if err := os.Mkdir(filepath.Join(d.dir, script[:8]+".yaml"), 0o700); err != nil {
		t.Fatal(err)
	}
	g := d.guest()
	safe(t, "the folder", g.get("/"))
	has(t, "the folder", g.get("/").text(), file)
	for _, name := range []string{script, script + ".yaml", quotes + ".yaml", "none" + breaks + ".yaml"} {
		safe(t, "open "+name, g.get("/open/"+url.PathEscape(name)))
		safe(t, "begin "+name, g.form("/begin", "name", name, "as", name))
		safe(t, "begin as "+name, g.form("/begin", "name", "dyehouse", "as", name))
	}
	for _, file := range []string{file, "bad.yaml"} {
		b := g.open(file)
		page := b.get(b.base + "?against=" + url.QueryEscape(script) + "&units=" + url.QueryEscape(script) + "&day=" + url.QueryEscape(script))
		safe(t, file, page)
		has(t, file, page.text(), script, breaks, quotes)
		for _, part := range append(parts, "part-"+script) {
			safe(t, part, b.get(b.base+"/part/"+url.PathEscape(strings.TrimPrefix(part, "part-"))))
		}
		for _, path := range []string{"/file/" + url.PathEscape(script), "/file/curve.svg", "/file/scenario.yaml", "/year/" + url.PathEscape(script) + ".png", "/run/" + url.PathEscape(script) + "/files.zip"} {
			safe(t, path, b.get(b.base+path))
		}
		for _, c := range [][]string{{"change", "key", "store.volume", "value", script}, {"change", "key", script + breaks, "value", quotes},
			{"change", "key", "loads[" + script + "].when", "value", quotes + script}, {"change", "key", "name", "value", quotes + script},
			{"paint", "load", script + quotes, "perday", script, "cells", script}, {"paint", "load", script, "perday", script, "cells", script},
			{"text", "text", text + script + ": " + breaks + "\n"}, {"text", "text", text + "# " + script + "\n"}, {"keep", "name", script}, {"run", "kind", script},
			{"undo"}, {"settle", "how", script}} {
			rev, _ := json.Marshal(b.last.Rev)
			a := b.send(b.base+"/"+c[0], "application/json", append([]string{"rev", string(rev)}, c[1:]...))
			safe(t, strings.Join(c, " "), a)
			json.Unmarshal([]byte(a.body), &b.last)
			safe(t, "the page after "+strings.Join(c, " "), b.get(b.base))
		}
		d.write(file, strings.Replace(text, "volume: 40 m3", "volume: 44 m3 # "+script, 1))
		b.post("change", "key", "store.volume", "value", "50 m3")
		b.post("save")
		safe(t, "the conflict", b.get(b.base))
	}
}
