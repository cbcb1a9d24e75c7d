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

	GHI, DNI, DHI []float64 // W/m², means over the step: global, direct normal, diffuse on the horizontal
	AirC          []float64 // dry bulb, °C, mean over the step
	WindMS        []float64 // m/s, as measured (10 m above ground as a rule)

	// LightOffset is where the light of each step stands, counted from the step's middle: Suns[i] is the sun at
	// Axis.Mid(i)+LightOffset. It is 0 unless the file's rows do not stand for whole steps of the axis.
	LightOffset time.Duration
	Suns        []Sun // one a step

	Notes []Note // what had to be assumed, filled or changed, and what looks wrong; never empty lines
}

// Note is one thing that the user of a weather year should know. Line is the line of the file, 0 for the whole.
type Note struct {
	Line int
	Text string
}
