// Package optimize finds the plan of least cost for a heat plant with stores, step by step, and what
// each further cubic metre of a store saves; and it proves both.
//
// Start with [Plan], the schedule at given sizes, and [Trace], the curve of savings against volume;
// [Guide] says how far an operator should draw the store down, and [Ahead] plans a day or two again and
// again, from what the store holds. A [Problem] is plain series and numbers: this package knows no steam, sun or boiler make.
//
// # The linear program
//
// All flows are kW, means over a step of dt hours; stocks are kWh at the start of a step. Columns, all
// from 0 to the bound on the right, with their names in the exported program (parts' names between the
// underscores, then month, day and time of the step):
//
//	sun_f_l     heat from field f to header l             AreaM2·HeaderKWM2, and no more than the field's MostKW
//	charge_f_k  heat from field f into store k            AreaM2·StoreKWM2
//	heat_b_i    heat from piece i of boiler b             CapacityKW·Available
//	valve_l_m   heat let down from header l to m          CapacityKW
//	unmet_l     heat missing at header l                  DemandKW + moves + StandingKW of the stores it heats
//	vent_l      heat let go from header l                 all that can come in
//	draw_k      heat from store k to its header           DischargeKW
//	warm_k      heat from its source against standing loss  StandingKW
//	take_k      heat from its source to charge store k    HeaderChargeKW
//	stock_k     heat in store k, kWh                      CapacityKWh
//	move_i      heat that work i takes, LeastKW or more   MostKW, and no more than its window's heat
//	short_m     fuel of take m paid for and not burnt, kWh    LeastKWh; one column, at the first step
//
// Rows, one a step:
//
//	header_l  sum sun + sum heat + sum draw + valves in - valves out + unmet - vent - sum warm - sum take - sum move = DemandKW
//	area_f    sum sun·(y/HeaderKWM2) + sum charge·(y/StoreKWM2) <= AreaM2·y,   y the best of these yields
//	store_k   stock(t+1) - Keep·stock(t) - dt·(sum charge + take + warm - draw) = -dt·StandingKW
//	room_k    sum charge + take <= ChargeKW
//	ramp_b    -RampKW <= sum heat(t) - sum heat(t-1) <= RampKW,   from the second step on
//	window_i  dt·(sum move over the window's steps) = HeatKWh,    one a window, named by its first step
//	limit_m   sum heat of its boilers, or FuelPerHeat·heat, <= MostKW
//	take_m    -dt·(sum FuelPerHeat·heat of its boilers over all steps) - short <= -LeastKWh,    one, at the first step
//
// A store's source is the header ChargedFrom; where that is not given, the header that it serves, and draw, warm and
// take then stand in one row. The year repeats: after the last step, stock is what it was before the first. Ramps do not
// repeat.
//
//	minimise  sum over steps of dt·( sum FuelPrice·FuelPerHeat·heat + sum HeatCost·(sun + charge)
//	          + sum UnmetPrice·unmet ) + sum Price·short + sum FixedCost
//
// What cannot act is left out: sun at night, pieces without capacity, a row of area or room in which
// only one column would stand (it is then that column's bound), a store that can hold nothing.
//
// Where UnmetPrice is 0 no heat may be missing. So that even then there is a solution, unmet costs a
// thousand times the dearest heat, and a plan that needs it is refused as [NoPlan], which says where,
// when and how much is short.
//
// Columns vent are there only if a boiler has a ramp limit or some fuel price is below 0 or below that of its take. Without these
// they cannot better a plan: take a plan that lets heat go in a step; some column put that heat in. If it
// was a boiler, the sun, unmet or a valve, lower it: that costs nothing, as no price is below 0, and for
// a valve the surplus is now one header up, and so on to the top. If it was a store, draw less of it; what
// then stays too much in the store was once put in by sun or from a header: leave that out, and a header
// that gave it has the surplus, at an earlier time. Each round lowers a flow, so it ends. For the same
// reason no store needs a column that lets heat go: charging can be cut.
//
// # Relaxations
//
// All flows may take any value between their bounds: no turndown, no start. [Repair] makes of a plan one that keeps to
// them, and the plan's bound holds for all such. The plan knows the whole period ahead. Fuel prices below 0 would make a boiler's dear pieces run first.
//
// # Work that may be moved
//
// A [Move] is heat that a header must have within windows; the plan chooses when, between the least and the
// most power. What that is worth is the cost of [Problem.AtSoonest], the same work as soon as it may be,
// less the cost of the problem. All of a [Curve]'s plants keep the freedom: the baselines too, boilers
// alone and the same sun without a store, so that savings are the store's and not the freedom's.
//
// # Proof
//
// An engine is asked for flows and prices only. [Proof] is recomputed from the Problem: each row and
// bound from the flows, and the duality gap from a lower bound that is true for any prices, as every
// column has two bounds (bound.go). What is not proven is an error, never a number.
//
// # The curve
//
// [Trace] solves volumes, with the loss and limits that its law gives there, and bounds the savings
// between them: from above by the prices of solved volumes, from below by mixes of solved plans
// (interval.go). One thing is supposed and not proven there: that the boilers have to spare, at their
// dearest price, the little more loss that a mix hides. Between no vessel and the smallest one solved
// (a cubic metre, or a fifth of the first spacing) only the bound from above is promised.
//
// # Engines
//
// Clp, through cgo, takes every problem; a program built without cgo says that it needs Clp. It starts
// from the joined bases of fortnights (crash.go) and goes on from the nearest solved volume, two volumes
// at a time. A law and Progress are called from the goroutine that called Trace.
//
// Not here: physics (package storage makes the law), money over years (package worth), the check of a
// plan in minutes (package replay), integer decisions.
package optimize
