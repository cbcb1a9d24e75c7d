package scenarios

type fieldFile struct {
	At           at
	Name         text          `key:"name" need:"yes" eg:"dishes" doc:"What the field is called."`
	Collector    collectorFile `key:"collector" need:"yes" eg:"{kind: dish}" doc:"The sort of collector, or its own coefficients, or a sort with some of its own."`
	Count        amount        `key:"count" kind:"count" need:"yes" min:"0" max:"1e6" eg:"24" doc:"Number of collectors."`
	Aperture     amount        `key:"aperture" kind:"area" need:"yes" over:"0" max:"1e6" eg:"90 m2" doc:"Aperture of each collector."`
	Header       text          `key:"header" eg:"main" doc:"The header it feeds; the first when left out."`
	ChargesStore yesno         `key:"charges_store" default:"yes" doc:"Whether it may put heat into the store, or into the stores."`
	Charges      []text        `key:"charges" eg:"[tank]" doc:"Of several stores, those that it charges; all when left out."`
	Approach     amount        `key:"approach" kind:"warmth" default:"10 K" min:"0" max:"100" why:"half the rise through the collectors and the exchanger's own; common practice, no source" doc:"How much warmer the mean collector fluid is than the steam or the store it heats."`
	Cleanliness  amount        `key:"cleanliness" kind:"share" default:"95 %" over:"0" max:"1" why:"mirrors washed every fortnight; common practice, no source" doc:"Mean reflectance or transmittance over that of a clean collector."`
	Availability amount        `key:"availability" kind:"share" default:"98 %" over:"0" max:"1" why:"common practice, no source" doc:"Share of the collectors that work."`
	PipeLoss     amount        `key:"pipe_loss" kind:"share" default:"4 %" min:"0" under:"1" why:"common practice, no source" doc:"Heat lost between collectors and header, of the heat collected."`
	PipeUA       amount        `key:"pipe_ua" kind:"film" min:"0" eg:"0.05 W/m2K" doc:"Heat lost by the pipes per m2 of aperture and K over the air, beside pipe_loss."`
	PumpPower    amount        `key:"pump_power" kind:"share" default:"1 %" min:"0" max:"0.5" why:"common practice, no source" doc:"Electricity for pumps, of the heat delivered."`

	Feeds     text   `key:"feeds" of:"header|store|feedwater" eg:"feedwater" doc:"Where its heat goes: to the header (and the store); to the store alone; or into the header's feedwater, for collectors that get no hotter. The header when left out."`
	PreheatTo amount `key:"preheat_to" kind:"temperature" min:"20" max:"200" eg:"90 degC" doc:"The warmest that a field on the feedwater makes it; 95 degC when left out, below boiling in an open tank."`

	Soiling     amount      `key:"soiling" kind:"daily change" min:"0" max:"0.2" eg:"0.4 %/d" doc:"Light lost with each day after a wash; cleanliness is then that of a washed collector, 100 % when left out. Rain washes nothing."`
	MostSoiling amount      `key:"soiling_most" kind:"share" over:"0" under:"1" eg:"30 %" doc:"The most that dirt takes between washings; 30 % when left out."`
	Wash        *washFile   `key:"wash" doc:"When the collectors are washed."`
	Drift       amount      `key:"drift" kind:"yearly change" min:"-0.1" max:"0.1" eg:"-0.5 %/a" doc:"Change of the availability with each year of the field's life, of that when new."`
	YearOfLife  amount      `key:"year_of_life" kind:"count" min:"1" max:"60" eg:"5" doc:"The year of the field's life that is worked out, the first being 1; the mean over the life of money when left out."`
	Out         []text      `key:"out_of_service" eg:"[2026-11-02..2026-11-15]" doc:"Spans of days, both ends included, on which the whole field stands; 15 Jan..31 Jan means every year."`
	Pipes       *pipesFile  `key:"pipes" doc:"The pipes between collectors and header, which must be warmed first and cool in their own time; in place of what a kind's heat_capacity has of them."`
	Freeze      *freezeFile `key:"freeze" doc:"How its water is kept from freezing."`
	IdlePump    amount      `key:"idle_pump" kind:"power" min:"0" eg:"200 W" doc:"Electricity of the field's pumps and controls in hours without heat."`
	RowSpacing  amount      `key:"row_spacing" kind:"length" over:"0" max:"1e4" eg:"15 m" doc:"From row to row of troughs or fixed collectors, which then shade each other. Left out, none does."`
	RowWidth    amount      `key:"row_width" kind:"length" over:"0" max:"100" eg:"5.77 m" doc:"Aperture across a row: up the slope of fixed collectors. Aperture over collector.length when left out."`
	Rows        amount      `key:"rows" kind:"count" min:"1" max:"20000" eg:"8" doc:"Number of rows; the front one is not shaded. What fills the ground when left out."`
	RowGap      amount      `key:"row_gap" kind:"length" min:"0" max:"1000" eg:"1 m" doc:"Between troughs end to end in a row: light that passes one's end and the gap falls on the next. Left out, it is lost."`
	Grid        *gridFile   `key:"grid" eg:"{east: 18 m, north: 15 m}" doc:"Places of dishes, which then shade each other. Left out, none does."`
	Ground      *yardFile   `key:"ground" eg:"{width: 60 m, depth: 45 m}" doc:"The yard or roof that has to hold them."`
	Cost        *fieldMoney `key:"cost" eg:"{per_m2: 320 EUR/m2, upkeep: 1.5 %/a}" doc:"What the field costs."`

	Guarantee *guaranteeFile `key:"guarantee" eg:"{uncertainty_factor: 95 %}" doc:"What is promised of the field's power, for a check after the method of ISO 24194 (noonkeep guarantee)."`
}

