package scenarios

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"noonkeep/plant/steam"
)

// quantity is a number with its unit, as it was written.
// Its text parses to the same quantity again; zero is none.
type quantity struct {
	num  float64
	unit unit
	cur  string // the currency of a sum or price
	kind string // one of kinds
}

// base gives the value in the kind's base unit. A gauge pressure stays one: see pressure.
// That of no quantity is 0.
func (q quantity) base() float64 {
	if q.kind == "" {
		return 0
	}
	return q.num * q.unit.mul / q.unit.div
}

// String gives the number that was written, and its unit.
func (q quantity) String() string {
	s := strconv.FormatFloat(q.num, 'g', -1, 64)
	if math.Abs(q.num) < 1e15 && math.Abs(q.num) >= 1e-5 {
		s = strconv.FormatFloat(q.num, 'f', -1, 64)
	}
	return strings.TrimSpace(s + " " + q.unitText())
}

func (q quantity) unitText() string {
	if q.cur == "" || q.unit.text == "" {
		return q.cur + q.unit.text
	}
	return q.cur + "/" + q.unit.text
}

// pressure gives the absolute pressure at a site whose air presses with airBarA.
func (q quantity) pressure(airBarA float64) steam.Pressure {
	if strings.HasSuffix(q.unit.text, "(g)") {
		return steam.BarGauge(q.base(), airBarA)
	}
	return steam.BarAbs(q.base())
}

var (
	number   = regexp.MustCompile(`^[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?`)
	comma    = regexp.MustCompile(`^[+-]?[0-9]+(,[0-9]+)+`)
	gap      = regexp.MustCompile(`^[+-]?[0-9]{1,3}([ '_][0-9]{3})+`)
	notANum  = regexp.MustCompile(`(?i)^[+-]?\.?(nan|inf|infinity)\b`)
	currency = regexp.MustCompile(`^[A-Za-z]{1,8}$`)
)

// parse reads a quantity of one of the named kinds, the first that fits.
func parse(s string, names ...string) (quantity, error) {
	var first error
	for _, name := range names {
		q, err := parseKind(s, name)
		if err == nil {
			return q, nil
		}
		if errors.As(err, new(slip)) {
			return q, err
		}
		if first == nil {
			first = err
		}
	}
	if len(names) > 1 && fitNumber(s) == nil {
		var wanted, egs []string
		for _, name := range names {
			wanted = append(wanted, kinds[name].what)
			egs = append(egs, strconv.Quote(kinds[name].eg))
		}
		return quantity{}, fmt.Errorf("%s is not %s; write for example %s", quoted(s), orList(wanted), orList(egs))
	}
	return quantity{}, first
}

// fitNumber tells what is wrong with the number that s begins with.
func fitNumber(s string) error {
	switch {
	case notANum.MatchString(s):
		return fmt.Errorf("%s is not a finite number; want digits", quoted(s))
	case comma.MatchString(s):
		with := comma.FindString(s)
		if strings.Count(with, ",") == 1 {
			return fmt.Errorf("%s has a comma; write the decimal point, %q, and no thousands mark", quoted(s), strings.Replace(s, ",", ".", 1))
		}
		return fmt.Errorf("%s has commas; write the digits without a thousands mark, %q", quoted(s), strings.ReplaceAll(with, ",", "")+s[len(with):])
	case gap.MatchString(s):
		with := gap.FindString(s)
		return fmt.Errorf("%s has gaps between its digits; write %q", quoted(s), strings.NewReplacer(" ", "", "'", "", "_", "").Replace(with)+s[len(with):])
	case !number.MatchString(s):
		return errNoNumber
	}
	return nil
}

// mostNumber is what a quantity may be in its base unit: more than any plant's, and within the whole numbers of a double.
const mostNumber = 1e16

// slip is a fault with a certain cure: a unit that a person may well write.
type slip string

func (e slip) Error() string { return string(e) }

var errNoNumber = errors.New("does not begin with a number")

