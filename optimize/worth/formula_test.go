package worth

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

// sheet works a ledger's formulas out as a spreadsheet would: it knows nothing of the package but the table itself.
type sheet struct {
	l      Ledger
	inputs map[string]float64
	cols   map[string][]float64
	year   int
	text   string
	t      *testing.T
}

func sheetOf(t *testing.T, l Ledger) *sheet {
	s := &sheet{l: l, inputs: map[string]float64{}, cols: map[string][]float64{}, t: t}
	for _, in := range l.Inputs {
		if _, twice := s.inputs[in.Key]; twice {
			t.Errorf("two inputs are called %s", in.Key)
		}
		s.inputs[in.Key] = in.Value
	}
	for _, c := range l.Columns {
		if s.cols[c.Key] != nil {
			t.Errorf("two columns are called %s", c.Key)
		}
		s.cols[c.Key] = make([]float64, len(c.Values))
	}
	for year := range l.Columns[0].Values {
		for range len(l.Columns) { // columns may stand before those that they need: at most so many passes
			for _, c := range l.Columns {
				text := c.Formula
				if year == 0 {
					text = c.Start
				}
				if text == "" {
					s.cols[c.Key][year] = c.Values[year]
					continue
				}
				s.year = year
				s.cols[c.Key][year] = s.eval(text)
			}
		}
	}
	return s
}

func (s *sheet) eval(text string) float64 {
	s.text = strings.ReplaceAll(text, " ", "")
	v := s.compare()
	if s.text != "" {
		s.t.Fatalf("%q: %q is left over", text, s.text)
	}
	return v
}

func (s *sheet) take(p string) bool {
	rest, ok := strings.CutPrefix(s.text, p)
	if ok {
		s.text = rest
	}
	return ok
}

func (s *sheet) compare() float64 {
	a := s.sum()
	truth := func(b bool) float64 {
		if b {
			return 1
		}
		return 0
	}
	switch {
	case s.take("<="):
		return truth(a <= s.sum())
	case s.take("="):
		return truth(a == s.sum())
	}
	return a
}

func (s *sheet) sum() float64 {
	v := s.product()
	for {
		switch {
		case s.take("+"):
			v += s.product()
		case s.take("-"):
			v -= s.product()
		default:
			return v
		}
	}
}

func (s *sheet) product() float64 {
	v := s.power()
	for {
		switch {
		case s.take("*"):
			v *= s.power()
		case s.take("/"):
			v /= s.power()
		default:
			return v
		}
	}
}

func (s *sheet) power() float64 {
	if s.take("-") {
		return -s.power()
	}
	v := s.atom()
	if s.take("^") {
		return math.Pow(v, s.power())
	}
	return v
}

func (s *sheet) atom() float64 {
	for name, f := range map[string]func(args []float64) float64{
		"MIN(": func(a []float64) float64 { return min(a[0], a[1]) }, "MAX(": func(a []float64) float64 { return max(a[0], a[1]) },
		"IF(": func(a []float64) float64 {
			if a[0] != 0 {
				return a[1]
			}
			return a[2]
		},
		"(": func(a []float64) float64 { return a[0] },
	} {
		if !s.take(name) {
			continue
		}
		args := []float64{s.compare()}
		for s.take(",") {
			args = append(args, s.compare())
		}
		if !s.take(")") {
			s.t.Fatalf("no ) at %q", s.text)
		}
		return f(args)
	}
	if s.take("{") {
		name, rest, _ := strings.Cut(s.text, "}")
		s.text = rest
		return s.cell(name)
	}
	i := 0
	for i < len(s.text) && (s.text[i] >= '0' && s.text[i] <= '9' || s.text[i] == '.') {
		i++
	}
	v, err := strconv.ParseFloat(s.text[:i], 64)
	if err != nil {
		s.t.Fatalf("no number at %q", s.text)
	}
	s.text = s.text[i:]
	return v
}

func (s *sheet) cell(name string) float64 {
	if key, is := strings.CutPrefix(name, "#"); is {
		v, has := s.inputs[key]
		if !has {
			s.t.Fatalf("no input %s", key)
		}
		return v
	}
	year := s.year
	if key, before := strings.CutSuffix(name, "<"); before {
		name, year = key, year-1
	}
	col := s.cols[name]
	if col == nil || year < 0 {
		s.t.Fatalf("no column %s in year %d", name, year)
	}
	return col[year]
}

