package queue

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/nats-io/nats-server/v2/server"
)

// Variables that make this test binary a JetStream server of its own, which a test can kill.
const (
	serverDir  = "NOONKEEP_TEST_SERVER_DIR"
	serverPort = "NOONKEEP_TEST_SERVER_PORT"
)

func TestMain(m *testing.M) {
	if dir := os.Getenv(serverDir); dir != "" {
		port, _ := strconv.Atoi(os.Getenv(serverPort))
		s, err := server.NewServer(&server.Options{Host: "127.0.0.1", Port: port, JetStream: true, StoreDir: dir, NoSigs: true, NoLog: true})
		if err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		s.Start()
		if s.ReadyForConnections(20 * time.Second) {
			fmt.Println("ready")
		}
		_, _ = bufio.NewReader(os.Stdin).ReadString(0) // until whoever started it is no more
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// process is a server that can be killed and started again on the same port.
type process struct {
	t    *testing.T
	dir  string
	port int
	cmd  *exec.Cmd
}

func newProcess(t *testing.T) *process {
	t.Helper()
	free := startServer(t, &server.Options{})
	p := &process{t: t, dir: t.TempDir(), port: portOf(free)}
	free.Shutdown()
	free.WaitForShutdown()
	p.start()
	t.Cleanup(func() { p.kill() })
	return p
}

func (p *process) start() {
	p.t.Helper()
	p.cmd = exec.Command(os.Args[0])
	p.cmd.Env = append(os.Environ(), serverDir+"="+p.dir, serverPort+"="+strconv.Itoa(p.port))
	out, err := p.cmd.StdoutPipe()
	if err != nil {
		p.t.Fatal(err)
	}
	if _, err := p.cmd.StdinPipe(); err != nil {
		p.t.Fatal(err)
	}
	if err := p.cmd.Start(); err != nil {
		p.t.Fatal(err)
	}
	if line, _ := bufio.NewReader(out).ReadString('\n'); line != "ready\n" {
		p.t.Fatalf("server: says %q; want ready", line)
	}
}

func (p *process) kill() {
	_ = p.cmd.Process.Kill() // SIGKILL
	_ = p.cmd.Wait()
}

func (p *process) url() string { return fmt.Sprintf("nats://127.0.0.1:%d", p.port) }

// startServer starts a server of this process on loopback.
func startServer(t *testing.T, opts *server.Options) *server.Server {
	t.Helper()
	opts.Host, opts.NoSigs, opts.NoLog = "127.0.0.1", true, true
	if opts.Port == 0 {
		opts.Port = server.RANDOM_PORT
	}
	s, err := server.NewServer(opts)
	if err != nil {
		t.Fatal(err)
	}
	s.Start()
	if !s.ReadyForConnections(20 * time.Second) {
		t.Fatal("the test's server does not start")
	}
	t.Cleanup(func() { s.Shutdown(); s.WaitForShutdown() })
	return s
}

func portOf(s *server.Server) int {
	url := s.ClientURL()
	port, _ := strconv.Atoi(url[strings.LastIndex(url, ":")+1:])
	return port
}

// jetServer starts a server of this process with JetStream on disk.
func jetServer(t *testing.T) *server.Server {
	t.Helper()
	return startServer(t, &server.Options{JetStream: true, StoreDir: t.TempDir()})
}

func noEnv(string) string { return "" }

// dialled connects as the environment of a test would have it: with nothing.
func dialled(t *testing.T, url string, opt Options) *Conn {
	t.Helper()
	opt.URL = url
	c, err := dial(t.Context(), opt, noEnv)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(c.Close)
	return c
}

func led(t *testing.T, c *Conn, id string) *Lead {
	t.Helper()
	l, err := c.Lead(t.Context(), Study{ID: id, Owner: "anna", State: Open, Of: 10})
	must(t, err)
	return l
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// taken takes a task, whenever it comes.
func taken(t *testing.T, c *Conn, id string) *Job {
	t.Helper()
	for {
		job, err := c.Next(t.Context(), id, 200*time.Millisecond)
		must(t, err)
		if job != nil {
			return job
		}
	}
}

func received(t *testing.T, out <-chan *Result, lost <-chan error) *Result {
	t.Helper()
	select {
	case r := <-out:
		return r
	case err := <-lost:
		t.Fatal(err)
	case <-t.Context().Done():
	}
	return nil
}

// until repeats a question whose answer takes its time.
func until(t *testing.T, what string, ok func() bool) {
	t.Helper()
	ctx, stop := context.WithTimeout(t.Context(), time.Minute)
	defer stop()
	for !ok() {
		if err := sleep(ctx, 20*time.Millisecond); err != nil {
			t.Fatal("waited a minute in vain: " + what)
		}
	}
}
