package scenarios

// file is a scenario as it is written: the keys, their units, defaults and docs, and nothing else.
// The decoder, the nearest-key hint, the JSON Schema and the assumptions all come from these tags
// (decode.go lists them). What the values mean to the plant is case.go's business.
type file struct {
	At          at
	Noonkeep    amount        `key:"noonkeep" kind:"count" need:"yes" min:"1" max:"1" eg:"1" doc:"Version of the scenario format; this is 1."`
	Name        text          `key:"name" need:"yes" eg:"dyehouse" doc:"What the plant is called in answers."`
	Site        siteFile      `key:"site" need:"yes" eg:"{latitude: 38.7 deg, longitude: 29.1 deg, elevation: 470 m, utc_offset: +3 h}" doc:"Where the plant stands."`
	Weather     weatherFile   `key:"weather" need:"yes" eg:"{file: typical-year.epw}" doc:"The sun, air and wind of one year: a file or monthly means."`
	Time        timeFile      `key:"time" doc:"The year of the study, its step, and the days without work."`
	Headers     []headerFile  `key:"headers" need:"yes" eg:"[{name: main, pressure: 6 bar(g), feedwater: 85 degC}]" doc:"Steam headers."`
	Loads       []loadFile    `key:"loads" need:"yes" eg:"[{name: dye machines, header: main, steam: 900 kg/h}]" doc:"What takes heat from the headers."`
	Fuels       []fuelFile    `key:"fuels" doc:"What the boilers burn."`
	Boilers     []boilerFile  `key:"boilers" doc:"The boilers."`
	Limits      []limitFile   `key:"limits" eg:"[{name: gas line, boilers: [B1, B2], most: 3 MW}]" doc:"What boilers may give or take together."`
	Fields      []fieldFile   `key:"fields" doc:"The collector fields."`
	Electricity *powerFile    `key:"electricity" doc:"Power for drives and pumps."`
	Store       *storeFile    `key:"store" doc:"The pressurised hot-water store."`
	Stores      []storeFile   `key:"stores" eg:"[{name: accumulator, vessel: flash, header: low, charged_from: high, working_pressure: 16 bar(g)}]" doc:"Several stores, in place of store. The curve varies one of them, the others keep their volume."`
	Money       moneyFile     `key:"money" doc:"Currency and terms."`
	Doubt       []doubtFile   `key:"doubt" eg:"[{what: demand, times: 90..110 %}, {what: weather}]" doc:"What is not known for sure, for noonkeep doubt."`
	Variants    []variantFile `key:"variants" doc:"The same plant with changes."`
}

type siteFile struct {
	At        at
	Latitude  amount        `key:"latitude" kind:"angle" need:"yes" min:"-90" max:"90" eg:"38.7 deg" doc:"North of the equator is positive."`
	Longitude amount        `key:"longitude" kind:"angle" need:"yes" min:"-180" max:"180" eg:"29.1 deg" doc:"East of Greenwich is positive."`
	Elevation amount        `key:"elevation" kind:"length" default:"0 m" min:"-430" max:"6000" why:"sea level" eg:"470 m" doc:"Height over the sea; it sets the air pressure, and so what bar(g) means."`
	UTCOffset text          `key:"utc_offset" need:"yes" eg:"+3 h" doc:"Local standard time less UTC; no daylight saving."`
	Horizon   []horizonFile `key:"horizon" eg:"[{azimuth: 90 deg, height: 5 deg}, {azimuth: 180 deg, height: 0 deg}]" doc:"Hills, trees and roofs about the collectors, straight from point to point all round; level when left out. Leave it out where the sun of a weather file is measured or reckoned behind it already."`
}

type weatherFile struct {
	At          at
	File        text         `key:"file" eg:"typical-year.epw" doc:"A file of weather: TMY3, EPW, PVGIS typical year (csv or json), NSRDB PSM csv or BSRN station-to-archive, known by its content, or a plain CSV by columns. A relative name starts at the scenario's folder."`
	Files       []text       `key:"files" eg:"[jan.dat, feb.dat]" doc:"Several files of one kind that follow each other, in place of file."`
	Year        amount       `key:"year" kind:"count" min:"1800" max:"2200" eg:"2017" doc:"The year to take from a file of several."`
	LightOffset amount       `key:"light_offset" kind:"time" min:"-2" max:"2" eg:"-30 min" doc:"Where the light of a row stands, counted from the row's label; as the format has it when left out: -30 min, the middle of an hour that ends at its label, in TMY3 and EPW."`
	MostGap     amount       `key:"most_gap" kind:"time" over:"0" max:"48" eg:"6 h" doc:"Longest gap that is filled from its neighbours: light by their clear-sky index, temperature along a straight line; 3 h when left out."`
	FillGaps    yesno        `key:"fill_long_gaps" doc:"Fill gaps of more than a few hours in the file from the days around them; no refuses such a file."`
	Air         []amount     `key:"air" kind:"temperature" min:"-60" max:"55" eg:"[4, 5, 8, 13, 18, 23, 26, 26, 21, 15, 9, 5 degC]" doc:"For a file without temperature: twelve monthly means, January first, or one value for all the year."`
	Columns     *columnsFile `key:"columns" eg:"{time: Time, ghi: {column: Global, unit: W/m2}}" doc:"The columns of a plain CSV file."`
	Times       text         `key:"times" of:"start|end|middle|instant" eg:"end" doc:"For a plain CSV, what a row is stamped with: start, end or middle of the interval whose mean it is, or the instant of a reading."`
	Clock       text         `key:"clock" of:"UTC|standard" eg:"standard" doc:"For a plain CSV, the clock of the stamps: UTC or the site's local standard time."`
	Dates       text         `key:"dates" of:"day-month-year|month-day-year|year-month-day" doc:"For a plain CSV, the order of day, month and year. Found out when left out, and asked for where it is open."`
	Decimal     text         `key:"decimal" of:"point|comma" doc:"For a plain CSV, the decimal sign. Found out when left out."`
	Delimiter   text         `key:"delimiter" of:"comma|semicolon|tab|bar" doc:"For a plain CSV, what parts the columns. Found out when left out."`
	Missing     []text       `key:"missing" eg:"[nan, 9999]" doc:"For a plain CSV, texts that stand for no value, besides the empty cell and numbers from -99 down."`
	Monthly     *monthlyFile `key:"monthly" doc:"Twelve monthly means, January first, where there is no file."`
	Seed        amount       `key:"seed" kind:"count" min:"0" max:"9007199254740992" eg:"7" doc:"Chooses one of the many years that have these means."`
}

