package chart

import (
	"gonum.org/v1/plot/vg"
)

// Plant is a one-line diagram: headers as bars from the highest pressure down, over each what feeds it, under
// it what it feeds, and the collector fields at the left. Each part stands under its name with its figures; the
// caller writes those out.
type Plant struct {
	Title, Subtitle string

	Headers []PlantHeader // from the highest pressure down, 1 to 8
	Fields  []PlantField
	Stores  []PlantStore
	Boilers []PlantPart
	Loads   []PlantPart

	HeatName string // what the headers carry: "steam"; empty is "heat"
}

// PlantPart is one thing with its figures, each of which is set in a line or two.
type PlantPart struct {
	Name    string
	Figures []string
	Header  int // place in Headers
}

// PlantHeader is a header. With FromAbove a valve lets heat in from the one over it, Valve being its figures.
type PlantHeader struct {
	Name      string
	Figures   []string // set in one line
	FromAbove bool
	Valve     []string
	ValveName string // "reducing valve" when empty
}

func (h PlantHeader) valveName() string {
	if h.ValveName == "" {
		return "reducing valve"
	}
	return h.ValveName
}

// PlantField is a collector field with what it feeds: headers and stores, by place; at least one in all.
type PlantField struct {
	Name            string
	Figures         []string
	Headers, Stores []int
}

// PlantStore is a store. Header is what it gives to; with FromHeader the header From, mostly the same, charges it.
type PlantStore struct {
	PlantPart
	FromHeader bool
	From       int
}

// Bounds of what one page shows; the caller sums up what is more.
const (
	mostPlantHeaders = 8
	mostPlantParts   = 24 // of one kind
)

func (d Plant) heading() string { return d.Title }

func (d Plant) size() (w, h vg.Length) { return figureWidth, d.lay().height }

// Check finds a plant without headers, more parts than a page takes, and parts on headers or stores that are not there.
func (d Plant) Check() error {
	var f faults
	n := len(d.Headers)
	f.require(n >= 1 && n <= mostPlantHeaders, "headers: are %d; want 1 to %d", n, mostPlantHeaders)
	if n > 0 {
		f.require(!d.Headers[0].FromAbove, "header %q: takes heat from above and is the first; want one over it", d.Headers[0].Name)
	}
	f.parts("boiler", d.Boilers, n)
	f.parts("load", d.Loads, n)
	f.parts("store", d.storeParts(), n)
	for _, s := range d.Stores {
		f.places("store", s.Name, "charging header", []int{s.From}, n)
	}
	f.require(len(d.Fields) <= mostPlantParts, "fields: are %d; want at most %d", len(d.Fields), mostPlantParts)
	for _, x := range d.Fields {
		f.require(len(x.Headers)+len(x.Stores) > 0, "field %q: feeds nothing; want a header or a store", x.Name)
		f.places("field", x.Name, "header", x.Headers, n)
		f.places("field", x.Name, "store", x.Stores, len(d.Stores))
	}
	return f.join("plant")
}

func (d Plant) storeParts() []PlantPart {
	parts := make([]PlantPart, len(d.Stores))
	for i, s := range d.Stores {
		parts[i] = s.PlantPart
	}
	return parts
}

func (f *faults) parts(kind string, parts []PlantPart, headers int) {
	f.require(len(parts) <= mostPlantParts, "%ss: are %d; want at most %d", kind, len(parts), mostPlantParts)
	for _, x := range parts {
		f.places(kind, x.Name, "header", []int{x.Header}, headers)
	}
}

// places requires each place to be there, and none to stand twice.
func (f *faults) places(kind, name, of string, places []int, n int) {
	seen := map[int]bool{}
	for _, i := range places {
		f.require(i >= 0 && i < n, "%s %q: is on %s %d of %d", kind, name, of, i, n)
		f.require(!seen[i], "%s %q: is on %s %d twice", kind, name, of, i)
		seen[i] = true
	}
}

// on gives the places of those parts that are on header h.
func on(parts []PlantPart, h int) []int {
	var at []int
	for i, x := range parts {
		if x.Header == h {
			at = append(at, i)
		}
	}
	return at
}

// fromOwn and fromOther tell whether a store is charged by the header that it gives to, or by another.
func (s PlantStore) fromOwn() bool   { return s.FromHeader && s.From == s.Header }
func (s PlantStore) fromOther() bool { return s.FromHeader && s.From != s.Header }

func (d Plant) heatName() string {
	if d.HeatName == "" {
		return "heat"
	}
	return d.HeatName
}

// hasValve tells whether any header takes heat from the one over it.
func (d Plant) hasValve() bool {
	for _, h := range d.Headers {
		if h.FromAbove {
			return true
		}
	}
	return false
}