// anyCase draws terms and a project of every sort.
func anyCase(r *rand.Rand) (Terms, Project) {
	n := 1 + r.IntN(30)
	t := Terms{Years: n, InflationFrac: 0.05 * r.Float64(), DegradationFrac: 0.01 * r.Float64(), PartsRiseFrac: 0.04 * r.Float64(),
		ResidualFrac: 0.2 * r.Float64(), LandResaleFrac: r.Float64()}
	t.DiscountFrac = Nominal(0.12*r.Float64(), t.InflationFrac)
	if r.IntN(2) == 0 {
		t.Loan = Loan{r.Float64(), 0.1 * r.Float64(), 1 + r.IntN(n)}
	}
	if r.IntN(2) == 0 {
		t.Subsidy = Subsidy{ShareFrac: r.Float64(), Cap: 2e5 * float64(r.IntN(2)), Year: r.IntN(n + 1), KeepsBooks: r.IntN(2) == 0}
	}
	macrs5, _ := MACRS(MACRSYears()[r.IntN(6)])
	t.Tax = Tax{0.4 * r.Float64(), r.IntN(2) == 0, []Depreciation{{}, {Method: StraightLine, Years: 1 + r.IntN(30)},
		{Method: Declining, RateFrac: 0.8}, {Method: DecliningThenStraight, RateFrac: 0.3, Years: 1 + r.IntN(15)}, macrs5}[r.IntN(5)]}
	for range r.IntN(5) {
		t.CarbonPerT = append(t.CarbonPerT, 100*r.Float64())
	}
	p := Project{Outlays: []Outlay{{"field", 5e5 * r.Float64(), false}, {"land", 1e5 * r.Float64(), true}, {"tank", 2e5 * r.Float64(), false}},
		Savings: []Saving{{"oil", 1.5e5 * r.Float64(), 0.05 * r.Float64(), false}, {"pumps", -1e4 * r.Float64(), 0.03, true}},
		Running: []Running{{"upkeep", 1e4 * r.Float64(), 0.02}, {"insurance", 3e3 * r.Float64(), 0}},
		Parts:   []Part{{"pumps", 1 + r.IntN(n), 2e4 * r.Float64()}}, HeatKWh: 1e6, CO2Kg: 3e5 * r.Float64(), UnpricedCO2Kg: -2e4 * float64(r.IntN(2))}
	return t, p
}

// The formulas handed to a spreadsheet give the values handed with them.
func TestLedgerFormulas(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(7, 7))
	for i := range 60 {
		terms, p := anyCase(r)
		c, err := Work(terms, p)
		if err != nil {
			t.Fatalf("case %d: %v", i, err)
		}
		l := c.Ledger()
		s := sheetOf(t, l)
		for _, col := range l.Columns {
			if col.Name == "" || col.Unit == "" || col.Words == "" || len(col.Values) != terms.Years+1 {
				t.Errorf("column %q wants a name, a unit, words and %d values", col.Key, terms.Years+1)
			}
			for year, want := range col.Values {
				if got := s.cols[col.Key][year]; math.Abs(got-want) > 1e-9*(1+math.Abs(want)) {
					t.Fatalf("case %d: %s in year %d: the formula gives %.12g, the ledger %.12g", i, col.Key, year, got, want)
				}
			}
		}
		sum := 0.0
		for _, x := range s.cols["worth"] {
			sum += x
		}
		if math.Abs(sum-c.Result.NPV) > 1e-9*(1+c.Result.Capital) {
			t.Errorf("case %d: the worths sum to %.9g, NPV is %.9g", i, sum, c.Result.NPV)
		}
		if rate := c.Result.IRR.Rate(); c.Result.IRR.IsRate && math.Abs(NPV(rate, c.Flows)) > 1e-6*(1+c.Result.Capital) {
			t.Errorf("case %d: at its rate of return of %g the flows are worth %g", i, rate, NPV(rate, c.Flows))
		}
	}
}

func ExampleCase_Ledger() {
	c, _ := Work(Terms{Years: 2, DiscountFrac: 0.1}, Project{
		Outlays: []Outlay{{Name: "tank", Sum: 1000}}, Savings: []Saving{{Name: "oil", FirstYear: 600}}})
	for _, col := range c.Ledger().Columns {
		if col.Key == "net" || col.Key == "worth" {
			fmt.Printf("%s: %.2f = %s\n", col.Name, col.Values, col.Words)
		}
	}
	// Output:
	// owner's flow: [-1000.00 600.00 600.00] = capital, subsidy, residual value, what the year leaves, loan, interest, repayment and tax
	// worth at the start: [-1000.00 545.45 495.87] = owner's flow times discount factor
}
