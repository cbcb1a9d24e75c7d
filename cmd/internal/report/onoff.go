package report

import (
	"fmt"
	"io"
	"strings"

	"noonkeep/cmd/internal/answer"
)

// onOffText says what lowest fires, starts and standby cost, and how near the plan is to the best; nothing for boilers
// without them.
func onOffText(w io.Writer, o *answer.OnOff, currency string) {
	if o == nil {
		return
	}
	at := fmt.Sprintf("At %s m³", Volume(o.VolumeM3))
	if o.VolumeM3 == 0 {
		at = "Without a store"
	}
	if o.AnnualCost == nil {
		fmt.Fprintf(w, "\n%s\n", wrapped(fmt.Sprintf("Boilers that are on or off: %s no plan with their lowest fires, starts and standby costs less than %s %s a year. None was found: %s.",
			lower(at), Whole(o.LowerBound), currency, o.WhyNot)))
		return
	}
	text := fmt.Sprintf("Boilers that are on or off: %s a plan with their lowest fires, starts and standby costs %s %s a year, and none costs less than %s: it lies within %s %% of the best that any on and off could do.",
		lower(at), Whole(*o.AnnualCost), currency, Whole(o.LowerBound), twoDigits(100**o.GapFrac))
	for _, b := range o.Boilers {
		text += fmt.Sprintf(" %s fires %s h and starts %d times", b.Name, Whole(b.FiresH), b.Starts)
		if b.StandsH > 0 {
			text += fmt.Sprintf(", stands by %s h", Whole(b.StandsH))
		}
		text += "."
	}
	fmt.Fprintf(w, "\n%s\n", wrapped(text))
}

func lower(s string) string { return strings.ToLower(s[:1]) + s[1:] }
