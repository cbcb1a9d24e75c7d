package desk

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"errors"
	"fmt"
	"html"
	"net"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"
)

const (
	mostBody     = 1 << 20 // bytes of a request
	mostVisitors = 2000

	// policy lets the page load what this server gives, run no script that stands in the page, and send forms nowhere else.
	policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
		"form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)

// door lets in who opened the address with the token, and nobody whom another site sends.
//
// Other programs and people of this machine can reach a loopback port too, and so can any web page in the same browser. The
// token keeps out the first; the cookie's SameSite, the origin's check and the Host's keep out the second, the last of them also
// where a stranger's name is made to lead to 127.0.0.1.
type door struct {
	host, cookie string
	port         int
	token        string
	cross        *http.CrossOriginProtection

	mu       sync.Mutex
	visitors map[string]time.Time // by the cookie's value, when each last asked
	now      func() time.Time
}

// newDoor is the door of a server that is bound to host and port.
func newDoor(host string, port int) *door {
	return &door{host: strings.Trim(host, "[]"), port: port, cookie: "noonkeep-" + strconv.Itoa(port), token: rand.Text(),
		cross: http.NewCrossOriginProtection(), visitors: map[string]time.Time{}, now: time.Now}
}

// enterPath is the path that gives the cookie.
func (d *door) enterPath() string { return "/enter/" + d.token }

type visitorKey struct{}

// visitorOf is the random name of the visitor who asks; "" outside the door.
func visitorOf(r *http.Request) string {
	name, _ := r.Context().Value(visitorKey{}).(string)
	return name
}

// guard stands before every address of the desk; start is where the token leads. What reaches next has a form that is read whole.
func (d *door) guard(next http.Handler, start string) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asset := strings.HasPrefix(r.URL.Path, "/asset/")
		headers(w.Header(), asset)
		if status, why := d.refuse(r); status != 0 {
			deny(w, status, why)
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, mostBody)
		visitor := d.visitor(r)
		if token, ok := strings.CutPrefix(r.URL.Path, "/enter/"); ok {
			d.enter(w, r, token, visitor, start)
			return
		}
		if visitor == "" && !asset {
			deny(w, http.StatusForbidden, "This browser has not come in yet, or the desk was started anew since. "+
				"Open the address that the desk printed when it started, to its last letter.")
			return
		}
		r = r.WithContext(context.WithValue(r.Context(), visitorKey{}, visitor))
		if status, why := readForm(r); status != 0 {
			deny(w, status, why)
			return
		}
		next.ServeHTTP(w, r)
	})
}

func headers(h http.Header, asset bool) {
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	// Not no-referrer: with that browsers send a form's origin as "null", and a page without script could change nothing.
	h.Set("Referrer-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	if !asset {
		h.Set("Cache-Control", "no-store")
	}
}

// refuse tells why a request is none of this desk's own page; status 0 where it may be.
func (d *door) refuse(r *http.Request) (status int, why string) {
	if !d.ours(r.Host) {
		return http.StatusForbidden, "The desk was asked for under a name that is not its own. Open the address that it printed when it started."
	}
	switch r.Method {
	case http.MethodGet, http.MethodHead:
		return 0, ""
	case http.MethodPost:
	default:
		return http.StatusMethodNotAllowed, "The desk knows no such request."
	}
	origin := r.Header.Get("Origin")
	if d.cross.Check(r) != nil || origin != "" && !strings.EqualFold(origin, "http://"+r.Host) {
		return http.StatusForbidden, "Another site asked for a change. Nothing was changed."
	}
	return 0, ""
}

// ours tells whether a Host is one under which this desk is reached. Bound to every address of the machine, it takes any of them as
// digits: a stranger's name that leads here cannot look like that.
func (d *door) ours(host string) bool {
	name, port, err := net.SplitHostPort(host)
	if err != nil {
		name, port = strings.Trim(host, "[]"), "80"
	}
	if port != strconv.Itoa(d.port) {
		return false
	}
	for _, own := range []string{d.host, "localhost", "127.0.0.1", "::1"} {
		if own != "" && strings.EqualFold(name, own) {
			return true
		}
	}
	bound := net.ParseIP(d.host)
	return (d.host == "" || bound != nil && bound.IsUnspecified()) && net.ParseIP(name) != nil
}

// visitor finds who asks by the cookie; "" for nobody who was let in.
func (d *door) visitor(r *http.Request) string {
	c, err := r.Cookie(d.cookie)
	if err != nil {
		return ""
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if _, ok := d.visitors[c.Value]; !ok {
		return ""
	}
	d.visitors[c.Value] = d.now()
	return c.Value
}

// enter gives the cookie for the token. Who has one already stays who they are, with the sheets that are open.
func (d *door) enter(w http.ResponseWriter, r *http.Request, token, visitor, start string) {
	if r.Method != http.MethodGet || subtle.ConstantTimeCompare([]byte(token), []byte(d.token)) != 1 {
		deny(w, http.StatusForbidden, "This is not the address that the desk printed when it started. Open that one, to its last letter.")
		return
	}
	if visitor == "" {
		http.SetCookie(w, &http.Cookie{Name: d.cookie, Value: d.admit(), Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
	}
	http.Redirect(w, r, start, http.StatusSeeOther)
}

// admit makes a visitor. Of too many the one who has been away longest goes.
func (d *door) admit() string {
	d.mu.Lock()
	defer d.mu.Unlock()
	if len(d.visitors) >= mostVisitors {
		var idle string
		for name, last := range d.visitors {
			if idle == "" || last.Before(d.visitors[idle]) {
				idle = name
			}
		}
		delete(d.visitors, idle)
	}
	name := rand.Text()
	d.visitors[name] = d.now()
	return name
}

// readForm reads the form of a change, so that one that is too large or broken is refused here and not half read later.
func readForm(r *http.Request) (status int, why string) {
	if r.Method != http.MethodPost {
		return 0, ""
	}
	err := r.ParseForm()
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large) || r.ContentLength > mostBody:
		return http.StatusRequestEntityTooLarge, "This is more than the desk takes at once, 1 MB. Nothing was changed."
	case err != nil:
		return http.StatusBadRequest, "The form that came is not whole. Nothing was changed."
	}
	return 0, ""
}

// deny answers with a page that a person can read.
func deny(w http.ResponseWriter, status int, why string) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	fmt.Fprintf(w, `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>Noonkeep: not let in</title><link rel="stylesheet" href="/asset/desk.css"></head>
<body><main><h1>Not let in</h1><p>%s</p></main></body></html>
`, html.EscapeString(why))
}