type monthlyFile struct {
	At       at
	GHI      []amount `key:"ghi" kind:"daily sun" need:"yes" len:"12" min:"0" max:"14" eg:"[2.2, 3.1, 4.4, 5.6, 6.8, 7.8, 8.0, 7.1, 5.7, 3.9, 2.6, 2.0 kWh/m2d]" doc:"Sun on the level, mean day of each month. The unit may stand once, on the last value."`
	Air      []amount `key:"air" kind:"temperature" need:"yes" len:"12" min:"-60" max:"55" eg:"[4, 5, 8, 13, 18, 23, 26, 26, 21, 15, 9, 5 degC]" doc:"Air temperature, mean of each month."`
	Wind     []amount `key:"wind" kind:"speed" len:"12" min:"0" max:"30" eg:"[2.1, 2.3, 2.4, 2.4, 2.2, 2.5, 2.8, 2.6, 2.1, 1.9, 1.9, 2.0 m/s]" doc:"Wind speed, mean of each month."`
	Between  amount   `key:"between_years" kind:"share" min:"0" max:"0.3" eg:"4 %" doc:"How much the sun's sum on the level differs from year to year, standard deviation over mean; for the many years of noonkeep years alone. Left out, each of them has the means exactly."`
	AirSwing amount   `key:"air_swing" kind:"warmth" default:"10 K" min:"0" max:"40" why:"a dry inland place; common practice, no source" doc:"From the coldest to the warmest hour of a mean day."`
}

type timeFile struct {
	At       at
	Year     amount `key:"year" kind:"count" default:"2026" min:"1950" max:"2100" why:"any year with its weekdays" doc:"The year of the study."`
	Step     amount `key:"step" kind:"time" default:"60 min" over:"0" max:"1" why:"weather comes by the hour" eg:"60 min" doc:"Length of a step: 60, 30 or 15 min, or another whole part of an hour down to 1 min. Weather finer than its source is interpolated."`
	Holidays []text `key:"holidays" eg:"[1 Jan, 2026-05-27]" doc:"Days without work: 2026-05-27, or 1 Jan for every year."`
	Shutdown []text `key:"shutdown" eg:"[2026-08-03..2026-08-16]" doc:"Spans of days without work, both ends included."`
	Summer   text   `key:"summer_time" eg:"last Sun Mar 02:00..last Sun Oct 03:00" doc:"When the clocks are put forward by an hour and back, as the clock on the wall shows just before; or none. The hours of the loads follow it, the sun does not."`
}

type headerFile struct {
	At         at
	Name       text            `key:"name" need:"yes" eg:"main" doc:"What the header is called."`
	Pressure   amount          `key:"pressure" kind:"pressure" eg:"6 bar(g)" doc:"Steam pressure, gauge or absolute. A header has it, or a medium."`
	Medium     *mediumFile     `key:"medium" eg:"{kind: hot water, supply: 140 degC, return: 110 degC}" doc:"What the header carries in place of steam."`
	Feedwater  amount          `key:"feedwater" kind:"temperature" default:"85 degC" min:"0" max:"200" why:"a feed tank with part of the condensate back; common practice, no source" doc:"Temperature of the water that the boiler, the sun and the store turn to steam; the heat of a kg of steam counts from it."`
	Condensate *condensateFile `key:"condensate" doc:"Condensate return, make-up, blowdown and deaerator, from which the feedwater's temperature follows; in place of feedwater."`
	Unmet      amount          `key:"unmet_price" kind:"energy price" over:"0" eg:"0.8 EUR/kWh" doc:"What a kWh of heat that is not met costs. Left out, all heat must be met."`
	Valve      yesno           `key:"from_above" default:"yes" why:"a reducing valve is cheap" doc:"A reducing valve lets steam in from the next higher header; into a medium, an exchanger heat from steam that is hot enough. From another medium only where yes is written."`
	Reducing   *valveFile      `key:"valve" eg:"{most: 1500 kg/h}" doc:"That valve or exchanger."`
}
