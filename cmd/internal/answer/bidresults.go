package answer

import (
	"fmt"
	"math"
	"strings"
)

// results adds paybacks and the costs of heat and of CO2 avoided.
func (m *MoneySheet) results(e *Earned) {
	n := e.Case.Terms.Years
	column := func(key, name, unit, words, start, formula string, value func(t int) float64) {
		col := SheetColumn{Key: key, Name: name, Unit: unit, Words: words, Start: start, Formula: formula}
		for t := range n + 1 {
			col.Values = append(col.Values, value(t))
		}
		m.Columns = append(m.Columns, col)
	}
	v := m.values()
	paid := func(sums string) func(int) float64 {
		return func(t int) float64 {
			if s := v[sums]; t > 0 && s[t-1] < 0 && s[t] >= 0 {
				return float64(t) - s[t]/(s[t]-s[t-1])
			}
			return 0
		}
	}
	const crossing = "IF(AND({%[1]s<}<0,{%[1]s}>=0),{year}-{%[1]s}/({%[1]s}-{%[1]s<}),0)"
	column("paid", "paid back", "a", "where the flows so far rise through nothing, straight within the year", "0", fmt.Sprintf(crossing, "total"), paid("total"))
	column("paid_worth", "paid back, discounted", "a", "the same of their worth", "0", fmt.Sprintf(crossing, "total_worth"), paid("total_worth"))
	m.heatColumns(e, v, column)
	m.totals(e)
}

// totals adds the results below those of the ledger.
func (m *MoneySheet) totals(e *Earned) {
	r, n := e.Case.Result, e.Case.Terms.Years
	saved, spent := []string{"{carbon@1}"}, []string{}
	for k := range e.Case.Project.Savings {
		saved = append(saved, fmt.Sprintf("{saved_%d@1}", k+1))
	}
	for j := range e.Case.Project.Running {
		spent = append(spent, fmt.Sprintf("{cost_%d@1}", j+1))
	}
	left := "(" + joined(append(saved, spent...)) + ")"
	never := `"–"`
	add := func(key, name, unit, words, formula string, value float64) {
		m.Totals = append(m.Totals, SheetTotal{Key: key, Name: name, Unit: unit, Words: words, Formula: formula, Value: value})
	}
	add("simple_payback", "simple payback", "a", "capital less subsidy, over what the first year leaves before tax and loan",
		"IF({#capital}-{#grant}<=0,0,IF("+left+">0,({#capital}-{#grant})/"+left+","+never+"))", r.SimplePaybackA)
	add("payback", "payback of the owner's flows", "a", "when the flows have paid back for good", fmt.Sprintf("IF({total@%d}<0,%s,MAX({paid:}))", n, never), r.PaybackA)
	add("discounted_payback", "payback, discounted", "a", "the same of their worth", fmt.Sprintf("IF({total_worth@%d}<0,%s,MAX({paid_worth:}))", n, never), r.DiscountedPaybackA)
	add("heat_cost", "levelised cost of heat", "money/kWh", "IEA SHC Task 54: costs over heat, both discounted; no loan in it",
		"IF(SUM({heat:})>0,SUMPRODUCT({heat_flow:},{factor:})/SUMPRODUCT({heat:},{real_factor:}),"+never+")", r.HeatCostPerKWh)
	add("co2_cost", "cost of CO2 avoided", "money/t", "before subsidy, tax, loan and carbon price",
		"IF(SUM({co2:})>0,SUMPRODUCT({co2_flow:},{factor:})/SUMPRODUCT({co2:},{real_factor:}),"+never+")", r.CO2CostPerT)
	for i := range m.Totals {
		if t := &m.Totals[i]; t.Key == "irr" {
			t.Formula = irrFormula(never)
			if math.IsNaN(t.Value) {
				t.Formula, t.Words = "", e.IRRWhy
			}
		}
	}
}

// irrFormula has a spreadsheet seek from several places, since its search ends in an error far from the root; where there
// is no root, or several, its answer is not ours, and we then give none.
func irrFormula(never string) string {
	f := never
	for _, from := range []string{",3", ",-0.6", ",-0.3", ",-0.1", ",0.5", ""} {
		f = "IFERROR(IRR({net:}" + from + ")," + f + ")"
	}
	return f
}

// heatColumns are those that the costs of heat and of CO2 are made of.
func (m *MoneySheet) heatColumns(e *Earned, v map[string][]float64, column func(key, name, unit, words, start, formula string, value func(t int) float64)) {
	t := e.Case.Terms
	costs := []string{"{parts}"}
	for j := range e.Case.Project.Running {
		costs = append(costs, fmt.Sprintf("{cost_%d}", j+1))
	}
	for k, s := range e.Case.Project.Savings {
		if s.Operating {
			costs = append(costs, fmt.Sprintf("{saved_%d}", k+1))
		}
	}
	sum := func(year int) (total float64) {
		for _, ref := range costs {
			total += v[strings.Trim(ref, "{}")][year]
		}
		return total
	}
	column("real_factor", "discount factor over inflation", "share", "of amounts, which have no price that rises", "1",
		"((1+{#discount})/(1+{#inflation}))^-{year}", func(year int) float64 {
			return math.Pow((1+t.DiscountFrac)/(1+t.InflationFrac), -float64(year))
		})
	column("heat_flow", "cost of the heat", "money", "costs less tax on them, less tax spared by writing off, less subsidy and residual value",
		"-{capital}-{grant}-{residual}", "-("+joined(costs)+")*(1-{#tax})+{written_off}*{#tax}-{grant}-{residual}", func(year int) float64 {
			return -v["capital"][year] - sum(year)*(1-t.Tax.RateFrac) + v["written_off"][year]*t.Tax.RateFrac - v["grant"][year] - v["residual"][year]
		})
	column("co2_flow", "cost of avoiding CO2", "money", "all costs less what is saved, without carbon price", "-({capital}+{residual}+{operating}-{carbon})",
		"-({capital}+{residual}+{operating}-{carbon})", func(year int) float64 {
			return -(v["capital"][year] + v["residual"][year] + v["operating"][year] - v["carbon"][year])
		})
}

func (m *MoneySheet) values() map[string][]float64 {
	v := map[string][]float64{}
	for _, c := range m.Columns {
		v[c.Key] = c.Values
	}
	return v
}

// byYear sums the columns up for a reader.
func (m *MoneySheet) byYear(savings, running int) {
	v := m.values()
	for t := range v["net"] {
		y := YearMoney{Year: t, Saved: v["carbon"][t], Spent: v["parts"][t], Capital: v["capital"][t] + v["grant"][t] + v["residual"][t],
			Bank: v["loan"][t] + v["interest"][t] + v["repaid"][t], Tax: v["tax"][t], Net: v["net"][t], WorthSum: v["total_worth"][t]}
		for k := range savings {
			y.Saved += v[fmt.Sprintf("saved_%d", k+1)][t]
		}
		for j := range running {
			y.Spent += v[fmt.Sprintf("cost_%d", j+1)][t]
		}
		m.Years = append(m.Years, y)
	}
}
