package scenarios

// logFile is a load by a meter's log.
type logFile struct {
	At        at
	File      text   `key:"file" need:"yes" eg:"steam-meter.csv" doc:"The log, CSV of any length or XLSX; a relative name starts at the scenario's folder."`
	Sheet     text   `key:"sheet" eg:"2026" doc:"The sheet of a workbook that has several."`
	Time      text   `key:"time" default:"1" why:"the first column" eg:"Zeitstempel" doc:"The column of the times, by its name in the header or its number."`
	TimeOfDay text   `key:"time_of_day" eg:"Uhrzeit" doc:"A second column with the time of day, where the first has the day alone."`
	Value     text   `key:"value" need:"yes" eg:"Dampf t/h" doc:"The column of the values, by its name in the header or its number."`
	Unit      text   `key:"unit" need:"yes" eg:"t/h" doc:"Unit of the values: kg/h, t/h, kg/s, kW, MW; kg, t, kWh, MWh, GJ; of fuel also m3/h, l/h, m3, l."`
	Counts    text   `key:"counts" of:"rate|total|interval" doc:"What a value is: a rate, the total of a counter that rises, or what came in the row's interval. A unit per hour says rate by itself."`
	Scale     amount `key:"scale" kind:"number" over:"0" max:"1e9" eg:"0.1" doc:"Each value counts as so many units; 1 when left out. For a counter of pulses, units a pulse."`
	Times     text   `key:"times" of:"start|end" default:"start" why:"the other way shifts all by one interval" doc:"What a row of a rate or an interval is stamped with: its interval's start or end."`
	Clock     text   `key:"clock" of:"standard|wall|UTC" doc:"The clock that stamps: local standard time all year, the clock on the wall with its summer time, or UTC. Standard when left out where the plant has no summer time."`
	Dates     text   `key:"dates" of:"day-month-year|month-day-year|year-month-day" doc:"Order of day, month and year. Found out when left out, and asked for where the rows leave it open."`
	Decimal   text   `key:"decimal" of:"point|comma" doc:"Decimal sign of the values. Found out when left out, and asked for where the rows leave it open."`
	Delimiter text   `key:"delimiter" of:"comma|semicolon|tab|bar" doc:"What parts the columns of a CSV file. Found out when left out."`
	RollOver  amount `key:"roll_over" kind:"number" over:"0" max:"1e15" eg:"1000000" doc:"For a total: where the counter begins at 0 again, its largest reading and one. Left out, any fall is a reset, and the time between a gap."`
	Longest   amount `key:"longest_gap" kind:"time" over:"0" max:"8760" eg:"20 min" doc:"Most time between two rows without one missing; 1.5 times the usual interval when left out."`
	Stuck     amount `key:"stuck" kind:"time" over:"0" max:"8760" eg:"48 h" doc:"A rate that stays the very same for longer is told; 48 h when left out, more than most weekends."`
	BelowZero text   `key:"below_zero" of:"refuse|count as 0" doc:"What becomes of values below 0, as of a meter whose zero drifts; refuse when left out."`
	Missing   []text `key:"missing" eg:"[Bad, ---]" doc:"Texts that stand for no value, besides the empty cell."`
	Gaps      text   `key:"gaps" of:"fill|refuse|fill anyway" default:"fill" why:"what is filled is counted as a part of its own" doc:"What becomes of hours without rows: filled from other weeks, if the log has four; refused; or filled from however little there is."`
	Year      text   `key:"year" of:"as measured|shift" default:"as measured" doc:"Whether days of other years may stand for the study's, moved by whole weeks so that weekdays match."`
	Meters    text   `key:"meters" of:"steam|fuel" default:"steam" doc:"What the meter counts: steam or heat at the header, or a boiler's fuel."`
	Boiler    text   `key:"boiler" eg:"B1" doc:"The boiler whose fuel is metered; its fuel and efficiency turn it into heat. The only one when left out."`
	Basis     text   `key:"basis" of:"net|gross" doc:"For fuel metered in kWh, MWh or GJ: the calorific value that the meter counts by. A gas meter's kWh are mostly gross."`
}
