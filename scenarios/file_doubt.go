package scenarios

// doubtFile is one input that is not known for sure: unsure.go says what becomes of it.
type doubtFile struct {
	At    at
	What  text    `key:"what" need:"yes" of:"demand|boiler efficiency|fuel price|electricity price|carbon price|cleanliness|soiling|availability|collector output|store cost|weather" eg:"demand" doc:"What is unsure. Demand is the heat of loads; prices are those per kWh, without standing charges; cleanliness, soiling and availability are those of the fields; collector output is what the fields deliver, all else the same; store cost is the price of a further m3; weather draws one of many years."`
	Of    text    `key:"of" eg:"natural gas" doc:"The one load, boiler, fuel or field that it is of, by name. Left out: all of them, up and down together."`
	Times between `key:"times" kind:"share" over:"0" eg:"90..110 %" doc:"From how little to how much of what the scenario has: 100 % is the scenario's own value. Of a normal shape it is the band that 5 % of cases fall below and 5 % exceed; no case lies beyond any other shape's range."`
	Shape text    `key:"shape" of:"uniform|triangular|normal" eg:"triangular" doc:"How likely what lies in the range is. Uniform: all alike. Triangular: rising straight from the low end to the mode, and falling straight to the high end. Normal: the bell curve, its middle that of the range, held at its 0.1 and 99.9 % points. Uniform when left out."`
	Mode  amount  `key:"mode" kind:"share" over:"0" eg:"100 %" doc:"Of a triangular shape, the likeliest value; 100 % when left out, where the range has that."`
	Years amount  `key:"years" kind:"count" min:"2" max:"1000" eg:"30" doc:"For weather from monthly means, how many years are generated, each as likely as another; 30 when left out. Of weather files every whole year is taken."`
}
