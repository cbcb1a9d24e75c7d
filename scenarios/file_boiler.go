package scenarios

// fuelFile is what a boiler burns.
type fuelFile struct {
	At        at
	Name      text             `key:"name" need:"yes" eg:"natural gas" doc:"What the fuel is called."`
	Like      text             `key:"like" eg:"natural gas" doc:"The generic fuel whose values fill what is left out; the one of the same name when left out."`
	Price     fuelPriceFile    `key:"price" doc:"Price per energy, mass or volume: one, or one for each month. One of price, tariff and price_series."`
	Tariff    []fuelTariffFile `key:"tariff" eg:"[{when: \"Mon-Fri 06:00-22:00\", price: 0.06 EUR/kWh}]" doc:"Prices by the clock on the wall, in place of the price in their hours, or of all of it where they cover the year."`
	Series    text             `key:"price_series" eg:"prices.csv" doc:"A CSV file of prices over the year, with the header line time,EUR/MWh or time,EUR/kWh."`
	Basis     text             `key:"price_basis" of:"net|gross" doc:"Calorific value by which a price per energy and the minimum take count; net when left out. A gas bill mostly counts gross."`
	Standing  amount           `key:"standing_charge" kind:"yearly sum" min:"0" eg:"1200 EUR/a" doc:"What the supply costs in a year whatever is taken."`
	Rise      amount           `key:"price_rise" kind:"yearly change" min:"-0.5" max:"1" eg:"3 %/a" doc:"Yearly rise of its price; money.fuel_price_rise when left out."`
	LeastTake amount           `key:"minimum_take" kind:"yearly energy" over:"0" max:"1e11" eg:"500 MWh/a" doc:"Take or pay: fuel that is paid for in a year, burnt or not."`
	Calorific amount           `key:"net_calorific_value" kind:"calorific" over:"0" eg:"11.2 kWh/kg" doc:"Net (lower) calorific value."`
	Gross     amount           `key:"gross_per_net" kind:"number" min:"1" max:"1.25" eg:"1.108" doc:"Gross over net calorific value."`
	Density   amount           `key:"density" kind:"density" over:"0" eg:"0.84 kg/l" doc:"For a fuel that is sold by volume while its calorific value is by mass, or the reverse."`
	CO2       amount           `key:"co2" kind:"co2" min:"0" eg:"202 g/kWh" doc:"CO2 per net energy, mass or volume."`
}

type fuelPriceFile struct {
	At     at
	One    amount   `shape:"one" kind:"fuel price" min:"0" eg:"0.045 EUR/kWh" doc:"The same all year."`
	Months []amount `shape:"list" kind:"fuel price" min:"0" len:"12" eg:"[52, 52, 50, 45, 42, 40, 40, 41, 43, 46, 50, 52 EUR/MWh]" doc:"By month, January first. The unit may stand once, on the last value."`
}

type fuelTariffFile struct {
	At     at
	When   text   `key:"when" need:"yes" eg:"Mon-Fri 06:00-22:00" doc:"Its hours by the clock on the wall; on holidays those that it names for holidays."`
	Season text   `key:"season" eg:"1 Oct..31 Mar" doc:"The days on which it holds; all year when left out."`
	Price  amount `key:"price" kind:"fuel price" need:"yes" min:"0" eg:"0.06 EUR/kWh" doc:"The price in these hours."`
}

// powerFile is electricity, for drives, pumps and electrode boilers.
type powerFile struct {
	At       at
	Price    powerPriceFile    `key:"price" doc:"Price of electricity: one, or one for each month. One of price, tariff and price_series."`
	Tariff   []powerTariffFile `key:"tariff" eg:"[{when: \"Mon-Fri 06:00-22:00\", price: 0.14 EUR/kWh}]" doc:"Prices by the clock on the wall, in place of the price in their hours, or of all of it where they cover the year."`
	Series   text              `key:"price_series" eg:"prices.csv" doc:"A CSV file of prices over the year, with the header line time,EUR/MWh or time,EUR/kWh; prices may be below 0."`
	Standing amount            `key:"standing_charge" kind:"yearly sum" min:"0" eg:"900 EUR/a" doc:"What the supply costs in a year whatever is taken."`
	Rise     amount            `key:"price_rise" kind:"yearly change" min:"-0.5" max:"1" eg:"3 %/a" doc:"Yearly rise of its price; money.fuel_price_rise when left out."`
	CO2      amount            `key:"co2" kind:"co2" min:"0" eg:"400 g/kWh" doc:"CO2 of electricity where it is made: counted, but no carbon price is paid on it here."`
}

