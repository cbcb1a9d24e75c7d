package report

import (
	"fmt"
	"io"

	"noonkeep/cmd/internal/answer"
)

// idleText says for how long fields have sun that nobody takes.
func idleText(w io.Writer, idle []answer.IdleField) {
	for i, f := range idle {
		if i == 0 {
			fmt.Fprintln(w)
		}
		does := "is turned out of focus, in part or whole,"
		if f.Stagnates {
			does = "stands still and hot, in part or whole,"
		}
		fmt.Fprintf(w, "Field %s %s for %s h, for %s h of them wholly.\n", f.Field, does, Whole(f.Hours), Whole(f.WholeH))
	}
}
