//go:build race

package clock

// A clock starts no goroutine: under the detector the short tests stand for the long ones.
const underRace = true
