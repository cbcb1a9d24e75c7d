//go:build !race

package table

const underRace = false
