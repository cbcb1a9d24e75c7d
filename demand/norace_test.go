//go:build !race

package demand

const underRace = false
