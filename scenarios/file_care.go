package scenarios

type washFile struct {
	At    at
	Every amount `key:"every" kind:"time" min:"24" max:"8760" eg:"14 d" doc:"Days from wash to wash, the first on the year's first day."`
	Dates []text `key:"dates" eg:"[1 Apr, 15 Jun, 1 Sep]" doc:"The days of washing, in place of every."`
}

type pipesFile struct {
	At      at
	Length  amount `key:"length" kind:"length" min:"0" max:"1e5" eg:"300 m" doc:"Flow and return together."`
	Water   amount `key:"water" kind:"mass" min:"0" max:"1e7" eg:"600 kg" doc:"Water in them, of both."`
	Steel   amount `key:"steel" kind:"mass" min:"0" max:"1e7" eg:"2000 kg" doc:"Steel that is warmed with it."`
	Loss    amount `key:"loss" kind:"conductivity" min:"0" max:"100" eg:"0.3 W/mK" doc:"Heat lost per m of length and K over the air, beside pipe_loss."`
	Cooling amount `key:"cooling_time" kind:"time" over:"0" max:"1000" eg:"12 h" doc:"Time in which they lose two thirds of their warmth; what follows from loss when left out."`
}

type freezeFile struct {
	At    at
	Below amount `key:"below" kind:"temperature" min:"-50" max:"20" default:"2 degC" why:"common practice, no source" eg:"2 degC" doc:"Air at which protection begins, while no sun warms the field."`
	Keep  amount `key:"keep" kind:"temperature" min:"-40" max:"60" eg:"5 degC" doc:"Temperature that is kept in the field; 5 degC when left out."`
	Drain yesno  `key:"drain" doc:"Drained instead: no heat is spent, and no pump runs."`
	By    text   `key:"by" of:"header|electricity" eg:"header" doc:"What keeps it warm. Heat of the header is given back by the field's next sun; that is taken when left out."`
	Pump  amount `key:"pump" kind:"power" min:"0" max:"1e4" eg:"500 W" doc:"Electricity of the pump that keeps the water moving, of the whole field."`
}
