//go:build unix

package main

import (
	"archive/zip"
	"bytes"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
)

var update = flag.Bool("update", false, "write what the faults came to into DEVELOPERS.md")

// weather is a script that reads the file $W as weather.yaml's weather.
func weather(file, flags string) string {
	return fmt.Sprintf("sed 's#W}#%s}#' weather.in > w.yaml; exec noonkeep check %s w.yaml", file, flags)
}

func series(file, flags string) string {
	return fmt.Sprintf("sed 's#: W$#: %s#' series.in > s.yaml; exec noonkeep check %s s.yaml", file, flags)
}

func text(scenario string) string {
	return "{ " + scenario + "; } > t.yaml; exec noonkeep check t.yaml"
}

func change(old, to string) string {
	return fmt.Sprintf("sed 's#%s#%s#' my.yaml > t.yaml; exec noonkeep check t.yaml", old, to)
}

// trials are the faults tried, in the order of DEVELOPERS.md.
var trials = []trial{
	// What a scenario says.
	{what: "a scenario without a word", script: text(":")},
	{what: "a scenario without an end", script: "exec noonkeep check /dev/zero"},
	{what: "a scenario that is no text", script: text(`printf 'noonkeep: 1\nname: \377\376'`)},
	{what: "100 000 open brackets", script: text("head -c 100000 /dev/zero | tr '\\0' '['")},
	{what: "30 mappings in each other", script: text("for i in $(seq 30); do printf '%*sa:\\n' $i ''; done")},
	{what: "a billion laughs: anchors of anchors", script: text(`printf 'a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n'`)},
	{what: "60 000 keys", script: text("for i in $(seq 30000); do echo k$i: 1; done")},
	{what: "201 loads", script: text("sed '/^loads:/q' my.yaml; for i in $(seq 201); do echo '  - {name: a'$i', heat: 1 kW}'; done; sed '1,/^loads:/d' my.yaml | sed -n '/^fuels:/,$p'")},
	{what: "a name of 101 letters", script: change("name: dye machines, day shifts", "name: "+strings.Repeat("a", 101))},
	{what: "a name that clears the screen", script: change("name: dye machines, day shifts", `name: "\\e[2J"`)},
	{what: "a key that rings the bell", script: change("latitude:", `"\\a":`)},
	{what: "a price of 1e308 EUR/kWh", script: change("price: 0.052", "price: 1e308")},
	{what: "a price of NaN", script: change("price: 0.052", "price: .nan")},
	// What a scenario names.
	{what: "weather of /etc/passwd", script: weather("/etc/passwd", "")},
	{what: "weather of ../../etc/passwd from standard input", script: "sed 's#W}#../../etc/passwd}#' weather.in | noonkeep check -"},
	{what: "a series beside a stranger's folder", script: "mkdir own; sed 's#: W$#: ../up/sun.csv#' series.in > own/s.yaml; exec noonkeep check --stranger own/s.yaml"},
	{what: "the same with the folder allowed, of a secret", script: "mkdir own; sed 's#: W$#: ../up/sun.csv#' series.in > own/s.yaml; exec noonkeep check --reads up own/s.yaml"},
	{what: "a link that leads out of a stranger's folder", script: "mkdir own; ln -s ../up/sun.csv own/sun.csv; sed 's#: W$#: sun.csv#' series.in > own/s.yaml; exec noonkeep check --stranger own/s.yaml"},
	{what: "a link to a secret, in a person's own folder", script: "mkdir own; ln -s ../up/secret own/sun.csv; sed 's#: W$#: sun.csv#' series.in > own/s.yaml; exec noonkeep check own/s.yaml"},
	{what: "weather of a pipe", script: "mkfifo sun.csv; " + weather("sun.csv", "")},
	{what: "weather of /dev/zero", script: weather("/dev/zero", "--reads /dev")},
	{what: "weather of a folder", script: weather("out", "")},
	{what: "weather of nothing", script: ": > sun.csv; " + weather("sun.csv", "")},
	{what: "weather of one line of 1 MB", script: "head -c 1000000 /dev/zero | tr '\\0' x > sun.csv; " + weather("sun.csv", "")},
	{what: "weather cut after its first line", script: `echo 'LOCATION,Testhof,-,-,-,0,37.6,31.4,3,1010' > sun.epw; ` + weather("sun.epw", "")},
	{what: "weather that may not be read", needs: unprivileged + "true", script: ": > sun.csv; chmod 0 sun.csv; sed 's#W}#sun.csv}#' weather.in > w.yaml; exec " + unprivileged + "noonkeep check w.yaml"},
	{what: "a scenario that may not be read", needs: unprivileged + "true", script: "chmod 0 my.yaml; exec " + unprivileged + "noonkeep check my.yaml"},
	{what: "a series with text for a number", script: series("up/sun.csv", "")},
	{what: "a log that is half a workbook", script: "head -c 300 book.xlsx > log.xlsx; exec noonkeep check log.yaml"},
	{what: "a workbook whose sheet lies at ../../etc/passwd", script: "mv book.xlsx log.xlsx; exec noonkeep check log.yaml"},
	// Where it is written.
	{what: "--out is a file", script: "rm -r out; echo old > out; noonkeep curve my.yaml --to 20 --step 20 --out out; s=$?; rm out; exit $s"},
	{what: "--out in a folder that is not there", script: "exec noonkeep curve my.yaml --to 20 --step 20 --out no/such"},
	{what: "--out is read-only", needs: unprivileged + "true", script: "chmod 555 out; exec " + unprivileged + fast},
	{what: "--out is 100 000 letters long", script: "exec noonkeep curve my.yaml --to 20 --step 20 --out $(head -c 100000 /dev/zero | tr '\\0' a)"},
	{what: "a folder stands where a file goes", script: "mkdir out/curve.png; " + fast + "; s=$?; rmdir out/curve.png; exit $s"},
	{what: "files may have 8 kB", script: "ulimit -f 8; exec " + fast},
	{what: "the disk is full", needs: "unshare -m mount -t tmpfs -o size=64k none out", script: `exec unshare -m sh -c 'mount -t tmpfs -o size=64k none out && ` + fast + `; s=$?; [ -z "$(ls -A out)" ] || echo left $(ls -A out); exit $s'`},
	{what: "standard output is full", script: "exec " + fast + " > /dev/full"},
	{what: "standard output is closed", script: "exec " + fast + " >&-"},
	{what: "standard error is closed", script: "exec " + fast + " 2>&- > /dev/null"},
	{what: "the reader has gone: | head -1", script: "{ noonkeep export my.yaml --mps - 2> said; echo ends with $? > ended; } | head -1 > /dev/null; cat ended said"},
	{what: "both files of export are one", script: "exec noonkeep export my.yaml --mps a --json a"},
	{what: "two runs into one folder at once", script: fast + " > /dev/null & " + fast + " > /dev/null; wait"},
	// When it is stopped.
	{what: "Ctrl-C while nothing comes from standard input", script: "exec noonkeep check -", signal: syscall.SIGINT},
	{what: "Ctrl-C while a pipe gives no scenario", script: "mkfifo p; exec noonkeep check p", signal: syscall.SIGINT},
	{what: "Ctrl-C while solving", script: "exec " + long, signal: syscall.SIGINT},
	{what: "asked to end (SIGTERM) while solving", script: "exec " + long, signal: syscall.SIGTERM},
	{what: "Ctrl-C while files are written", script: "exec " + fast + " > /dev/null", signal: syscall.SIGINT, when: partThere},
	{what: "killed (SIGKILL) while files are written", script: "exec " + fast + " > /dev/null", signal: syscall.SIGKILL, when: partThere},
	{what: "the run after that", script: "exec " + fast, signal: syscall.SIGKILL, when: partThere, again: fast + " > /dev/null"},
}

