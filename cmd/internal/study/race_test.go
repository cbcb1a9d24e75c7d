//go:build race

package study

// Whole years take ten times as long under the detector.
const underRace = true
