//go:build race

package chart

// One goroutine draws a picture, so that the race detector has nothing to see and takes ten times as
// long: under it a few pictures stand for all.
const underRace = true