type collectorFile struct {
	At       at
	Kind     text      `key:"kind" of:"dish|trough|vacuum trough|linear fresnel|evacuated tube|flat plate" eg:"dish" doc:"A generic collector of this sort; what is written beside it replaces its values."`
	Tracking text      `key:"tracking" of:"two-axis|north-south axis|east-west axis|fixed|fresnel north-south axis|fresnel east-west axis" eg:"two-axis" doc:"How it follows the sun: on two axes, turning about a level axis, not, or as level mirrors under a receiver (linear Fresnel)."`
	Set      text      `key:"set" of:"quasi-dynamic|steady state" eg:"steady state" doc:"The sort of ISO 9806 test that the coefficients are from; quasi-dynamic when left out. A steady-state set has eta0 on global light in place of eta0b."`
	Area     text      `key:"area" of:"aperture|gross" eg:"gross" doc:"The area that the coefficients refer to. Gross with no aperture_per_gross: the field's aperture is then gross area too."`
	Eta0     amount    `key:"eta0" kind:"share" over:"0" max:"1" eg:"0.78" doc:"Peak efficiency on global light of a steady-state set."`
	Slope    amount    `key:"slope" kind:"angle" min:"0" max:"90" eg:"30 deg" doc:"Of a fixed collector, from level."`
	Azimuth  amount    `key:"azimuth" kind:"angle" min:"0" under:"360" eg:"180 deg" doc:"Where a fixed collector looks, from north by east."`
	Eta0b    amount    `key:"eta0b" kind:"share" over:"0" max:"1" eg:"0.75" doc:"ISO 9806 peak efficiency for beam, of the reference area."`
	Kd       amount    `key:"kd" kind:"number" min:"0" max:"1.5" eg:"0.02" doc:"ISO 9806 incidence-angle modifier for diffuse."`
	A1       amount    `key:"a1" kind:"film" min:"0" eg:"0.15 W/m2K" doc:"ISO 9806 heat loss coefficient."`
	A2       amount    `key:"a2" kind:"film2" min:"0" eg:"0.001 W/m2K2" doc:"ISO 9806 temperature dependence of the heat loss."`
	A3       amount    `key:"a3" kind:"wind loss" min:"0" eg:"0 J/m3K" doc:"ISO 9806 wind dependence of the heat loss."`
	A4       amount    `key:"a4" kind:"number" min:"0" eg:"0" doc:"ISO 9806 sky temperature dependence."`
	A5       amount    `key:"a5" kind:"warm mass" min:"0" eg:"8 kJ/m2K" doc:"ISO 9806 effective heat capacity."`
	A6       amount    `key:"a6" kind:"wind effect" min:"0" eg:"0 s/m" doc:"ISO 9806 wind dependence of the peak efficiency."`
	A7       amount    `key:"a7" kind:"wind effect" min:"0" eg:"0 s/m" doc:"ISO 9806 wind dependence of the sky term."`
	A8       amount    `key:"a8" kind:"film4" min:"0" eg:"2e-9 W/m2K4" doc:"ISO 9806 radiative loss."`
	B0       amount    `key:"b0" kind:"number" min:"0" under:"1" eg:"0.1" doc:"Incidence-angle modifier for beam as 1 - b0 (1/cos - 1), in place of iam."`
	IAM      []iamFile `key:"iam" eg:"[{angle: 50 deg, factor: 0.94}]" doc:"Incidence-angle modifier for beam, by rising angle; along the collector where iam_across is given."`
	Across   []iamFile `key:"iam_across" eg:"[{angle: 60 deg, factor: 1.15}]" doc:"Of collectors that differ along and across, and of linear Fresnel mirrors: the modifier across; iam is then the one along, and the two multiply."`
	Along    text      `key:"iam_along" of:"projected|incidence" eg:"incidence" doc:"The angle by which the iam of linear Fresnel mirrors counts: projected on the plane along the row, or between the beam and the plane across it. Projected when left out."`
	Cosine   yesno     `key:"iam_with_cosine" doc:"Whether the modifiers of linear Fresnel mirrors have the cosine of the sun's zenith angle in them, to be multiplied with direct normal light."`
	Poly     []amount  `key:"iam_poly" kind:"number" len:"2" eg:"[0.000884, -0.00005369]" doc:"In place of iam: p and q of K = cos + p angle + q angle^2, angle in degrees, as trough tests print it, cosine included."`
	Length   amount    `key:"length" kind:"length" over:"0" max:"1e4" eg:"12 m" doc:"Of one trough with its receiver, along the axis; with focal_length it sets the loss at its ends."`
	Focal    amount    `key:"focal_length" kind:"length" over:"0" max:"100" eg:"1.7 m" doc:"Of a trough; with length it sets the loss at its ends."`
	Share    amount    `key:"aperture_per_gross" kind:"share" over:"0" max:"1" eg:"0.92" doc:"Aperture over gross area, when the coefficients refer to the gross area; left out, they refer to the aperture."`
	Capacity amount    `key:"heat_capacity" kind:"warm mass" min:"0" eg:"8 kJ/m2K" doc:"Of receiver and pipes with what is in them, per m2 of aperture; a5 when left out. It sets the morning warm-up."`
	Drive    amount    `key:"drive_power" kind:"irradiance" min:"0" max:"100" eg:"0.5 W/m2" doc:"Power of the drives per m2 of aperture while the sun is followed."`
	LeastDNI amount    `key:"least_dni" kind:"irradiance" min:"0" under:"1000" eg:"200 W/m2" doc:"Beam below which a tracking collector waits."`
	StowWind amount    `key:"stow_wind" kind:"speed" over:"0" max:"100" eg:"12.5 m/s" doc:"Wind above which a tracking collector is stowed."`
	Cooling  amount    `key:"cooling_time" kind:"time" over:"0" max:"1000" eg:"6 h" doc:"Time in which receiver and pipes lose two thirds of their warmth overnight."`
}

type iamFile struct {
	At     at
	Angle  amount `key:"angle" kind:"angle" need:"yes" min:"0" max:"90" eg:"50 deg" doc:"Angle of incidence."`
	Factor amount `key:"factor" kind:"number" need:"yes" min:"0" max:"2" eg:"0.94" doc:"Beam efficiency over that at right incidence."`
}
