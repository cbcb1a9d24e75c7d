package demand

// Part is one piece of a load's heat and where it came from. The parts of a load sum to its heat.
type Part struct {
	Name string  // "steam by the shift pattern", "measured in meter.csv", "filled from other weeks"
	KWh  float64 // heat in the study's year
	Text string  // how it was got, for those who doubt it; may be empty
}
