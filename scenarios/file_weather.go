package scenarios

// columnsFile says which columns a plain CSV of weather has.
type columnsFile struct {
	At        at
	Time      text        `key:"time" eg:"Timestamp" doc:"The column of the times, by its name in the header or its number."`
	TimeOfDay text        `key:"time_of_day" eg:"Hour" doc:"A second column with the time of day, where the first has the date alone."`
	TimeParts []text      `key:"time_parts" eg:"[Year, Month, Day, Hour, Minute]" doc:"In place of time: the columns of year, month, day, and as far as there are such of hour and minute."`
	GHI       *columnFile `key:"ghi" eg:"{column: Global, unit: W/m2}" doc:"Global light on the level. At least ghi or dni must be there."`
	DNI       *columnFile `key:"dni" eg:"{column: Direct, unit: W/m2}" doc:"Direct light on a plane that faces the sun."`
	DHI       *columnFile `key:"dhi" eg:"{column: Diffuse, unit: W/m2}" doc:"Diffuse light on the level."`
	Air       *columnFile `key:"air" eg:"{column: Temperature, unit: degC}" doc:"Air temperature."`
	Wind      *columnFile `key:"wind" eg:"{column: Wind, unit: m/s}" doc:"Wind speed."`
}

type columnFile struct {
	At     at
	Column text `key:"column" need:"yes" eg:"Global" doc:"The column, by its name in the header or its number."`
	Unit   text `key:"unit" eg:"W/m2" doc:"Its unit. Light: W/m2, kW/m2, or per row's interval Wh/m2, kWh/m2, kJ/m2, MJ/m2, J/m2, J/cm2. Air: degC, K, degF. Wind: m/s, km/h, kn, mph."`
}
