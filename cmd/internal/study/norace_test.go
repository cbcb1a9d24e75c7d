//go:build !race

package study

const underRace = false
