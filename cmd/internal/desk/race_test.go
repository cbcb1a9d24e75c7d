//go:build race

package desk

// `make test` runs this package without the race detector too; these tests of whole years wait for that pass.
const underRace = true
