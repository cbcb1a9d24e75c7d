package main

import (
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/nats-io/nats-server/v2/server"
)

// queueServerName is a JetStream server of the library as a process of its own, so that it can be killed:
// queue-server PORT FOLDER [USER PASSWORD].
const queueServerName = "queue-server"

func queueServerMain() {
	port, err := strconv.Atoi(os.Args[1])
	opt := &server.Options{Host: "127.0.0.1", Port: port, JetStream: true, StoreDir: os.Args[2], NoSigs: true, NoLog: true}
	if len(os.Args) > 3 {
		opt.Username, opt.Password = os.Args[3], os.Args[4]
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
	s, err := server.NewServer(opt)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
	s.Start()
	s.WaitForShutdown()
}

// queueServer is that process.
type queueServer struct {
	t    testing.TB
	port int
	args []string
	cmd  *exec.Cmd
}

// serveQueue starts a server on a free port of the loopback.
func serveQueue(t testing.TB, userAndPassword ...string) *queueServer {
	t.Helper()
	s := &queueServer{t: t, port: freePort(t)}
	s.args = append([]string{strconv.Itoa(s.port), t.TempDir()}, userAndPassword...)
	s.start()
	t.Cleanup(func() { s.kill() })
	return s
}

func freePort(t testing.TB) int {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port
}

// start starts it, anew on the same data, and waits until it answers.
func (s *queueServer) start() {
	s.cmd = exec.Command(queueServerName, s.args...)
	s.cmd.Stderr = os.Stderr
	if err := s.cmd.Start(); err != nil {
		s.t.Error(err)
		return
	}
	for range 200 {
		if c, err := net.Dial("tcp", s.address()); err == nil {
			c.Close()
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	s.t.Error("the queue's server does not answer")
}

func (s *queueServer) address() string { return net.JoinHostPort("127.0.0.1", strconv.Itoa(s.port)) }
func (s *queueServer) url() string     { return "nats://" + s.address() }

// kill ends it without a warning.
func (s *queueServer) kill() {
	s.cmd.Process.Kill()
	s.cmd.Wait()
}

// wire is a line to a server that can be cut.
type wire struct {
	listener net.Listener
	to       string

	mu    sync.Mutex
	cut   bool
	conns map[net.Conn]bool
}

func wireTo(t testing.TB, to string) *wire {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	w := &wire{listener: l, to: to, conns: map[net.Conn]bool{}}
	t.Cleanup(func() { l.Close(); w.set(true) })
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go w.carry(c)
		}
	}()
	return w
}

func (w *wire) url() string { return "nats://" + w.listener.Addr().String() }

// set cuts the line, or mends it.
func (w *wire) set(cut bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.cut = cut
	for c := range w.conns {
		c.Close()
	}
	clear(w.conns)
}

func (w *wire) carry(c net.Conn) {
	defer c.Close()
	far, err := net.Dial("tcp", w.to)
	if err != nil {
		return
	}
	defer far.Close()
	w.mu.Lock()
	if w.cut {
		w.mu.Unlock()
		return
	}
	w.conns[c], w.conns[far] = true, true
	w.mu.Unlock()
	go func() { io.Copy(far, c); far.Close() }()
	io.Copy(c, far)
}

// studyFile writes a study into a new folder and gives its path.
func studyFile(t testing.TB, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "s.yaml")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// curveStudy is a study of so many curves, each a quarter of a second of work.
func curveStudy(cases int) string {
	return fmt.Sprintf("noonkeep_study: 1\nname: many curves\nscenarios: [dyehouse]\nvary: [{key: \"fuels[natural gas].price\", from: 0.04 EUR/kWh, to: 0.08 EUR/kWh, count: %d}]\n", cases)
}

// yearStudy is a study of so many single volumes in fifteen years, each some 15 ms of work.
func yearStudy(cases int) string {
	return fmt.Sprintf("noonkeep_study: 1\nname: many years\nscenarios: [dyehouse]\nweather: {seeds: 1..15}\nvary: [{key: store.volume, from: 10 m3, to: 90 m3, count: %d}]\nkeep: []\n", max(2, cases/15))
}
