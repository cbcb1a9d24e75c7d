//go:build unix

package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	cdplog "github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// patience is how long a page may take to show what is waited for, on a machine with other work.
const patience = 30 * time.Second

// deskRun is `noonkeep desk` as a process of its own, on a folder.
type deskRun struct {
	dir, origin, enter string
	cmd                *exec.Cmd
	said               words
	ended              chan struct{}
}

// words are what a process has said so far.
type words struct {
	mu  sync.Mutex
	buf bytes.Buffer
}

func (w *words) Write(p []byte) (int, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.buf.Write(p)
}

func (w *words) String() string {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.buf.String()
}

var deskAddress = regexp.MustCompile(`(http://127\.0\.0\.1:\d+)(/enter/\S+)`)

// startDesk starts the desk on dir and waits until it has said where it is.
func startDesk(t testing.TB, dir string, more ...string) *deskRun {
	t.Helper()
	d := &deskRun{dir: dir, ended: make(chan struct{})}
	d.cmd = shell(dir, "exec noonkeep desk --dir . --no-open --port 0 "+strings.Join(more, " "))
	d.cmd.Stdout, d.cmd.Stderr = &d.said, &d.said
	if err := d.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	go func() { d.cmd.Wait(); close(d.ended) }()
	t.Cleanup(func() { d.signal(syscall.SIGKILL) })
	for start := time.Now(); ; time.Sleep(5 * time.Millisecond) {
		if m := deskAddress.FindStringSubmatch(d.said.String()); m != nil {
			d.origin, d.enter = m[1], m[2]
			return d
		}
		select {
		case <-d.ended:
			t.Fatalf("the desk ended at once: %s", d.said.String())
		default:
		}
		if time.Since(start) > patience {
			t.Fatalf("the desk says no address: %s", d.said.String())
		}
	}
}

// signal ends the desk and waits for its end.
func (d *deskRun) signal(s syscall.Signal) {
	d.cmd.Process.Signal(s)
	<-d.ended
}

// deskFolder is a folder with copies of built-in examples.
func deskFolder(t testing.TB, names ...string) string {
	t.Helper()
	dir := t.TempDir()
	for _, name := range names {
		text, err := shell(dir, "noonkeep starter "+name).Output()
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, name+".yaml"), text, 0o600)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// browserPath finds a browser. In CI a missing one is a failure: .ci/setup installs it.
func browserPath(t testing.TB) string {
	t.Helper()
	for _, name := range []string{"chromium-headless-shell", "chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	if os.Getenv("CI") == "true" {
		t.Fatal("no Chromium on this machine, and this is CI; .ci/setup test installs it")
	}
	t.Skip("no Chromium on this machine: nobody turns the desk's knobs; .ci/setup test installs it")
	return ""
}

// browser is the one process that all tabs of this test binary share, each with its own cookies. It ends with the binary.
var browser = sync.OnceValues(func() (context.Context, error) {
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	for _, name := range []string{"chromium-headless-shell", "chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			options = append(options, chromedp.ExecPath(path))
			break
		}
	}
	allocator, _ := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, cancel := chromedp.NewContext(allocator)
	atEnd = append(atEnd, func() { chromedp.Cancel(ctx) })
	if err := chromedp.Do(ctx); err != nil {
		cancel()
		return nil, err
	}
	return ctx, nil
})

// tab is one page of the browser, watched for what must not be.
type tab struct {
	t       testing.TB
	d       *deskRun
	ctx     context.Context
	mu      sync.Mutex
	trouble []string
	allowed *regexp.Regexp // trouble that this test brings about
}

// newTab enters the desk at a width, as a visitor of its own.
func newTab(t testing.TB, d *deskRun, width int64) *tab {
	t.Helper()
	browserPath(t)
	ctx, err := browser()
	if err != nil {
		t.Fatal(err)
	}
	return d.tabIn(t, ctx, width, chromedp.WithNewBrowserContext())
}

// beside opens another tab of the same visitor.
func (b *tab) beside() *tab { return b.d.tabIn(b.t, b.ctx, 1280) }

