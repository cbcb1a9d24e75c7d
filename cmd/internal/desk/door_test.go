package desk

import (
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"
)

// inner tells who came through a door, and with what.
func inner(w http.ResponseWriter, r *http.Request) {
	io.WriteString(w, visitorOf(r)+" "+r.PostFormValue("value"))
}

// ask sends a request to a door; headers are pairs.
func ask(h http.Handler, method, target, host, body string, pairs ...string) *http.Response {
	r := httptest.NewRequest(method, target, strings.NewReader(body))
	r.Host = host
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for i := 0; i < len(pairs); i += 2 {
		r.Header.Set(pairs[i], pairs[i+1])
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w.Result()
}

func bodyOf(t *testing.T, r *http.Response) string {
	t.Helper()
	b, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// entered is a door with its handler and the cookie of one visitor.
func entered(t *testing.T, host string) (*door, http.Handler, string) {
	t.Helper()
	d := newDoor(host, 4000)
	h := d.guard(http.HandlerFunc(inner), "/open/my%20mill.yaml")
	r := ask(h, "GET", d.enterPath(), "127.0.0.1:4000", "")
	if len(r.Cookies()) != 1 {
		t.Fatalf("entering gave status %d and cookies %v", r.StatusCode, r.Cookies())
	}
	c := r.Cookies()[0]
	return d, h, c.Name + "=" + c.Value
}

func TestDoorGivesOneVisitorOneCookie(t *testing.T) {
	d, h, cookie := entered(t, "127.0.0.1")
	r := ask(h, "GET", d.enterPath(), "127.0.0.1:4000", "")
	c := r.Cookies()[0]
	if r.StatusCode != http.StatusSeeOther || r.Header.Get("Location") != "/open/my%20mill.yaml" {
		t.Errorf("the token leads to %q with status %d", r.Header.Get("Location"), r.StatusCode)
	}
	if c.Name != "noonkeep-4000" || !c.HttpOnly || c.SameSite != http.SameSiteStrictMode || c.Path != "/" || len(c.Value) < 26 {
		t.Errorf("the cookie is %v", c)
	}
	if c.Name+"="+c.Value == cookie {
		t.Error("two visitors have one name")
	}
	if again := ask(h, "GET", d.enterPath(), "127.0.0.1:4000", "", "Cookie", cookie); len(again.Cookies()) != 0 {
		t.Errorf("who had a cookie got another: %v", again.Cookies())
	}
	_, name, _ := strings.Cut(cookie, "=")
	if got := bodyOf(t, ask(h, "GET", "/", "127.0.0.1:4000", "", "Cookie", cookie)); got != name+" " {
		t.Errorf("the visitor's name is %q; want %q", got, name)
	}
	if visitorOf(httptest.NewRequest("GET", "/", nil)) != "" {
		t.Error("who did not come through the door has a name")
	}
	if newDoor("127.0.0.1", 4000).enterPath() == d.enterPath() {
		t.Error("two desks have one token")
	}
}

func TestDoorLetsIn(t *testing.T) {
	d, h, cookie := entered(t, "127.0.0.1")
	const here, own = "127.0.0.1:4000", "http://127.0.0.1:4000"
	for _, c := range []struct {
		what, method, target, host string
		pairs                      []string
		want                       int
		says                       string // in the page
		src                        string
	}{
		{"page", "GET", "/", here, []string{"Cookie", cookie}, 200, "", "contract"},
		{"page by localhost", "GET", "/", "LocalHost:4000", []string{"Cookie", cookie}, 200, "", "RFC 9110 4.2.3: a host has no case"},
		{"page by IPv6", "GET", "/", "[::1]:4000", []string{"Cookie", cookie}, 200, "", "contract"},
		{"style without cookie", "GET", "/asset/desk.css", here, nil, 200, "", "contract"},
		{"no cookie", "GET", "/", here, nil, 403, "Open the address that the desk printed", "contract"},
		{"made-up cookie", "GET", "/", here, []string{"Cookie", "noonkeep-4000=AAAA"}, 403, "Open the address", "contract"},
		{"empty cookie", "GET", "/", here, []string{"Cookie", "noonkeep-4000="}, 403, "Open the address", "contract"},
		{"cookie of another port", "GET", "/", here, []string{"Cookie", strings.Replace(cookie, "4000", "4001", 1)}, 403, "Open the address", "contract"},
		{"another token", "GET", "/enter/" + strings.Repeat("A", 26), here, nil, 403, "not the address that the desk printed", "contract"},
		{"no token", "GET", "/enter/", here, nil, 403, "not the address", "contract"},
		{"token and more", "GET", d.enterPath() + "/", here, nil, 403, "not the address", "contract"},
		{"token posted", "POST", d.enterPath(), here, nil, 403, "not the address", "contract"},
		{"a stranger's name", "GET", "/", "desk.example:4000", []string{"Cookie", cookie}, 403, "under a name that is not its own", "DNS rebinding"},
		{"a stranger's name for the token", "GET", d.enterPath(), "desk.example:4000", nil, 403, "under a name", "DNS rebinding"},
		{"a stranger's name for style", "GET", "/asset/desk.css", "desk.example:4000", nil, 403, "under a name", "DNS rebinding"},
		{"another port", "GET", "/", "127.0.0.1:4001", []string{"Cookie", cookie}, 403, "under a name", "contract"},
		{"no port", "GET", "/", "127.0.0.1", []string{"Cookie", cookie}, 403, "under a name", "RFC 9110: then it is 80"},
		{"no host", "GET", "/", "", []string{"Cookie", cookie}, 403, "under a name", "contract"},
		{"another address", "GET", "/", "192.0.2.7:4000", []string{"Cookie", cookie}, 403, "under a name", "bound to 127.0.0.1 alone"},
		{"change", "POST", "/", here, []string{"Cookie", cookie, "Origin", own, "Sec-Fetch-Site", "same-origin"}, 200, "", "contract"},
		{"change by no browser", "POST", "/", here, []string{"Cookie", cookie}, 200, "", "net/http CrossOriginProtection"},
		{"change of another site", "POST", "/", here, []string{"Cookie", cookie, "Sec-Fetch-Site", "cross-site"}, 403, "Another site", "net/http CrossOriginProtection"},
		{"change of another port", "POST", "/", here, []string{"Cookie", cookie, "Sec-Fetch-Site", "same-site"}, 403, "Another site", "Fetch Metadata: ports are one site"},
		{"origin of another port", "POST", "/", here, []string{"Cookie", cookie, "Origin", "http://127.0.0.1:4001"}, 403, "Another site", "RFC 6454"},
		{"origin hidden", "POST", "/", here, []string{"Cookie", cookie, "Origin", "null"}, 403, "Another site", "RFC 6454 7.3"},
		{"origin of another scheme", "POST", "/", here, []string{"Cookie", cookie, "Origin", "https://127.0.0.1:4000"}, 403, "Another site", "RFC 6454"},
		{"other verb", "PUT", "/", here, []string{"Cookie", cookie}, 405, "no such request", "RFC 9110 15.5.6"},
		{"preflight", "OPTIONS", "/", here, []string{"Cookie", cookie}, 405, "no such request", "nobody else may ask"},
	} {
		r := ask(h, c.method, c.target, c.host, "", c.pairs...)
		body := bodyOf(t, r)
		if r.StatusCode != c.want || !strings.Contains(body, c.says) {
			t.Errorf("%s (%s): status %d, want %d with %q: %s", c.what, c.src, r.StatusCode, c.want, c.says, body)
		}
		if r.StatusCode >= 400 && (len(r.Cookies()) > 0 || strings.Contains(body, d.token)) {
			t.Errorf("%s: who was refused got cookies %v, or the token", c.what, r.Cookies())
		}
		if got := r.Header.Get("Content-Security-Policy"); got != policy {
			t.Errorf("%s: the policy is %q", c.what, got)
		}
		for header, want := range map[string]string{"X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin",
			"Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin"} {
			if got := r.Header.Get(header); got != want {
				t.Errorf("%s: %s is %q; want %q", c.what, header, got, want)
			}
		}
		if kept := r.Header.Get("Cache-Control") != "no-store"; kept != strings.HasPrefix(c.target, "/asset/") {
			t.Errorf("%s: Cache-Control is %q", c.what, r.Header.Get("Cache-Control"))
		}
	}
}

// Bound beyond this machine, the desk is reached by the address it is bound to; bound to all, by any address in digits and no name.
func TestDoorElsewhere(t *testing.T) {
	for _, c := range []struct {
		bound, host string
		port        int
		want        bool
	}{
		{"192.0.2.7", "192.0.2.7:4000", 4000, true},
		{"192.0.2.7", "192.0.2.8:4000", 4000, false},
		{"mill.example", "MILL.example:4000", 4000, true},
		{"mill.example", "other.example:4000", 4000, false},
		{"0.0.0.0", "192.0.2.8:4000", 4000, true},
		{"::", "[2001:db8::1]:4000", 4000, true},
		{"[::]", "192.0.2.8:4000", 4000, true},
		{"", "192.0.2.8:4000", 4000, true},
		{"", ":4000", 4000, false},
		{"0.0.0.0", "192.0.2.8.evil.example:4000", 4000, false},
		{"0.0.0.0", "mill.example:4000", 4000, false},
		{"127.0.0.1", "localhost", 80, true},
		{"127.0.0.1", "[::1]", 80, true},
		{"127.0.0.1", "localhost:8080", 80, false},
	} {
		if got := newDoor(c.bound, c.port).ours(c.host); got != c.want {
			t.Errorf("bound to %q port %d, asked for as %q: %v", c.bound, c.port, c.host, got)
		}
	}
}

func TestDoorBoundsBodies(t *testing.T) {
	_, h, cookie := entered(t, "127.0.0.1")
	post := func(body string) *http.Response {
		return ask(h, "POST", "/", "127.0.0.1:4000", body, "Cookie", cookie)
	}
	if got := bodyOf(t, post("value="+url.QueryEscape("30 %"))); !strings.HasSuffix(got, " 30 %") {
		t.Errorf("the form came through as %q", got)
	}
	if r := post("value=" + strings.Repeat("a", mostBody-len("value="))); r.StatusCode != 200 {
		t.Errorf("1 MB: status %d", r.StatusCode)
	}
	if r := post("value=" + strings.Repeat("a", mostBody)); r.StatusCode != 413 || !strings.Contains(bodyOf(t, r), "more than the desk takes at once, 1 MB") {
		t.Errorf("more than 1 MB: status %d", r.StatusCode)
	}
	if r := post("value=%zz"); r.StatusCode != 400 || !strings.Contains(bodyOf(t, r), "not whole") {
		t.Errorf("a broken form: status %d", r.StatusCode)
	}
	large := ask(h, "POST", "/", "127.0.0.1:4000", strings.Repeat("a", mostBody+1), "Cookie", cookie, "Content-Type", "text/plain")
	if large.StatusCode != 413 {
		t.Errorf("more than 1 MB that is no form: status %d", large.StatusCode)
	}
}

func TestDoorForgetsTheIdle(t *testing.T) {
	d := newDoor("127.0.0.1", 4000)
	clock := time.Unix(0, 0)
	d.now = func() time.Time { clock = clock.Add(time.Second); return clock }
	first, second := d.admit(), d.admit()
	for range mostVisitors - 2 {
		d.admit()
	}
	r := httptest.NewRequest("GET", "/", nil)
	r.Header.Set("Cookie", "noonkeep-4000="+first)
	if d.visitor(r) != first {
		t.Fatal("the first visitor is not known")
	}
	d.admit()
	if _, ok := d.visitors[second]; ok || len(d.visitors) != mostVisitors || d.visitor(r) != first {
		t.Errorf("of %d visitors the one longest away should have gone", len(d.visitors))
	}
}
