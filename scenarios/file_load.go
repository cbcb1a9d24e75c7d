package scenarios

type loadFile struct {
	At        at
	Name      text          `key:"name" need:"yes" eg:"dye machines" doc:"What the load is called."`
	Header    text          `key:"header" eg:"main" doc:"The header it takes from; the first when left out."`
	Medium    *mediumFile   `key:"medium" eg:"{kind: hot water, supply: 90 degC, return: 70 degC}" doc:"What the load is heated with, by an exchanger on its header; its heat is then given in kW."`
	Steam     amount        `key:"steam" kind:"flow" min:"0" max:"1e6" eg:"900 kg/h" doc:"Steam while it runs. A load is given in one way only."`
	Heat      amount        `key:"heat" kind:"power" min:"0" max:"1e6" eg:"350 kW" doc:"Heat while it runs."`
	Bills     *billsFile    `key:"bills" doc:"Fuel bills with their own dates, from which the hours are made; when and season shape what does not follow the weather."`
	Series    text          `key:"series" eg:"steam-meter.csv" doc:"A CSV file with a header line time,kW or time,kg/h that covers the year; a relative name starts at the scenario's folder."`
	Batch     *batchFile    `key:"batch" doc:"Batches: a vessel whose baths are filled, heated, held and dropped, by heat balances."`
	Movable   *movableFile  `key:"movable" doc:"Work whose hours the plan chooses: so much heat within windows."`
	Log       *logFile      `key:"log" doc:"A meter's log of steam or fuel, with its gaps, in place of a series."`
	HotWater  *hotWaterFile `key:"hot_water" doc:"Hot water that is drawn, for cleaning or process."`
	Cooling   *coolingFile  `key:"cooling" doc:"Cold that an absorption chiller makes of heat."`
	When      text          `key:"when" eg:"Mon-Sat 06:00-22:00" doc:"The hours of the week; always when left out."`
	Season    text          `key:"season" eg:"15 Jul..30 Sep" doc:"The days of the year; all when left out."`
	Seasons   []text        `key:"seasons" eg:"[15 Jul..30 Sep, 2026-11-10..2026-11-24]" doc:"Several seasons or campaigns, yearly or dated, instead of season."`
	Rota      []text        `key:"rota" eg:"[Mon-Fri 06:00-14:00, Mon-Fri 14:00-22:00]" doc:"Hours that change by week, instead of when: a pattern for each week, in turns; off is a week without hours."`
	RotaFrom  text          `key:"rota_from" eg:"2026-01-05" doc:"A day of the week in which the rota's first pattern stands."`
	Breaks    text          `key:"breaks" eg:"daily 12:00-12:30" doc:"Hours within those of the load in which it takes only the break load; holidays too have them, unless the breaks name holidays."`
	BreakLoad amount        `key:"break_load" kind:"share" min:"0" max:"1" eg:"30 %" doc:"What it takes in its breaks, of the load; nothing when left out."`
	Ramp      amount        `key:"ramp" kind:"time" min:"0" max:"24" eg:"30 min" doc:"Straight rise to the full load when work begins, from the start-up's heat or from nothing."`
	StartUp   *extraFile    `key:"start_up" eg:"{lasts: 1 h, steam: 1500 kg/h}" doc:"Heat before each run of work. Shifts are one run where they touch, or where the gap has no room for cleaning and start-up."`
	CleanUp   *extraFile    `key:"clean_up" eg:"{lasts: 45 min, heat: 200 kW}" doc:"Heat after each run of work."`
}
