package desk

import (
	"fmt"
	"net/url"
	"strings"
	"testing"
	"time"
)

// Many hands on one file at once, each raising a value of its own and saving until it is there: at the end the file has what each
// wrote last, and its comment. The scenario has no plant, so that nothing is solved and the race detector sees the server alone.
func TestManyHandsLoseNothing(t *testing.T) {
	t.Parallel()
	keys := []string{"latitude", "longitude", "elevation", "utc_offset"}
	units := []string{"deg", "deg", "m", "h"}
	text := "noonkeep: 1\nname: many hands\nsite:\n"
	for i, key := range keys {
		text += fmt.Sprintf("  %s: 1 %s   # of hand %d\n", key, units[i], i)
	}
	d := serveDesk(t, map[string]string{"a.yaml": text})
	const last = 6
	t.Run("hands", func(t *testing.T) {
		for i, key := range keys {
			t.Run(key, func(t *testing.T) {
				t.Parallel()
				mine := testDesk{d.Desk, t, d.dir}
				b := mine.guest().open("a.yaml")
				s := d.sheets.find(b.visitor(), strings.TrimPrefix(b.base, "/sheet/"))
				look := time.NewTicker(time.Millisecond)
				defer look.Stop()
				for n := 2; n <= last; n++ {
					b.until("change", "key", "site."+key, "value", fmt.Sprintf("%d %s", n, units[i]))
					for b.post("save") != 200 {
						b.until("settle", "how", "mine-on-top")
					}
					<-look.C
					d.lookAtDisk(s)
					b.get(b.base + "/part/text")
				}
			})
		}
	})
	if want := strings.ReplaceAll(text, ": 1 ", fmt.Sprintf(": %d ", last)); d.read("a.yaml") != want {
		t.Errorf("the file holds\n%s\nwant\n%s", d.read("a.yaml"), want)
	}
}

// until posts anew as long as the page is behind, as a person does who is told so.
func (b *tab) until(verb string, pairs ...string) {
	b.t.Helper()
	for trial := 0; b.post(verb, pairs...) != 200; trial++ {
		if trial > 1000 {
			b.t.Fatalf("%s: still behind after %d trials", verb, trial)
		}
	}
	if len(b.last.Faults) > 0 {
		b.t.Fatalf("%s %q: %v", verb, pairs, b.last.Faults)
	}
}

// visitor is the name by which the desk knows who asks.
func (g guest) visitor() string {
	g.t.Helper()
	site, err := url.Parse(g.site)
	if err != nil {
		g.t.Fatal(err)
	}
	cookies := g.client.Jar.Cookies(site)
	if len(cookies) != 1 {
		g.t.Fatalf("the guest has cookies %v", cookies)
	}
	return cookies[0].Value
}
