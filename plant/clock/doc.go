// Package clock holds a study's time: its axis, its calendar and its weekly patterns.
//
// Start with [NewYear] and [ParseWhen]. An [Axis] is a row of equal steps in local standard
// time, that is at a fixed offset from UTC with no summer time. A value on an axis is the mean
// over its step ([KW]) or a stock at the step's start ([KWh]); whoever reads a file turns the
// file's own stamps into this rule, and nobody after it thinks about stamps again.
//
// A [When] says in which hours of the week something runs. A stretch over midnight belongs
// to the day on which it begins: on "Mon-Fri 22:00-06:00" Saturday's small hours are the end of
// Friday's shift. The [Calendar] takes out holidays and shutdowns by the same rule, so a shift that
// began the evening before a holiday runs on to its end, and the holiday's own evening shift
// does not come.
//
// People work by the clock on the wall, the sun and the axis do not. A [SummerTime] in the calendar
// moves all that follows a When an hour ahead in summer, its days, holidays and seasons with it. Over
// the missing hour of the spring night a stretch is an hour shorter, over the doubled hour of the autumn
// night an hour longer. A [Rota] is a When whose pattern changes by week.
//
// A [Week] is a pattern painted in equal slots, for a page to draw and a hand to change; [WriteWhen] turns it back into the
// text that a planner would write.
//
// Sources: the Gregorian calendar as in package time; weeks that begin on Monday, dates and times written as in ISO 8601
// (2026-12-25, 06:00), with the short form "25 Dec" for every year.
//
// Accuracy: shares and overlaps are counted in whole nanoseconds, so no hour is lost or
// counted twice; only the last division rounds.
//
// Not here: which place has which summer time (it changes by law, so it is asked for), shifts of the clock
// other than an hour, leap seconds, movable feasts (write them as dates), the sun.
package clock
