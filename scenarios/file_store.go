package scenarios

type storeFile struct {
	At         at
	Name       text        `key:"name" eg:"accumulator" doc:"What the store is called; each of several needs a name."`
	Vessel     text        `key:"vessel" of:"flash|exchanger|thermocline" need:"yes" doc:"How heat leaves: as steam that flashes off its own water; through a heat exchanger from mixed water; or through one from an upright tank of hot water over cold."`
	Header     text        `key:"header" eg:"main" doc:"The header it serves; the first when left out."`
	Charged    text        `key:"charged_from" eg:"high" doc:"The header whose steam charges it, where that is another than it serves; the water then gets no hotter than that steam. With several pressures: an accumulator between two."`
	Volume     amount      `key:"volume" kind:"volume" min:"0" max:"1e5" eg:"40 m3" doc:"Whole inside volume of the vessel; the middle of the steps when left out."`
	Steps      between     `key:"steps" kind:"volume" default:"0..120 m3" min:"0" why:"a range to look at" doc:"The volumes that the curve covers. Of several stores, the first with steps is the one whose volume the curve varies."`
	Working    amount      `key:"working_pressure" kind:"pressure" need:"yes" eg:"18 bar(g)" doc:"Highest pressure that the vessel is run at, gauge or absolute."`
	Margin     amount      `key:"margin" kind:"drop" default:"0.5 bar" min:"0" max:"50" why:"the relief valve must stay shut; common practice, no source" doc:"How far the hottest water stays under the working pressure."`
	LineDrop   amount      `key:"line_drop" kind:"drop" default:"0.2 bar" min:"0" max:"20" why:"pipe and valve; common practice, no source" doc:"Pressure lost between a flash vessel and its header."`
	Supply     amount      `key:"supply" kind:"temperature" over:"0" max:"300" eg:"160 degC" doc:"With an exchanger: the temperature that the load must be given; that of the header's steam or medium when left out."`
	Approach   amount      `key:"approach" kind:"warmth" default:"5 K" min:"0" max:"60" why:"a plate or shell exchanger; common practice, no source" doc:"With an exchanger: hot water over what it heats, at the end of a draw."`
	Return     amount      `key:"return" kind:"temperature" over:"0" max:"300" eg:"110 degC" doc:"With a thermocline: at which the load's own water comes to the exchanger; the tank's comes back an approach warmer. What the header's medium or loads have, or what boiling its feedwater leaves, when left out."`
	Layer      amount      `key:"thermocline_share" kind:"share" min:"0.01" max:"0.5" eg:"10 %" doc:"With a thermocline: share of the tank's heat that its layer between hot and cold keeps; 10 % when left out."`
	Wall       amount      `key:"wall" kind:"length" min:"0" max:"0.2" eg:"16 mm" doc:"With a thermocline: steel wall, which conducts down; 16 mm when left out."`
	Fill       amount      `key:"fill" kind:"share" default:"90 %" min:"0.2" max:"0.95" why:"steam space over the water; common practice, no source" doc:"Water's share of the vessel when hot."`
	Feed       text        `key:"feed" of:"while discharging|while charging" default:"while discharging" why:"the safe side: feeding while charging gives 10 to 18 % more steam per m3" doc:"When feedwater makes up for the steam that left a flash vessel."`
	Insulation insulation  `key:"insulation" doc:"What keeps the heat in."`
	Ambient    amount      `key:"ambient" kind:"temperature" or:"weather" default:"weather" min:"-60" max:"60" why:"it stands outdoors" eg:"20 degC" doc:"Air round the vessel: a temperature indoors, or weather for the year's own."`
	Shape      amount      `key:"length_per_diameter" kind:"number" default:"3" min:"1" max:"12" why:"usual proportions; common practice, no source" doc:"Cylinder length over diameter."`
	Ends       text        `key:"ends" of:"ellipsoidal|hemispherical|flat|Kloepper|Korbbogen" default:"ellipsoidal" why:"usual; common practice, no source" doc:"Form of the ends, 2:1 ellipsoidal or another."`
	SteamRate  amount      `key:"steam_rate" kind:"flow" over:"0" max:"1e6" eg:"4000 kg/h" doc:"Most steam that nozzle and pipe let out; no limit but the water surface when left out."`
	Rating     amount      `key:"exchanger_rating" kind:"power" over:"0" max:"1e6" eg:"600 kW" doc:"With an exchanger: the most heat it passes; the peak of the header's loads when left out."`
	Surface    amount      `key:"surface_rating" kind:"rating" default:"220 kg/(h m2 bar)" over:"0" max:"5000" why:"an order of magnitude, from memory" doc:"Steam that a m2 of water surface gives off dry, per bar(a) of pressure."`
	ChargeRate amount      `key:"charge_rate" kind:"power" over:"0" max:"1e6" eg:"2 MW" doc:"Most heat that is put in at once; the field's peak when left out, and with charged_from the header's part besides."`
	Boilers    amount      `key:"boilers_may_charge" kind:"power|flow" min:"0" max:"1e6" eg:"500 kW" doc:"Heat that may be put in from the header, or from charged_from; left out, all that the boilers have where there is a charged_from, else none."`
	Cost       *storeMoney `key:"cost" doc:"What the vessel costs."`
}

type insulation struct {
	At           at
	Age          amount `key:"age" kind:"time" min:"0" max:"876000" eg:"15 a" doc:"How old it is; new when left out."`
	Worsening    amount `key:"worsening" kind:"yearly change" min:"0" max:"0.5" eg:"2 %/a" doc:"Yearly rise of the conductivity, of that when new, by damp and settling; 1 %/a when left out beside an age."`
	Thickness    amount `key:"thickness" kind:"length" default:"150 mm" over:"0" max:"1" why:"common practice, no source" doc:"Thickness of the insulation."`
	Conductivity amount `key:"conductivity" kind:"conductivity" default:"0.055 W/mK" over:"0" max:"1" why:"mineral wool at about 100 degC; common practice, no source" doc:"Heat conductivity of the insulation."`
	Outside      amount `key:"outside_film" kind:"film" default:"10 W/m2K" over:"0" max:"200" why:"light wind; common practice, no source" doc:"Heat passed on from the cladding to the air."`
	Extra        amount `key:"extra_loss" kind:"share" default:"15 %" min:"0" max:"1" why:"nozzles, supports and manholes; common practice, no source" doc:"Loss beyond that of the plain insulation, as a share of it."`
}

type variantFile struct {
	At     at
	Name   text `key:"name" need:"yes" eg:"third shift" doc:"What the variant is called."`
	Change raw  `key:"change" need:"yes" doc:"What differs, in the scenario's own shape: a key given replaces the plant's, entries of lists are found by name, a new name adds one; remove: yes takes an entry or a section out, remove: [when] a key."`
}
