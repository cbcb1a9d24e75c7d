//go:build unix

package main

import (
	"archive/zip"
	"bytes"
	"encoding/base64"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

var screens = flag.String("screens", "", "folder that pictures of the desk's page are written to, to be looked at")

// screen writes a picture of the whole page, if pictures are asked for.
func (b *tab) screen(name string) {
	b.t.Helper()
	if *screens == "" {
		return
	}
	shot, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	if err == nil {
		err = os.WriteFile(filepath.Join(*screens, name+".png"), shot, 0o600)
	}
	if err != nil {
		b.t.Error(err)
	}
}

// A version is kept beside the file, the sheet is changed and compared with it in the words of the command, and the kept file opens.
func TestDeskKeptVersion(t *testing.T) {
	t.Parallel()
	unraced(t)
	d := startDesk(t, deskFolder(t, "dyehouse"))
	b := newTab(t, d, 1280)
	b.sheet("dyehouse.yaml")
	b.do(chromedp.Focus(chromedp.CSS("#keep-name")), chromedp.KeyEvent("as built"), chromedp.KeyEvent("\r"))
	b.until("the kept version in the list", "document.getElementById('part-versions').textContent.includes('dyehouse@as built.yaml')")
	if d.read(t, "dyehouse@as built.yaml") != d.read(t, "dyehouse.yaml") {
		t.Error("the kept version is not what the sheet held")
	}
	b.changes("40 dishes", func() { b.write(dishCount, "40") })
	b.press("#part-versions a[href*='against=as']")
	b.until("the comparison with the kept version", "document.getElementById('changed-what').textContent.includes('as built')")
	text := b.settled("document.getElementById('part-changed').textContent")
	if !strings.Contains(text, "dishes: collectors: 40, was 30") {
		t.Errorf("what changed does not name the knob: %q", text)
	}
	b.screen("kept")
	b.press(postTo("save"))
	b.until("a word on the saved file", "/saved/i.test(document.getElementById('said').textContent)")
	out, err := shell(d.dir, "noonkeep compare 'dyehouse@as built.yaml' dyehouse.yaml").Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, said := range []string{"3 626", "3 330"} { // fuel, MWh a year
		if plain := strings.ReplaceAll(said, "\u202f", " "); !strings.Contains(text, said) || !strings.Contains(string(out), plain) {
			t.Errorf("page and command do not both give %s MWh of fuel:\n%s\n%s", plain, text, out)
		}
	}
	b.open("/open/dyehouse@as%20built.yaml")
	b.until("the kept file's sheet", "document.querySelector(`"+knobText(dishCount)+"`)?.value === '30'")
}

// The day follows its slider, and units change by a link; neither is a change of the scenario.
func TestDeskDayAndUnits(t *testing.T) {
	t.Parallel()
	unraced(t)
	b := newTab(t, startDesk(t, deskFolder(t, "dyehouse")), 1280)
	b.sheet("dyehouse.yaml")
	b.pressAt("#day-slider", 0.1)
	b.until("a day of February", "/ Feb$/.test(document.getElementById('day-what').textContent)")
	if day := js[string](b, "new URL(location).searchParams.get('day')"); day == "" {
		t.Error("the address does not hold the day")
	}
	b.press(".units a[href*='kg%2F']")
	b.until("heat in kg/h", "document.getElementById('part-day').textContent.includes('kg/h') && document.documentElement.dataset.ready")
	if !js[bool](b, "/ Feb$/.test(document.getElementById('day-what').textContent)") {
		t.Error("the switch of units lost the day")
	}
	if js[string](b, "document.getElementById('part-bar').dataset.unsaved") != "no" || b.rev() != 0 {
		t.Error("what is looked at became a change of the scenario")
	}
	b.screen("units")
}

// A long run is started, shows that it is under way, is given up; another comes to its end, and its files are those of the command.
func TestDeskLongRun(t *testing.T) {
	t.Parallel()
	unraced(t)
	d := startDesk(t, deskFolder(t, "dyehouse"))
	b := newTab(t, d, 1280)
	b.sheet("dyehouse.yaml")
	b.press("#part-runs form:has(input[value=doubt]) button")
	b.until("a run under way", "document.querySelector('.run progress')")
	b.press("#part-runs form:has(input[value=years]) button")
	b.until("a run that waits", "document.querySelectorAll('.run').length === 2")
	b.press(".run[data-run='1'] form button")
	b.until("the first run given up", "document.querySelector(\".run[data-run='1']\").textContent.includes('given up')")
	b.until("files of the second", "document.querySelector(\".run[data-run='2'] a[href$='files.zip']\")")
	b.screen("runs")
	packed := b.fetch("document.querySelector(\".run[data-run='2'] a[href$='files.zip']\").href")
	z, err := zip.NewReader(bytes.NewReader(packed), int64(len(packed)))
	if err != nil {
		t.Fatal(err)
	}
	if out, err := shell(d.dir, "noonkeep years dyehouse.yaml --out years").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil || string(text) != d.read(t, filepath.Join("years", f.Name)) {
			t.Errorf("%s is not what the command writes (%v)", f.Name, err)
		}
	}
	if len(z.File) < 2 {
		t.Errorf("%d files in the zip", len(z.File))
	}
}

// fetch takes home what the page links to, with the page's own cookie.
func (b *tab) fetch(href string) []byte {
	b.t.Helper()
	url := js[string](b, "%s", href)
	encoded := js[string](b, `fetch(%q).then(r => r.blob()).then(x => new Promise(done => { const f = new FileReader(); f.onload = () => done(f.result); f.readAsDataURL(x) }))`, url)
	_, encoded, _ = strings.Cut(encoded, ",")
	text, err := base64.StdEncoding.DecodeString(encoded)
	if err != nil {
		b.t.Fatal(err)
	}
	return text
}
