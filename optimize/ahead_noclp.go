//go:build !cgo

package optimize

import "context"

func clpAhead(_ context.Context, w *work, _ Outlook) (*Schedule, error) {
	return nil, &NeedsClp{Why: misfit(*w.p)}
}
