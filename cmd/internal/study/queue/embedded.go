package queue

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"github.com/nats-io/nats-server/v2/server"
	"github.com/nats-io/nats.go"
)

// embeddedPayload is the largest message of the server in this process; a result seldom has a tenth of it.
const embeddedPayload = 8 << 20

// Embedded starts a server in this process and connects to it. It listens on no port and keeps all in memory.
// [Conn.Close] ends it.
func Embedded(ctx context.Context) (*Conn, error) {
	// The library wants a folder even where nothing is kept in it.
	dir, err := os.MkdirTemp("", "noonkeep-queue-")
	if err != nil {
		return nil, fmt.Errorf("queue: in this process: %w", err)
	}
	s, err := server.NewServer(&server.Options{ServerName: "noonkeep", DontListen: true, JetStream: true, StoreDir: dir,
		NoSigs: true, NoLog: true, MaxPayload: embeddedPayload, MaxPending: 64 << 20})
	if err != nil {
		return nil, errors.Join(fmt.Errorf("queue: in this process: %w", err), os.RemoveAll(dir))
	}
	s.Start()
	end := func() {
		s.Shutdown()
		s.WaitForShutdown()
		_ = os.RemoveAll(dir) // in the system's place for what may be left over
	}
	if !s.ReadyForConnections(10 * time.Second) {
		end()
		return nil, errors.New("queue: in this process: the server does not start within 10 s; try again when the machine is less busy")
	}
	c := newConn(Options{Name: "noonkeep"}, memoryLimits)
	if err := c.connect(ctx, "", []nats.Option{nats.InProcessServer(s)}); err != nil {
		end()
		return nil, fmt.Errorf("queue: in this process: %w", err)
	}
	c.end = end
	return c, nil
}
