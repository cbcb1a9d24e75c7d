package queue

import (
	"context"
	"fmt"
	"os"
	"sync"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

// Options say which server, and how patient to be. URL is needed; the rest may be zero.
type Options struct {
	URL      string        // nats://host:port or tls://host:port; several of a cluster with commas between
	Replicas int           // how many servers of a cluster keep what is handed out; 0: one, or as many as there are already
	Silence  time.Duration // how long a worker or a leader may be silent before another takes over; 0: a minute
	Name     string        // how the connection is called in the server's lists
}

// Conn is a connection to a queue. It may be used by several goroutines at once.
type Conn struct {
	opt    Options
	nats   *nats.Conn
	js     jetstream.JetStream
	limits limits
	end    func() // ends the server of this process, if there is one

	mu        sync.Mutex
	back      chan struct{} // closed when a connection that broke stands again
	buckets   map[string]jetstream.KeyValue
	consumers map[string]jetstream.Consumer
}

const (
	usualSilence = time.Minute
	dialLimit    = 5 * time.Second
	pingEvery    = 10 * time.Second // a cut cable is noticed within three of them
	redialEvery  = 500 * time.Millisecond
)

// Dial connects to a JetStream server. Who one is comes from the environment: NATS_USER and NATS_PASSWORD, NATS_TOKEN,
// NATS_NKEY or NATS_CREDS (files), and for TLS NATS_CA, NATS_CERT and NATS_KEY (files). The errors tell a server
// that cannot be reached, one that refuses, one without JetStream, and faults of TLS apart, and hold nothing secret.
// Once it stands, a connection that breaks is made anew for ever.
func Dial(ctx context.Context, opt Options) (*Conn, error) {
	return dial(ctx, opt, os.Getenv)
}

func dial(ctx context.Context, opt Options, getenv func(string) string) (*Conn, error) {
	target, err := readURL(opt.URL)
	if err != nil {
		return nil, err
	}
	proof, err := readProof(getenv)
	if err != nil {
		return nil, err
	}
	c := newConn(opt, fileLimits)
	if err := c.connect(ctx, opt.URL, proof); err != nil {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, dialFault(target, err)
	}
	return c, nil
}

func newConn(opt Options, l limits) *Conn {
	if opt.Silence == 0 {
		opt.Silence = usualSilence
	}
	return &Conn{opt: opt, limits: l, end: func() {}, back: make(chan struct{}),
		buckets: map[string]jetstream.KeyValue{}, consumers: map[string]jetstream.Consumer{}}
}

// connect dials, and asks whether there is JetStream.
func (c *Conn) connect(ctx context.Context, url string, more []nats.Option) error {
	opts := append([]nats.Option{
		nats.Name(c.opt.Name), nats.Timeout(dialLimit),
		nats.MaxReconnects(-1), nats.ReconnectWait(redialEvery), nats.IgnoreAuthErrorAbort(),
		nats.PingInterval(pingEvery), nats.MaxPingsOutstanding(2),
		nats.ReconnectBufSize(-1), // calls repeat themselves; what is kept back would arrive late and twice
		nats.ReconnectHandler(func(*nats.Conn) { c.returned() }),
		nats.ErrorHandler(func(*nats.Conn, *nats.Subscription, error) {}), // the usual one prints
	}, more...)
	type dialled struct {
		conn *nats.Conn
		err  error
	}
	out := make(chan dialled, 1)
	go func() {
		conn, err := nats.Connect(url, opts...)
		out <- dialled{conn, err}
	}()
	var d dialled
	select {
	case d = <-out:
	case <-ctx.Done():
		go func() {
			if late := <-out; late.conn != nil {
				late.conn.Close()
			}
		}()
		return ctx.Err()
	}
	if d.err != nil {
		return d.err
	}
	c.nats = d.conn
	var err error
	if c.js, err = jetstream.New(c.nats); err == nil {
		err = c.ask(ctx)
	}
	if err != nil {
		c.nats.Close()
	}
	return err
}

// ask finds out whether the server has JetStream for this user.
func (c *Conn) ask(ctx context.Context) error {
	ctx, stop := context.WithTimeout(ctx, dialLimit)
	defer stop()
	_, err := c.js.AccountInfo(ctx)
	if err != nil {
		return &noJetStream{err}
	}
	return nil
}

type noJetStream struct{ err error }

func (n *noJetStream) Error() string { return n.err.Error() }
func (n *noJetStream) Unwrap() error { return n.err }

// Close ends the connection, and the server if it is of this process.
func (c *Conn) Close() {
	if c.nats.IsConnected() {
		_ = c.nats.FlushTimeout(time.Second) // what is said without waiting for an answer: given back, still alive
	}
	c.nats.Close()
	c.end()
}

// Away tells whether the server cannot be reached at present.
func (c *Conn) Away() bool { return !c.nats.IsConnected() }

// returned wakes those who wait for an answer that was lost with the connection.
func (c *Conn) returned() {
	c.mu.Lock()
	defer c.mu.Unlock()
	close(c.back)
	c.back = make(chan struct{})
}

// whenBack is closed when a connection that breaks from now on stands again.
func (c *Conn) whenBack() <-chan struct{} {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.back
}

// subject is where messages of a study are.
func subject(room, study string) string { return fmt.Sprintf("noonkeep.%s.%s", room, study) }
