package scenarios

type coolingFile struct {
	At      at
	Power   amount       `key:"power" kind:"cold" min:"0" max:"1e6" eg:"400 kW" doc:"Cold in the hours of when. One of power, series and design."`
	Series  text         `key:"series" eg:"cold-meter.csv" doc:"A CSV file of cold with a header line time,kW that covers the year."`
	Design  *designFile  `key:"design" doc:"Cold by the outdoor air, in the hours of when: a straight line from the balance point through the design day."`
	Chiller *chillerFile `key:"chiller" need:"yes" eg:"{kind: double effect, capacity: 400 kW}" doc:"The absorption chiller that makes it of heat."`
}

type designFile struct {
	At      at
	Cooling amount `key:"cooling" kind:"cold" need:"yes" min:"0" max:"1e6" eg:"300 kW" doc:"Cold on the design day, the base included."`
	Air     amount `key:"at" kind:"temperature" need:"yes" min:"-50" max:"60" eg:"34 degC" doc:"Outdoor air of the design day."`
	Balance amount `key:"balance" kind:"temperature" need:"yes" min:"-50" max:"60" eg:"16 degC" doc:"Outdoor air from which there is more than the base."`
	Base    amount `key:"base" kind:"cold" min:"0" max:"1e6" eg:"40 kW" doc:"Cold whatever the air; none when left out."`
}

type chillerFile struct {
	At            at
	Kind          text            `key:"kind" of:"single effect|double effect" need:"yes" doc:"How often it uses its heat."`
	Capacity      amount          `key:"capacity" kind:"cold" need:"yes" over:"0" max:"1e6" eg:"400 kW" doc:"Most cold, with the generator as hot as it wants."`
	COP           amount          `key:"cop" kind:"number" over:"0" max:"5" eg:"1.2" doc:"Cold per heat at capacity; 0.7 for a single, 1.2 for a double effect when left out."`
	FiredBy       text            `key:"fired_by" of:"steam|hot water" default:"steam" why:"it hangs on a steam header" doc:"What heats the generator: the header's steam, or hot water that the header's steam heats through an exchanger."`
	Generator     amount          `key:"generator" kind:"temperature" min:"50" max:"250" eg:"165 degC" doc:"What its generator wants, for capacity and cop: of steam, or of hot water on entering. Double effect 165, single effect 115 with steam and 90 with hot water when left out."`
	Least         amount          `key:"least_generator" kind:"temperature" min:"40" max:"250" eg:"150 degC" doc:"The coldest heat that it works with; 15 K less than it wants when left out. It is the floor of an exchanger store that writes no supply."`
	LeastCapacity amount          `key:"least_capacity" kind:"share" over:"0" max:"1" eg:"75 %" doc:"Share of the capacity that is left with the coldest heat; straight between. 50 % for a single, 75 % for a double effect when left out."`
	Approach      amount          `key:"approach" kind:"warmth" min:"0" max:"50" eg:"5 K" doc:"Header steam over hot water, in their exchanger; 5 K when left out."`
	CoolingWater  amount          `key:"cooling_water" kind:"temperature" default:"29.4 degC" min:"5" max:"50" why:"rating conditions of AHRI 560, from memory" doc:"On entering, for capacity and cop; the second law's limit is drawn from it."`
	ChilledWater  amount          `key:"chilled_water" kind:"temperature" default:"6.7 degC" min:"-20" max:"30" why:"rating conditions of AHRI 560, from memory" doc:"On leaving, for capacity and cop; the second law's limit is drawn from it."`
	PartLoad      []partLoadPoint `key:"part_load" eg:"[{load: 25 %, cop: 95 %}, {load: 100 %, cop: 100 %}]" doc:"COP at part load as a share of cop, loads rising to 100 %, straight between. The curve of EnergyPlus' absorption chiller when left out."`
}

type partLoadPoint struct {
	At   at
	Load amount `key:"load" kind:"share" need:"yes" over:"0" max:"1" eg:"25 %" doc:"Cold as a share of the capacity."`
	COP  amount `key:"cop" kind:"share" need:"yes" over:"0" max:"3" eg:"95 %" doc:"COP as a share of that at capacity."`
}
