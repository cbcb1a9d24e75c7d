package worth

import "fmt"

// Ledger is a case as a table that a spreadsheet can work out again: named inputs, and columns of years 0, 1, ...
//
// A formula is in a spreadsheet's own terms (+ - * / ^, MIN, MAX, IF) with what it refers to in braces: {net} is the column
// net in the same year, {debt<} the column debt in the year before, {#discount} an input. Column and input keys are unique.
type Ledger struct {
	Inputs  []Input
	Columns []Column
	Totals  []Total
}

// Input is one figure that stands over the table.
type Input struct {
	Key, Name, Unit string
	Value           float64
}

// Column is one series by year. Start is the formula of year 0, Formula that of all later years; where one is empty, the value is given.
type Column struct {
	Key, Name, Unit string
	Words           string // the formula in words
	Start, Formula  string
	Values          []float64
}

// Total is a result of a whole column: Formula has {net:} for the column net over all years, and {net@0} for its value in year 0.
type Total struct {
	Key, Name, Unit string
	Words           string
	Formula         string
	Value           float64 // NaN for none
}

// money and others are units; a printer puts the currency in the place of money.
const (
	money    = "money"
	perYear  = "1/a"
	share    = "share"
	yearUnit = "a"
)

// Ledger is the case as a table.
func (c Case) Ledger() Ledger {
	l := Ledger{Inputs: c.inputs()}
	y := c.y
	add := func(key, name, unit, words, start, formula string, values []float64) {
		l.Columns = append(l.Columns, Column{key, name, unit, words, start, formula, values})
	}
	count := make([]float64, len(y.net))
	for i := range count {
		count[i] = float64(i)
	}
	add("year", "year", yearUnit, "years since the start, at whose end money flows", "0", "{year<}+1", count)
	add("yield", "yield", share, "what is saved over that of the first year: falls by the degradation each year", "0", "(1-{#degradation})^({year}-1)", y.yield)
	add("heat", "heat from boilers saved", "kWh", "first year's heat times yield", "0", "{#heat}*{yield}", y.heatKWh)
	add("co2", "CO2 avoided", "t", "first year's CO2 times yield", "0", "{#co2}*{yield}", y.co2T)
	if c.Project.UnpricedCO2Kg != 0 {
		add("co2_unpriced", "CO2 of electricity avoided", "t", "first year's CO2 of electricity times yield", "0", "{#co2_unpriced}*{yield}", y.unpricedT)
	}
	saved := ""
	for k, s := range c.Project.Savings {
		key := fmt.Sprintf("saved_%d", k+1)
		add(key, s.Name, money, "first year's sum times yield, risen by its price", "0", fmt.Sprintf("{#%s}*{yield}*(1+{#rise_%d})^({year}-1)", key, k+1), y.saved[k])
		saved += "{" + key + "}+"
	}
	add("carbon_price", "carbon price", money+"/t", "given", "", "", y.carbonPerT)
	add("carbon", "carbon price saved", money, "CO2 avoided times carbon price", "0", "{co2}*{carbon_price}", y.saved[len(c.Project.Savings)])
	costs := ""
	for j, r := range c.Project.Running {
		key := fmt.Sprintf("cost_%d", j+1)
		add(key, r.Name, money, "first year's sum, risen", "0", fmt.Sprintf("-{#%s}*(1+{#cost_rise_%d})^({year}-1)", key, j+1), y.running[j])
		costs += "{" + key + "}+"
	}
	add("parts_today", "parts replaced, at first-year prices", money, "given", "", "", y.partsToday)
	add("parts", "parts replaced", money, "the same, risen", "0", "-{parts_today}*(1+{#parts_rise})^({year}-1)", y.parts)
	add("operating", "left of the year before tax and loan", money, "what is saved less what is spent", "0", saved+"{carbon}+"+costs+"{parts}", y.operating)
	add("capital", "capital", money, "all that is bought at the start", "-{#capital}", "0", y.capital)
	add("grant", "subsidy", money, "in the year in which it is paid", "IF({#grant_year}=0,{#grant},0)", "IF({year}={#grant_year},{#grant},0)", y.grant)
	add("residual", "residual value", money, "at the end of the life", "0", "IF({year}={#life},{#residual},0)", y.residual)
	c.taxColumns(add)
	add("net", "owner's flow", money, "capital, subsidy, residual value, what the year leaves, loan, interest, repayment and tax", netFormula, netFormula, y.net)
	add("factor", "discount factor", share, "1/(1 + discount) to the power of the year", "1", "(1+{#discount})^-{year}", y.factor)
	add("worth", "worth at the start", money, "owner's flow times discount factor", "{net}*{factor}", "{net}*{factor}", y.worth)
	add("total", "owner's flows so far", money, "sum of the flows up to this year", "{net}", "{total<}+{net}", y.total)
	add("total_worth", "worth so far", money, "sum of the worths up to this year", "{worth}", "{total_worth<}+{worth}", y.allWorth)
	l.Totals = c.totals()
	return l
}

const netFormula = "{capital}+{grant}+{residual}+{operating}+{loan}+{interest}+{repaid}+{tax}"

