package desk

import (
	"fmt"
	"slices"
	"strings"

	"noonkeep/plant/clock"
)

// cellsOf writes a painted week as a page sends it: seven rows of 0 and 1 joined by "/", Monday first, and an eighth for holidays
// with hours of their own.
func cellsOf(w clock.Week) string {
	var rows []string
	for i, day := range append(w.Days[:], w.Holidays) {
		if i == len(w.Days) && w.Holidays == nil {
			break
		}
		row := make([]byte, len(day))
		for s, on := range day {
			row[s] = '0'
			if on {
				row[s] = '1'
			}
		}
		rows = append(rows, string(row))
	}
	return strings.Join(rows, "/")
}

// weekFromCells reads a painted week as [cellsOf] writes it, in 24, 48 or 96 slots a day. An eighth row with nothing painted
// is holidays without hours.
func weekFromCells(perDay int, cells string) (clock.Week, error) {
	w := clock.Week{PerDay: perDay}
	if !slices.Contains(finerGrids, perDay) {
		return w, fmt.Errorf("the painted week has %d slots a day; want 24, 48 or 96", perDay)
	}
	rows := strings.SplitN(cells, "/", len(w.Days)+2)
	if len(rows) < len(w.Days) || len(rows) > len(w.Days)+1 {
		return w, fmt.Errorf("the painted week has %d rows; want 7, or 8 with holidays", len(rows))
	}
	for i, row := range rows {
		if len(row) != perDay || strings.Trim(row, "01") != "" {
			return w, fmt.Errorf("row %d of the painted week is not %d times 0 or 1", i+1, perDay)
		}
		day := make([]bool, perDay)
		for s := range day {
			day[s] = row[s] == '1'
		}
		switch {
		case i < len(w.Days):
			w.Days[i] = day
		case slices.Contains(day, true):
			w.Holidays = day
		}
	}
	return w, nil
}
