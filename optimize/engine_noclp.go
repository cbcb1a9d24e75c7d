//go:build !cgo

package optimize

import "errors"

// ErrNeedsClp is the error of a program built without cgo for a problem that only Clp can take.
var errNeedsClp = errors.New("engine clp: this program was built without cgo and the problem needs Clp; build it with CGO_ENABLED=1 and coinor-libclp-dev")

func newClpEngine(Problem) (engine, error) { return nil, errNeedsClp }
