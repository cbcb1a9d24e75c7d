//go:build !race

package sky

const underRace = false