const (
	faultsBegin = "<!-- faults tried: begin; TestFaultsTried -update writes this list -->\n"
	faultsEnd   = "<!-- faults tried: end -->\n"
)

// TestFaultsTried tries each fault, and wants the list in DEVELOPERS.md to say what happened. Where one cannot be tried, as
// without the rights to mount a small disk, its row is left as it stands.
func TestFaultsTried(t *testing.T) {
	t.Parallel()
	unraced(t)
	path := filepath.Join("..", "..", "DEVELOPERS.md")
	page, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	before, rest, ok := strings.Cut(string(page), faultsBegin)
	listed, after, ok2 := strings.Cut(rest, faultsEnd)
	if !ok || !ok2 {
		t.Fatal("DEVELOPERS.md has no list of faults tried")
	}
	rows := make([]string, len(trials))
	var todo sync.WaitGroup
	slots := make(chan struct{}, 4)
	for i, tr := range trials {
		todo.Go(func() {
			slots <- struct{}{}
			defer func() { <-slots }()
			if o, ok := tr.run(t); ok {
				rows[i] = o.row(tr.what)
				return
			}
			t.Logf("cannot be tried here: %s", tr.what)
			for line := range strings.Lines(listed) {
				if strings.HasPrefix(line, "| "+tr.what+" |") {
					rows[i] = line
				}
			}
		})
	}
	todo.Wait()
	got := "| fault | what it says | exit | the folder |\n|---|---|---|---|\n" + strings.Join(rows, "")
	if *update {
		if err := os.WriteFile(path, []byte(before+faultsBegin+got+faultsEnd+after), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	for i, row := range rows {
		if !strings.Contains(listed, row) {
			t.Errorf("DEVELOPERS.md says otherwise of %q: %s", trials[i].what, row)
		}
	}
	if got != listed && !t.Failed() {
		t.Error("the list of faults in DEVELOPERS.md has other rows; go test ./cmd/noonkeep -run FaultsTried -update writes it anew")
	}
}

func (o outcome) row(what string) string {
	said := "nothing"
	if o.said != "" {
		said = "`" + strings.NewReplacer("|", "\\|", "`", "'").Replace(o.said) + "`"
	}
	return fmt.Sprintf("| %s | %s | %s | %s |\n", strings.ReplaceAll(what, "|", "\\|"), said, o.exit, o.left)
}

// hostileBook is a workbook whose only sheet is said to lie outside of it.
func hostileBook(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for name, text := range map[string]string{
		"xl/workbook.xml":            `<workbook xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="a" r:id="rId1"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": `<Relationships><Relationship Id="rId1" Type="x/worksheet" Target="../../etc/passwd"/></Relationships>`,
	} {
		w, err := z.Create(name)
		if err == nil {
			_, err = io.WriteString(w, text)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
