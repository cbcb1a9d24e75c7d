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
// (isotropic sky); Rabl, Active Solar Collectors and their Applications (end loss, from memory); SAND94-1884 (trough optics); IPCC 2006 Guidelines vol. 2, tables 1.2 and 1.4 (fuels).
//
// Steps: a yield is the mean over its step. In a step in which the sun rises or sets, the sun stands at the
// middle of the part of the step in which it is up; wind and air are the step's.
//
// Dirt, days out, frost and pipes with a heat capacity of their own are a [Field]'s. A collector's stagnation is told as
// where its curve ends ([Collector.StagnationC]), which is a lower mark: the curve is not measured there.
//
// What stands between a field and the sky is the field's too: a [Horizon], the other [Rows] or the other dishes of its
// [Grid], the [Ends] of its mirrors. A [Ground] tells how many collectors fit. All stand on level ground.
//
// A [Guarantee] is what a field must show in a test after the method of ISO 24194 (from memory; the text itself was not
// read): a [Checker] puts measured hours, which [ReadFieldLog] reads, into the collector's formula.
//
// Not here: backtracking, rows on a slope or at different heights; rain that washes, since the weather files' rain is not read; a heat pipe that dries out, or any other guard
// that changes a collector's curve when it is hot.
package plant
