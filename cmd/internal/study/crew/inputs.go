package crew

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"sync"

	"noonkeep/cmd/internal/study/queue"
)

// mostHeld is how many bytes of inputs a worker holds in memory; a weather year has some 2 MB.
const mostHeld = 256 << 20

// inputs are texts and data by their hash: in memory, in a folder of the machine, or from the queue.
type inputs struct {
	conn *queue.Conn
	dir  string

	mu    sync.Mutex
	held  map[string][]byte
	bytes int
}

func newInputs(conn *queue.Conn, dir string) *inputs {
	return &inputs{conn: conn, dir: dir, held: map[string][]byte{}}
}

// fetch gives what has the hash. Callers must not change it.
func (in *inputs) fetch(ctx context.Context, hash string) ([]byte, error) {
	if raw, err := hex.DecodeString(hash); err != nil || len(raw) != sha256.Size {
		return nil, fmt.Errorf("input %.80q: is no SHA-256 in hex", hash)
	}
	in.mu.Lock()
	data, has := in.held[hash]
	in.mu.Unlock()
	if has {
		return data, nil
	}
	data, has = in.onDisk(hash)
	if !has {
		var err error
		if data, err = in.conn.Get(ctx, hash); err != nil {
			return nil, err
		}
		in.keep(hash, data)
	}
	in.mu.Lock()
	defer in.mu.Unlock()
	if in.bytes+len(data) > mostHeld {
		clear(in.held)
		in.bytes = 0
	}
	in.held[hash] = data
	in.bytes += len(data)
	return data, nil
}

// onDisk reads an input that an earlier run kept; one that is not what its name says is as good as none.
func (in *inputs) onDisk(hash string) ([]byte, bool) {
	if in.dir == "" {
		return nil, false
	}
	data, err := os.ReadFile(filepath.Join(in.dir, hash))
	if err != nil {
		return nil, false
	}
	sum := sha256.Sum256(data)
	return data, hex.EncodeToString(sum[:]) == hash
}

// keep writes an input for later runs. That the disk has no room for it does not matter.
func (in *inputs) keep(hash string, data []byte) {
	if in.dir == "" {
		return
	}
	if os.MkdirAll(in.dir, 0o755) == nil {
		_ = place(filepath.Join(in.dir, hash), data)
	}
}
