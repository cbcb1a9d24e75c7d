//go:build unix

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

var (
	visitors    = flag.Int("visitors", 40, "visitors of the desk at one time in TestDeskVisitors")
	visitorsFor = flag.Duration("for", 3*time.Second, "how long they stay")
)

// visitor speaks to the desk as its page does, without a browser.
type visitor struct {
	d      *deskRun
	client *http.Client
	sheet  string // its address, "/sheet/ID"
	rev    int
	count  string          // the key of its first field's collectors
	took   []time.Duration // of each change
}

func newVisitor(d *deskRun) *visitor {
	jar, _ := cookiejar.New(nil)
	return &visitor{d: d, client: &http.Client{Jar: jar, Timeout: time.Minute, Transport: &http.Transport{}}}
}

var countMark = regexp.MustCompile(`data-key="(fields\[[^"]*\.count)"`)

var revMark = regexp.MustCompile(`data-rev="(\d+)"`)

// enter takes the cookie and opens a file.
func (v *visitor) enter(file string) error {
	if _, _, err := v.ask(http.MethodGet, v.d.enter, nil); err != nil {
		return err
	}
	at, body, err := v.ask(http.MethodGet, "/open/"+file, nil)
	if err != nil {
		return err
	}
	m := revMark.FindSubmatch(body)
	if m == nil || path.Dir(at) != "/sheet" {
		return fmt.Errorf("%s is no sheet: %.300s", at, body)
	}
	v.sheet = at
	if c := countMark.FindSubmatch(body); c != nil {
		v.count = string(c[1])
	}
	v.rev, err = strconv.Atoi(string(m[1]))
	return err
}

// ask gives the path that it came to and the body; a status of 400 or more is an error.
func (v *visitor) ask(method, to string, form url.Values) (at string, body []byte, err error) {
	r, err := http.NewRequest(method, v.d.origin+to, strings.NewReader(form.Encode()))
	if err != nil {
		return "", nil, err
	}
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Accept", "application/json")
		r.Header.Set("Origin", v.d.origin)
	}
	answer, err := v.client.Do(r)
	if err != nil {
		return "", nil, err
	}
	defer answer.Body.Close()
	body, err = io.ReadAll(answer.Body)
	if err == nil && answer.StatusCode >= 400 {
		err = fmt.Errorf("%s %s: status %d: %.300s", method, to, answer.StatusCode, body)
	}
	return answer.Request.URL.Path, body, err
}

func (v *visitor) post(verb string, form url.Values) error {
	form.Set("rev", strconv.Itoa(v.rev))
	_, body, err := v.ask(http.MethodPost, v.sheet+"/"+verb, form)
	if err != nil {
		return err
	}
	var answer struct {
		Rev    int
		Faults []struct{ Key, Text string }
	}
	if err := json.Unmarshal(body, &answer); err != nil {
		return fmt.Errorf("%s: %w: %.300s", verb, err, body)
	}
	if len(answer.Faults) > 0 {
		return fmt.Errorf("%s: %v", verb, answer.Faults)
	}
	v.rev = answer.Rev
	return nil
}

func (v *visitor) change(key, value string) error {
	start := time.Now()
	defer func() { v.took = append(v.took, time.Since(start)) }()
	return v.post("change", url.Values{"says": {"a visitor"}, "key": {key}, "value": {value}})
}

func (v *visitor) save() error { return v.post("save", url.Values{}) }

// stay turns knobs, looks at days and takes steps back, with a pause as long as a person's hand, until ctx is done.
func (v *visitor) stay(ctx context.Context, seed int) error {
	listen, err := http.NewRequestWithContext(ctx, http.MethodGet, v.d.origin+v.sheet+"/events", nil)
	if err != nil {
		return err
	}
	events := *v.client
	events.Timeout = 0
	if answer, err := events.Do(listen); err == nil {
		defer answer.Body.Close()
		go io.Copy(io.Discard, answer.Body)
	} else if ctx.Err() == nil {
		return err
	}
	for i := seed; ctx.Err() == nil; i++ {
		err := v.change(v.count, strconv.Itoa(10+(7*i)%50))
		if err == nil && i%3 == 0 {
			err = v.change("store.volume", fmt.Sprintf("%d m3", 10+(11*i)%100))
		}
		if err == nil && i%4 == 0 {
			_, _, err = v.ask(http.MethodGet, fmt.Sprintf("%s/part/day?day=%d", v.sheet, (37*i)%365), nil)
		}
		if err == nil && i%5 == 0 {
			err = v.post("undo", url.Values{})
		}
		if err != nil {
			return err
		}
		select {
		case <-ctx.Done():
		case <-time.After(time.Duration(500+(i*131)%1000) * time.Millisecond):
		}
	}
	return nil
}

