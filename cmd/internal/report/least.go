package report

import (
	"fmt"
	"strconv"

	"noonkeep/cmd/internal/answer"
)

// leastText says how large a store must be for all heat to be met; nothing where none is missing without one.
func leastText(l *answer.Least) string {
	if l == nil {
		return ""
	}
	return "\n" + wrapped(fmt.Sprintf("Without the store header %s misses %s kWh a year, %s kW at worst. With %s m³ no heat is missing; %s m³ still fall short.",
		l.Header, Whole(l.Missing), Whole(l.WorstKW), leastM3(l.VolumeM3), leastM3(l.ShortM3))) + "\n"
}

// leastM3 is a volume to four digits: it was sought to a thousandth.
func leastM3(v float64) string { return strconv.FormatFloat(v, 'g', 4, 64) }
