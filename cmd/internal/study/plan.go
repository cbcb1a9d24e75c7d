package study

import (
	"slices"

	"noonkeep/cmd/internal/study/table"
	"noonkeep/scenarios"
)

// Physics is raised with each change of the program that moves results; every row has it.
const Physics = "1"

// Limits of a study. A slip of the finger shall not run for months.
const (
	MostCases     = 5_000_000
	mostScenarios = 10_000
	mostKeys      = 20
	mostValues    = 1000 // of a key
	mostSeeds     = 1000
	mostSampled   = 100_000 // cases of each scenario
)

// Plan is a study, whole and checked: with the inputs that it names by hash it is what every machine needs to know.
// Cases are numbered scenario by scenario, in each weather year by weather year, and there with the last key's values
// changing fastest: neighbours share what is costly to work out.
type Plan struct {
	Name      string     `json:"name"`
	Scenarios []Scenario `json:"scenarios"`
	Keys      []Key      `json:"vary"`
	Sample    *Sample    `json:"sample,omitempty"` // nil: the full grid
	Keep      Keep       `json:"keep"`

	ID string `json:"-"` // 12 hex digits of the SHA-256 over the manifest
	N  int64  `json:"-"` // cases

	first  []int64     // number of each scenario's first case, and N
	points [][]float64 // of the sample, each from 0 to 1: weather, then the keys
}

// Scenario is one of a study's scenarios, with the weather years that it is solved in.
type Scenario struct {
	Name    string            `json:"name"`  // told apart from the others'
	File    string            `json:"file"`  // as it stands in messages
	Text    string            `json:"text"`  // SHA-256 of its text
	Files   map[string]string `json:"files"` // SHA-256 of each file, by its name in the text
	Weather []Weather         `json:"weather"`
}

// Weather is a year that a scenario is solved in: its own, that of a seed, a year of its record, or another file.
type Weather struct {
	Name string  `json:"name"` // "as written", "seed 7", "2011", "file x.epw"
	Seed *uint64 `json:"seed,omitempty"`
	Year int     `json:"year,omitempty"`
	File string  `json:"file,omitempty"` // among the scenario's files
}

// AsWritten is the name of a scenario's own weather.
const AsWritten = "as written"

// Key is a value of the scenarios that is varied.
type Key struct {
	Key    string   `json:"key"`    // as noonkeep set takes it
	Values []string `json:"values"` // of the grid, as one writes them

	// The range that the values were taken from; Unit and Whole belong to it.
	Range bool    `json:"range,omitempty"`
	From  float64 `json:"from,omitempty"`
	To    float64 `json:"to,omitempty"`
	Unit  string  `json:"unit,omitempty"`
	Whole bool    `json:"whole,omitempty"` // whole numbers alone
}

// Sample asks for so many cases of each scenario in place of the full grid.
type Sample struct {
	Cases int    `json:"cases"`
	Seed  uint64 `json:"seed"`
}

// Keep is what is kept of a case besides the year with the scenario's own store.
type Keep struct {
	Curve  bool `json:"curve"`
	Size   bool `json:"size"`
	Worth  bool `json:"worth"`
	Replay bool `json:"replay"`
}

// Case is one case of a plan.
type Case struct {
	Number   int64
	Scenario int      // place in the plan's scenarios
	Weather  int      // place in the scenario's years
	Values   []string // one for each key
}

// number works out how many cases there are, and the sample's points.
func (p *Plan) number() {
	each := int64(1)
	for _, k := range p.Keys {
		each *= int64(len(k.Values))
	}
	p.first = make([]int64, 0, len(p.Scenarios)+1)
	p.N = 0
	for _, s := range p.Scenarios {
		p.first = append(p.first, p.N)
		if p.Sample != nil {
			p.N += int64(p.Sample.Cases)
		} else {
			p.N += each * int64(len(s.Weather))
		}
	}
	p.first = append(p.first, p.N)
	if p.Sample != nil {
		p.points = hypercube(p.Sample.Cases, 1+len(p.Keys), p.Sample.Seed)
	}
}

// Case gives a case by its number, from 0 to N-1.
func (p Plan) Case(n int64) Case {
	s, found := slices.BinarySearch(p.first, n)
	if !found {
		s--
	}
	for p.first[s+1] == n { // a scenario without a case
		s++
	}
	c := Case{Number: n, Scenario: s, Values: make([]string, len(p.Keys))}
	at := n - p.first[s]
	if p.Sample != nil {
		point := p.points[at]
		c.Weather = part(point[0], len(p.Scenarios[s].Weather))
		for i, k := range p.Keys {
			c.Values[i] = k.at(point[1+i])
		}
		return c
	}
	for i, k := range slices.Backward(p.Keys) {
		c.Values[i] = k.Values[at%int64(len(k.Values))]
		at /= int64(len(k.Values))
	}
	c.Weather = int(at)
	return c
}

// Settings are what a case changes in its scenario's text, besides a year of weather by its seed.
func (p Plan) Settings(c Case) []scenarios.Setting {
	var list []scenarios.Setting
	switch w := p.Scenarios[c.Scenario].Weather[c.Weather]; {
	case w.File != "":
		list = append(list, weatherSetting(w.File))
	case w.Year != 0:
		list = append(list, yearSetting(w.Year))
	}
	for i, k := range p.Keys {
		list = append(list, scenarios.Setting{Key: k.Key, Value: c.Values[i]})
	}
	return list
}

// Head is what all rows share.
func (p Plan) Head() table.Head {
	h := table.Head{Meta: map[string]string{"study": p.ID, "name": p.Name, "physics": Physics}}
	for _, k := range p.Keys {
		h.Keys = append(h.Keys, k.Key)
	}
	return h
}

// What cases cost about, in milliseconds on one core: measured by BenchmarkCase, and only to cut a study into tasks.
const (
	yearMS   = 15
	curveMS  = 250
	replayMS = 8000
	taskMS   = 2000
)

// ChunkCases is how many neighbouring cases a worker takes at once: some two seconds of work, and few enough that eight
// workers have four tasks each.
func (p Plan) ChunkCases() int64 {
	ms := yearMS
	if p.Keep.Curve || p.Keep.Size || p.Keep.Worth {
		ms = curveMS
	}
	if p.Keep.Replay {
		ms += replayMS
	}
	return max(1, min(int64(taskMS/ms), p.N/32))
}
