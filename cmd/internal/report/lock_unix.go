//go:build unix && !solaris && !illumos && !aix

package report

import (
	"os"
	"syscall"
)

// locked waits until no other run puts files in place in dir, and gives what lets the next one in. Where a folder cannot be
// locked, as on some network drives, each file is still whole.
func locked(dir string) (unlock func()) {
	d, err := os.Open(dir)
	if err != nil {
		return func() {}
	}
	syscall.Flock(int(d.Fd()), syscall.LOCK_EX)
	return func() { d.Close() }
}
