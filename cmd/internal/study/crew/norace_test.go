//go:build !race

package crew

const underRace = false
