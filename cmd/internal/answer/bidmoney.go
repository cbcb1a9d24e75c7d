package answer

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"noonkeep/optimize/worth"
	"noonkeep/scenarios"
)

// MoneySheet is a project's money as a table that a spreadsheet can work out again, from what things cost on. Formulas are
// written as in [worth.Ledger]; {key@3} is a column's value in year 3.
type MoneySheet struct {
	Project string        `json:"project"`
	Against string        `json:"against"`
	Inputs  []SheetInput  `json:"-"`
	Columns []SheetColumn `json:"-"`
	Totals  []SheetTotal  `json:"-"`
	Years   []YearMoney   `json:"years"`
}

// SheetInput is a figure over the table: one to change, or with a formula one that follows from others.
type SheetInput struct {
	Key, Name, Unit string
	Value           float64
	Formula         string
}

// SheetColumn and SheetTotal are those of a ledger.
type (
	SheetColumn = worth.Column
	SheetTotal  = worth.Total
)

// YearMoney is a year in the few sums that a reader wants first. What comes in is positive.
type YearMoney struct {
	Year     int     `json:"year"`
	Saved    float64 `json:"saved"`     // fuel, power and carbon
	Spent    float64 `json:"spent"`     // upkeep, insurance, parts
	Capital  float64 `json:"capital"`   // with subsidy and residual value
	Bank     float64 `json:"loan"`      // received, interest and repaid
	Tax      float64 `json:"tax"`       //
	Net      float64 `json:"net"`       // the owner's flow
	WorthSum float64 `json:"worth_sum"` // worth at the start of all flows so far
}

// sheetOf makes the table of a project; tank tells the store's own from that of sun and store.
func sheetOf(c scenarios.Case, m3 float64, e *Earned) *MoneySheet {
	if e == nil {
		return nil
	}
	l := e.Case.Ledger()
	s := &sheetMaker{c: c, m3: m3, terms: e.Case.Terms, project: e.Case.Project, formulas: map[string]string{}, named: map[string]string{}}
	s.costs()
	s.running()
	s.financing()
	s.parts(&l)
	out := &MoneySheet{Project: e.Case.Project.Name, Against: e.Case.Project.Against, Columns: l.Columns, Totals: l.Totals}
	out.Inputs = append(out.Inputs, s.extra...)
	for _, in := range l.Inputs {
		out.Inputs = append(out.Inputs, SheetInput{in.Key, in.Name, in.Unit, in.Value, s.formulas[in.Key]})
	}
	out.results(e)
	out.byYear(len(e.Case.Project.Savings), len(e.Case.Project.Running))
	return out
}

// sheetMaker finds out what follows from what.
type sheetMaker struct {
	c        scenarios.Case
	m3       float64
	terms    worth.Terms
	project  worth.Project
	extra    []SheetInput
	formulas map[string]string // of the ledger's inputs
	named    map[string]string // an outlay's key by its name
}

// input adds a figure to change and gives its reference.
func (s *sheetMaker) input(key, name, unit string, value float64) string {
	s.extra = append(s.extra, SheetInput{Key: key, Name: name, Unit: unit, Value: value})
	return "{#" + key + "}"
}

// costs say how each outlay follows from prices.
func (s *sheetMaker) costs() {
	var before, all, land []string
	for i, o := range s.project.Outlays {
		key := fmt.Sprintf("outlay_%d", i+1)
		s.named[o.Name] = cmp.Or(s.named[o.Name], key)
		switch {
		case o.Name == "engineering" && s.c.Business.EngineeringFrac > 0:
			s.formulas[key] = s.input("engineering_share", "engineering, of what is bought", "share", s.c.Business.EngineeringFrac) + "*(" + joined(before) + ")"
		case s.named[o.Name] == key:
			s.price(key, o)
		}
		before = append(before, "{#"+key+"}")
		all = append(all, "{#"+key+"}")
		if o.Land {
			land = append(land, "{#"+key+"}")
		}
	}
	s.formulas["capital"], s.formulas["land"] = joined(all), joined(land)
}

// joined is a sum of references.
func joined(refs []string) string {
	if len(refs) == 0 {
		return "0"
	}
	return strings.Join(refs, "+")
}

// price makes an outlay follow from the price of its store or its field; what has no such price is an input.
func (s *sheetMaker) price(key string, o worth.Outlay) {
	for _, st := range s.c.Stores {
		if cmp.Or(st.Name, "store") != o.Name {
			continue
		}
		p, m3 := st.Cost.Price, st.VolumeM3
		if st == s.c.Store {
			m3 = s.m3
		}
		if len(p.Table) > 0 {
			return
		}
		volume := s.input(key+"_m3", o.Name+", volume", "m³", m3)
		sum := []string{s.input(key+"_fixed", o.Name+", fixed price", "money", p.Fixed)}
		if p.PerM3 > 0 {
			sum = append(sum, s.input(key+"_per_m3", o.Name+", price of a m³", "money/m³", p.PerM3)+"*"+volume)
		}
		if p.ReferenceM3 > 0 {
			sum = append(sum, s.input(key+"_ref_price", o.Name+", price of the reference vessel", "money", p.ReferencePrice)+"*("+volume+"/"+
				s.input(key+"_ref_m3", o.Name+", volume of the reference vessel", "m³", p.ReferenceM3)+")^"+s.input(key+"_exponent", o.Name+", exponent", "", p.Exponent))
		}
		s.formulas[key] = joined(sum)
		return
	}
	for _, f := range s.c.Fields {
		if f.Name != o.Name || !f.Cost.Known {
			continue
		}
		area := s.input(key+"_m2", o.Name+", aperture", "m²", f.AreaM2())
		sum := []string{s.input(key+"_fixed", o.Name+", fixed price", "money", f.Cost.Fixed)}
		if f.Cost.PerM2 > 0 {
			sum = append(sum, s.input(key+"_per_m2", o.Name+", price of a m²", "money/m²", f.Cost.PerM2)+"*"+area)
		}
		if f.Cost.PerCollector > 0 {
			sum = append(sum, s.input(key+"_each", o.Name+", price of a collector", "money", f.Cost.PerCollector)+"*"+area+"/"+
				s.input(key+"_each_m2", o.Name+", aperture of a collector", "m²", f.Cost.CollectorM2))
		}
		s.formulas[key] = joined(sum)
		return
	}
}

