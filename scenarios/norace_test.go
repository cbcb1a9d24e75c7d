//go:build !race

package scenarios

const underRace = false
