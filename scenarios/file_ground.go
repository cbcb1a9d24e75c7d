package scenarios

type horizonFile struct {
	At      at
	Azimuth amount `key:"azimuth" kind:"angle" need:"yes" min:"0" under:"360" eg:"90 deg" doc:"Where the point stands, from north by east."`
	Height  amount `key:"height" kind:"angle" need:"yes" min:"0" under:"90" eg:"5 deg" doc:"How high it stands over the level, seen from the collectors."`
}

type gridFile struct {
	At       at
	East     amount `key:"east" kind:"length" need:"yes" over:"0" max:"1e4" eg:"18 m" doc:"From place to place in a row, which runs from west to east."`
	North    amount `key:"north" kind:"length" over:"0" max:"1e4" eg:"15 m" doc:"From row to row; as far as east when left out, or 0.866 of it where staggered, so that all neighbours are as far."`
	Pattern  text   `key:"pattern" of:"rectangle|staggered" default:"rectangle" why:"drives and pipes in straight lines" doc:"Whether every other row stands half a place to the east."`
	Columns  amount `key:"columns" kind:"count" min:"1" max:"20000" eg:"6" doc:"Places in a row; as many as make the field about square, or fill the ground, when left out."`
	Diameter amount `key:"diameter" kind:"length" over:"0" max:"1000" eg:"10.7 m" doc:"Of a dish, as it shades; that of a circle of the aperture when left out."`
}

type yardFile struct {
	At     at
	Width  amount `key:"width" kind:"length" over:"0" max:"1e5" eg:"60 m" doc:"From west to east."`
	Depth  amount `key:"depth" kind:"length" over:"0" max:"1e5" eg:"45 m" doc:"From south to north."`
	Area   amount `key:"area" kind:"area" over:"0" max:"1e10" eg:"4000 m2" doc:"In place of width and depth: a square of this area."`
	Border amount `key:"border" kind:"length" default:"2 m" min:"0" max:"1000" why:"a way round; common practice, no source" doc:"Kept free along all sides."`
}