type powerPriceFile struct {
	At     at
	One    amount   `shape:"one" kind:"energy price" min:"0" eg:"0.12 EUR/kWh" doc:"The same all year."`
	Months []amount `shape:"list" kind:"energy price" min:"0" len:"12" eg:"[140, 140, 130, 120, 110, 100, 100, 105, 115, 125, 135, 140 EUR/MWh]" doc:"By month, January first. The unit may stand once, on the last value."`
}

type powerTariffFile struct {
	At     at
	When   text   `key:"when" need:"yes" eg:"Mon-Fri 06:00-22:00" doc:"Its hours by the clock on the wall; on holidays those that it names for holidays."`
	Season text   `key:"season" eg:"1 Oct..31 Mar" doc:"The days on which it holds; all year when left out."`
	Price  amount `key:"price" kind:"energy price" need:"yes" min:"0" eg:"0.14 EUR/kWh" doc:"The price in these hours."`
}

type boilerFile struct {
	At         at
	Name       text           `key:"name" need:"yes" eg:"B1" doc:"What the boiler is called."`
	Header     text           `key:"header" eg:"main" doc:"The header it feeds; the first when left out."`
	Fuel       text           `key:"fuel" eg:"natural gas" doc:"The fuel it burns, or electricity for an electrode boiler; the first fuel when left out."`
	Capacity   amount         `key:"capacity" kind:"flow|power" need:"yes" over:"0" max:"1e6" eg:"2000 kg/h" doc:"Steam at the header's pressure from its feedwater, or heat."`
	Efficiency efficiencyFile `key:"efficiency" need:"yes" eg:"0.85" doc:"Heat in the steam over heat in the fuel: at full load, by load, or from the losses at full load."`
	Basis      text           `key:"efficiency_basis" of:"net|gross" default:"net" why:"the usual statement outside North America" doc:"Calorific value that the efficiency counts by."`
	Standing   amount         `key:"standing_loss" kind:"share" min:"0" max:"0.2" eg:"1 %" doc:"What the hot boiler's surface loses at any load, of the fuel at full load. With one efficiency, that of full load."`
	MinFire    amount         `key:"minimum_fire" kind:"share" min:"0" max:"1" eg:"25 %" doc:"Lowest load at which it burns steadily, of the capacity."`
	Start      *startFile     `key:"start" eg:"{fuel: 120 kWh, time: 30 min}" doc:"What it takes to start from cold; nothing when left out."`
	Standby    amount         `key:"hot_standby" kind:"share" over:"0" max:"0.2" eg:"1 %" doc:"Fuel that keeps it hot while it gives nothing, of the fuel at full load; left out, it is off when it does not fire."`
	Ramp       amount         `key:"ramp" kind:"ramp" over:"0" eg:"500 kW/h" doc:"Most that its heat may rise or fall; any when left out."`
	Out        []text         `key:"out_of_service" eg:"[2026-03-01..2026-03-07]" doc:"Spans of days on which it does not run, both ends included."`
}

type efficiencyFile struct {
	At    at
	One   amount            `shape:"one" kind:"share" over:"0" max:"1.1" eg:"0.85" doc:"At full load, and at any other where nothing else is said."`
	Loads []loadPointFile   `shape:"list" eg:"[{load: 25 %, efficiency: 78 %}, {load: 100 %, efficiency: 86 %}]" doc:"By load, the loads rising."`
	Test  *boilerLossesFile `shape:"map" doc:"From the losses."`
}