// TestDeskVisitors: many visitors at one time have no error, and the desk's memory stays where it was.
//
//	go test ./cmd/noonkeep -run DeskVisitors -v -visitors 200 -for 60s
func TestDeskVisitors(t *testing.T) {
	unraced(t)
	d := startDesk(t, deskFolder(t, "dyehouse", "cannery", "winery"))
	files := []string{"dyehouse.yaml", "cannery.yaml", "winery.yaml"}
	all := make([]*visitor, *visitors)
	var in sync.WaitGroup
	for i := range all {
		all[i] = newVisitor(d)
		in.Go(func() {
			if err := all[i].enter(files[i%len(files)]); err != nil {
				t.Error(err)
			}
		})
	}
	in.Wait()
	if t.Failed() {
		return
	}
	stay := func(long time.Duration) {
		ctx, cancel := context.WithTimeout(context.Background(), long)
		defer cancel()
		for i, v := range all {
			in.Go(func() {
				if err := v.stay(ctx, i); err != nil {
					t.Error(err)
				}
			})
		}
		in.Wait()
	}
	stay(*visitorsFor / 3) // caches fill
	before := residentMB(t, d.cmd.Process.Pid)
	stay(*visitorsFor - *visitorsFor/3)
	after := residentMB(t, d.cmd.Process.Pid)
	var took []time.Duration
	for _, v := range all {
		took = append(took, v.took...)
	}
	slices.Sort(took)
	t.Logf("%d visitors for %v: %d changes, answered in %v (median), %v (95 %%), %v (slowest); memory %d MB, then %d MB",
		len(all), *visitorsFor, len(took), took[len(took)/2], took[len(took)*95/100], took[len(took)-1], before, after)
	if after > before*5/4+60 {
		t.Errorf("memory grew from %d to %d MB", before, after)
	}
}

// residentMB is the memory that a process holds, as the kernel counts it.
func residentMB(t *testing.T, pid int) int {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/statm", pid))
	if err != nil {
		t.Skipf("this system does not say what a process holds: %v", err)
	}
	pages, err := strconv.Atoi(string(bytes.Fields(text)[1]))
	if err != nil {
		t.Fatal(err)
	}
	return pages * os.Getpagesize() >> 20
}

// turned turns the collectors' knob so many times by mouse, and gives the time from each release to the new curve on the
// screen as the page measured it, with the engine's share.
func turned(b *tab, times int) (ms, engineMS []float64) {
	b.t.Helper()
	key := js[string](b, `document.querySelector("form.knob[data-key$='.count'] input[type=range]").form.dataset.key`)
	for i := range times {
		b.changes("a turn", func() {
			x, y := b.place(knobRange(key), 0.2+0.6*float64(i%7)/6)
			b.do(chromedp.MouseClickXY(x, y))
		})
		engineMS = append(engineMS, js[float64](b, "+document.querySelector('[data-engine-ms]').dataset.engineMs"))
	}
	b.until("measures of all turns", "performance.getEntriesByName('knob-to-curve').length >= %d", times)
	return js[[]float64](b, "performance.getEntriesByName('knob-to-curve').map(e => e.duration)"), engineMS
}

// TestDeskKnobIsMeasured: the page measures the time from a knob to its curve. How long it is, BenchmarkDeskKnob says.
func TestDeskKnobIsMeasured(t *testing.T) {
	t.Parallel()
	unraced(t)
	b := newTab(t, startDesk(t, deskFolder(t, "winery")), 1280)
	b.sheet("winery.yaml")
	ms, engineMS := turned(b, 2)
	if len(ms) != 2 || ms[0] <= 0 || engineMS[0] <= 0 || engineMS[0] > ms[0] {
		t.Errorf("two turns took %v ms, of it the engine %v ms", ms, engineMS)
	}
}

// BenchmarkDeskKnob gives the median of 15 turns of a knob in a browser: from its release to the new curve on the screen.
func BenchmarkDeskKnob(b *testing.B) {
	for _, name := range []string{"dyehouse", "cannery", "winery"} {
		b.Run(name, func(b *testing.B) {
			d := startDesk(b, deskFolder(b, name))
			tab := newTab(b, d, 1280)
			tab.sheet(name + ".yaml")
			var ms, engineMS []float64
			for b.Loop() {
				more, moreEngine := turned(tab, 15)
				ms, engineMS = append(ms, more...), append(engineMS, moreEngine...)
				js[bool](tab, "(performance.clearMeasures(), true)")
			}
			slices.Sort(ms)
			slices.Sort(engineMS)
			b.ReportMetric(0, "ns/op")
			b.ReportMetric(ms[len(ms)/2], "ms/turn")
			b.ReportMetric(engineMS[len(engineMS)/2], "ms-engine/turn")
			b.ReportMetric(ms[len(ms)-1], "ms-slowest")
		})
	}
}
