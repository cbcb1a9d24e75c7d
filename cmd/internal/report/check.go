package report

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

const (
	textWidth    = 92
	diagramWidth = 90
)

// CheckText prints what a scenario was understood to say, with the plant drawn in characters, in ASCII alone without
// unicode. With all, it lists the program's simplifications in full and not by name alone.
func CheckText(w io.Writer, u answer.Understood, all, unicode bool) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n\n", u.Scenario)
	if err := chart.WritePlantText(&b, plantChart(u), diagramWidth, unicode); err != nil {
		return err
	}
	for _, s := range u.Sections {
		fmt.Fprintf(&b, "\n%s\n", strings.ToUpper(s.Title))
		for _, r := range s.Rows {
			entry(&b, r.Name, r.Text)
		}
	}
	designDays(&b, u.DesignDays)
	lightText(&b, u.Light)
	if len(u.Assumptions) > 0 {
		fmt.Fprint(&b, "\nLEFT OUT AND FILLED IN\n")
		for _, a := range u.Assumptions {
			entry(&b, a.Key, a.Value+": "+a.Text)
		}
	}
	fmt.Fprint(&b, "\nSIMPLER THAN THE PLANT\n")
	if all {
		for _, r := range u.Relaxations {
			entry(&b, r.Name, r.Text)
		}
	} else {
		var names []string
		for _, r := range u.Relaxations {
			names = append(names, r.Name)
		}
		entry(&b, "", strings.Join(names, "; ")+". In full: noonkeep check --all")
	}
	if len(u.Warnings) > 0 {
		fmt.Fprint(&b, "\nDOUBTFUL\n")
		for _, n := range u.Warnings {
			name := ""
			if n.Line > 0 {
				name = fmt.Sprintf("line %d", n.Line)
			}
			entry(&b, name, n.Text)
		}
	}
	fmt.Fprintf(&b, "\n%s\n", Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

// entry prints a name and its text beside it, wrapped.
func entry(b *strings.Builder, name, text string) {
	const column = 26
	lead := "  " + name
	if n := utf8.RuneCountInString(lead); n < column {
		lead += strings.Repeat(" ", column-n)
	} else {
		lead += "\n" + strings.Repeat(" ", column)
	}
	b.WriteString(lead + strings.Join(broken(text, textWidth-column), "\n"+strings.Repeat(" ", column)) + "\n")
}
