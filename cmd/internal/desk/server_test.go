package desk

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// pathsOf are the addresses of a sheet, as pages ask for them, with the status for its own visitor.
var sheetPaths = []struct {
	method, path string
	status       int
	kind         string
}{
	{"GET", "", 200, "text/html; charset=utf-8"},
	{"GET", "/part/day", 200, "text/html; charset=utf-8"},
	{"GET", "/part/none", 404, "text/plain; charset=utf-8"},
	{"GET", "/file/scenario.yaml", 200, "application/yaml"},
	{"GET", "/file/curve.csv", 200, "text/csv"},
	{"GET", "/file/desk.go", 404, "text/plain; charset=utf-8"},
	{"GET", "/year/sun.png", 200, "image/png"},
	{"GET", "/year/moon.png", 404, "text/plain; charset=utf-8"},
	{"GET", "/year/sun", 404, "text/plain; charset=utf-8"},
	{"GET", "/year/sun.gif", 404, "text/plain; charset=utf-8"},
	{"GET", "/run/1/files.zip", 404, "text/plain; charset=utf-8"},
	{"GET", "/none", 404, "text/plain; charset=utf-8"},
	{"POST", "/change", 400, "text/plain; charset=utf-8"}, // of nothing
	{"POST", "/paint", 303, ""},
	{"POST", "/text", 303, ""},
	{"POST", "/undo", 303, ""},
	{"POST", "/redo", 303, ""},
	{"POST", "/keep", 303, ""},
	{"POST", "/save", 303, ""},
	{"POST", "/settle", 400, "text/plain; charset=utf-8"},
	{"POST", "/run", 303, ""},
	{"POST", "/run/1/cancel", 303, ""},
	{"POST", "/none", 404, "text/plain; charset=utf-8"},
}

func (g guest) by(method, path string) given {
	g.t.Helper()
	if method == "POST" {
		return g.form(path, "rev", "0")
	}
	return g.get(path)
}

// Each address answers its own visitor; nobody without a cookie, and no other visitor on a sheet.
func TestServerAddresses(t *testing.T) {
	t.Parallel()
	d := serveDesk(t, map[string]string{"dyehouse.yaml": string(example(t, "dyehouse"))})
	own, other, outside := d.guest(), d.guest(), d.outside()
	b := own.open("dyehouse.yaml")
	for _, c := range sheetPaths {
		if a := outside.by(c.method, b.base+c.path); a.status != http.StatusForbidden || !strings.Contains(a.body, "has not come in") {
			t.Errorf("%s %s without a cookie: status %d: %s", c.method, c.path, a.status, a.body)
		}
		if a := other.by(c.method, b.base+c.path); a.status != http.StatusNotFound || strings.Contains(a.body, "dyehouse at Kuruova") {
			t.Errorf("%s %s by another visitor: status %d: %s", c.method, c.path, a.status, a.body)
		}
		if a := own.by(c.method, b.base+c.path); a.status != c.status || a.kind() != c.kind {
			t.Errorf("%s %s: status %d, %q; want %d, %q: %.300s", c.method, c.path, a.status, a.kind(), c.status, c.kind, a.body)
		}
	}
	if got := d.read("dyehouse.yaml"); got != string(example(t, "dyehouse")) {
		t.Error("asking for what is not there changed the file")
	}
	has(t, "another's sheet", other.get(b.base).text(), "This sheet is not open", "dyehouse.yaml")
	for path, want := range map[string]int{"/": 200, "/open/dyehouse.yaml": 303, "/open/none.yaml": 404, "/sheet/none": 404, "/none": 404,
		"/asset/desk.css": 200, "/asset/desk.js": 200, "/asset/desk.svg": 200, "/asset/sheet.html": 404, "/asset/none.js": 404} {
		if a := own.get(path); a.status != want {
			t.Errorf("%s: status %d; want %d", path, a.status, want)
		}
		if a := outside.get(path); !strings.HasPrefix(path, "/asset/") && a.status != http.StatusForbidden {
			t.Errorf("%s without a cookie: status %d", path, a.status)
		}
	}
	hasNot(t, "a page that is not let in", outside.get("/").text(), "dyehouse.yaml", d.dir)
	if a := outside.form("/begin", "name", "dyehouse", "as", "my.yaml"); a.status != http.StatusForbidden {
		t.Errorf("begin without a cookie: status %d", a.status)
	}
}

// The printed address is one that this machine's browser can open, whatever the desk listens on.
func TestServerAddress(t *testing.T) {
	t.Parallel()
	for listen, want := range map[string]string{"": "http://127.0.0.1:", "127.0.0.1": "http://127.0.0.1:", "0.0.0.0": "http://127.0.0.1:",
		"::": "http://127.0.0.1:", "[::]": "http://127.0.0.1:", "::1": "http://[::1]:", "[::1]": "http://[::1]:", "localhost": "http://127.0.0.1:"} {
		d, err := New(Options{Dir: t.TempDir(), Listen: listen})
		if err != nil {
			if strings.Contains(listen, ":") {
				t.Logf("%s: %v: this machine has no IPv6", listen, err)
				continue
			}
			t.Fatal(err)
		}
		if at := d.Address(); !strings.HasPrefix(at, want) {
			t.Errorf("listening on %q the address is %s; want %s", listen, at, want)
		}
		host := strings.TrimPrefix(d.Address()[:strings.Index(d.Address(), "/enter/")], "http://")
		if !d.door.ours(host) {
			t.Errorf("listening on %q the door does not know %s", listen, host)
		}
		d.listener.Close()
	}
	_, err := New(Options{Dir: t.TempDir(), Listen: "192.0.2.1"})
	if err == nil || !strings.HasPrefix(err.Error(), "desk: cannot listen: ") {
		t.Errorf("on an address of another machine: %v", err)
	}
}

