//go:build !race

package optimize

const underRace = false
