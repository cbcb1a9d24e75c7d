package desk

import (
	"context"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"net"
	"net/http"
	"net/url"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"noonkeep/cmd/internal/report"
	"noonkeep/scenarios"
)

//go:embed page/*.html page/*.css page/*.svg page/*.js
var pageFiles embed.FS

// Options say what a desk works on. The zero value is the current folder on a free port of this machine alone.
type Options struct {
	Dir    string // folder of scenario files; empty: the current one
	File   string // of them, the one that the first address opens; empty: the folder's page
	Listen string // address to listen on; empty: 127.0.0.1
	Port   int    // 0: a free one
}

// Desk is the local page's server.
type Desk struct {
	listener net.Listener
	door     *door
	start    string // where the first address leads
	folder   *folder
	solver   *solver
	sheets   *sheets
	hub      *hub
	runs     *runs
	pages    *template.Template
	version  string // of style and script
	ctx      context.Context
	stop     context.CancelFunc
	work     sync.WaitGroup // curves that go on after their request
}

// New opens the folder and the port. The error says what is wrong with either.
func New(opt Options) (*Desk, error) {
	if opt.Dir == "" {
		opt.Dir = "."
	}
	f, err := openFolder(opt.Dir)
	if err != nil {
		return nil, err
	}
	d := &Desk{folder: f, solver: newSolver(f.open()), sheets: newSheets(), hub: newHub(), start: "/"}
	if opt.File != "" {
		if _, err := f.read(opt.File); err != nil {
			return nil, err
		}
		d.start = "/open/" + url.PathEscape(opt.File)
	}
	if d.pages, err = template.New("").Funcs(template.FuncMap{"modules": modules}).ParseFS(pageFiles, "page/*.html"); err != nil {
		return nil, err
	}
	if d.version, err = versionOf(pageFiles); err != nil {
		return nil, err
	}
	if opt.Listen = strings.Trim(opt.Listen, "[]"); opt.Listen == "" {
		opt.Listen = "127.0.0.1"
	}
	if d.listener, err = net.Listen("tcp", net.JoinHostPort(opt.Listen, strconv.Itoa(opt.Port))); err != nil {
		return nil, fmt.Errorf("desk: cannot listen: %w", err)
	}
	d.door = newDoor(opt.Listen, d.listener.Addr().(*net.TCPAddr).Port)
	d.ctx, d.stop = context.WithCancel(context.Background())
	d.runs = newRuns(d.tellRun)
	return d, nil
}

// versionOf names what a browser may keep.
func versionOf(files fs.FS) (string, error) {
	h := sha256.New()
	err := fs.WalkDir(files, ".", func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		text, err := fs.ReadFile(files, path)
		h.Write(text)
		return err
	})
	return hex.EncodeToString(h.Sum(nil))[:12], err
}

// Address is the first address, with its token, as this machine's browser opens it: where the desk listens on every address,
// the loopback one stands in for them.
func (d *Desk) Address() string {
	at := d.listener.Addr().(*net.TCPAddr)
	host := at.IP.String()
	if at.IP.IsUnspecified() {
		host = "127.0.0.1"
	}
	return "http://" + net.JoinHostPort(host, strconv.Itoa(at.Port)) + d.door.enterPath()
}

// Serve answers until ctx is done; what was begun, such as a save, is brought to its end.
func (d *Desk) Serve(ctx context.Context) error {
	server := &http.Server{Handler: d.door.guard(d.routes(), d.start), ReadHeaderTimeout: 10 * time.Second, ReadTimeout: 30 * time.Second,
		IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 1 << 16}
	served := make(chan error, 1)
	go func() { served <- server.Serve(d.listener) }()
	select {
	case err := <-served:
		d.stop()
		return err
	case <-ctx.Done():
	}
	d.stop()
	d.hub.close()
	d.runs.close()
	last, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	err := server.Shutdown(last)
	if errors.Is(err, context.DeadlineExceeded) {
		err = server.Close()
	}
	d.work.Wait()
	return err
}

func (d *Desk) routes() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", d.showFolder)
	mux.HandleFunc("POST /begin", d.begin)
	mux.HandleFunc("GET /open/{file}", d.open)
	mux.HandleFunc("GET /asset/{name}", d.asset)
	mux.HandleFunc("GET /sheet/{id}", d.withSheet(d.showSheet))
	mux.HandleFunc("GET /sheet/{id}/part/{part}", d.withSheet(d.showPart))
	mux.HandleFunc("GET /sheet/{id}/events", d.withSheet(d.events))
	mux.HandleFunc("GET /sheet/{id}/file/{name}", d.withSheet(d.file))
	mux.HandleFunc("GET /sheet/{id}/year/{name}", d.withSheet(d.yearMap))
	for verb, do := range map[string]doing{"change": d.change, "paint": d.paint, "text": d.setText, "undo": d.undo, "redo": d.redo,
		"keep": d.keep, "save": d.save, "settle": d.settle} {
		mux.HandleFunc("POST /sheet/{id}/"+verb, d.withSheet(d.posted(do)))
	}
	mux.HandleFunc("POST /sheet/{id}/run", d.withSheet(d.posted(d.run)))
	mux.HandleFunc("POST /sheet/{id}/run/{n}/cancel", d.withSheet(d.posted(d.cancelRun)))
	mux.HandleFunc("GET /sheet/{id}/run/{n}/files.zip", d.withSheet(d.runFiles))
	return mux
}

