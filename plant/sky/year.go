package sky

import (
	"time"

	"noonkeep/plant/clock"
)

// Year is hourly or sub-hourly weather on the axis of a study. All series have Axis.N values and no gaps.
type Year struct {
	Place  Place
	Axis   clock.Axis
	Source string // where the light comes from, for people: station and format, or how it was generated
	// Measured is the calendar year that the rows of the file are of; 0 for a typical or a generated year.
	Measured int

	// RowStep is what a value of the source stands for: a row of the file, or an hour of a generated year. Where it is longer
	// than the axis' step, its light was spread; 0 is not known, and counts as the axis' step.
	RowStep time.Duration

	GHI, DNI, DHI []float64 // W/m², means over the step: global, direct normal, diffuse on the horizontal
	AirC          []float64 // dry bulb, °C, mean over the step
	WindMS        []float64 // m/s, as measured (10 m above ground as a rule)

	// LightOffset is where the light of each step stands, counted from the step's middle: Suns[i] is the sun at
	// Axis.Mid(i)+LightOffset. It is 0 unless the file's rows do not stand for whole steps of the axis.
	LightOffset time.Duration
	Suns        []Sun // one a step

	Notes []Note // what had to be assumed, filled or changed, and what looks wrong; never empty lines
}

// Note is one thing that the user of a weather year should know. Line is the line of the file, 0 for the whole. File is the
// one of several that the line is in; it is empty where there is one file alone.
type Note struct {
	File string
	Line int
	Text string
}
