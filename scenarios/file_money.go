package scenarios

// moneyFile holds the terms of money. Sums are those of the first year of operation; rates are per year.
type moneyFile struct {
	At         at
	Currency   text        `key:"currency" eg:"EUR" doc:"Letters of the currency; that of the first price when left out."`
	Carbon     amount      `key:"carbon_price" kind:"mass price" min:"0" eg:"60 EUR/t" doc:"Price of a tonne of CO2 from fuel; none when left out."`
	CarbonPath []amount    `key:"carbon_path" kind:"mass price" min:"0" eg:"[65, 75, 85, 100 EUR/t]" doc:"In place of carbon_price: its price in the first, second and each further year; the last stands for all later ones. Plans are made at the first."`
	CarbonRise amount      `key:"carbon_price_rise" kind:"yearly change" min:"-0.5" max:"1" eg:"4 %/a" doc:"Yearly rise of carbon_price; that of inflation when left out."`
	Life       amount      `key:"life" kind:"time" over:"0" max:"876000" lest:"a plant of no life pays nothing back" eg:"20 a" doc:"Years that the money is counted over, whole ones for paybacks and returns."`
	Discount   amount      `key:"discount" kind:"share" min:"0" max:"1" lest:"below nothing, money later would be worth more than money now" eg:"8 %" doc:"Discount rate, per year."`
	Rates      text        `key:"rates" of:"nominal|real" eg:"real" doc:"What discount and the rises of prices are: nominal, with inflation in them, or real, over inflation. A loan's rate is always nominal. Nominal when left out."`
	Inflation  amount      `key:"inflation" kind:"yearly change" min:"-0.2" max:"1" eg:"2 %/a" doc:"Yearly rise of all prices; none when left out."`
	FuelRise   amount      `key:"fuel_price_rise" kind:"yearly change" min:"-0.5" max:"1" eg:"2 %/a" doc:"Yearly rise of the prices of fuels and electricity, but where they have a price_rise of their own; that of inflation when left out."`
	UpkeepRise amount      `key:"upkeep_rise" kind:"yearly change" min:"-0.5" max:"1" eg:"2 %/a" doc:"Yearly rise of upkeep, insurance, water treatment, rent and parts; that of inflation when left out."`
	Falling    amount      `key:"degradation" kind:"yearly change" min:"0" max:"0.2" eg:"0.5 %/a" doc:"Yearly fall of what is saved, as mirrors and receivers age; none when left out."`
	Field      amount      `key:"field_cost" kind:"price by m2" min:"0" eg:"320 EUR/m2" doc:"Collectors in place, per m2 of aperture, of fields without a cost of their own."`
	Subsidy    subsidyFile `key:"subsidy" doc:"What is given on the cost, land apart: a share of it, or more of it told."`
	Tax        amount      `key:"tax" kind:"share" min:"0" max:"1" eg:"25 %" doc:"Tax on what is saved less costs, interest and what is written off."`
	Losses     text        `key:"tax_losses" of:"carried forward|at once" eg:"at once" doc:"Whether a loss for tax waits for the project's own profits, or is set off at once against other income. Carried forward when left out."`
	WriteOff   *writeFile  `key:"depreciation" eg:"{method: declining balance, rate: 80 %}" doc:"How the cost is written off for tax; evenly over the life when left out beside a tax."`
	Loan       *loanFile   `key:"loan" eg:"{share: 70 %, rate: 6 %, term: 10 a}" doc:"A loan, paid back in equal yearly sums."`
	Engineer   amount      `key:"engineering" kind:"share|sum" min:"0" eg:"8 %" doc:"Engineering, permits and contingency: a share of tank, collectors and integration, or a sum for the plant, of which the tank alone takes none."`
	Integrate  amount      `key:"integration" kind:"sum" min:"0" eg:"25000 EUR" doc:"Pipes, controls and connection of the plant to the boiler house; those of the tank stand in store.cost."`
	Land       amount      `key:"land" kind:"sum|yearly sum" min:"0" eg:"2000 EUR/a" doc:"Ground that is bought, or its yearly rent."`
	LandResale amount      `key:"land_resale" kind:"share" min:"0" max:"1" eg:"100 %" doc:"What bought ground fetches at the end of the life, of its price; nothing when left out."`
	Insurance  amount      `key:"insurance" kind:"yearly change" min:"0" max:"0.2" eg:"0.5 %/a" doc:"Yearly premium, of the cost but for land."`
	Water      amount      `key:"water_treatment" kind:"yearly sum" min:"0" eg:"800 EUR/a" doc:"What the plant's water costs more in a year."`
	Residual   amount      `key:"residual" kind:"share" min:"0" max:"1" eg:"5 %" doc:"What tank and collectors fetch at the end of the life, of their cost; nothing when left out."`
}

// subsidyFile is a share, or a share or sum with its conditions.
type subsidyFile struct {
	At  at
	One amount          `shape:"one" kind:"share" min:"0" max:"1" lest:"more than the whole cost cannot be given" eg:"20 %" doc:"Share of the cost that is given, at the start."`
	Map *subsidyMapFile `shape:"map" doc:"With its conditions."`
}

type subsidyMapFile struct {
	At      at
	Share   amount `key:"share" kind:"share" min:"0" max:"1" lest:"more than the whole cost cannot be given" eg:"30 %" doc:"Share of the cost. One of share and sum."`
	Sum     amount `key:"sum" kind:"sum" min:"0" eg:"100000 EUR" doc:"A fixed sum, of which the tank alone takes none."`
	Cap     amount `key:"cap" kind:"sum" over:"0" eg:"250000 EUR" doc:"The most that is given; the field takes its share first."`
	Year    amount `key:"paid_in_year" kind:"count" min:"0" max:"100" eg:"1" doc:"Year at whose end it is paid, 0 being the start; that when left out."`
	Reduces yesno  `key:"reduces_depreciation" default:"yes" why:"the careful side; common practice, no source" doc:"Whether only the cost less the subsidy is written off."`
}

