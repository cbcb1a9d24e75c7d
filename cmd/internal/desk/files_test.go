package desk

import (
	"bytes"
	"context"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
	"noonkeep/scenarios"
)

// commandsFiles are what the commands curve and schedule write of a text.
func commandsFiles(t *testing.T, text string) map[string]string {
	t.Helper()
	ctx := context.Background()
	c, err := scenarios.Parse("dyehouse.yaml", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	a, err := answer.Make(ctx, c, answer.Options{OnOff: true})
	if err == nil {
		a, err = a.WithMoney(c)
	}
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	paths, err := report.CurveFiles(dir, a)
	if err != nil {
		t.Fatal(err)
	}
	p, err := answer.PlanAt(ctx, c, -1, "")
	if err != nil {
		t.Fatal(err)
	}
	table := filepath.Join(dir, "schedule.csv")
	var b bytes.Buffer
	if err := report.ScheduleCSV(&b, p); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(table, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, path := range append(paths, table) {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		all[filepath.Base(path)] = string(text)
	}
	return all
}

// What is taken home is what the commands write of the same scenario, byte for byte.
func TestFilesAreTheCommands(t *testing.T) {
	t.Parallel()
	unraced(t)
	d := serveDesk(t, map[string]string{"dyehouse.yaml": string(example(t, "dyehouse"))})
	b := d.guest().open("dyehouse.yaml")
	b.done("change", "key", "store.volume", "value", "60 m3")
	b.done("save")
	want := commandsFiles(t, d.read("dyehouse.yaml"))
	want["scenario.yaml"] = d.read("dyehouse.yaml")
	if len(want) != len(files) {
		t.Errorf("the commands write %d files; the page has %d", len(want), len(files))
	}
	for name, kind := range files {
		a := b.get(b.base + "/file/" + name)
		if a.status != 200 || a.kind() != kind || a.header.Get("Content-Disposition") != `attachment; filename="`+name+`"` {
			t.Errorf("%s: status %d, %q, %q", name, a.status, a.kind(), a.header.Get("Content-Disposition"))
		}
		if a.body != want[name] || len(a.body) < 500 {
			t.Errorf("%s has %d bytes and differs from the command's, of %d", name, len(a.body), len(want[name]))
		}
	}
}

// The year's maps are pictures of a pixel an hour and a day.
func TestYearMaps(t *testing.T) {
	t.Parallel()
	unraced(t)
	d := serveDesk(t, map[string]string{"dyehouse.yaml": string(example(t, "dyehouse"))})
	b := d.guest().open("dyehouse.yaml")
	page := b.get(b.base).text()
	for _, y := range yearSeries {
		way := b.base + "/year/" + y.id + ".png?rev=0"
		has(t, "the page", page, way)
		a := b.get(way)
		img, err := png.Decode(strings.NewReader(a.body))
		if err != nil {
			t.Fatalf("%s: status %d, %v", y.id, a.status, err)
		}
		if size := img.Bounds().Size(); size.X != 365 || size.Y != 24 {
			t.Errorf("%s is %v; want 365 x 24", y.id, size)
		}
	}
}

// A run that the page starts ends with files of the sheet's own, and its text is on the page.
func TestRunFromThePage(t *testing.T) {
	t.Parallel()
	unraced(t)
	d := serveDesk(t, map[string]string{"dyehouse.yaml": string(example(t, "dyehouse"))})
	b := d.guest().open("dyehouse.yaml")
	_, id, _ := strings.Cut(strings.TrimPrefix(b.base, "/"), "/")
	l := d.hub.join(id)
	b.done("run", "kind", "bid-quick")
	has(t, "the page", b.part("runs"), `data-run="1"`)
	for over := false; !over; {
		over = strings.Contains(string(<-l.events), `"over":true`)
	}
	has(t, "the part", b.get(b.base+"/part/runs").text(), "done", "/run/1/files.zip")
	a := b.get(b.base + "/run/1/files.zip")
	if a.kind() != "application/zip" || a.header.Get("Content-Disposition") != `attachment; filename="bid.zip"` || len(unpacked(t, []byte(a.body))["bid.html"]) == 0 {
		t.Errorf("its files: status %d, %q, %q", a.status, a.kind(), a.header.Get("Content-Disposition"))
	}
	other := b.open("dyehouse.yaml")
	if a := other.get(other.base + "/run/1/files.zip"); a.status != 404 {
		t.Errorf("another sheet takes them: status %d", a.status)
	}
	if b.post("run", "kind", "<b>"); len(b.last.Faults) != 1 || b.last.Faults[0].Text != `"<b>" is no run that the desk knows` {
		t.Errorf("an unknown run: %v", b.last.Faults)
	}
}
