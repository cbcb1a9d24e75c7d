package study

import (
	"strings"
	"testing"

	"noonkeep/cmd/internal/study/table"
)

func TestSummariseAPlan(t *testing.T) {
	t.Parallel()
	p := Plan{ID: "0123456789ab", Name: "two", Keys: []Key{{Key: "fuel", Values: []string{"1 EUR/kWh", "2 EUR/kWh"}}},
		Scenarios: []Scenario{{Name: "dyehouse", Weather: []Weather{{Name: "2011"}, {Name: "2012"}, {Name: "2013"}}}, {Name: "cannery", Weather: []Weather{{Name: AsWritten}}}}}
	p.number()
	rows := func(yield func(table.Row, error) bool) {
		for n := range p.N {
			c := p.Case(n)
			r := table.Blank(n)
			r.Scenario, r.Inputs, r.Currency, r.NoStorageCost = p.Scenarios[c.Scenario].Name, c.Values, "EUR", 100
			r.SavingsVsNoStorage = 10 * float64(c.Scenario+1)
			if !yield(r, nil) {
				return
			}
		}
	}
	s, err := Summarise(t.Context(), p, rows)
	if err != nil {
		t.Fatal(err)
	}
	if s.Study != p.ID || s.Name != "two" || s.Cases != 8 || s.Done != 8 || s.Sampling != "" || len(s.Scenarios) != 2 || s.Scenarios[0].Cases != 6 || *s.Scenarios[0].SavingsFrac.P50 != 0.1 ||
		s.Scenarios[1].Name != "cannery" || s.Scenarios[1].Done != 2 || *s.Scenarios[1].SavingsVsNoStorage.P50 != 20 || s.Keys[0] != "fuel" {
		t.Errorf("got %+v", s)
	}
	p.Sample = &Sample{Cases: 4, Seed: 7}
	p.number()
	if s, err = Summarise(t.Context(), p, rows); err != nil || s.Cases != 8 || s.Scenarios[1].Cases != 4 || !strings.HasPrefix(s.Sampling, "4 cases of each scenario drawn with seed 7") {
		t.Errorf("got %+v, %v", s, err)
	}
}
