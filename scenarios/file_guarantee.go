package scenarios

type guaranteeFile struct {
	At          at
	Formula     text   `key:"formula" of:"beam|beam and diffuse|hemispheric" eg:"beam" doc:"The light that the check counts: the beam alone (concentrating collectors), beam and diffuse apart, or global light in the collectors' plane. What fits the collector when left out."`
	Pipes       amount `key:"pipe_factor" kind:"share" over:"0" max:"1" eg:"97 %" doc:"f_P: what the pipes up to the heat meter do not lose; by the field's own pipe loss when left out."`
	Uncertainty amount `key:"uncertainty_factor" kind:"share" default:"95 %" over:"0" max:"1" why:"0.90 to 0.95 is usual with instruments as the standard wants them; value from memory" doc:"f_U: what measuring may be off."`
	Other       amount `key:"other_factor" kind:"share" default:"100 %" over:"0" max:"1" why:"close to 1 is usual; value from memory" doc:"f_O: all else, such as uneven flow or dirt that stays on."`
	LeastSun    amount `key:"least_sun" kind:"irradiance" min:"0" under:"1400" eg:"600 W/m2" doc:"Mean light on the aperture from which an hour counts: beam, or global light with the hemispheric formula. 600 W/m2 when left out, 800 W/m2 with the hemispheric formula (values from memory)."`
	Incidence   amount `key:"most_incidence" kind:"angle" or:"none" over:"0" max:"90" eg:"30 deg" doc:"Angle of incidence up to which an hour counts. None when left out, 30 deg with the hemispheric formula (value from memory)."`
	Wind        amount `key:"most_wind" kind:"speed" or:"none" default:"10 m/s" over:"0" max:"100" why:"value from memory" doc:"Mean wind up to which an hour counts."`
	Air         amount `key:"least_air" kind:"temperature" or:"none" default:"5 degC" min:"-60" under:"60" why:"value from memory" doc:"Air from which an hour counts."`
	Warming     amount `key:"most_warming" kind:"gradient" or:"none" default:"5 K/h" over:"0" max:"100" why:"value from memory" doc:"How fast the mean fluid temperature may change in an hour that counts."`
	Shade       amount `key:"most_shade" kind:"share" default:"0 %" min:"0" under:"1" why:"no shadow; value from memory" doc:"Share of the beam that other rows, other dishes or the horizon may take, by the field's geometry."`
	Hours       amount `key:"least_hours" kind:"count" default:"20" min:"1" max:"8784" why:"value from memory" doc:"Hours that must count before the check says anything."`
}
