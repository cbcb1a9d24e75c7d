package demand

import (
	"time"

	"noonkeep/plant/clock"
)

// LogForm is what must be known of a meter's log to read it. Nothing of it is guessed: what is left out is found in
// the first rows where they leave no doubt, and asked for where they do not.
type LogForm struct {
	Source string // stands in front of each message

	Time      string // column of the times: its name in the header, or its number from 1
	TimeOfDay string // a second column with the hour, where the first has the day alone; "" for none
	Value     string // column of the values
	Sheet     string // of a workbook; "" where it has one alone

	Unit     LogUnit
	Scale    float64  // each value is so many units; 0 counts as 1
	Counts   LogCount // what a value of that unit is
	RollOver float64  // the reading at which a counter begins at 0 again, as it is written; 0 for unknown
	AtEnd    bool     // a row is stamped with the end of its interval, else with the start; nothing to a counter
	Negative bool     // values below 0 count as 0, else they are faults
	Missing  []string // texts that stand for no value, besides the empty cell

	Clock     LogClock
	Dates     DateOrder
	Decimal   byte // '.' or ',', 0 to find out
	Delimiter byte // ',' ';' '\t' or '|', 0 to find out

	LongestGap time.Duration // between two rows without one missing; 0 for 1.5 times the usual interval
	Stuck      time.Duration // a rate that stays the very same for longer is told; 0 for 48 h

	Step     time.Duration  // of the study, a divisor of 60 min; rows are folded into steps of it
	Zone     *time.Location // local standard time, a fixed zone
	Calendar clock.Calendar // its Summer moves a wall's clock
}

// LogCount is what a value is.
type LogCount int

const (
	Rate     LogCount = iota // a mean over the row's interval, or a moment of it
	Counter                  // the reading of a counter, which rises
	Interval                 // what came together in the row's interval
)

// LogClock is the clock by which a log was stamped.
type LogClock int

const (
	StandardTime LogClock = iota // local standard time, all year
	WallClock                    // the clock on the wall, with summer time by the calendar
	UTC
)

// DateOrder is the order of day, month and year in a date. The zero value is found out.
type DateOrder int

const (
	UnknownOrder DateOrder = iota
	DayMonthYear
	MonthDayYear
	YearMonthDay
)

// String is the order as a scenario writes it.
func (o DateOrder) String() string {
	return [...]string{"unknown", "day-month-year", "month-day-year", "year-month-day"}[o]
}

// Log is what a log has measured, folded into the study's steps. Make one with [ReadLog] or [ReadWorkbookLog];
// [Log.On] puts it on a study's axis.
type Log struct {
	Source   string
	Unit     LogUnit
	Rows     int           // with a value, without those that stood twice
	First    time.Time     // start of what was measured, local standard time
	Last     time.Time     // its end
	Interval time.Duration // usual, between two rows
	Quantity float64       // all that was measured, in the unit's base: kg, kWh or m3

	CoveredH   float64 // hours that rows stand for
	Duplicates int     // rows that stood twice, dropped
	Empty      int     // rows without a value
	RollOvers  int
	Resets     int
	Wild       int // readings of a counter far above both neighbours, dropped
	Negatives  int // values below 0, taken as 0
	StuckH     float64
	Notes      []LogNote // what was found on the way, the first three of each kind and counts of the rest

	Gaps int // spans in which rows are missing

	bins  *bins
	form  LogForm
	lumps []lump // what a counter counted over gaps
}

// LogNote is something found in a log that is no fault: Line is 0 for a count.
type LogNote struct {
	Line int
	Text string
}
