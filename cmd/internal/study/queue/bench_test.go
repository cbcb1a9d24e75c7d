package queue

import (
	"fmt"
	"testing"
	"time"

	"github.com/nats-io/nats-server/v2/server"
)

// BenchmarkTask is a task's whole way with one hand: handed out, taken, its result of 20 kB reported, taken and acknowledged.
func BenchmarkTask(b *testing.B) {
	for _, kind := range []string{"embedded", "server"} {
		b.Run("queue="+kind, func(b *testing.B) {
			c := benchConn(b, kind)
			defer c.Close()
			l, err := c.Lead(b.Context(), Study{ID: "s1", State: Open})
			if err != nil {
				b.Fatal(err)
			}
			out, lost := l.Results(b.Context())
			body := make([]byte, 20_000)
			for n := 0; b.Loop(); n++ {
				if err := once(b, l, fmt.Sprint(n), body); err != nil {
					b.Fatal(err)
				}
				select {
				case r := <-out:
					err = r.Ack(b.Context())
				case err = <-lost:
				}
				if err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func once(b *testing.B, l *Lead, key string, body []byte) error {
	if err := l.Add(b.Context(), key, []byte(key)); err != nil {
		return err
	}
	job, err := l.conn.Next(b.Context(), "s1", time.Minute)
	if err != nil {
		return err
	}
	if err := l.conn.Report(b.Context(), "s1", key, body); err != nil {
		return err
	}
	return job.Done(b.Context())
}

func benchConn(b *testing.B, kind string) *Conn {
	b.Helper()
	if kind == "embedded" {
		c, err := Embedded(b.Context())
		if err != nil {
			b.Fatal(err)
		}
		return c
	}
	s, err := server.NewServer(&server.Options{Host: "127.0.0.1", Port: server.RANDOM_PORT, JetStream: true, StoreDir: b.TempDir(), NoSigs: true, NoLog: true})
	if err != nil {
		b.Fatal(err)
	}
	s.Start()
	b.Cleanup(func() { s.Shutdown(); s.WaitForShutdown() })
	if !s.ReadyForConnections(20 * time.Second) {
		b.Fatal("the server does not start")
	}
	c, err := dial(b.Context(), Options{URL: s.ClientURL()}, noEnv)
	if err != nil {
		b.Fatal(err)
	}
	return c
}
