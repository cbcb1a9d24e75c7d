package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"noonkeep/cmd/internal/study/table"
)

// rowsIn counts the rows of a table.
func rowsIn(t *testing.T, path string) int {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	f, err := table.Open(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	return int(f.Len())
}

const tinyStudy = "noonkeep_study: 1\nname: tiny\nscenarios: [dyehouse]\nvary: [{key: store.volume, values: [20 m3, 40 m3, 60 m3]}]\nkeep: []\n"

// What a person gets wrong is answered with what was found and what is wanted, and nothing is written.
func TestStudyWrongInputs(t *testing.T) {
	unraced(t)
	t.Parallel()
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	for name, text := range map[string]string{
		"tiny.yaml": tinyStudy, "key.yaml": strings.Replace(tinyStudy, "keep:", "kept:", 1), "file.study": "",
		"huge.yaml": strings.Replace(tinyStudy, "values: [20 m3, 40 m3, 60 m3]}", "from: 1 m3, to: 99 m3, count: 900}, {key: site.elevation, from: 1 m, to: 99 m, count: 900}, {key: time.year, from: 1990, to: 2020, count: 20}", 1),
		"none.yaml": strings.Replace(tinyStudy, "[20 m3,", "[20 tonnes,", 1), "plant.yaml": must(t, "starter", "dyehouse"),
		"other.yaml": strings.Replace(tinyStudy, "tiny", "other", 1),
	} {
		if err := os.WriteFile(at(name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	must(t, "study", at("other.yaml"), "--out", at("other"))
	secured := serveQueue(t, "crew", "right-word")
	nobody := "nats://127.0.0.1:1"
	for _, x := range []struct {
		args   string
		status int
		want   string
	}{
		{"study", 2, `study: got 0 arguments; want one FILE`},
		{"study " + at("gone.yaml"), 2, `gone.yaml: no such file or directory`},
		{"study " + at("plant.yaml"), 2, `plant.yaml: is a scenario; want a study file \(noonkeep study example prints one\)`},
		{"study " + at("key.yaml"), 2, `key.yaml:5: kept: is not a key of a study here; want .*keep`},
		{"study " + at("none.yaml"), 2, `none.yaml:4: vary: store.volume = 20 tonnes: dyehouse.yaml:.*m3`},
		{"study " + at("huge.yaml"), 2, `huge.yaml: has 16200000 cases \(.*\); want at most 5000000, or a sample of them`},
		{"study --jobs 0 " + at("tiny.yaml"), 2, `--jobs: is 0, and without --nats nobody would solve a case; want 1 or more`},
		{"study --silence 1ms " + at("tiny.yaml"), 2, `--silence: is 1ms; want 1s to 1h`},
		{"study --replicas 3 " + at("tiny.yaml"), 2, `--replicas: are of a server's cluster; want --nats beside it`},
		{"study --out " + at("file.study") + " " + at("tiny.yaml"), 2, `file.study: is a file; want a folder for the results`},
		{"study --out " + at("other") + " " + at("tiny.yaml"), 2, `other: holds another study, "other" .*; give another --out`},
		{"study --nats " + nobody + " " + at("tiny.yaml"), 2, `127.0.0.1:1`},
		{"study --nats " + strings.Replace(secured.url(), "//", "//crew:right-word@", 1) + " " + at("tiny.yaml"), 2, `NATS_PASSWORD`},
		{"study --nats " + secured.url() + " " + at("tiny.yaml"), 2, secured.address()},
		{"study status " + at("nothing"), 2, `nothing: holds no study: no such file or directory`},
		{"study status", 2, `want one FOLDER, or --nats and a URL`},
		{"study results " + at("nothing"), 2, `nothing: holds no study`},
		{"study results --csv --json " + at("other"), 2, `--csv and --json: want one of the two`},
		{"study cancel " + at("other"), 2, `the study is done; there is nothing to cancel`},
		{"worker", 2, `worker: --nats: is missing; want the server's URL`},
		{"worker --jobs 0 --nats " + nobody, 2, `worker: --jobs: is 0; want 1 to 1024`},
		{"worker --nats " + nobody, 2, `127.0.0.1:1`},
	} {
		out, said, status := noonkeep(t, strings.Fields(x.args)...)
		if status != x.status || out != "" || !regexp.MustCompile(x.want).MatchString(said) {
			t.Errorf("noonkeep %s: exit status %d, says %q %q; want %d and %q", x.args, status, said, out, x.status, x.want)
		}
		if strings.Contains(said, "right-word") {
			t.Errorf("noonkeep %s: tells the password: %q", x.args, said)
		}
	}
	if _, err := os.Stat(at("tiny.study")); err == nil {
		t.Error("a refused study leaves a folder")
	}
}

// A wrong password is told without it, and the right one from the environment is taken.
func TestStudyPasswords(t *testing.T) {
	unraced(t)
	t.Parallel()
	s := serveQueue(t, "crew", "right-word")
	path := studyFile(t, tinyStudy)
	for _, word := range []string{"wrong-word", "right-word"} {
		cmd := exec.Command("noonkeep", "study", path, "--nats", s.url(), "--jobs", "1")
		cmd.Env = append(os.Environ(), "NATS_USER=crew", "NATS_PASSWORD="+word)
		said, err := cmd.CombinedOutput()
		if (err == nil) != (word == "right-word") || bytes.Contains(said, []byte(word)) {
			t.Errorf("with %s it ends with %v: %s", word, err, said)
		}
	}
}

// A worker of another build is told so and ends; one of the same goes on with the study to its end.
func TestStudyRefusesOtherBuilds(t *testing.T) {
	unraced(t)
	t.Parallel()
	s := serveQueue(t)
	path := studyFile(t, tinyStudy)
	ctx, stop := context.WithTimeout(t.Context(), 2*time.Minute)
	defer stop()
	lead := exec.CommandContext(ctx, "noonkeep", "study", path, "--nats", s.url())
	if err := lead.Start(); err != nil {
		t.Fatal(err)
	}
	for must(t, "study", "status", "--nats", s.url()) == "no study is on the server\n\nno worker is there\n" && ctx.Err() == nil {
		time.Sleep(50 * time.Millisecond)
	}
	older := filepath.Join(t.TempDir(), "noonkeep")
	program, err := exec.LookPath("noonkeep")
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(program)
	if err == nil {
		err = os.WriteFile(older, append(data, '\n'), 0o700)
	}
	if err != nil {
		t.Fatal(err)
	}
	said, err := exec.CommandContext(ctx, older, "worker", "--nats", s.url()).CombinedOutput()
	if err == nil || !bytes.Contains(said, []byte("is of another build of noonkeep")) {
		t.Errorf("an older worker ends with %v: %s", err, said)
	}
	worker := exec.CommandContext(ctx, "noonkeep", "worker", "--nats", s.url())
	if err := worker.Start(); err != nil {
		t.Fatal(err)
	}
	if err := lead.Wait(); err != nil {
		t.Errorf("the study ends with %v", err)
	}
	worker.Process.Signal(os.Interrupt)
	if err := worker.Wait(); err != nil {
		t.Errorf("a worker that is told to end ends with %v", err)
	}
}

// What a study prints for machines is JSON, and its lines are its cases.
func TestStudyOutputs(t *testing.T) {
	unraced(t)
	t.Parallel()
	path := studyFile(t, tinyStudy)
	dir := strings.TrimSuffix(path, ".yaml") + ".study"
	var sum, again, state map[string]any
	for _, x := range []struct {
		to   *map[string]any
		args []string
	}{{&sum, []string{"study", path, "--json"}}, {&again, []string{"study", "results", dir, "--json"}}, {&state, []string{"study", "status", dir, "--json"}}} {
		if err := json.Unmarshal([]byte(must(t, x.args...)), x.to); err != nil {
			t.Errorf("%v: %v", x.args, err)
		}
	}
	if state["state"] != "done" || state["done"] != 3.0 || len(sum) == 0 || len(again) != len(sum) {
		t.Errorf("the state is %v", state)
	}
	csv := must(t, "study", "results", dir, "--csv")
	if lines := strings.Count(csv, "\n"); lines != 4 || !strings.Contains(csv, "dyehouse at Kuruova,as written,40 m3,") {
		t.Errorf("three cases are %d lines of CSV:\n%s", lines, csv)
	}
}
