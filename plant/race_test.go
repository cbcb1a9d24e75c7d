//go:build race

package plant

// A yield starts no goroutine: under the detector the short tests stand for the long ones.
const underRace = true
