package report

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"unicode/utf8"

	"noonkeep/cmd/internal/chart"
)

// table is columns under a head of some lines: first names, set to the left, then figures, to the right.
type table struct {
	head, rows [][]string
	names      int // columns of names
}

func (t table) write(w io.Writer) {
	all := append(append([][]string{}, t.head...), t.rows...)
	width := make([]int, len(all[0]))
	for _, row := range all {
		for j, cell := range row {
			width[j] = max(width[j], utf8.RuneCountInString(cell))
		}
	}
	line := func(row []string) {
		var b strings.Builder
		for j, cell := range row {
			free := strings.Repeat(" ", width[j]-utf8.RuneCountInString(cell))
			if j < t.names {
				cell, free = cell+free, ""
			}
			b.WriteString("  " + free + cell)
		}
		fmt.Fprintln(w, strings.TrimRight(b.String(), " "))
	}
	for _, row := range t.head {
		line(row)
	}
	rule := 0
	for _, n := range width {
		rule += n + 2
	}
	fmt.Fprintln(w, " ", strings.Repeat("-", rule-2))
	for _, row := range t.rows {
		line(row)
	}
}

// numbers prints values for a file, with all the digits they need to be read back equal. What is
// infinite, such as a price that nothing is to be had for, is left empty.
func numbers(values ...float64) []string {
	out := make([]string, len(values))
	for i, v := range values {
		if !math.IsInf(v, 0) {
			out[i] = strconv.FormatFloat(v, 'g', -1, 64)
		}
	}
	return out
}

// file is one file to be written into a folder.
type file struct {
	name  string
	write func(io.Writer) error
}

// pictures are a figure as SVG and as PNG.
func pictures(name string, f chart.Figure) []file {
	return []file{
		{name + ".svg", func(w io.Writer) error { return chart.WriteSVG(w, f) }},
		{name + ".png", func(w io.Writer) error { return chart.WritePNG(w, f, 1) }},
	}
}

// writeFiles puts all files in place or none, and returns their paths.
func writeFiles(dir string, files []file) ([]string, error) {
	folder, err := NewFolder(dir)
	if err != nil {
		return nil, err
	}
	defer folder.Discard()
	for _, f := range files {
		if err := folder.Write(filepath.Join(dir, f.name), f.write); err != nil {
			return nil, err
		}
	}
	return folder.Commit()
}
