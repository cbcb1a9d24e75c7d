package report

import (
	"fmt"
	"io"
	"strings"

	"noonkeep/cmd/internal/answer"
)

// movableText says what choosing the hours of work is worth; nothing if there is no such work.
func movableText(w io.Writer, m *answer.Movable, currency string) {
	if m == nil {
		return
	}
	text := fmt.Sprintf("Of the heat asked for, %s MWh a year is work whose hours the plan chooses. ", Tenths(m.HeatKWh/1000))
	at := fmt.Sprintf("At %s m³", Volume(m.VolumeM3))
	if m.VolumeM3 == 0 {
		at = "Without a store"
	}
	if m.Worth != nil {
		text += fmt.Sprintf("%s that is worth %s %s a year: with all of it done as soon as it may be, the year costs %s. ",
			at, Whole(*m.Worth), currency, Whole(*m.FixedAnnualCost))
	} else {
		text += fmt.Sprintf("%s it cannot be said what that is worth: %s. ", at, m.WhyNot)
	}
	fmt.Fprintf(w, "\n%s\n", wrapped(text+"Costs and savings are all with the choice, those of the plant without a store and of boilers alone too."))
}

// wrapped breaks a text into lines of the page's width.
func wrapped(text string) string { return strings.Join(broken(text, textWidth), "\n") }

// broken are the lines of a text that is broken at a width.
func broken(text string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && len([]rune(line))+1+len([]rune(word)) > width {
			lines, line = append(lines, line), ""
		}
		line = strings.TrimLeft(line+" "+word, " ")
	}
	return append(lines, line)
}