type writeFile struct {
	At     at
	Method text     `key:"method" of:"straight line|declining balance|declining then straight line|MACRS|schedule|none" need:"yes" eg:"declining balance" doc:"An equal part each year; a share of what is left; the same until an equal part of the rest is more; the half-year schedules of IRS Publication 946; shares as written; or nothing before the end. What is left at the end of the life is set against what the plant then fetches."`
	Rate   amount   `key:"rate" kind:"share" over:"0" max:"1" eg:"80 %" doc:"Of what is left, each year: of the declining ones."`
	Years  amount   `key:"years" kind:"count" min:"1" max:"100" eg:"10" doc:"Over which it is written off; of MACRS 3, 5, 7, 10, 15 or 20. The life when left out, but for MACRS."`
	Shares []amount `key:"shares" kind:"share" min:"0" max:"1" eg:"[40, 30, 20, 10 %]" doc:"Of a schedule: of the cost, in the first, second and each further year."`
}

type loanFile struct {
	At    at
	Share amount `key:"share" kind:"share" need:"yes" over:"0" max:"1" eg:"70 %" doc:"Of the cost less a subsidy that is paid at the start."`
	Rate  amount `key:"rate" kind:"share" need:"yes" min:"0" max:"1" eg:"6 %" doc:"Interest per year, nominal."`
	Term  amount `key:"term" kind:"time" need:"yes" over:"0" max:"876000" eg:"10 a" doc:"Whole years in which it is paid back."`
}

type storeMoney struct {
	At        at
	Fixed     amount        `key:"fixed" kind:"sum" min:"0" eg:"30000 EUR" doc:"What any vessel costs, whatever its size."`
	PerM3     amount        `key:"per_m3" kind:"price by m3" min:"0" eg:"1500 EUR/m3" doc:"What each further m3 costs. One of per_m3, table and reference."`
	Table     []vesselRow   `key:"table" eg:"[{volume: 10 m3, price: 32000 EUR}, {volume: 40 m3, price: 78000 EUR}]" doc:"Prices by volume, the volumes rising: straight between, below the first as dear as the first, and none beyond the last."`
	Reference *vesselRef    `key:"reference" eg:"{volume: 20 m3, price: 50000 EUR, exponent: 0.6}" doc:"A vessel whose price is known, and how price grows with volume: price times (volume over its volume) to the exponent."`
	Sizes     []amount      `key:"sizes" kind:"volume" over:"0" max:"1e5" eg:"[10, 20, 30, 50, 80 m3]" doc:"Volumes that can be had; any when left out. Money is best at one of them."`
	Upkeep    amount        `key:"upkeep" kind:"yearly change" min:"0" max:"1" eg:"1 %/a" doc:"Yearly inspection and repair, of the vessel's cost."`
	Integrate amount        `key:"integration" kind:"sum" min:"0" eg:"12000 EUR" doc:"Pipes, foundation, pumps and controls of the store, whatever its size."`
	Replace   []replaceFile `key:"replace" eg:"[{what: pumps, year: 12, cost: 4000 EUR}]" doc:"What is replaced in a year of the life."`
}

type vesselRow struct {
	At     at
	Volume amount `key:"volume" kind:"volume" need:"yes" over:"0" max:"1e5" eg:"10 m3" doc:"Whole inside volume."`
	Price  amount `key:"price" kind:"sum" need:"yes" min:"0" eg:"32000 EUR" doc:"In place, without the fixed part."`
}

type vesselRef struct {
	At       at
	Volume   amount `key:"volume" kind:"volume" need:"yes" over:"0" max:"1e5" eg:"20 m3" doc:"Of the vessel whose price is known."`
	Price    amount `key:"price" kind:"sum" need:"yes" over:"0" eg:"50000 EUR" doc:"Its price in place."`
	Exponent amount `key:"exponent" kind:"number" default:"0.6" over:"0" max:"1.5" why:"the six-tenths rule of cost engineering, for what has no exponent of its own" doc:"How its price grows with volume."`
}

type fieldMoney struct {
	At           at
	PerM2        amount        `key:"per_m2" kind:"price by m2" min:"0" eg:"320 EUR/m2" doc:"Collectors in place, per m2 of aperture."`
	PerCollector amount        `key:"per_collector" kind:"sum" min:"0" eg:"28000 EUR" doc:"Each collector in place."`
	Fixed        amount        `key:"fixed" kind:"sum" min:"0" eg:"40000 EUR" doc:"What any field costs, whatever its size."`
	Upkeep       amount        `key:"upkeep" kind:"yearly change" min:"0" max:"1" eg:"1.5 %/a" doc:"Yearly washing, inspection and repair, of the field's cost."`
	Replace      []replaceFile `key:"replace" eg:"[{what: pumps, year: 12, cost: 4000 EUR}]" doc:"What is replaced in a year of the life."`
}

type replaceFile struct {
	At   at
	What text   `key:"what" need:"yes" eg:"pumps" doc:"The part."`
	Year amount `key:"year" kind:"count" need:"yes" min:"1" max:"100" eg:"12" doc:"Year of the life at whose end it is replaced."`
	Cost amount `key:"cost" kind:"sum|share" need:"yes" min:"0" eg:"4000 EUR" doc:"At first-year prices: a sum, or a share of the cost of the vessel or of the field."`
}
