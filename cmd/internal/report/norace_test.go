//go:build !race

package report

const underRace = false
