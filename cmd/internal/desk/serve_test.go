package desk

import (
	"context"
	"encoding/json"
	"html"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// testDesk is a desk that serves a folder of its own for the length of a test.
type testDesk struct {
	*Desk
	t   *testing.T
	dir string
}

// serveDesk starts a desk on files: by their names, with their texts.
func serveDesk(t *testing.T, files map[string]string) testDesk {
	t.Helper()
	d := testDesk{t: t, dir: t.TempDir()}
	for name, text := range files {
		d.write(name, text)
	}
	var err error
	if d.Desk, err = New(Options{Dir: d.dir}); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- d.Serve(ctx) }()
	t.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Errorf("the desk ended with %v", err)
		}
	})
	return d
}

func (d testDesk) write(name, text string) {
	d.t.Helper()
	if err := os.WriteFile(filepath.Join(d.dir, name), []byte(text), 0o600); err != nil {
		d.t.Fatal(err)
	}
}

func (d testDesk) read(name string) string {
	d.t.Helper()
	text, err := os.ReadFile(filepath.Join(d.dir, name))
	if err != nil {
		d.t.Fatal(err)
	}
	return string(text)
}

// guest is one who asks, with the cookie or without.
type guest struct {
	t      *testing.T
	site   string
	client *http.Client
}

// outside is who has not come in.
func (d testDesk) outside() guest {
	jar, _ := cookiejar.New(nil)
	site, _, _ := strings.Cut(d.Address(), "/enter/")
	return guest{d.t, site, &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
}

// guest lets somebody in.
func (d testDesk) guest() guest {
	d.t.Helper()
	g := d.outside()
	if a := g.get(strings.TrimPrefix(d.Address(), g.site)); a.status != http.StatusSeeOther {
		d.t.Fatalf("the first address gives status %d: %s", a.status, a.body)
	}
	return g
}

// given is what came back.
type given struct {
	status int
	header http.Header
	body   string
}

func (a given) kind() string { return a.header.Get("Content-Type") }

// text is the body with its HTML escapes taken back, to be searched for sentences.
func (a given) text() string { return html.UnescapeString(a.body) }

func (g guest) do(r *http.Request) given {
	g.t.Helper()
	a, err := g.client.Do(r)
	if err != nil {
		g.t.Fatal(err)
	}
	defer a.Body.Close()
	body, err := io.ReadAll(a.Body)
	if err != nil {
		g.t.Fatal(err)
	}
	return given{a.StatusCode, a.Header, string(body)}
}

func (g guest) get(path string) given {
	g.t.Helper()
	r, err := http.NewRequest(http.MethodGet, g.site+path, nil)
	if err != nil {
		g.t.Fatal(err)
	}
	return g.do(r)
}

// form sends a form as a page without script does; pairs are names and values.
func (g guest) form(path string, pairs ...string) given {
	g.t.Helper()
	return g.send(path, "text/html", pairs)
}

func (g guest) send(path, accept string, pairs []string) given {
	g.t.Helper()
	form := url.Values{}
	for i := 0; i < len(pairs); i += 2 {
		form.Add(pairs[i], pairs[i+1])
	}
	r, err := http.NewRequest(http.MethodPost, g.site+path, strings.NewReader(form.Encode()))
	if err != nil {
		g.t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Accept", accept)
	return g.do(r)
}

// tab is a sheet as the page's script works on it.
type tab struct {
	guest
	base string // "/sheet/ID"
	last reply
}

// open opens a file and gives its sheet.
func (g guest) open(file string) *tab {
	g.t.Helper()
	a := g.get("/open/" + url.PathEscape(file))
	if a.status != http.StatusSeeOther {
		g.t.Fatalf("%s cannot be opened, status %d: %s", file, a.status, a.body)
	}
	return &tab{guest: g, base: a.header.Get("Location")}
}

// post does something at the revision that the tab shows, and gives the status.
func (b *tab) post(verb string, pairs ...string) int {
	b.t.Helper()
	rev, _ := json.Marshal(b.last.Rev)
	a := b.send(b.base+"/"+verb, "application/json", append([]string{"rev", string(rev)}, pairs...))
	if a.status == http.StatusBadRequest {
		return a.status
	}
	b.last = reply{}
	if err := json.Unmarshal([]byte(a.body), &b.last); err != nil || !strings.HasPrefix(a.kind(), "application/json") {
		b.t.Fatalf("%s: status %d, %q, %v: %s", verb, a.status, a.kind(), err, a.body)
	}
	return a.status
}

// done posts what must go well.
func (b *tab) done(verb string, pairs ...string) {
	b.t.Helper()
	if status := b.post(verb, pairs...); status != http.StatusOK || len(b.last.Faults) > 0 {
		b.t.Fatalf("%s %q: status %d, said %q, faults %v", verb, pairs, status, b.last.Said, b.last.Faults)
	}
}

// part is a region of the page as it was answered last, without its HTML escapes.
func (b *tab) part(name string) string { return html.UnescapeString(b.last.Parts["part-"+name]) }

// yaml is the sheet's text.
func (b *tab) yaml() string { b.t.Helper(); return b.get(b.base + "/file/scenario.yaml").body }

// has wants all words in a text.
func has(t *testing.T, what, text string, words ...string) {
	t.Helper()
	for _, w := range words {
		if !strings.Contains(text, w) {
			t.Errorf("%s does not say %q: %.700s", what, w, text)
		}
	}
}

// hasNot wants none of the words in a text.
func hasNot(t *testing.T, what, text string, words ...string) {
	t.Helper()
	for _, w := range words {
		if at := strings.Index(text, w); at >= 0 {
			t.Errorf("%s says %q: ...%s", what, w, text[max(0, at-200):min(len(text), at+200)])
		}
	}
}
