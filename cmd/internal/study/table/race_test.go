//go:build race

package table

// A table starts no goroutine: under the detector the short tests stand for the long ones.
const underRace = true
