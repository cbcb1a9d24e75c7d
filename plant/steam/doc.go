// Package steam gives the properties of water and steam that a plant needs.
//
// Start with [SatTemp] and [SaturatedUnder]; [Liquid] and [Vapour] give single-phase states.
//
// Formulas: IAPWS R7-97(2012), the industrial formulation "IF97": the basic equations of regions 1
// and 2, and the saturation equations of region 4 both ways, (30) and (31). They reproduce the
// release's check tables to all nine printed digits.
//
// Validity. Liquid: 0 to 350 °C, from the saturation pressure to 1000 bar(a). Vapour: 0 to 800 °C up to
// the saturation pressure, above 350 °C up to the boundary with region 3 and at most 1000 bar(a).
// Saturation temperature and pressure: to the critical point, 373.946 °C; properties of both phases on
// the line: 0 to 350 °C. What lies outside is a [*RangeError], never a number.
//
// Accuracy. The release states its own uncertainty: at the pressures of industrial boilers the
// densities are good to 0.001-0.003 % in the liquid and to 0.1 % in the vapour, the saturation pressure to
// 0.025 % (value from memory, R7-97 figures 3 to 6). On the saturation line the two phases come from
// separate equations, so Gibbs' equality holds there to 0.012 kJ/kg, not to rounding (measured, TestGibbsEquality).
//
// Temperatures are in °C outside this package and in K inside. A pressure is a [Pressure], which says
// absolute or gauge when it is made.
//
// Not here: region 3 (liquid and dense vapour above 350 °C) and region 5 (above 800 °C); no vessel or
// boiler of this plant goes there. Backward equations T(p,h), T(p,s): nothing here needs them.
// Viscosity and conductivity of the fluid: no film inside the steel is computed anywhere.
// Metastable states: a superheated liquid or subcooled vapour is out of range.
package steam
