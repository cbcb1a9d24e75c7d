//go:build race

package optimize

// Whole years and thousands of plans, one after another: the maps and cuts that do run in parallel are watched on small problems.
const underRace = true
