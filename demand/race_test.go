//go:build race

package demand

// Working a load out starts no goroutine: under the detector the short tests stand for the long ones.
const underRace = true
