package report

import (
	"fmt"
	"math"
	"strings"
	"time"

	"noonkeep/cmd/internal/chart"
)

// BidStyle is how a bid is written. The zero value is English on A4, "1 234.5", the currency after the sum.
type BidStyle struct {
	Words         *Words // nil: English
	Letter        bool   // US letter paper in place of A4
	Decimal       string // mark; empty: a point
	Group         string // of thousands; empty: a narrow no-break space, "none" for none
	CurrencyFirst bool
}

// ParseMarks reads decimal and thousands marks off a sample: "1 234.5", "1,234.5", "1.234,5", "1234,5".
func (s *BidStyle) ParseMarks(sample string) error {
	marks := map[string][2]string{
		"1 234.5": {".", "\u202f"}, "1,234.5": {".", ","}, "1.234,5": {",", "."}, "1 234,5": {",", "\u202f"},
		"1'234.5": {".", "’"}, "1’234.5": {".", "’"}, "1234.5": {".", noGroup}, "1234,5": {",", noGroup},
	}
	m, known := marks[strings.NewReplacer("\u202f", " ", "\u00a0", " ").Replace(sample)]
	if !known {
		return fmt.Errorf("is %q; want a sample: \"1 234.5\", \"1,234.5\", \"1.234,5\", \"1 234,5\", \"1'234.5\", \"1234.5\" or \"1234,5\"", sample)
	}
	s.Decimal, s.Group = m[0], m[1]
	return nil
}

const noGroup = "none"

// manner writes the figures of a bid: the one place where they are rounded.
type manner struct {
	Words
	locale   chart.Locale
	currency string
}

// bidDigits is how many digits a figure of a bid deserves: sun, loads and prices are not known better.
const bidDigits = 3

func (s BidStyle) manner(currency string) manner {
	words := English()
	if s.Words != nil {
		words = *s.Words
	}
	m := manner{Words: words, currency: currency}
	m.locale = chart.Locale{
		Decimal: s.Decimal, Group: s.Group, CurrencyFirst: s.CurrencyFirst, Digits: bidDigits, Words: words.phrases(),
		Months: strings.Fields(words.text["months"]), Days: strings.Fields(words.text["days"]),
	}
	switch {
	case s.Group == noGroup:
		m.locale.Group = ""
	case s.Group == "":
		m.locale.Group = "\u202f"
	}
	if m.locale.Decimal == "" {
		m.locale.Decimal = "."
	}
	return m
}

// figure is a number with the digits that it deserves.
func (m manner) figure(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return m.Say("not_there")
	}
	v, decimals := chart.Digits(v, bidDigits)
	return m.exact(v, decimals)
}

// exact is a number with so many decimals, in the bid's marks.
func (m manner) exact(v float64, decimals int) string {
	return m.locale.Marked(chart.Thousands(v, decimals))
}

// short is a given number, such as a volume, without idle zeros and with at most three decimals.
func (m manner) short(v float64) string {
	text := Volume(v)
	_, frac, _ := strings.Cut(text, ".")
	return m.exact(v, len(frac))
}

// money is a sum with its currency.
func (m manner) money(v float64) string { return m.locale.Sum(m.figure(v), m.currency) }

// yearly is a year's sum.
func (m manner) yearly(v float64) string { return m.Say("per_year", "value", m.money(v)) }

// mwh is heat or fuel given in kWh.
func (m manner) mwh(kWh float64) string { return m.figure(kWh / 1000) }

// percent is a share.
func (m manner) percent(frac float64) string {
	v, decimals := chart.Digits(100*frac, bidDigits)
	return m.exact(v, min(decimals, 1))
}

// tiny is a residual: "2.7e-14".
func (m manner) tiny(v float64) string { return m.locale.Marked(Tiny(math.Abs(v))) }

// date is a day.
func (m manner) date(t time.Time) string { return m.locale.Date(t, "2 Jan 2006") }

// day is a day without its year.
func (m manner) day(t time.Time) string { return m.locale.Date(t, "2 Jan") }

// month is a month's name, 1 is January.
func (m manner) month(n int) string { return m.locale.Months[n-1] }