// modules are the script's other files, which a browser fetches at once where it is told of them.
func modules() []string { return []string{"pure.js", "parts.js", "hands.js", "post.js", "view.js"} }

func (d *Desk) deskPage(title string) deskPage {
	return deskPage{Title: title, Version: d.version, Cautions: report.Cautions}
}

// withSheet finds the visitor's sheet.
func (d *Desk) withSheet(do func(http.ResponseWriter, *http.Request, *sheet)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		s := d.sheets.find(visitorOf(r), r.PathValue("id"))
		if s == nil {
			d.plainPage(w, http.StatusNotFound, "This sheet is not open: the desk was started anew since, or it was closed for want of room.")
			return
		}
		if r.Method == http.MethodGet || r.URL.RawQuery != "" {
			s.look(func(v *view) { readView(v, r.URL.Query()) })
		}
		d.onlyKept(s)
		do(w, r, s)
	}
}

// onlyKept has a sheet compared with a version that is there, and says so where it is not.
func (d *Desk) onlyKept(s *sheet) {
	name := s.snapshot().view.against
	if name == "" {
		return
	}
	file, err := keptFile(s.file, name)
	if err == nil {
		_, err = d.folder.read(file)
	}
	if err != nil {
		s.look(func(v *view) { v.against = "" })
		s.tell("There is no such kept version to compare with: " + err.Error() + ".")
	}
}

// plainPage is the folder's page with one sentence.
func (d *Desk) plainPage(w http.ResponseWriter, status int, sentence string) {
	d.folderPage(w, status, folderPage{Fault: sentence, As: "my.yaml"})
}

func (d *Desk) folderPage(w http.ResponseWriter, status int, p folderPage) {
	p.deskPage = d.deskPage("Noonkeep desk")
	d.fillFolder(&p)
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	d.pages.ExecuteTemplate(w, "folder", &p)
}

func (d *Desk) fillFolder(p *folderPage) {
	p.Dir = d.folder.name()
	entries, more, err := d.folder.listed()
	p.More = more
	if err != nil && p.Fault == "" {
		p.Fault = err.Error()
	}
	for _, e := range entries {
		p.Entries = append(p.Entries, entryView{File: e.File, Open: "/open/" + url.PathEscape(e.File), Kept: keptViews(e, "")})
	}
	for _, s := range scenarios.Starters() {
		p.Starters = append(p.Starters, starterView{s.Name, s.Text})
	}
}

func (d *Desk) showFolder(w http.ResponseWriter, r *http.Request) {
	d.plainPage(w, http.StatusOK, "")
}

// begin copies a built-in example into the folder.
func (d *Desk) begin(w http.ResponseWriter, r *http.Request) {
	name, file := r.PostFormValue("name"), strings.TrimSpace(r.PostFormValue("as"))
	if !slices.ContainsFunc(scenarios.Starters(), func(s scenarios.Starter) bool { return s.Name == name }) {
		d.plainPage(w, http.StatusBadRequest, "There is no such example.")
		return
	}
	text, err := scenarios.Find(name)
	if err == nil {
		err = d.folder.save(file, nil, text.Data)
	}
	if err != nil {
		d.folderPage(w, http.StatusBadRequest, folderPage{Fault: err.Error(), AsFault: true, As: file, Chosen: name})
		return
	}
	http.Redirect(w, r, "/open/"+url.PathEscape(file), http.StatusSeeOther)
}

func (d *Desk) open(w http.ResponseWriter, r *http.Request) {
	file := r.PathValue("file")
	text, err := d.folder.read(file)
	if err != nil {
		d.plainPage(w, http.StatusNotFound, err.Error())
		return
	}
	s := d.sheets.open(visitorOf(r), file, text)
	http.Redirect(w, r, "/sheet/"+s.id, http.StatusSeeOther)
}

func (d *Desk) asset(w http.ResponseWriter, r *http.Request) {
	switch filepath.Ext(r.PathValue("name")) {
	case ".css", ".js", ".svg":
	default:
		http.NotFound(w, r)
		return
	}
	http.ServeFileFS(w, r, pageFiles, "page/"+r.PathValue("name"))
}
