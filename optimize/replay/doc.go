// Package replay plays a plant through short steps of time, a minute or some seconds, as machines and not as a plan: water
// and steam in vessels, boilers that fire up, loops that lag behind the sun, header pressure that has to be kept. It answers
// what arrives of what a plan promised.
//
// Start with [Run]: a [Plant], a way of running it, and what came of it as [Played]. [PlainRule] and [Follow] are ways; any
// other fills [Orders] by what it sees in [Seen]. A vessel alone is [NewTable], once, and [Table.Vessel].
//
// # What is played
//
// Headers keep their pressure within a band: what boilers' water gives meanwhile is [Header.SlackKWh] each way ([Slack]).
// Reducing valves keep the enthalpy and let down, never up. What cannot be met is unmet, what is too much is vented.
//
// Flash vessels are mass, energy and volume in equilibrium. Steam leaves as fast as the rating allows at the present pressure
// and water surface, or the nozzle; feed comes while drawing or while charging. Steam of a header charges them by Stodola's ellipse, and
// brings its own water, which a level control lets out where it is too much. Exchanger vessels are mixed and closed.
// Thermoclines are a hundred parcels that move without smearing, conduct and lose (layered.go).
//
// Fields bring their yields by the vessel's present temperature, between the two that are given, after a lag of first
// order that conserves energy. The yields are package plant's on this time axis, with the warming of receivers and pipes
// after each cold spell taken off minute by minute: the lag is only what is under way in a hot loop, so that nothing is counted twice.
//
// Boilers are off, starting, hot or firing; they have a lowest fire, a ramp, fuel by their own curve, and take fuel to start, to
// purge ([DefaultPurgeH]) and to stand by. Which burn is said in sequence.go: by merit, in time for the stores not to run out
// before a start is done. The loads are known for as long ahead as the slowest start takes, as a works knows its shifts; the
// sun is not. What keeps a store warm at its floor starts no boiler that has a lowest fire: the store then cools a little, and
// is brought back when one burns.
//
// Each step is: gauges, orders, boilers on and off; lowest fires, sun, base loads, stores, boilers, stores that were held;
// charging from headers; pressure; losses. Before the year its last week is played, uncounted, so that it begins warm.
//
// # Books
//
// [PlantBooks] count mass and energy over the whole plant: what crosses its bounds, by flows; what is within, by IAPWS-IF97 from the
// states. They close to 1e-13 of what went in and out (TestRandomPlants), and a kWh out of nothing shows (TestBooksSeeWhatIsWrong).
//
// # What is neglected, and its size
//
//   - Ten seconds in place of a minute: 0.05 % of the fuel, 1 % of the lightings (TestTenSeconds).
//   - The saturation line is a table, 0.25 K and cubic: 1e-8 of each property (TestTableAgainstIF97; 2e-10 measured).
//   - The vessel's steel (checks-heat 3.7.9: 4 % of what it holds, to the safe side), moisture in the steam, and water that is not at
//     the boiling point: see package storage.
//   - Pressure of cooler water in a thermocline: under 0.1 % of its heat. What diffusers mix: not known.
//   - Heat under way in a field that is asked for by a hotter store than it was made for: minutes of its lag.
//   - A field that is turned away is hot again at once, as in package plant.
//   - Burners light within the step; purging takes fuel, and its minutes are in a start's time.
//   - Pumps and fans but the fields' pumps.
//
// Not here: prices; forecasts; frost, whose heat package plant takes off the yields; work that may be moved.
//
// # Speed
//
// A year of minutes takes 0.4 s on one core with a flash vessel, 0.7 s with a thermocline (processor time of BenchmarkYear), and
// the loop allocates nothing (TestNoAllocationInTheLoop).
package replay
