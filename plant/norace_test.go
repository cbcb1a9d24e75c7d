//go:build !race

package plant

const underRace = false
