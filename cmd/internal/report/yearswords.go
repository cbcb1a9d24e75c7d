package report

import (
	"fmt"
	"strings"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

// yearsFinding says what the years come to, in one sentence without its full stop, its sums of money in a way of writing.
func yearsFinding(y answer.Years, money func(float64) string) string {
	s := y.Spread.SavingsVsBoilersOnly
	what := "the sun saves"
	if len(y.Volumes) > 0 {
		what = fmt.Sprintf("sun and a tank of %s m³ save", Volume(y.VolumeM3))
	}
	of := fmt.Sprintf("%d years %s", len(y.Years), y.Weather)
	if y.Weather == answer.WeatherMeasured {
		of = fmt.Sprintf("%d measured years", len(y.Years))
	}
	text := fmt.Sprintf("Over %s, %s %s %s a year over boilers alone in half of them", of, what, money(*s.P50), y.Currency)
	if s.P90 != nil {
		return text + fmt.Sprintf(", and %s in nine of ten", money(*s.P90))
	}
	return text + fmt.Sprintf(", and %s in the worst", money(s.Least))
}

// yearsSentences say what the tables rest on and what stands out.
func yearsSentences(y answer.Years) []string {
	var list []string
	say := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }
	switch s := y.Spread.SavingsVsBoilersOnly; {
	case s.P90 != nil:
		say("P90, P50, P10: exceeded in 9, 5 and 1 of 10 years (the k-th lowest of n years is undershot with k/(n+1)). For fuel, CO2 and cost the careful figure is P10.")
	case s.P90Normal != nil:
		say("P90*, P10*: mean less and plus 1.28 standard deviations, which a normal distribution exceeds in 9 and 1 of 10 years; unreliable from so few. P50: exceeded in half of them.")
	}
	if y.WorstYear != "" {
		worst, best := yearNamed(y, y.WorstYear), yearNamed(y, y.BestYear)
		say("Worst year: %s, which saves %s %s over boilers alone under %s kWh/m² of beam. Best: %s, %s under %s.", worst.Name,
			Whole(worst.SavingsVsBoilersOnly), y.Currency, Whole(worst.DNIKWhM2), best.Name, Whole(best.SavingsVsBoilersOnly), Whole(best.DNIKWhM2))
	}
	if b := y.Spread.BestVolumeM3; b != nil {
		more := ""
		if y.BestAtEdge {
			more = " or more, the largest asked for"
		}
		single := ""
		if shortM3(b.Least) != shortM3(b.Most) {
			single = fmt.Sprintf("; in single years it is %s to %s", shortM3(b.Least), shortM3(b.Most))
		}
		why := "What a m³ costs is not given, so it is the one that saves most"
		if y.StorePerM3 != nil {
			why = fmt.Sprintf("It is %s (%s %s for each m³)", y.Rule, Whole(*y.StorePerM3), y.Currency)
		}
		say("The tank that %s over all these years has %s m³%s%s. %s.", paysOrSaves(y), shortM3(*y.BestVolumeM3), more, single, why)
	}
	if c := y.Cautious; c.UnsureFrac > 0 {
		text := fmt.Sprintf("With %s %% that weather data and model may be off besides (a standard deviation, independent and normal), P90 of one year is %s %s over boilers alone",
			twoDigits(100*c.UnsureFrac), Whole(c.OneYear), y.Currency)
		if c.OfYears > 0 {
			text += fmt.Sprintf(", and of the mean of the %d years of money.life %s", c.OfYears, Whole(c.MeanOfYears))
		}
		list = append(list, text+".")
	}
	for _, out := range y.LeftOut {
		say("Left out: %s.", out)
	}
	for _, n := range y.Notes {
		list = append(list, sentence(n))
	}
	say("Every year's volumes are proven the least cost, with that year's sun and load known; between them its curve lies within %s %% of its range.", twoDigits(100*y.CertifiedGap))
	return list
}

func yearNamed(y answer.Years, name string) answer.WeatherYear {
	for _, x := range y.Years {
		if x.Name == name {
			return x
		}
	}
	return answer.WeatherYear{}
}

func yearsChart(y answer.Years) chart.Years {
	of := fmt.Sprintf("%d years %s", len(y.Years), y.Weather)
	if y.Weather == answer.WeatherMeasured {
		of = fmt.Sprintf("%d measured years, the calendar of %d", len(y.Years), y.CalendarYear)
	}
	c := chart.Years{
		Title:    yearsFinding(y, func(v float64) string { return chart.Thousands(v, 0) }),
		Subtitle: fmt.Sprintf("%s; %s; every year's volumes are proven the least cost, with its sun and load known", y.Scenario, of),
		Currency: y.Currency, SavingsName: "Savings against the same plant without a store", YearName: "year",
	}
	if y.Weather == answer.WeatherGenerated {
		c.YearName = "seed"
		if y.BetweenYearsFrac == 0 {
			c.Subtitle += "; they have the same monthly means, and differ less than real years"
		}
	}
	beam := chart.Strip{Name: "The sun's beam", Unit: "kWh/m² a year"}
	saved := chart.Strip{Name: "Saved over boilers alone" + withStore(y), Unit: y.Currency + " a year"}
	for _, x := range y.Years {
		c.YearTicks = append(c.YearTicks, strings.TrimPrefix(x.Name, "seed "))
		beam.Values, saved.Values = append(beam.Values, x.DNIKWhM2), append(saved.Values, x.SavingsVsBoilersOnly)
	}
	c.Strips = []chart.Strip{beam, saved}
	if len(y.Volumes) == 0 {
		return c
	}
	c.Lines = make([][]float64, len(y.Years))
	for _, v := range y.Volumes {
		s := v.SavingsVsNoStorage
		c.VolumesM3, c.Low, c.High = append(c.VolumesM3, v.VolumeM3), append(c.Low, min(s.Low(), *s.P50)), append(c.High, max(s.High(), *s.P50))
		c.Mid = append(c.Mid, *s.P50)
		for i, saving := range v.Savings {
			c.Lines[i] = append(c.Lines[i], saving)
		}
	}
	last := y.Volumes[len(y.Volumes)-1].SavingsVsNoStorage
	at := func(v float64) string {
		return fmt.Sprintf("%s %s at %s m³", chart.Thousands(v, 0), y.Currency, Volume(c.VolumesM3[len(c.VolumesM3)-1]))
	}
	c.LowName, c.MidName, c.HighName = edgeWords(last, "9"), "half of years (P50)", edgeWords(last, "1")
	c.LowNote, c.MidNote, c.HighNote = at(last.Low()), at(*last.P50), at(last.High())
	if y.BestVolumeM3 != nil && !y.BestAtEdge {
		c.MarkM3, c.MarkName = *y.BestVolumeM3, fmt.Sprintf("the tank that %s over all years, %s m³", paysOrSaves(y), shortM3(*y.BestVolumeM3))
	}
	return c
}

// edgeWords say what is exceeded in 9 or in 1 of 10 years.
func edgeWords(s answer.Spread, ofTen string) string {
	quantile, sign, extreme := "P90", "−", "the lowest year"
	if ofTen == "1" {
		quantile, sign, extreme = "P10", "+", "the highest year"
	}
	switch {
	case s.P90 != nil:
		return ofTen + " of 10 years (" + quantile + ")"
	case s.P90Normal != nil:
		return "mean " + sign + " 1.28 std. dev."
	}
	return extreme
}
