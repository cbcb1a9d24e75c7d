//go:build !race

package desk

const underRace = false
