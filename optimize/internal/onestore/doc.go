// Package onestore solves, exactly and without a matrix, the program of a plant in which one store is
// all that couples the steps. Start with [New] and [Solver.Solve].
//
// # The method
//
// Let E be the heat held at a step's start, x what the store gains in the step, and sigma its standing
// loss, so that E' = keep·E + x - sigma with 0 <= E' <= Q. The least cost of a step that gains x, g(x),
// is convex and made of straight pieces (step.go). The least cost of all that follows, V(E'), is convex
// too. One step back,
//
//	V(E) = W(keep·E - sigma),  W(z) = min over x of g(x) + V(z + x),
//
// and W is an infimal convolution: the pieces of g and of V side by side in order of slope (slopes.go).
// A pass from the year's end to its start therefore only inserts a few pieces a step into a sorted list
// and cuts both ends of it to what E can reach (pass.go). Slopes are kept as prices: what one more kWh
// in the store is worth. Where a piece of g lands among those of V says at which E it acts, and that
// suffices to go forward (plan.go).
//
// # The year repeats
//
// As soon as every piece of the list that a pass began with has been cut off, the start of the year is
// taken to be right, and the end is run through again from it. Another list at the year's end might have
// left other pieces at its start, so this is a guess; it was right if the plan has prices (below). Where it
// was not, or where pieces are left (a store larger than all that happens in a year), the year is
// opened and its end paid for at a price: that price is sought at which the plan ends as it began,
// and where two plans at that price end on either side, the right mix of both is as cheap as either
// and ends exactly where it began (open.go).
//
// # Prices
//
// The prices of stored heat must lie between the slopes of g on either side of x, and hang together
// from step to step: equal, up to keep, where 0 < E < Q, and one-sided where E is 0 or Q. Such
// conditions have a greatest solution, found by lowering upper limits until nothing moves (prices.go).
//
// # Levels
//
// A plan says what a kWh is worth on its own way through the year; V says it for every content. The
// heat below which it is worth more than a price is the length of V's dearer stretches. For that V itself
// is wanted, so years are run back over until a year's list repeats (levels.go).
//
// # What it takes
//
// One header, one store, no valves and no ramps, fields of equal heat cost; see [Plant]. Everything is
// kWh per step, and money per kWh. A Solver serves one goroutine and allocates nothing once it has
// solved one year of the same length.
package onestore
