// Package replay plays a hot-water vessel through short steps of time, seconds or minutes, as water and steam in
// equilibrium: mass, energy and volume in, temperature, pressure and level out.
//
// Start with [NewTable], once for a plant, and [Table.Vessel]. A step is any of [Vessel.Steam], [Vessel.Feed],
// [Vessel.Heat] and [Vessel.Cool]; [Vessel.Books] says what went in and out, and whether it closes.
//
// Package storage plans with steps of 1 K and exact properties at each; here a year has half a million steps, so the
// saturation line is a table (0.25 K, cubic in between). It departs from IAPWS-IF97 by less than 1e-8 of each property (2e-10 measured)
// from 20 to 340 °C (TestTableAgainstIF97). Energy is linear in the properties, U = M a(T) + V k(T), so that one table
// serves all volumes.
//
// Not here yet: collectors, boilers and the header around the vessel; ways of running the plant. Not here at all: the
// steel wall, water that is not at the vessel's boiling point, and moisture in the steam (see package storage for their
// sizes).
package replay
