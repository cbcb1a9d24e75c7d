package scenarios

// condensateFile is what lies between a header's process steam and its boilers' feedwater.
type condensateFile struct {
	At          at
	Return      amount `key:"return" kind:"share" need:"yes" min:"0" max:"1" eg:"70 %" doc:"Condensate that comes back, of the process steam; with flash_at before it flashes."`
	Temperature amount `key:"temperature" kind:"temperature" over:"0" max:"250" eg:"90 degC" doc:"The condensate as it enters the feed tank; with flash_at as it leaves the flash when left out, else 90 degC."`
	FlashAt     amount `key:"flash_at" kind:"pressure" eg:"0.5 bar(g)" doc:"Where the traps' condensate, boiling at the header's pressure, flashes; left out, return and temperature are what arrives."`
	FlashTo     text   `key:"flash_to" eg:"low" doc:"The header of lower pressure into which the flash steam of the traps' condensate goes, in place of flash_at: it is free heat there."`
	MakeUp      amount `key:"make_up" kind:"temperature" or:"season" default:"15 degC" over:"0" max:"95" why:"common practice, no source" eg:"15 degC" doc:"Make-up water: a temperature, or season for mains water that follows the air of the weather year; that needs a deaerator."`
	Blowdown    amount `key:"blowdown" kind:"share" min:"0" max:"0.3" eg:"5 %" doc:"Boiler water blown down, of the feedwater; or give feed_tds and limit_tds."`
	FeedTDS     amount `key:"feed_tds" kind:"solids" min:"0" max:"1e5" eg:"80 ppm" doc:"Dissolved solids in the feedwater."`
	LimitTDS    amount `key:"limit_tds" kind:"solids" over:"0" max:"1e5" eg:"3500 ppm" doc:"Dissolved solids at which the boiler water is held, in the same unit."`
	Deaerator   amount `key:"deaerator" kind:"pressure" eg:"0.2 bar(g)" doc:"Pressure in a deaerator that the header's steam heats; an open feed tank without steam when left out."`
	Vent        amount `key:"vent" kind:"share" min:"0" max:"0.05" eg:"0.1 %" doc:"Steam that leaves a deaerator with the gases, of the feedwater."`
	Recovery    text   `key:"heat_recovery" of:"none|flash|full" default:"none" why:"the safe side" doc:"Flash leads the flash steam of condensate and blowdown into the tank; full also warms the make-up with the blowdown's water."`
	Approach    amount `key:"approach" kind:"warmth" min:"0" max:"60" eg:"10 K" doc:"With full recovery: how far the drained blowdown stays over the make-up."`
}