type loadPointFile struct {
	At         at
	Load       amount `key:"load" kind:"share" need:"yes" over:"0" max:"1" eg:"25 %" doc:"Of the capacity."`
	Efficiency amount `key:"efficiency" kind:"share" need:"yes" over:"0" max:"1.1" eg:"78 %" doc:"At that load."`
}

type boilerLossesFile struct {
	At     at
	Losses lossesFile `key:"losses" need:"yes" eg:"{flue: 180 degC, air: 20 degC, oxygen: 4.5 %, radiation: 1 %}" doc:"Losses at full load, from which the efficiency follows."`
}

type lossesFile struct {
	At        at
	Flue      amount        `key:"flue" kind:"temperature" need:"yes" min:"30" max:"1200" eg:"180 degC" doc:"Flue gas as it leaves the boiler and its economiser."`
	Air       amount        `key:"air" kind:"temperature" default:"20 degC" min:"-50" max:"400" why:"a boiler house; common practice, no source" doc:"Air for the burner."`
	Oxygen    amount        `key:"oxygen" kind:"share" min:"0" under:"0.2" eg:"4.5 %" doc:"In the dry flue gas. One of oxygen and carbon_dioxide."`
	Dioxide   amount        `key:"carbon_dioxide" kind:"share" over:"0" max:"0.21" eg:"9.4 %" doc:"In the dry flue gas."`
	Monoxide  amount        `key:"carbon_monoxide" kind:"share" min:"0" max:"0.05" eg:"0.01 %" doc:"In the dry flue gas; none when left out."`
	Radiation amount        `key:"radiation" kind:"share" default:"1 %" min:"0" max:"0.2" why:"a well insulated shell or water-tube boiler; checks of the trade run from 0.3 to 6 %" doc:"Radiation and convection at full load. The same heat is lost at any load."`
	Analysis  *analysisFile `key:"analysis" eg:"{carbon: 84 %, hydrogen: 12 %, sulphur: 3 %, oxygen: 1 %}" doc:"The fuel's ultimate analysis by mass as fired; without it, gas and light oil go by Siegert's formula."`
	Humidity  amount        `key:"air_humidity" kind:"share" min:"0" max:"0.1" eg:"1.8 %" doc:"Water in the air, kg per kg of dry air; with an analysis. None when left out."`
}

type analysisFile struct {
	At       at
	Carbon   amount `key:"carbon" kind:"share" need:"yes" min:"0" max:"1" eg:"84 %" doc:"Carbon."`
	Hydrogen amount `key:"hydrogen" kind:"share" need:"yes" min:"0" max:"1" eg:"12 %" doc:"Hydrogen, that of the moisture apart."`
	Oxygen   amount `key:"oxygen" kind:"share" min:"0" max:"1" eg:"1 %" doc:"Oxygen, that of the moisture apart."`
	Nitrogen amount `key:"nitrogen" kind:"share" min:"0" max:"1" eg:"0.5 %" doc:"Nitrogen."`
	Sulphur  amount `key:"sulphur" kind:"share" min:"0" max:"1" eg:"3 %" doc:"Sulphur."`
	Moisture amount `key:"moisture" kind:"share" min:"0" max:"1" eg:"5 %" doc:"Moisture. What is missing to the whole is ash."`
}

type startFile struct {
	At   at
	Fuel amount `key:"fuel" kind:"energy" need:"yes" min:"0" eg:"120 kWh" doc:"Fuel that a start from cold takes before the boiler gives steam, by net calorific value."`
	Time amount `key:"time" kind:"time" min:"0" max:"168" eg:"30 min" doc:"How long a start takes; the boiler is off for at least so long. None when left out."`
}

type limitFile struct {
	At      at
	Name    text   `key:"name" need:"yes" eg:"gas line" doc:"What is shared."`
	Boilers []text `key:"boilers" need:"yes" eg:"[B1, B2]" doc:"The boilers that share it."`
	Most    amount `key:"most" kind:"power" need:"yes" min:"0" max:"1e6" eg:"3 MW" doc:"What they may give or take together."`
	Of      text   `key:"of" of:"heat|fuel" default:"heat" why:"as the boilers' capacities" doc:"What it counts: heat in the steam, or fuel by net calorific value."`
}
