package sky

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// verdict is what a month's light says of its time.
type verdict struct {
	best              float64 // min from the label, by closure; NaN if unknown
	bestWM2, usedWM2  float64 // mean error there and as read
	clearDays         float64 // min from the label, by the middles of clear days; NaN if unknown
	mistimed, opposed bool    // best is elsewhere than read; the parts of light contradict each other at any offset
}

// sayMistimed tells the months whose light closes better elsewhere, those of one offset together, and what to write.
func (t *table) sayMistimed(months [12]verdict, offset time.Duration) bool {
	byOffset := map[float64][]int{}
	right := 0
	for m, v := range months {
		switch {
		case v.mistimed:
			byOffset[v.best] = append(byOffset[v.best], m)
		case !math.IsNaN(v.best):
			right++
		}
	}
	if len(byOffset) == 0 {
		return false
	}
	var offsets []float64
	for o := range byOffset {
		offsets = append(offsets, o)
	}
	slices.SortFunc(offsets, func(a, b float64) int { return len(byOffset[b])*1000 - len(byOffset[a])*1000 + int(a-b) })
	for _, o := range offsets {
		in := byOffset[o]
		var best, used, clear float64
		for _, m := range in {
			best += months[m].bestWM2 / float64(len(in))
			used += months[m].usedWM2 / float64(len(in))
			clear += months[m].clearDays / float64(len(in))
		}
		text := fmt.Sprintf("mistimed light: GHI = DHI + DNI cos z holds with the light at the label %+.0f min in %s, not at %s as read (mean error %.1f against %.1f W/m²)",
			o, monthNames(in), minutes(offset), best, used)
		if !math.IsNaN(clear) {
			text += fmt.Sprintf("; the middles of clear days there say %+.0f min", clear)
		}
		if o == offsets[0] && right < len(in) {
			text += fmt.Sprintf("; write \"light_offset: %+.0f min\"", o)
		}
		t.note(0, "%s", text)
	}
	if len(offsets) > 1 || right > 0 {
		t.note(0, "no single light_offset suits this file: in %d months the light stands where it was read; better find another file for the place", right)
	}
	return true
}

// sayClearDays is for files without parts to close, or whose closure finds nothing: clear days alone.
func (t *table) sayClearDays(months [12]verdict, offset time.Duration) {
	const monthsToTell = 4
	var off []int
	sum, n := 0., 0.
	for m, v := range months {
		if math.IsNaN(v.clearDays) {
			continue
		}
		sum += v.clearDays
		n++
		if math.Abs(v.clearDays-offset.Minutes()) >= leastMovedClear {
			off = append(off, m)
		}
	}
	if len(off) < monthsToTell {
		return
	}
	text := fmt.Sprintf("perhaps mistimed light: the middles of clear days put it %d min and more from the label %s, as read, in %s (",
		leastMovedClear, minutes(offset), monthNames(off))
	for i, m := range off {
		if i > 0 {
			text += ", "
		}
		text += fmt.Sprintf("%+.0f", months[m].clearDays)
	}
	t.note(0, "%s min); over the year they say %+.0f min: if the file's description agrees, write \"light_offset: %+.0f min\"",
		text, sum/n, 5*math.Round(sum/n/5))
}

// sayOpposed tells the months in which the parts of the light contradict each other wherever the light may stand.
func (t *table) sayOpposed(months [12]verdict) {
	var in []int
	var by []string
	for m, v := range months {
		if v.opposed {
			in = append(in, m)
			by = append(by, fmt.Sprintf("%.0f", v.bestWM2))
		}
	}
	if len(in) > 0 {
		t.note(0, "GHI, DNI and DHI contradict each other in %s: GHI is off DHI + DNI cos z by %s W/m² on average, wherever the light stands",
			monthNames(in), strings.Join(by, ", "))
	}
}

// monthNames is "all months", or "Jan, Apr-Aug".
func monthNames(months []int) string {
	if len(months) == 12 {
		return "all months"
	}
	name := func(m int) string { return time.Month(m + 1).String()[:3] }
	var parts []string
	for i := 0; i < len(months); {
		j := i
		for j+1 < len(months) && months[j+1] == months[j]+1 {
			j++
		}
		switch {
		case j == i:
			parts = append(parts, name(months[i]))
		case j == i+1:
			parts = append(parts, name(months[i]), name(months[j]))
		default:
			parts = append(parts, name(months[i])+"-"+name(months[j]))
		}
		i = j + 1
	}
	return strings.Join(parts, ", ")
}