// Nothing outside the folder is read, whatever way is written.
func TestServerKeepsToTheFolder(t *testing.T) {
	t.Parallel()
	const secret = "noonkeep: 1\nname: secret plant\n"
	d := serveDesk(t, map[string]string{"a.yaml": "noonkeep: 1\nname: a\n"})
	away := filepath.Join(t.TempDir(), "secret.yaml")
	if err := os.WriteFile(away, []byte(secret), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(away, filepath.Join(d.dir, "link.yaml")); err != nil {
		t.Skip(err)
	}
	if err := os.Mkdir(filepath.Join(d.dir, "folder.yaml"), 0o700); err != nil {
		t.Fatal(err)
	}
	g := d.guest()
	up := "..%2f" + filepath.Base(filepath.Dir(away)) + "%2fsecret.yaml"
	for path, says := range map[string]string{
		"/open/" + up:                  "is not the name of a file in this folder",
		"/open/%2e%2e":                 "",
		"/open/%2e%2e%2fsecret.yaml":   "is not the name of a file in this folder",
		"/open/..%5csecret.yaml":       "is not the name of a file in this folder",
		"/open/a.yaml%00.yaml":         "is not the name of a file in this folder",
		"/open/link.yaml":              "link.yaml: is a link to another file; want the file itself in this folder",
		"/open/folder.yaml":            "folder.yaml: is a folder; want a file",
		"/open/%2fetc%2fhosts.yaml":    "is not the name of a file in this folder",
		"/open/.hidden.yaml":           ".hidden.yaml: is no scenario file; want one whose name ends in .yaml",
		"/open/a.txt":                  "a.txt: is no scenario file; want one whose name ends in .yaml",
		"/asset/..%2fserver.go":        "",
		"/asset/%2e%2e%2fdesk.css":     "",
		"/asset/..%2f..%2fdesk%2fa.js": "",
	} {
		a := g.get(path)
		if a.status != http.StatusNotFound && a.status != http.StatusBadRequest || strings.Contains(a.body, "secret plant") || !strings.Contains(a.text(), says) {
			t.Errorf("%s: status %d; want 404, or 400, with %q: %s", path, a.status, says, a.body)
		}
	}
	for _, as := range []string{"../out.yaml", "/tmp/out.yaml", "..", "link.yaml", "a.yaml", "folder.yaml", "x.txt", "", "\x00.yaml"} {
		if a := g.form("/begin", "name", "dyehouse", "as", as); a.status != http.StatusBadRequest {
			t.Errorf("begin as %q: status %d", as, a.status)
		}
	}
	text, err := os.ReadFile(away)
	if err != nil || string(text) != secret || d.read("a.yaml") != "noonkeep: 1\nname: a\n" {
		t.Errorf("what was there was written over: %s, %v", text, err)
	}
	if left, err := filepath.Glob(filepath.Join(filepath.Dir(d.dir), "*.yaml")); err != nil || len(left) > 0 {
		t.Errorf("written outside: %v, %v", left, err)
	}
}

// A folder of very many files lists so many, and tells how many more there are.
func TestServerListsSoMany(t *testing.T) {
	t.Parallel()
	d := serveDesk(t, nil)
	for i := range mostListed + 3 {
		d.write(fmt.Sprintf("plant %04d.yaml", i), "")
	}
	d.write("no scenario.txt", "")
	var p folderPage
	d.fillFolder(&p)
	if len(p.Entries) != mostListed || p.More != 3 || p.Entries[0].File != "plant 0000.yaml" {
		t.Errorf("%d are listed, and %d more", len(p.Entries), p.More)
	}
	if a := d.guest().get(fmt.Sprintf("/open/plant%%20%04d.yaml", mostListed+2)); a.status != http.StatusSeeOther {
		t.Errorf("one that is not listed cannot be opened: status %d", a.status)
	}
}

// What is too large, or no form, is refused before anything is done.
func TestServerRefusesLargeAndBroken(t *testing.T) {
	t.Parallel()
	d := serveDesk(t, map[string]string{"a.yaml": "noonkeep: 1\nname: a\n"})
	b := d.guest().open("a.yaml")
	if a := b.form(b.base+"/text", "rev", "0", "text", strings.Repeat("x", mostBody)); a.status != http.StatusRequestEntityTooLarge ||
		!strings.Contains(a.body, "more than the desk takes at once, 1 MB. Nothing was changed.") {
		t.Errorf("1 MB and more: status %d: %s", a.status, a.body)
	}
	for _, body := range []string{"rev=0&text=%zz", "rev=x&text=a", "text=a", "rev=0&key=a", "rev=0&key=a&value=b&value=c"} {
		r, err := http.NewRequest(http.MethodPost, b.site+b.base+"/change", strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		if a := b.do(r); a.status != http.StatusBadRequest {
			t.Errorf("%s: status %d: %s", body, a.status, a.body)
		}
	}
	if b.yaml() != "noonkeep: 1\nname: a\n" {
		t.Errorf("the sheet holds %q", b.yaml())
	}
}
