package clock

import (
	"fmt"
	"strings"
)

// TextError says what was found where a date, days, a weekly pattern or an offset was expected.
type TextError struct {
	What string // "when", "date", "days", "UTC offset"
	Saw  string // the part that does not fit
	Want string // what would
	Near string // the nearest known name, or empty
}

func (e *TextError) Error() string {
	text := fmt.Sprintf("%s: %s; want %s", e.What, quoted(e.Saw), e.Want)
	if e.Near != "" {
		text += fmt.Sprintf("; did you mean %s?", e.Near)
	}
	return text
}

// quoted keeps a message to one line whatever was found.
func quoted(s string) string {
	const most = 60
	if strings.TrimSpace(s) == "" {
		return "is empty"
	}
	if len(s) > most {
		return fmt.Sprintf("%q...", strings.ToValidUTF8(s[:most], ""))
	}
	return fmt.Sprintf("%q", s)
}

var monthNames = []string{"January", "February", "March", "April", "May", "June", "July",
	"August", "September", "October", "November", "December"}

// matchName finds s among names, whole or by three letters, in any case. If there is none the index is
// -1 and near is the nearest short name, or empty if nothing is near.
func matchName(s string, names []string) (index int, near string) {
	if i := indexName(s, names); i >= 0 {
		return i, ""
	}
	return -1, nearest(s, names)
}

func indexName(s string, names []string) int {
	for i, name := range names {
		if strings.EqualFold(s, name) || len(s) == 3 && strings.EqualFold(s, name[:3]) {
			return i
		}
	}
	return -1
}

// nearest is the name within one slip of s, or two where s is longer than four letters; failing that
// the one with the same first three letters ("Thurs", "Sept").
func nearest(s string, names []string) string {
	if len(s) > 20 {
		return ""
	}
	low := strings.ToLower(s)
	best, allowed := "", 1
	if len(s) > 4 {
		allowed = 2
	}
	for _, name := range names {
		for _, known := range []string{name[:3], name} {
			if n := slips(low, strings.ToLower(known)); n <= allowed {
				best, allowed = shortName(name), n-1
			}
		}
	}
	if best == "" && len(low) > 3 {
		if i := indexName(low[:3], names); i >= 0 {
			best = shortName(names[i])
		}
	}
	return best
}

// shortName is how we write a name ourselves: days and months by three letters.
func shortName(name string) string {
	if name[0] >= 'A' && name[0] <= 'Z' {
		return name[:3]
	}
	return name
}

// slips counts the letters put in, left out, replaced or swapped with their neighbour between a
// and b (the optimal string alignment distance).
func slips(a, b string) int {
	rows := make([][]int, len(a)+1)
	for i := range rows {
		rows[i] = make([]int, len(b)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			n := min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				n = min(n, rows[i-2][j-2]+1)
			}
			rows[i][j] = n
		}
	}
	return rows[len(a)][len(b)]
}
