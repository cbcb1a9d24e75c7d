package demand

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
)

const (
	minuteForm = "2006-01-02 15:04"
	secondForm = "2006-01-02 15:04:05"
)

// time reads a row's time and holds it against the row before: the first two rows give the step, all
// others must keep it.
func (f *seriesReader) time(text string) bool {
	t, err := wallClock(text)
	if err != nil {
		f.fault("%v", err)
		return false
	}
	before, after := f.last, t.Sub(f.last)
	f.last = t
	if f.s.firstLine == 0 {
		f.s.firstLine, f.s.Start = f.line, t
		return true
	}
	const standard = "local standard time without summer time, one row a step"
	switch {
	case after == 0:
		f.fault("time: %s stands twice; want %s", text, standard)
	case after < 0:
		f.fault("time: %s comes after %s; want rising times: %s", text, before.Format(secondForm), standard)
	case f.s.Step == 0 && (after < leastStep || after > mostStep):
		f.fault("time: %s is %v after the row before; want a step of 1 s to 24 h", text, after)
	case f.s.Step == 0:
		f.s.Step = after
		return true
	case after != f.s.Step:
		f.fault("time: %s is %v after the row before; want %v, the step of the first two rows: %s",
			text, after, f.s.Step, standard)
	default:
		return true
	}
	return false
}

// wallClock reads "2026-01-01 00:00" or "2026-01-01T00:00", with seconds if there are any.
func wallClock(text string) (time.Time, error) {
	form := minuteForm
	if len(text) == len(secondForm) {
		form = secondForm
	}
	if plain := strings.Replace(text, "T", " ", 1); shaped(plain, form) {
		if t, err := time.Parse(form, plain); err == nil {
			return t, nil
		}
	}
	return time.Time{}, fmt.Errorf("time: %s; want local standard time such as 2026-01-01 00:00, without zone", brief(text))
}

// shaped reports whether text has a digit where form has one and form's own sign elsewhere;
// time.Parse alone takes one-digit hours and parts of a second too.
func shaped(text, form string) bool {
	if len(text) != len(form) {
		return false
	}
	for i := range len(form) {
		if isDigit(form[i]) != isDigit(text[i]) || !isDigit(form[i]) && form[i] != text[i] {
			return false
		}
	}
	return true
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// number reads a plain decimal number of 0 to mostKW.
func number(text string) (float64, error) {
	if text == "" {
		return 0, errors.New("is empty; want a number of 0 or more")
	}
	// strconv takes hexadecimal, underscores, Inf and NaN too, which no meter writes.
	if strings.Trim(text, "+-.0123456789eE") != "" {
		if strings.Contains(text, ",") {
			return 0, fmt.Errorf("%s; want a decimal point and no thousands sign", brief(text))
		}
		return 0, fmt.Errorf("%s; want a number of 0 or more", brief(text))
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil && !errors.Is(err, strconv.ErrRange) {
		return 0, fmt.Errorf("%s; want a number of 0 or more", brief(text))
	}
	if !(v >= 0 && v <= mostKW) {
		return 0, fmt.Errorf("is %s; want 0 to %g", brief(text), float64(mostKW))
	}
	return v + 0, nil // -0 becomes 0
}

// brief quotes text on one line, cut if long.
func brief(text string) string {
	const most = 40
	if len(text) > most {
		return fmt.Sprintf("%q...", strings.ToValidUTF8(text[:most], ""))
	}
	return fmt.Sprintf("%q", text)
}
