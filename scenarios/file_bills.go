package scenarios

// billsFile is a load that only fuel bills tell of. The hours of work that shape it are the load's own when and season.
type billsFile struct {
	At      at
	Boiler  text       `key:"boiler" eg:"B1" doc:"The boiler whose fuel is billed; the first when left out. Heat is its fuel by its efficiency."`
	List    []billFile `key:"list" eg:"[{from: 2025-12-28, to: 2026-01-27, used: 41250 kWh gross}]" doc:"The bills. One of list and file."`
	File    text       `key:"file" eg:"bills.csv" doc:"A CSV file with a header line such as from,to,used kWh gross, and estimated behind it if need be; a relative name starts at the scenario's folder."`
	Dates   text       `key:"dates" of:"readings|whole days" doc:"What to says: a reading on that morning, on which the next bill begins; or the last whole day. As the bills touch when left out."`
	Base    amount     `key:"base" kind:"share|power" min:"0" max:"1e6" eg:"15 %" doc:"What runs at all hours, of the heat that does not follow the weather, or as a power; none when left out."`
	Weather yesno      `key:"weather" default:"yes" why:"a poor fit is said and not used" doc:"A part follows the weather, found by regression on degree days."`
	Balance amount     `key:"balance" kind:"temperature" or:"fit" default:"fit" min:"-20" max:"60" why:"the balance temperature with the least residual, from 5 to 30 degC" eg:"16 degC" doc:"Air under which heat follows the weather."`
}

type billFile struct {
	At        at
	From      text   `key:"from" need:"yes" eg:"2025-12-28" doc:"First day."`
	To        text   `key:"to" need:"yes" eg:"2026-01-27" doc:"Day of the reading at the end, or last day; see dates."`
	Used      amount `key:"used" kind:"fuel used" need:"yes" min:"-1e12" max:"1e12" eg:"41250 kWh gross" doc:"Fuel used. Energy says whether it counts gross or net; below 0 only in the bill that puts an estimated one right."`
	Estimated yesno  `key:"estimated" doc:"The reading at the end was guessed: the bill is joined with the next."`
}
