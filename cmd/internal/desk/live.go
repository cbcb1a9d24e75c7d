package desk

import (
	"bytes"
	"net/http"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
)

// diskLook is how often a file on disk is looked at while its sheet is on a screen.
const diskLook = 2 * time.Second

// events sends what happens without the page's doing: the finer curve, the progress of runs, a file changed on disk.
func (d *Desk) events(w http.ResponseWriter, r *http.Request, s *sheet) {
	gone := make(chan struct{})
	defer close(gone)
	d.work.Go(func() {
		look := time.NewTicker(diskLook)
		defer look.Stop()
		for first := true; ; first = false {
			if first {
				d.greet(r, s)
			}
			select {
			case <-gone:
				return
			case <-d.ctx.Done():
				return
			case <-look.C:
				d.lookAtDisk(s)
			}
		}
	})
	d.hub.serve(w, r, s.id)
}

// greet sends a page that has just begun to listen what came too late for it.
func (d *Desk) greet(r *http.Request, s *sheet) {
	for range 50 { // until the hub knows the listener
		if d.hub.listeners(s.id) > 0 || r.Context().Err() != nil {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	if !d.fineIsThere(s.snapshot()) {
		d.followUp(s)
	}
}

// files are what can be taken home of a sheet, by their names.
var files = map[string]string{"scenario.yaml": "application/yaml", "curve.svg": "image/svg+xml", "curve.png": "image/png", "curve.csv": "text/csv",
	"curve.json": "application/json", "schedule.csv": "text/csv"}

// file gives a picture or a table as the commands write it.
func (d *Desk) file(w http.ResponseWriter, r *http.Request, s *sheet) {
	name, now := r.PathValue("name"), s.snapshot()
	kind, known := files[name]
	if !known {
		http.Error(w, "there is no such file", http.StatusNotFound)
		return
	}
	text := now.text
	if name != "scenario.yaml" {
		results := d.solver.results(r.Context(), now.file, now.text, true)
		if results.waiting { // who asked has gone
			return
		}
		var b bytes.Buffer
		err := results.bad
		if err == nil {
			err = results.err
		}
		if err == nil {
			err = writeFile(&b, name, results)
		}
		if err != nil {
			http.Error(w, err.Error(), http.StatusUnprocessableEntity)
			return
		}
		text = b.Bytes()
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
	w.Write(text)
}

func writeFile(b *bytes.Buffer, name string, r solved) error {
	if name == "schedule.csv" {
		return report.ScheduleCSV(b, r.plan)
	}
	if len(r.curve.Points) == 0 {
		return answer.ErrNoStore
	}
	switch name {
	case "curve.csv":
		return report.CurveCSV(b, r.curve)
	case "curve.json":
		return report.JSON(b, r.curve)
	}
	dir, err := os.MkdirTemp("", "noonkeep")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	if _, err := report.CurveFiles(dir, r.curve); err != nil {
		return err
	}
	text, err := os.ReadFile(filepath.Join(dir, name))
	b.Write(text)
	return err
}

// yearMap gives one of the year's maps.
func (d *Desk) yearMap(w http.ResponseWriter, r *http.Request, s *sheet) {
	now := s.snapshot()
	id, isPNG := strings.CutSuffix(r.PathValue("name"), ".png")
	if !isPNG {
		http.Error(w, "there is no such map", http.StatusNotFound)
		return
	}
	c, err := d.solver.read(r.Context(), now.file, now.text)
	var b bytes.Buffer
	if err == nil {
		var plan answer.Plan
		if plan, err = d.solver.plan(r.Context(), c, now.file, now.text); err == nil {
			err = writeYearPNG(&b, plan, id)
		}
	}
	if err != nil {
		http.Error(w, err.Error(), http.StatusNotFound)
		return
	}
	w.Header().Set("Content-Type", "image/png")
	w.Write(b.Bytes())
}

func (d *Desk) runFiles(w http.ResponseWriter, r *http.Request, s *sheet) {
	n, _ := strconv.Atoi(r.PathValue("n"))
	name, zip, ok := d.runs.files(s.id, n)
	if !ok {
		http.Error(w, "the run has no files, or no longer", http.StatusNotFound)
		return
	}
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
	w.Write(zip)
}
