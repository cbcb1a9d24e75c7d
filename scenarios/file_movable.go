package scenarios

type movableFile struct {
	At     at
	Heat   amount `key:"heat" kind:"energy" over:"0" max:"1e9" eg:"900 kWh" doc:"Heat in each window. One of heat and steam."`
	Steam  amount `key:"steam" kind:"mass" over:"0" max:"1e9" eg:"1500 kg" doc:"Steam in each window."`
	Within text   `key:"within" need:"yes" eg:"Mon-Fri 06:00-18:00" doc:"The windows: each stretch of hours is one, and gets its heat at whichever of its hours costs least."`
	Most   amount `key:"most" kind:"power|flow" need:"yes" over:"0" max:"1e6" eg:"400 kW" doc:"The most that it can take at once."`
	Least  amount `key:"least" kind:"power|flow" default:"0 kW" min:"0" max:"1e6" why:"the work may rest within its window" doc:"The least that it takes all through a window."`
}
