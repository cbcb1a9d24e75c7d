//go:build !race

package clock

const underRace = false
