package chart

import (
	"fmt"
	"math"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// Locale is a language and a way of writing numbers for the words that a figure itself says. The zero value is English
// as [Thousands] writes numbers.
type Locale struct {
	// Words translates a figure's own words, by their English; [Phrases] lists them. What is missing stays English.
	Words map[string]string

	Decimal, Group string // marks; empty: a point, and a narrow no-break space

	CurrencyFirst bool // "EUR 20 300" in place of "20 300 EUR"

	Digits int // figures in words are rounded to so many digits; 0: as they are

	Months, Days []string // short names, January and Sunday first; nil: English
}

// Phrases are the words that a [Curve], a [Week] and [Causes] say of themselves, with %s where a number stands.
func Phrases() []string {
	return []string{
		phraseVolume, phrasePerYear, phraseNextM3, phrasePerM3Year, phraseTankCosts, phraseSaves, phraseCosts, phraseSolved,
		phraseHeat, phraseHeatBelow, phraseStored, phraseFull, phraseDemand, phraseSun, phraseStore, phraseBoilers, phraseInto, phraseSpilled, phraseHold,
		phraseLowEnd, phraseHighEnd,
	}
}

const (
	phraseVolume    = "Storage volume, m³"
	phrasePerYear   = "%s per year"
	phraseNextM3    = "What the next m³ saves"
	phrasePerM3Year = "%s per m³ and year"
	phraseTankCosts = "one more m³ of tank costs %s a year"
	phraseSaves     = "%s m³ saves %s a year"
	phraseCosts     = "%s m³ costs %s a year"
	phraseSolved    = "solved volumes, joined by straight lines"

	phraseHeat      = "Heat to the header"
	phraseHeatBelow = "Heat to the header, and below zero the sun that goes elsewhere"
	phraseStored    = "Heat in the store"
	phraseFull      = "full: %s kWh"
	phraseDemand    = "demand"
	phraseSun       = "sun to the header"
	phraseStore     = "from the store"
	phraseBoilers   = "boilers"
	phraseInto      = "sun into the store"
	phraseSpilled   = "spilled sun"
	phraseHold      = "hold back below this"
	phraseLowEnd    = "what comes of the low end"
	phraseHighEnd   = "of the high end"
)

// say is a phrase in the locale's language.
func (l Locale) say(phrase string, args ...any) string {
	if s, has := l.Words[phrase]; has {
		phrase = s
	}
	if len(args) == 0 {
		return phrase
	}
	return fmt.Sprintf(phrase, args...)
}

// Marked puts the locale's marks into one number that [Thousands] wrote.
func (l Locale) Marked(number string) string {
	if l.Decimal == "" && l.Group == "" {
		return number
	}
	decimal, group := l.Decimal, l.Group
	if decimal == "" {
		decimal = "."
	}
	return strings.NewReplacer(".", decimal, narrowSpace, group).Replace(number)
}

// allMarks is Marked for the labels of an axis.
func (l Locale) allMarks(numbers []string) []string {
	out := make([]string, len(numbers))
	for i, s := range numbers {
		out[i] = l.Marked(s)
	}
	return out
}

// figure writes a number for a sentence in the picture, rounded to the locale's digits, or to so many decimals where it
// has none.
func (l Locale) figure(v float64, decimals int) string {
	if l.Digits > 0 {
		v, decimals = Digits(v, l.Digits)
	}
	return l.Marked(Thousands(v, decimals))
}

// Sum is a number with its currency.
func (l Locale) Sum(number, currency string) string {
	if l.CurrencyFirst {
		return currency + " " + number
	}
	return number + " " + currency
}

// Digits rounds v to so many significant digits and gives the decimals that show them; zero is 0 with none.
func Digits(v float64, digits int) (rounded float64, decimals int) {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return v, 0
	}
	power := int(math.Floor(math.Log10(math.Abs(v)))) - digits + 1
	for range 2 { // a second time where rounding adds a digit: 9.996 is 10.0
		if power > 0 {
			unit := math.Pow10(power)
			rounded = math.Round(v/unit) * unit
		} else {
			scale := math.Pow10(-power)
			rounded = math.Round(v*scale) / scale
		}
		if int(math.Floor(math.Log10(math.Abs(rounded))))-digits+1 == power {
			break
		}
		power++
	}
	return rounded, max(0, -power)
}

// Date writes a time by a layout of package time, with the locale's names of months and days.
func (l Locale) Date(t time.Time, layout string) string {
	s := t.Format(layout)
	if len(l.Days) == 7 {
		s = replaceWord(s, t.Format("Mon"), l.Days[t.Weekday()])
	}
	if len(l.Months) == 12 {
		s = replaceWord(s, t.Format("Jan"), l.Months[t.Month()-1])
	}
	return s
}

// replaceWord puts a word in another's place where that stands alone.
func replaceWord(s, word, by string) string {
	i := strings.Index(s, word)
	if i < 0 {
		return s
	}
	after := s[i+len(word):]
	if r, _ := utf8.DecodeRuneInString(after); unicode.IsLetter(r) {
		return s
	}
	return s[:i] + by + after
}
