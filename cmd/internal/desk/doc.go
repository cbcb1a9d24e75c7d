// Package desk is the local page: a scenario's curve, plant, shifts, days and year in a browser, on the packages that
// the commands use.
package desk
