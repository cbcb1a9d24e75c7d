//go:build race

package main

// The race detector makes a map ten times slower; optimize has it watch the map's workers on a short year.
const underRace = true
