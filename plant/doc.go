// Package plant says what each machine of a process-heat plant gives and takes: the sun heat of a collector
// field step by step, the fuel a boiler burns for a kWh of steam, the heat a header puts into a kg of steam.
//
// Start with [Field.Yield] and [Boiler.FuelPerHeat]; [Kinds] and [FuelKinds] list typical collectors and fuels.
//
// A collector is described by the terms of ISO 9806:2017 (quasi-dynamic equation), with two additions that
// concentrators need: a fall of the optical efficiency with temperature, and a hot receiver that radiates from
// its own small opening. The beam on the aperture carries the cosine of the incidence angle, and the incidence
// modifier Kb never does ([Collector.Modifier]). Everything a [Field] returns is per m² of aperture; the basis of
// the coefficients is stated by [Collector.ApertureShare].
//
// Sources: ISO 9806:2017 (equation from memory, coefficients and units as printed on a public data sheet);
// Duffie and Beckman, Solar Engineering of Thermal Processes, 1.6, 1.7 and 2.14 (geometry, low sun), 2.15
// (isotropic sky); SAND94-1884 (trough optics); IPCC 2006 Guidelines vol. 2, tables 1.2 and 1.4 (fuels).
//
// Steps: a yield is the mean over its step. In a step in which the sun rises or sets, the sun stands at the
// middle of the part of the step in which it is up; wind and air are the step's.
//
// Not here: shading between rows, end losses and soiling over time (a later issue; [Field.Cleanliness] is one number
// for the year); linear Fresnel mirrors, whose aperture does not face the sun (their two tables need another
// geometry); stagnation, since an efficiency curve must not be stretched to it.
package plant
