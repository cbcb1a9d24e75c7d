package scenarios

type hotWaterFile struct {
	At      at
	Draw    amount      `key:"draw" kind:"draw" need:"yes" min:"0" max:"1e4" eg:"12 m3/d" doc:"Hot water that is drawn, as a meter in the cold make-up counts it: m3/d on each day on which when begins, or l/h while it runs."`
	Profile []amount    `key:"profile" kind:"share" len:"24" min:"0" max:"1e6" doc:"How a day's draw is spread over the 24 hours from midnight; only the ratios count. The hours of when, evenly, when left out."`
	To      amount      `key:"to" kind:"temperature" need:"yes" over:"0" max:"140" eg:"60 degC" doc:"Of the hot water."`
	MakeUp  amount      `key:"make_up" kind:"temperature" or:"season" default:"season" min:"0" max:"100" why:"a town's mains by the year's air, Burch and Christensen 2007" doc:"Temperature of the make-up water: one for the year, or season, which follows the weather."`
	Months  []amount    `key:"make_up_months" kind:"temperature" len:"12" min:"0" max:"100" doc:"Temperature of the make-up water in each month, January first, in place of make_up."`
	Ground  *groundFile `key:"make_up_ground" doc:"Make-up water as warm as the ground, by Kusuda and Achenbach 1965, in place of make_up."`
	Tank    *tankFile   `key:"tank" doc:"A hot-water tank before the taps; its heater alone loads the header."`
}

type groundFile struct {
	At          at
	Depth       amount `key:"depth" kind:"length" need:"yes" min:"0" max:"100" eg:"1.5 m" doc:"Under the surface."`
	Diffusivity amount `key:"diffusivity" kind:"diffusivity" default:"0.0557 m2/d" min:"0.005" max:"0.5" why:"that of the ground in public weather files, 0.025 ft2/h" doc:"Of heat in the soil."`
}

type tankFile struct {
	At     at
	Volume amount `key:"volume" kind:"volume" need:"yes" over:"0" max:"1e4" eg:"5 m3" doc:"Of the water in it."`
	Heater amount `key:"heater" kind:"power" need:"yes" over:"0" max:"1e6" eg:"200 kW" doc:"Most heat that its coil or exchanger passes. It is on while any of the tank is cold."`
	Loss   amount `key:"loss" kind:"standing loss" default:"0 kWh/d" min:"0" max:"1e5" why:"too little; write its maker's figure" eg:"6 kWh/d" doc:"Heat that it loses while it stands hot."`
}
