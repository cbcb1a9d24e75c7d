//go:build !cgo

package optimize

// haveClp says whether Clp is in this program.
const haveClp = false

func newClpEngine(_ Problem, why string) (engine, error) { return nil, &NeedsClp{Why: why} }
