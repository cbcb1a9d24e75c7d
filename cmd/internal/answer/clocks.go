package answer

import (
	"slices"
	"strings"
	"time"

	"noonkeep/scenarios"
)

// clocks says when the clocks on the wall are changed; nothing where they are not.
func (s *Section) clocks(c scenarios.Case) {
	forward, back := c.Calendar.Summer.Turns(c.Axis)
	all := append(slices.Clone(forward), back...)
	if len(all) == 0 {
		return
	}
	slices.SortFunc(all, time.Time.Compare)
	var said []string
	for _, at := range all {
		way := "back"
		if slices.Contains(forward, at) {
			way = "forward"
		}
		said = append(said, way+" an hour on "+at.Format("2 Jan 15:04"))
	}
	s.add("clocks on the wall", "%s, standard time; the hours of the loads follow them, the sun does not", strings.Join(said, ", "))
}
