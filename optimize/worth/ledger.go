package worth

import "math"

// years are a project's series, each from year 0 to the last. What comes in is positive, what goes out negative.
type years struct {
	yield, heatKWh, co2T, carbonPerT    []float64
	unpricedT                           []float64
	saved, running                      [][]float64 // by saving, the carbon price last; by running cost
	partsToday, parts, operating        []float64
	capital, grant, residual            []float64
	share, writtenOff, book, sale       []float64
	loan, interest, repaid, debt        []float64
	taxable, lossesKept, taxed, tax     []float64
	net, factor, worth, total, allWorth []float64

	subsidy, loanSum, base, land float64
}

// play works the project out, year by year.
func play(t Terms, p Project) *years {
	n := t.Years
	y := &years{subsidy: t.subsidy(p)}
	for _, to := range []*[]float64{&y.yield, &y.heatKWh, &y.co2T, &y.unpricedT, &y.carbonPerT, &y.partsToday, &y.parts, &y.operating,
		&y.capital, &y.grant, &y.residual, &y.share, &y.writtenOff, &y.book, &y.sale, &y.loan, &y.interest, &y.repaid, &y.debt,
		&y.taxable, &y.lossesKept, &y.taxed, &y.tax, &y.net, &y.factor, &y.worth, &y.total, &y.allWorth} {
		*to = make([]float64, n+1)
	}
	y.year0(t, p)
	y.operate(t, p)
	y.borrow(t)
	y.taxes(t)
	y.sum(t)
	return y
}

// year0 sets what is bought, given, and fetched at the end.
func (y *years) year0(t Terms, p Project) {
	land := p.land()
	y.land = land
	y.capital[0] = -p.capital()
	y.grant[t.Subsidy.Year] = y.subsidy
	y.residual[t.Years] = t.ResidualFrac*(p.capital()-land) + t.LandResaleFrac*land
	y.base = p.capital() - land
	if !t.Subsidy.KeepsBooks {
		y.base -= y.subsidy
	}
}

// operate sets what each year saves and costs.
func (y *years) operate(t Terms, p Project) {
	n := t.Years
	y.saved, y.running = make([][]float64, len(p.Savings)+1), make([][]float64, len(p.Running))
	risen := func(rise float64, year int) float64 { return math.Pow(1+rise, float64(year-1)) }
	for k := range y.saved {
		y.saved[k] = make([]float64, n+1)
	}
	for j := range y.running {
		y.running[j] = make([]float64, n+1)
	}
	for _, part := range p.Parts {
		y.partsToday[part.Year] += part.Sum
	}
	for year := 1; year <= n; year++ {
		y.yield[year] = math.Pow(1-t.DegradationFrac, float64(year-1))
		y.heatKWh[year] = p.HeatKWh * y.yield[year]
		y.co2T[year] = p.CO2Kg / 1000 * y.yield[year]
		y.unpricedT[year] = p.UnpricedCO2Kg / 1000 * y.yield[year]
		y.carbonPerT[year] = t.carbonPerT(year)
		for k, s := range p.Savings {
			y.saved[k][year] = s.FirstYear * y.yield[year] * risen(s.RiseFrac, year)
			y.operating[year] += y.saved[k][year]
		}
		carbon := y.saved[len(p.Savings)]
		carbon[year] = y.co2T[year] * y.carbonPerT[year]
		y.operating[year] += carbon[year]
		for j, r := range p.Running {
			y.running[j][year] = -r.FirstYear * risen(r.RiseFrac, year)
			y.operating[year] += y.running[j][year]
		}
		y.parts[year] = -y.partsToday[year] * risen(t.PartsRiseFrac, year)
		y.operating[year] += y.parts[year]
	}
}

// borrow sets the loan and what it takes.
func (y *years) borrow(t Terms) {
	l := t.Loan
	if l.ShareFrac == 0 {
		return
	}
	y.loanSum = l.ShareFrac * (-y.capital[0] - y.grant[0])
	y.loan[0], y.debt[0] = y.loanSum, y.loanSum
	payment := y.loanSum * Recovery(l.RateFrac, float64(l.Years))
	for year := 1; year <= l.Years; year++ {
		y.interest[year] = -y.debt[year-1] * l.RateFrac
		y.repaid[year] = -(payment + y.interest[year])
		y.debt[year] = y.debt[year-1] + y.repaid[year]
	}
}

// taxes sets what is written off and the tax.
func (y *years) taxes(t Terms) {
	n := t.Years
	y.book[0] = y.base
	copy(y.share[1:], t.Tax.Depreciation.WrittenOff(n))
	for year := 1; year <= n; year++ {
		y.writtenOff[year] = -y.base * y.share[year]
		y.book[year] = y.book[year-1] + y.writtenOff[year]
		if year == n {
			y.sale[year] = y.residual[year] - y.book[year] - y.land
		}
		y.taxable[year] = y.operating[year] + y.writtenOff[year] + y.interest[year] + y.sale[year]
		switch {
		case t.Tax.LossesAtOnce:
			y.taxed[year] = y.taxable[year]
		default:
			y.taxed[year] = math.Max(0, y.taxable[year]-y.lossesKept[year-1])
			y.lossesKept[year] = math.Max(0, y.lossesKept[year-1]-y.taxable[year])
		}
		y.tax[year] = -t.Tax.RateFrac * y.taxed[year]
	}
}

// sum adds the owner's flows up.
func (y *years) sum(t Terms) {
	total, worth := 0.0, 0.0
	for i := range y.net {
		y.net[i] = y.capital[i] + y.grant[i] + y.residual[i] + y.operating[i] + y.loan[i] + y.interest[i] + y.repaid[i] + y.tax[i]
		y.factor[i] = discounted(t.DiscountFrac, i)
		y.worth[i] = y.net[i] * y.factor[i]
		total, worth = total+y.net[i], worth+y.worth[i]
		y.total[i], y.allWorth[i] = total, worth
	}
}
