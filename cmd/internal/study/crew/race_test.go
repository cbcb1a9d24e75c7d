//go:build race

package crew

// Whole studies take ten times as long under the detector.
const underRace = true