// running says how upkeep and insurance follow from what is bought.
func (s *sheetMaker) running() {
	shares := map[string]float64{}
	for _, st := range s.c.Stores {
		shares["upkeep of "+cmp.Or(st.Name, "store")] = st.Cost.UpkeepFrac
	}
	for _, f := range s.c.Fields {
		shares["upkeep of "+f.Name] = f.Cost.UpkeepFrac
	}
	for j, r := range s.project.Running {
		key := fmt.Sprintf("cost_%d", j+1)
		if r.Name == "insurance" {
			s.formulas[key] = s.input("insurance_share", "insurance, of the cost but for land", "1/a", s.c.Business.InsuranceFrac) + "*({#capital}-{#land})"
			continue
		}
		outlay, has := s.named[strings.TrimPrefix(r.Name, "upkeep of ")]
		if share := shares[r.Name]; has && share > 0 {
			s.formulas[key] = s.input(key+"_share", r.Name+", of its price", "1/a", share) + "*{#" + outlay + "}"
		}
	}
}

// financing says how subsidy, loan, residual value and the sum to write off follow from the capital.
func (s *sheetMaker) financing() {
	t := s.terms
	subsidy := "0"
	switch {
	case t.Subsidy.Sum > 0:
		subsidy = s.input("subsidy_sum", "subsidy, a sum", "money", t.Subsidy.Sum)
	default:
		subsidy = s.input("subsidy_share", "subsidy, of the cost but for land", "share", t.Subsidy.ShareFrac) + "*({#capital}-{#land})"
	}
	if t.Subsidy.Cap > 0 {
		subsidy = "MIN(" + s.input("subsidy_cap", "subsidy, the most that is given", "money", t.Subsidy.Cap) + "," + subsidy + ")"
	}
	s.formulas["grant"] = subsidy
	s.formulas["residual"] = s.input("residual_share", "residual value, of the cost but for land", "share", t.ResidualFrac) + "*({#capital}-{#land})+" +
		s.input("land_share", "land fetches at the end, of its price", "share", t.LandResaleFrac) + "*{#land}"
	s.formulas["loan"] = s.input("loan_share", "loan, of the capital less a subsidy at the start", "share", t.Loan.ShareFrac) + "*({#capital}-IF({#grant_year}=0,{#grant},0))"
	s.formulas["loan_payment"] = "IF({#loan_years}<1,0,-PMT({#loan_rate},{#loan_years},{#loan}))"
	s.formulas["base"] = "{#capital}-{#land}-{#grant}"
	if t.Subsidy.KeepsBooks {
		s.formulas["base"] = "{#capital}-{#land}"
	}
}

// parts makes what is replaced follow from inputs.
func (s *sheetMaker) parts(l *worth.Ledger) {
	shares := map[string]float64{} // by the part's whole name
	of := map[string]string{}
	note := func(name string, list []scenarios.Part) {
		for _, p := range list {
			if p.Frac > 0 {
				shares[name+", "+p.What], of[name+", "+p.What] = p.Frac, s.named[name]
			}
		}
	}
	for _, st := range s.c.Stores {
		note(cmp.Or(st.Name, "store"), st.Cost.Parts)
	}
	for _, f := range s.c.Fields {
		note(f.Name, f.Cost.Parts)
	}
	sum := []string{}
	for k, p := range s.project.Parts {
		key := fmt.Sprintf("part_%d", k+1)
		year := s.input(key+"_year", p.Name+", replaced in year", "a", float64(p.Year))
		in := SheetInput{Key: key, Name: p.Name + ", at first-year prices", Unit: "money", Value: p.Sum}
		if share := shares[p.Name]; share > 0 && of[p.Name] != "" {
			in.Formula = s.input(key+"_share", p.Name+", of the price", "share", share) + "*{#" + of[p.Name] + "}"
		}
		s.extra = append(s.extra, in)
		sum = append(sum, "IF({year}="+year+",{#"+key+"},0)")
	}
	i := slices.IndexFunc(l.Columns, func(c worth.Column) bool { return c.Key == "parts_today" })
	l.Columns[i].Start, l.Columns[i].Formula = "0", joined(sum)
	if len(sum) > 0 {
		l.Columns[i].Words = "the parts whose year it is"
	}
}
