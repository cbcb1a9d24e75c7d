//go:build race

package scenarios

// Reading a scenario starts no goroutine: under the detector the short tests stand for the long ones.
const underRace = true
