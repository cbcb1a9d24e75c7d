//go:build !race

package chart

const underRace = false
