package scenarios

// batchFile is a load of batches: a vessel whose baths are filled, heated, held and dropped.
type batchFile struct {
	At        at
	Mass      amount       `key:"mass" kind:"mass" over:"0" max:"1e7" eg:"300 kg" doc:"With a liquor_ratio or a volume: the dry goods in the bath. Alone: all that is heated, of the material."`
	Ratio     amount       `key:"liquor_ratio" kind:"number" over:"0" max:"200" eg:"10" doc:"Liquor per mass of goods; 10 is 1:10."`
	Volume    amount       `key:"volume" kind:"volume" over:"0" max:"1e5" eg:"5 m3" doc:"Liquid that each new bath is filled with, in place of the ratio."`
	Material  text         `key:"material" eg:"milk" doc:"What the liquid, or the mass alone, is, of a built-in list; water when left out. For another stuff give specific_heat, and with a volume density."`
	Specific  amount       `key:"specific_heat" kind:"specific heat" over:"0" max:"20" eg:"4.19 kJ/kgK" doc:"Specific heat in place of the material's."`
	Density   amount       `key:"density" kind:"density" over:"0" max:"5000" eg:"998 kg/m3" doc:"Density in place of the material's; with a volume."`
	Goods     text         `key:"goods" eg:"wool" doc:"What the goods in the bath are; textile, 1.3 kJ/kgK, when left out."`
	GoodsHeat amount       `key:"goods_specific_heat" kind:"specific heat" min:"0" max:"20" eg:"1.36 kJ/kgK" doc:"Specific heat of the goods in place of the material's; 0 leaves them out."`
	GoodsFrom amount       `key:"goods_from" kind:"temperature" min:"0" max:"300" eg:"20 degC" doc:"Temperature of the goods when a batch begins; that of the first bath when left out."`
	Machine   *machineFile `key:"machine" doc:"The vessel's own mass that warms with the bath; nothing when left out."`

	From    amount      `key:"from" kind:"temperature" min:"0" max:"300" eg:"15 degC" doc:"Temperature that a bath is filled with. A later bath mixes with the warmth of goods and machine."`
	To      amount      `key:"to" kind:"temperature" min:"0" max:"300" eg:"98 degC" doc:"Temperature that it is heated to."`
	Hold    amount      `key:"hold" kind:"time" min:"0" max:"240" eg:"45 min" doc:"How long it is held there."`
	BoilOff amount      `key:"boil_off" kind:"share" min:"0" under:"1" eg:"25 %" doc:"Share of the liquid that is evaporated during the hold."`
	Refills amount      `key:"refills" kind:"count" min:"0" max:"50" eg:"2" doc:"How often the bath is dropped, filled and heated again in a batch; none when left out."`
	Stages  []stageFile `key:"stages" doc:"The recipe step by step, in place of from, to, hold, boil_off and refills."`

	HeatUp  heatUpFile `key:"heat_up" need:"yes" eg:"{gradient: 2 K/min}" doc:"How a bath is heated up: one of power, coil, live_steam and gradient."`
	Loss    amount     `key:"loss" kind:"power" min:"0" max:"1e5" eg:"12 kW" doc:"Heat that the vessel loses while it is heated or held."`
	Surface amount     `key:"surface" kind:"area" over:"0" max:"1e5" eg:"6 m2" doc:"Outside of the vessel that loses heat by its temperature; beside the loss or in its place."`
	LossU   amount     `key:"loss_coefficient" kind:"film" over:"0" max:"500" eg:"12 W/m2K" doc:"Heat loss of the surface."`
	Air     amount     `key:"air" kind:"temperature" min:"-50" max:"80" eg:"20 degC" doc:"Air round the surface; 20 degC when left out."`

	Starts   text   `key:"starts" eg:"Mon-Fri 06:00, 10:30, 15:00" doc:"When batches begin. One of starts and every."`
	Every    amount `key:"every" kind:"time" min:"0.0166666" max:"1000" eg:"4 h" doc:"From one batch's start to the next within the load's hours: the first as they begin, the last so that it still ends within them."`
	Machines amount `key:"machines" kind:"count" default:"1" min:"1" max:"200" why:"one vessel" eg:"4" doc:"Vessels that all work like this."`
	Stagger  amount `key:"stagger" kind:"time" min:"0" max:"168" eg:"45 min" doc:"How much later each further vessel begins; all at once when left out."`
}

// machineFile is the mass of a vessel.
type machineFile struct {
	At       at
	Mass     amount `key:"mass" kind:"mass" need:"yes" over:"0" max:"1e7" eg:"900 kg" doc:"What of it warms with the bath."`
	Material text   `key:"material" eg:"stainless steel" doc:"What it is made of; steel when left out."`
	Specific amount `key:"specific_heat" kind:"specific heat" over:"0" max:"20" eg:"0.5 kJ/kgK" doc:"Specific heat in place of the material's."`
	From     amount `key:"from" kind:"temperature" min:"0" max:"300" eg:"40 degC" doc:"Temperature when a batch begins; that of the first bath when left out."`
}

// stageFile is a step of a recipe.
type stageFile struct {
	At       at
	Wait     amount `key:"wait" kind:"time" min:"0" max:"240" eg:"10 min" doc:"Before it is heated: drain, fill, load. The bath keeps its temperature."`
	From     amount `key:"from" kind:"temperature" min:"0" max:"300" eg:"15 degC" doc:"The bath is dropped and a new one of this temperature filled; the bath goes on when left out."`
	To       amount `key:"to" kind:"temperature" need:"yes" min:"0" max:"300" eg:"60 degC" doc:"Temperature that it is brought to."`
	Gradient amount `key:"gradient" kind:"gradient" over:"0" max:"100" eg:"1 K/min" doc:"How fast this stage is heated, in place of heat_up, or cooled."`
	Hold     amount `key:"hold" kind:"time" min:"0" max:"240" eg:"20 min" doc:"How long it is held there."`
	BoilOff  amount `key:"boil_off" kind:"share" min:"0" under:"1" eg:"8 %" doc:"Share of the liquid that is evaporated during the hold."`
}

// heatUpFile is how a bath is heated up.
type heatUpFile struct {
	At       at
	Power    amount `key:"power" kind:"power" over:"0" max:"1e5" eg:"300 kW" doc:"A fixed heat."`
	Coil     amount `key:"coil" kind:"area" over:"0" max:"1e5" eg:"6 m2" doc:"Area of a coil or jacket in which steam condenses; its heat falls as the bath warms."`
	U        amount `key:"coefficient" kind:"transfer" over:"0" max:"1e5" eg:"800 W/m2K" doc:"Overall heat transfer coefficient of the coil, steam to bath."`
	Pressure amount `key:"pressure" kind:"pressure" eg:"3 bar(g)" doc:"Steam in the coil; the header's pressure when left out."`
	Live     amount `key:"live_steam" kind:"flow" over:"0" max:"1e6" eg:"600 kg/h" doc:"Steam blown into the bath, which stays in it as water. Its heat at the header counts from the feedwater."`
	Gradient amount `key:"gradient" kind:"gradient" over:"0" max:"100" eg:"2 K/min" doc:"So many K/min, as a recipe says; the steam that takes is counted as had."`
}