func (d *deskRun) tabIn(t testing.TB, parent context.Context, width int64, options ...chromedp.ContextOption) *tab {
	t.Helper()
	b := &tab{t: t, d: d}
	var cancel context.CancelFunc
	b.ctx, cancel = chromedp.NewContext(parent, append(options, chromedp.WithListener(b.watch))...)
	t.Cleanup(func() {
		cancel()
		b.untroubled()
	})
	b.do(chromedp.EmulateViewport(width, 900))
	if _, err := chromedp.Call(b.ctx, cdplog.Enable, cdp.Empty{}); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(b.ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	b.open(d.enter)
	return b
}

// watch notes errors of the page, dialogs, and requests that leave the desk.
func (b *tab) watch(ev any) {
	said := ""
	switch ev := ev.(type) {
	case *runtime.EventConsoleAPICalled:
		if ev.Type == runtime.ConsoleAPICalledTypeError || ev.Type == runtime.ConsoleAPICalledTypeWarning {
			said = "console"
			for _, a := range ev.Args {
				said += " " + string(a.Value) + a.Description
			}
		}
	case *runtime.EventExceptionThrown:
		said = "exception: " + ev.ExceptionDetails.Text
		if ev.ExceptionDetails.Exception != nil {
			said += " " + ev.ExceptionDetails.Exception.Description
		}
	case *cdplog.EventEntryAdded:
		if ev.Entry.Level == cdplog.EntryLevelError || ev.Entry.Source == cdplog.EntrySourceSecurity {
			said = fmt.Sprintf("log: %s (%s)", ev.Entry.Text, ev.Entry.URL)
		}
	case *page.EventJavascriptDialogOpening:
		said = "dialog: " + ev.Message
	case *network.EventRequestWillBeSent:
		if u := ev.Request.URL; !strings.HasPrefix(u, b.d.origin+"/") && !strings.HasPrefix(u, "data:") && !strings.HasPrefix(u, "about:") {
			said = "request beyond the desk: " + u
		}
	}
	if said != "" {
		b.mu.Lock()
		b.trouble = append(b.trouble, said)
		b.mu.Unlock()
	}
}

// untroubled wants that nothing went wrong in the tab but what the test brought about.
func (b *tab) untroubled() {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, said := range b.trouble {
		if b.allowed == nil || !b.allowed.MatchString(said) {
			b.t.Errorf("the page has trouble: %s", said)
		}
	}
	b.trouble = nil
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx); err != nil { // the tab must live as long as the test, the steps no longer than patience
		b.t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		b.t.Fatalf("%v%s", err, b.told())
	}
}

func (b *tab) told() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return "\n" + strings.Join(b.trouble, "\n")
}

func (b *tab) open(path string) {
	b.t.Helper()
	b.do(chromedp.Navigate(b.d.origin + path))
}

// media sets what the page may ask of the screen: light or dark, motion or none.
func (b *tab) media(features ...*emulation.MediaFeature) {
	b.t.Helper()
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: features}); err != nil {
		b.t.Fatal(err)
	}
}

// js works an expression out in the page.
func js[T any](b *tab, expression string, args ...any) T {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	if len(args) > 0 {
		expression = fmt.Sprintf(expression, args...)
	}
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatalf("%s: %v%s", expression, err, b.told())
	}
	return v
}

// until waits until an expression is true in the page.
func (b *tab) until(what, expression string, args ...any) {
	b.t.Helper()
	if len(args) > 0 {
		expression = fmt.Sprintf(expression, args...)
	}
	for start := time.Now(); time.Since(start) < patience; time.Sleep(10 * time.Millisecond) {
		ctx, cancel := context.WithTimeout(b.ctx, patience)
		ok, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("!!("+expression+")"))
		cancel()
		if err == nil && ok {
			return
		}
		if errors.Is(err, context.Canceled) {
			b.t.Fatal(err)
		}
	}
	b.t.Fatalf("the page does not come to this: %s (%s)%s", what, expression, b.told())
}
