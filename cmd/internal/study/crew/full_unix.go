//go:build !windows

package crew

import (
	"errors"
	"syscall"
)

// full tells whether a file could not be written for want of room.
func full(err error) bool {
	return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT)
}
