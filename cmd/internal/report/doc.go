// Package report prints an answer: as text for a terminal, as JSON, CSV and pictures. It
// works nothing out: a figure that an answer does not hold is not printed.
package report

// Cautions stand wherever somebody could act on a figure.
const Cautions = `For feasibility and planning. Vessels, relief valves and boiler connections are designed,
built and inspected under the local pressure code by licensed people.`
