package scenarios

// valveFile is what lets heat into a header from the one over it.
type valveFile struct {
	At    at
	Most  amount `key:"most" kind:"flow|power" over:"0" max:"1e6" eg:"1500 kg/h" doc:"The most that it passes: steam of the header over it, or heat. All that can come when left out."`
	Spray yesno  `key:"desuperheater" default:"no" why:"it changes no heat" doc:"Whether feedwater is sprayed in, so that the steam comes down to saturation. The heat is the same, the mass a little more."`
}

// mediumFile is what carries heat where steam does not.
type mediumFile struct {
	At       at
	Kind     text   `key:"kind" of:"hot water|thermal oil|hot air" need:"yes" eg:"hot water" doc:"What carries the heat."`
	Supply   amount `key:"supply" kind:"temperature" need:"yes" over:"0" max:"400" eg:"140 degC" doc:"At which it goes to the loads."`
	Return   amount `key:"return" kind:"temperature" need:"yes" over:"0" max:"400" eg:"110 degC" doc:"At which it comes back."`
	Approach amount `key:"approach" kind:"warmth" default:"5 K" min:"0" max:"100" why:"a plate or shell exchanger; common practice, no source" doc:"How much hotter steam or another header must be to heat it."`
}
