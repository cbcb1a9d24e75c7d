package chart

import "gonum.org/v1/plot/vg"

// Doubt is one curve of storage volume against savings in many cases of what is not known for sure: a band and the line in
// its middle; under it, at the same volumes, the share of cases in which each is as good as the best; and under that
// what a volume may cost against the best.
type Doubt struct {
	Title, Subtitle string
	Currency        string
	SavingsName     string

	VolumesM3                  []float64 // rising, from 0 up
	Low, Mid, High             []float64 // money per year, one per volume
	LowName, MidName, HighName string    // what stands at their ends
	LowNote, MidNote, HighNote string    // and under it

	NearPercent            []float64 // share of cases in which a volume is as good as the best
	NearName               string
	MeanRegret, MostRegret []float64 // money per year
	RegretName             string

	OftenM3, LeastM3 float64 // volumes to mark: best in most cases, and of the least regret
}

const (
	doubtHeight  = 964
	nearHeight   = 130
	regretHeight = 150
)

func (d Doubt) heading() string        { return d.Title }
func (d Doubt) size() (w, h vg.Length) { return figureWidth, doubtHeight }

// Check finds lengths that do not match, values that are no numbers, volumes that do not rise, a middle outside its band
// and marks off the volumes.
func (d Doubt) Check() error {
	var f faults
	n := len(d.VolumesM3)
	f.require(clean(d.Currency) != "", "currency: is empty; want a name such as EUR")
	ok := f.require(n >= 2, "volumes: are %d; want 2 or more", n) && f.series("volumes", d.VolumesM3, -1) && f.rising("volumes", d.VolumesM3) &&
		f.series("low", d.Low, n) && f.series("middle", d.Mid, n) && f.series("high", d.High, n)
	f.flows("share", d.NearPercent, n)
	f.flows("mean regret", d.MeanRegret, n)
	f.flows("largest regret", d.MostRegret, n)
	if ok {
		d.band().checkBand(&f)
		last := d.VolumesM3[n-1]
		for _, v := range []float64{d.OftenM3, d.LeastM3} {
			f.require(v >= d.VolumesM3[0] && v <= last, "mark: is at %g m³; want %g to %g", v, d.VolumesM3[0], last)
		}
	}
	return f.join("doubt")
}

// band is the upper part as [Years] draws it, without single lines.
func (d Doubt) band() Years {
	return Years{Currency: d.Currency, SavingsName: d.SavingsName, VolumesM3: d.VolumesM3, Low: d.Low, Mid: d.Mid, High: d.High,
		LowName: d.LowName, MidName: d.MidName, HighName: d.HighName, LowNote: d.LowNote, MidNote: d.MidNote, HighNote: d.HighNote}
}

// Causes are inputs with what each does alone: a bar from what comes of its low end to what comes of its high end, over the
// value with all in their middle. They stand in the order given, from the top.
type Causes struct {
	Locale
	Title, Subtitle string
	Name, Currency  string // of the values: "Saved over boilers alone"; they are per year
	Middle          float64
	MiddleName      string // "all in their middle"
	Rows            []Cause
	SideName        string // over the notes at the right; may be empty
}

// Cause is one row.
type Cause struct {
	Name, Range   string // "demand", "90..110 %"
	AtLow, AtHigh float64
	LowTag        string // what the low end is: "90 %"
	HighTag       string
	Side          string // at the right; may be empty
}

const (
	causeHeight = 46
	causesHead  = 190
	causesFoot  = 62
	mostCauses  = 60
)

func (c Causes) heading() string { return c.Title }
func (c Causes) size() (w, h vg.Length) {
	return figureWidth, causesHead + causesFoot + causeHeight*vg.Length(len(c.Rows))
}

// Check finds values that are no numbers, and too many rows.
func (c Causes) Check() error {
	var f faults
	f.require(len(c.Rows) >= 1 && len(c.Rows) <= mostCauses, "rows: are %d; want 1 to %d", len(c.Rows), mostCauses)
	f.require(clean(c.Currency) != "", "currency: is empty; want a name such as EUR")
	f.series("middle", []float64{c.Middle}, 1)
	for _, r := range c.Rows {
		f.series("row "+r.Name, []float64{r.AtLow, r.AtHigh}, 2)
	}
	return f.join("causes")
}