func parseKind(s, name string) (quantity, error) {
	k := kinds[name]
	if err := fitNumber(s); errors.Is(err, errNoNumber) {
		return quantity{}, fmt.Errorf("%s is not %s; write for example %q", quoted(s), k.what, k.eg)
	} else if err != nil {
		return quantity{}, err
	}
	digits := number.FindString(s)
	v, err := strconv.ParseFloat(digits, 64)
	if err != nil {
		return quantity{}, fmt.Errorf("%s is too large a number", quoted(s))
	}
	q := quantity{num: v + 0, kind: name} // + 0 makes -0 of no sign
	rest := canon(s[len(digits):])
	if k.whole && v != math.Trunc(v) {
		return quantity{}, fmt.Errorf("%s is not %s", quoted(s), k.what)
	}
	if k.money {
		cur, per, has := strings.Cut(rest, "/")
		if has && per == "" {
			per = "/" // "3 EUR/" is no plain sum
		}
		if !currency.MatchString(cur) {
			return quantity{}, fmt.Errorf("%s has no currency; write for example %q", quoted(s), k.eg)
		}
		q.cur, rest = cur, per
	}
	for _, u := range k.units {
		if canon(u.text) == rest {
			q.unit = u
			if math.Abs(q.base()) > mostNumber {
				return quantity{}, fmt.Errorf("%s is too large a number", quoted(s))
			}
			return q, nil
		}
	}
	return quantity{}, wrongUnit(s, digits, rest, k)
}

// wrongUnit says what is the matter with a unit that the kind has not.
func wrongUnit(s, digits, rest string, k kind) error {
	var texts []string
	for _, u := range k.units {
		texts = append(texts, u.text)
	}
	if k.what == kinds["pressure"].what {
		if err := bareBar(s, digits, rest); err != nil {
			return err
		}
	}
	if k.what == kinds["fuel used"].what && slices.Contains([]string{"kWh", "MWh", "GJ"}, rest) {
		return slip(fmt.Sprintf("%s counts gross or net, and does not say which; write %q, as most gas bills count, or %q", quoted(s), digits+" "+rest+" gross", digits+" "+rest+" net"))
	}
	if better, ok := slips[rest]; ok {
		for _, t := range texts {
			if t == better {
				return slip(fmt.Sprintf("%s is not %s; write %q", quoted(s), k.what, digits+" "+t))
			}
		}
	}
	switch {
	case rest == "" && !k.money:
		return fmt.Errorf("%s has no unit; write for example %q", quoted(s), digits+" "+texts[0])
	case k.money:
		return fmt.Errorf("%s is not %s; write for example %q", quoted(s), k.what, k.eg)
	case len(texts) == 1 && texts[0] == "":
		return fmt.Errorf("%s is not %s; write it without a unit", quoted(s), k.what)
	}
	return fmt.Errorf("%s is not %s; want it in %s", quoted(s), k.what, orList(slices.DeleteFunc(texts, func(t string) bool { return t == "" })))
}

// bareBar answers a pressure that is neither gauge nor absolute, nil for any other fault.
func bareBar(s, digits, rest string) error {
	// The standard atmosphere, ISO 2533: only to show what absolute means.
	air, ok := map[string]float64{"": 1.01325, "bar": 1.01325, "kPa": 101.325, "MPa": 0.101325}[rest]
	if !ok {
		return nil
	}
	v, _ := strconv.ParseFloat(digits, 64)
	if rest == "" {
		rest = "bar"
	}
	return fmt.Errorf("%s is neither gauge nor absolute; write \"%s %s(g)\" or \"%.3g %s(a)\"", quoted(s), digits, rest, v+air, rest)
}

// canon brings the spellings of one unit together: "W/(m² K)", "W/m2/K" and "W/m2 K" are all "W/m2K".
func canon(s string) string {
	s = strings.NewReplacer(" ", "", "·", "", "*", "", "²", "2", "³", "3", "⁴", "4", "°", "deg", "º", "deg", "℃", "degC").Replace(s)
	over, under, has := strings.Cut(s, "/")
	if !has {
		return s
	}
	if strings.HasPrefix(under, "(") && strings.HasSuffix(under, ")") {
		under = under[1 : len(under)-1]
	}
	return over + "/" + strings.ReplaceAll(under, "/", "")
}

// quoted shows what was written, cut where it is long.
func quoted(s string) string {
	if r := []rune(s); len(r) > 60 {
		return strconv.Quote(string(r[:57]) + "...")
	}
	return strconv.Quote(s)
}

// Volume reads a volume as a command line gives it, "40 m3" or the bare number 40, in m3.
func Volume(s string) (m3 float64, err error) {
	q, err := parse(strings.TrimSpace(s), "volume", "number")
	if err != nil {
		return 0, err
	}
	if q.num < 0 {
		return 0, fmt.Errorf("%s is less than nothing; want 0 m3 or more", quoted(s))
	}
	return q.base(), nil
}
