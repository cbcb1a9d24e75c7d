// Package storage is the pressurised hot-water vessel: how much heat a cubic metre holds for a header, how
// fast it gives it, what it loses, and what happens in it when heat is drawn, charged or just held.
//
// Start with [New], then [Vessel.Limits] for a planner's numbers at a volume, or [Vessel.At], [Vessel.Draw],
// [Vessel.Charge] and [Vessel.Hold] to play a state through time.
//
// # Physics
//
// The vessel is rigid, closed and holds water and steam in equilibrium: a state is the mass M, the internal
// energy U and the volume V, and its temperature follows. It is hot at the boiling temperature of the working
// pressure less a margin. It is empty at the floor: for flash discharge the boiling temperature of the header
// pressure plus the line's drop, for an exchanger the supply temperature plus the approach: mixed water that is cooler
// cannot make the supply, however warm the load's return is. A thermocline gives supply temperature down to its last hot
// water, and what comes back to it is as cool as the load's return plus the approach.
//
// Flash discharge draws dry saturated steam, dU = -h_g dm_s. Feedwater is added in equal mass while discharging
// (M constant, dU = (h_fw - h_g) dm_s) or only while charging (M falls, then is made up and heated); the second
// gives 10 to 18 % more steam per m³ over the usual ranges. An exchanger draws dU = -dQ at constant M.
//
// Heat is counted on the load's basis, m_s (h_g - h_fw), h_fw that of water boiling at the feedwater's temperature.
// So U - h_fw M is a ledger that a draw, a charge or a loss changes by exactly its own heat: a lossless cycle closes to rounding.
//
// With feed while charging a loss has two prices: a kWh lost from a standing vessel takes 1.1 to 1.2 kWh from what can be drawn before the
// next charge, of which that charge then saves the excess (20 to 6 bar(a): about 1.15, TestLossAndDelivery). A ledger of
// heat alone, as a planner keeps it, is right over the cycle and flatters only the time between.
//
// # What is neglected, and its size
//
//   - The steel wall. 12 t cooled by 54 K give 3.8 % of what the water of a 40 m³ vessel gives (checks-heat 3.7.9).
//     Leaving it out understates the store.
//   - Non-equilibrium: a fast pressure drop superheats the liquid for a while. No error for capacity; the
//     pressure of the first minutes of a steep draw is overstated. No figure is in hand.
//   - Layers: the water is fully mixed, but in a [Thermocline], where none of it is outside the layer (thermocline.go).
//   - Moisture carried over. The evaporating-surface rating is there to keep it small.
//   - Conduction along supports and nozzles, unless [Spec.ExtraLossFrac] says so: usually 10 to 20 % of the loss
//     (common practice, no source). The default here is 0.
//   - The films inside the steel and the steel itself in the loss: under 1 % against any usual insulation.
//   - Pressure of non-boiling feedwater: h' at its temperature is 0.06 % of the heat from that at 20 bar(a).
//
// Charging is not limited here: the pump or exchanger that charges is the plant's.
//
// # Cautions
//
// Hot pressurised water and steam kill. This package is for feasibility and planning: it designs no wall
// thickness, no relief valve and no support. A vessel is designed, built and inspected under the local
// pressure-equipment code by licensed people. A vessel that cools below 100 °C draws a vacuum.
package storage
