// Package demand turns what a plant consumes into heat per step, kW.
//
// Start with [Load] and [ReadSeries]. A load is a steady heat in the hours of a weekly pattern, through the
// year or in seasons, with its breaks, ramp, start-up and cleaning, or a measured [Series]. Steam given in kg/h becomes heat by [SteamKW]: what the
// boiler adds to feedwater to make saturated steam at the header, m (h_g - h_fw)/3600.
//
// A measured series is taken as it is: holidays and shutdowns are in the measurement, so the
// calendar takes nothing out of it. The time of a row is the START of its step, in local standard
// time without summer time, and its value is the mean over the step. A log that stamps the end of each step must have
// one step taken off its times first; nothing here guesses which of the two it is.
//
// A series has its own step. On a study's axis each step takes of each row the part that overlaps it, so the
// energy inside the study is kept to rounding. A series may be longer than the study, never shorter:
// nothing is filled in.
//
// A meter's [Log] is taken with its faults: [ReadLog] reads a CSV file of any length in one pass, and [ReadWorkbookLog] a
// workbook, as a [LogForm] says, and folds the rows into the study's steps. [Log.On] makes a year of it; what no row
// stands for is filled from other weeks, marked, and counted as a part of its own. What could be read two ways (the
// order of a date, a comma, a quantity that may be a counter's) is asked for.
//
// Hot water is a [Draw], which [HotWater] turns into heat from the make-up temperature of an [AirYear]; a [Tank] before
// the taps may smooth it. Cold becomes heat by a [Chiller].
//
// Fuel bills are [Bills]: each keeps its heat over its own dates, and a [DegreeDayFit] tells what of it follows the
// weather. A [BoilerHouse] balances condensate, make-up, deaerator and blowdown: the feedwater that steam is made of,
// and what the boiler makes beyond the process steam.
//
// A [Batch] is a vessel whose baths are filled, heated, held and dropped. [Batch.Run] solves each heating in closed form, a
// [Timetable] says when batches begin, and [Cycle.Over] lays them on an axis, energy kept. A bath has one temperature;
// liquor that goods keep when a bath is dropped is not counted, and a gradient takes what steam it needs.
//
// Sources: steam by package steam (IAPWS R7-97(2012)); times as in ISO 8601; CSV as in RFC 4180
// with comma or semicolon, without line ends inside a cell, in a series without delimiters there either; workbooks as in
// ISO/IEC 29500; spreadsheets' day numbers as in its part 1, 18.17.4.
//
// Not here: fuel bills (give them as a series or as more loads);
// which header a load hangs on and its condensate (package scenarios).
package demand
