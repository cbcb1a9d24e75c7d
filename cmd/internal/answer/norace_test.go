//go:build !race

package answer

const underRace = false
