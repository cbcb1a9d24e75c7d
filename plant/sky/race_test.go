//go:build race

package sky

// The race detector makes a year of minutes ten times slower, and nothing here runs in parallel: a month must do.
const underRace = true
