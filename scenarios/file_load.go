package scenarios

type loadFile struct {
	At       at
	Name     text          `key:"name" need:"yes" eg:"dye machines" doc:"What the load is called."`
	Header   text          `key:"header" eg:"main" doc:"The header it takes from; the first when left out."`
	Steam    amount        `key:"steam" kind:"flow" min:"0" max:"1e6" eg:"900 kg/h" doc:"Steam while it runs. A load is given in one way only."`
	Heat     amount        `key:"heat" kind:"power" min:"0" max:"1e6" eg:"350 kW" doc:"Heat while it runs."`
	Series   text          `key:"series" eg:"steam-meter.csv" doc:"A CSV file with a header line time,kW or time,kg/h that covers the year; a relative name starts at the scenario's folder."`
	Batch    *batchFile    `key:"batch" doc:"Batches: a vessel whose baths are filled, heated, held and dropped, by heat balances."`
	Movable  *movableFile  `key:"movable" doc:"Work whose hours the plan chooses: so much heat within windows."`
	HotWater *hotWaterFile `key:"hot_water" doc:"Hot water that is drawn, for cleaning or process."`
	Cooling  *coolingFile  `key:"cooling" doc:"Cold that an absorption chiller makes of heat."`
	Log      *logFile      `key:"log" doc:"A meter's log of steam or fuel, with its gaps, in place of a series."`
	When     text          `key:"when" eg:"Mon-Sat 06:00-22:00" doc:"The hours of the week; always when left out."`
	Season   text          `key:"season" eg:"15 Jul..30 Sep" doc:"The days of the year; all when left out."`
}
