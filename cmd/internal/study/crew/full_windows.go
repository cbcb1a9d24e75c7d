package crew

import (
	"errors"
	"syscall"
)

// full tells whether a file could not be written for want of room: ERROR_DISK_FULL or ERROR_HANDLE_DISK_FULL.
func full(err error) bool {
	return errors.Is(err, syscall.Errno(112)) || errors.Is(err, syscall.Errno(39))
}