// taxColumns are those of loan, writing off and tax.
func (c Case) taxColumns(add func(key, name, unit, words, start, formula string, values []float64)) {
	y, d := c.y, c.Terms.Tax.Depreciation
	add("loan", "loan", money, "received at the start", "{#loan}", "0", y.loan)
	add("interest", "interest", money, "loan rate times the debt of the year before", "0", "-{debt<}*{#loan_rate}", y.interest)
	add("repaid", "repaid", money, "the equal yearly sum less interest, within the term", "0", "IF({year}<={#loan_years},-({#loan_payment}+{interest}),0)", y.repaid)
	add("debt", "debt left", money, "debt of the year before less what is repaid", "{#loan}", "{debt<}+{repaid}", y.debt)
	words, formula := "given", ""
	switch d.Method {
	case StraightLine:
		words, formula = "an equal part of the cost in each year of the term", "IF({year}<={#depreciation_years},1/{#depreciation_years},0)"
	case Declining:
		words, formula = "the rate times what is left", "{#depreciation_rate}*{left<}"
	case DecliningThenStraight:
		words = "the rate times what is left, or what is left over the years left, whichever is more"
		formula = "IF({year}<={#depreciation_years},MAX({#depreciation_rate}*{left<},{left<}/MAX(1,{#depreciation_years}-{year}+1)),0)"
	}
	left := make([]float64, len(y.share))
	left[0] = 1
	for i := 1; i < len(left); i++ {
		left[i] = left[i-1] - y.share[i]
	}
	start := "0"
	if formula == "" {
		start = ""
	}
	add("share", "share written off", share, words, start, formula, y.share)
	add("left", "share left", share, "that of the year before less what is written off", "1", "{left<}-{share}", left)
	add("written_off", "written off", money, "share written off times the sum to write off", "0", "-{#base}*{share}", y.writtenOff)
	add("book", "book value", money, "that of the year before less what is written off", "{#base}", "{book<}+{written_off}", y.book)
	add("sale", "gain at the end", money, "residual value less book value and price of land, at the end of the life", "0", "IF({year}={#life},{residual}-{book}-{#land},0)", y.sale)
	add("taxable", "taxable before losses", money, "what the year leaves less what is written off and interest, with the gain at the end", "0", "{operating}+{written_off}+{interest}+{sale}", y.taxable)
	if c.Terms.Tax.LossesAtOnce {
		add("losses", "losses carried", money, "none: a loss is used at once", "0", "0", y.lossesKept)
		add("taxed", "taxed", money, "all that is taxable, losses too", "0", "{taxable}", y.taxed)
	} else {
		add("losses", "losses carried", money, "those of the year before less what is taxable, not below 0", "0", "MAX(0,{losses<}-{taxable})", y.lossesKept)
		add("taxed", "taxed", money, "taxable less losses carried, not below 0", "0", "MAX(0,{taxable}-{losses<})", y.taxed)
	}
	add("tax", "tax", money, "tax rate times what is taxed", "0", "-{#tax}*{taxed}", y.tax)
}

// inputs are the figures over the table.
func (c Case) inputs() []Input {
	t, p, y := c.Terms, c.Project, c.y
	in := []Input{
		{"life", "life", yearUnit, float64(t.Years)},
		{"discount", "discount, nominal", perYear, t.DiscountFrac},
		{"inflation", "inflation", perYear, t.InflationFrac},
		{"degradation", "degradation of what is saved", perYear, t.DegradationFrac},
		{"heat", "heat from boilers saved in the first year", "kWh", p.HeatKWh},
		{"co2", "CO2 avoided in the first year", "t", p.CO2Kg / 1000},
	}
	if p.UnpricedCO2Kg != 0 {
		in = append(in, Input{"co2_unpriced", "CO2 of electricity avoided in the first year", "t", p.UnpricedCO2Kg / 1000})
	}
	for k, s := range p.Savings {
		in = append(in, Input{fmt.Sprintf("saved_%d", k+1), s.Name + ", first year", money, s.FirstYear},
			Input{fmt.Sprintf("rise_%d", k+1), s.Name + ", yearly rise of the price", perYear, s.RiseFrac})
	}
	for j, r := range p.Running {
		in = append(in, Input{fmt.Sprintf("cost_%d", j+1), r.Name + ", first year", money, r.FirstYear},
			Input{fmt.Sprintf("cost_rise_%d", j+1), r.Name + ", yearly rise", perYear, r.RiseFrac})
	}
	for i, o := range p.Outlays {
		in = append(in, Input{fmt.Sprintf("outlay_%d", i+1), o.Name, money, o.Sum})
	}
	return append(in,
		Input{"capital", "capital", money, -y.capital[0]},
		Input{"land", "of which land", money, y.land},
		Input{"grant", "subsidy", money, y.subsidy},
		Input{"grant_year", "subsidy paid in year", yearUnit, float64(t.Subsidy.Year)},
		Input{"residual", "residual value", money, y.residual[t.Years]},
		Input{"parts_rise", "yearly rise of the price of parts", perYear, t.PartsRiseFrac},
		Input{"loan", "loan", money, y.loanSum},
		Input{"loan_rate", "loan rate", perYear, t.Loan.RateFrac},
		Input{"loan_years", "loan term", yearUnit, float64(t.Loan.Years)},
		Input{"loan_payment", "loan's yearly sum", money, -(y.interest[1] + y.repaid[1])},
		Input{"base", "sum to write off", money, y.base},
		Input{"depreciation_rate", "rate of writing off", perYear, t.Tax.Depreciation.RateFrac},
		Input{"depreciation_years", "years of writing off", yearUnit, float64(t.Tax.Depreciation.Years)},
		Input{"tax", "tax rate", share, t.Tax.RateFrac})
}

// totals are the results that follow from the table.
func (c Case) totals() []Total {
	r := c.Result
	return []Total{
		{"npv", "net present value", money, "sum of the worths at the start", "SUM({worth:})", r.NPV},
		{"irr", "internal rate of return", perYear, "the discount at which the net present value is nothing", "IRR({net:})", r.IRR.Rate()},
		{"annual", "net present value in equal yearly sums", money, "net present value times the capital recovery factor",
			"-PMT({#discount},{#life},SUM({worth:}))", r.AnnualWorth},
	}
}
