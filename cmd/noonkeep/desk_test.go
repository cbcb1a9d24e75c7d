package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// served starts the desk in this process and gives the line that it prints, what it warned of, and its end.
func served(t *testing.T, args ...string) (said string, warned *bytes.Buffer, end func() int) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	in, out := io.Pipe()
	warned = &bytes.Buffer{}
	status := make(chan int, 1)
	go func() {
		status <- run(ctx, append([]string{"desk"}, args...), streams{in: strings.NewReader(""), out: out, err: warned})
		out.Close()
	}()
	said, err := bufio.NewReader(in).ReadString('\n')
	if err != nil {
		t.Fatalf("the desk said %q, %v: %s", said, err, warned)
	}
	ended := -1
	end = func() int {
		if ended < 0 {
			cancel()
			ended = <-status
		}
		return ended
	}
	t.Cleanup(func() { end() })
	return said, warned, end
}

var deskSays = regexp.MustCompile(`^The desk is at (http://127\.0\.0\.1:\d+/enter/[A-Z2-7]{26}) \(Ctrl-C ends it\)\n$`)

// The desk prints its address, opens the scenario there, tells nobody else anything, and ends with 0 when it is told to.
func TestDeskServesUntilItIsEnded(t *testing.T) {
	t.Parallel()
	path := scenario(t, "dyehouse")
	for _, args := range [][]string{{path}, {"--dir", filepath.Dir(path)}, {"dyehouse.yaml", "--dir", filepath.Dir(path)}} {
		said, warned, end := served(t, args...)
		m := deskSays.FindStringSubmatch(said)
		if m == nil {
			t.Fatalf("%v: it said %q", args, said)
		}
		alone := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
		answer, err := alone.Get(m[1])
		if err != nil {
			t.Fatal(err)
		}
		answer.Body.Close()
		want := "/"
		if len(args) != 2 {
			want = "/open/dyehouse.yaml"
		}
		if got := answer.Header.Get("Location"); answer.StatusCode != http.StatusSeeOther || got != want {
			t.Errorf("%v: its address leads to %q with status %d; want %q", args, got, answer.StatusCode, want)
		}
		if status := end(); status != statusDone || warned.Len() > 0 {
			t.Errorf("%v: exit status %d: %s", args, status, warned)
		}
	}
}

func TestDeskWarnsBeyondLoopback(t *testing.T) {
	t.Parallel()
	_, warned, end := served(t, "--dir", t.TempDir(), "--listen", "0.0.0.0")
	end()
	want := "noonkeep: warning: the desk listens on 0.0.0.0, not on this machine alone: whoever reaches it over the network and learns\n" +
		"noonkeep: the address that it prints can read, change and save the scenarios of its folder. What is sent can be read on the way.\n"
	if warned.String() != want {
		t.Errorf("it warned: %s\nwant: %s", warned, want)
	}
	for host, want := range map[string]bool{"127.0.0.1": true, "127.9.9.9": true, "::1": true, "[::1]": true, "LocalHost": true,
		"0.0.0.0": false, "::": false, "192.0.2.7": false, "localhost.example": false} {
		if loopback(host) != want {
			t.Errorf("%s is this machine alone: %v; want %v", host, !want, want)
		}
	}
}

func TestDeskRefuses(t *testing.T) {
	t.Parallel()
	path := scenario(t, "dyehouse")
	dir, other := filepath.Dir(path), t.TempDir()
	link := filepath.Join(dir, "link.yaml")
	if err := os.Symlink(path, link); err != nil {
		t.Skip(err)
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"dyehouse"}, "desk: dyehouse is a built-in example, and the desk works on files; run noonkeep starter dyehouse > my.yaml first, " +
			"or start the desk without it and begin from it on the folder's page"},
		{[]string{"-"}, "desk: it works on files, not on standard input; want a file's name"},
		{[]string{"none.yaml"}, "none.yaml: there is no such file"},
		{[]string{dir}, fmt.Sprintf("%s: is a folder; want a scenario file, or noonkeep desk --dir %s", dir, dir)},
		{[]string{path, "--dir", other}, fmt.Sprintf("%s: does not lie in %s; leave --dir out, or give a file of that folder", path, other)},
		{[]string{link}, "link.yaml: is a link to another file; want the file itself in this folder"},
		{[]string{path, "--listen", "127.0.0.1:80"}, `desk: --listen is "127.0.0.1:80"; want an address alone, as 127.0.0.1; the port goes to --port`},
		{[]string{path, "--listen", ""}, `desk: --listen is ""; want an address alone, as 127.0.0.1; the port goes to --port`},
		{[]string{path, "--port", "65536"}, "desk: --port is 65536; want 1 to 65535, or 0 for a free one"},
		{[]string{path, "--reads", other}, "desk: --reads is not for the desk: it reads nothing outside its folder; put weather and series there"},
		{[]string{"--dir", path}, path + ": cannot be opened as a folder: not a directory"},
	} {
		out, errOut, status := noonkeep(t, append([]string{"desk"}, c.args...)...)
		if out != "" || status != statusBadInput || errOut != "noonkeep: "+c.want+"\n" {
			t.Errorf("%v: exit status %d: %s%s\nwant noonkeep: %s", c.args, status, out, errOut, c.want)
		}
	}
}
