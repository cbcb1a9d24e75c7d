package scenarios

// extraFile is heat that a run of work needs before it or after it.
type extraFile struct {
	At    at
	Lasts amount `key:"lasts" kind:"time" need:"yes" over:"0" max:"24" eg:"1 h" doc:"How long it takes."`
	Steam amount `key:"steam" kind:"flow" min:"0" max:"1e6" eg:"1500 kg/h" doc:"Steam meanwhile. One of steam and heat."`
	Heat  amount `key:"heat" kind:"power" min:"0" max:"1e6" eg:"200 kW" doc:"Heat meanwhile."`
}
