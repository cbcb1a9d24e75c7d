package demand

import (
	"bytes"
	"fmt"
	"strconv"
)

// numberReader reads the values of one log.
type numberReader struct {
	decimal byte // '.' or ','
	known   bool // decimal was written or found, so that the other sign may part thousands
}

// powers are exact, so that a quotient by one rounds once, to the nearest number.
var powers = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// read reads a number; ok is false for anything else. Up to 15 digits are read at sight.
func (n numberReader) read(b []byte) (v float64, ok bool) {
	i, minus := 0, false
	if len(b) > 0 && (b[0] == '-' || b[0] == '+') {
		i, minus = 1, b[0] == '-'
	}
	if len(b)-i > 16 || i == len(b) {
		return n.free(b)
	}
	whole, digits, after := uint64(0), 0, -1
	for ; i < len(b); i++ {
		c := b[i]
		switch {
		case isDigit(c):
			whole = whole*10 + uint64(c-'0')
			digits++
		case c == n.decimal && after < 0:
			after = digits
		default:
			return n.free(b)
		}
	}
	if digits == 0 || digits > 15 {
		return n.free(b)
	}
	v = float64(whole)
	if after >= 0 {
		v /= powers[digits-after]
	}
	if minus {
		v = -v
	}
	return v + 0, true // -0 becomes 0
}

// free reads the rarer forms: an exponent, many digits, thousands parted in threes.
func (n numberReader) free(b []byte) (float64, bool) {
	plain := make([]byte, 0, len(b))
	last, marks, seen := -1, 0, false // place of the last thousands mark, how many, whether the decimal sign has come
	for i := 0; i < len(b); i++ {
		c := b[i]
		switch {
		case isDigit(c), (c == '-' || c == '+' || c|0x20 == 'e') && marks == 0:
			plain = append(plain, c)
		case c == n.decimal && !seen:
			if marks > 0 && i-last != 4 {
				return 0, false
			}
			plain, seen = append(plain, '.'), true
		case n.known && !seen && (c == '.' || c == ',' || c == '\'' || c == ' ') && c != n.decimal:
			if marks > 0 && i-last != 4 || marks == 0 && !threeDigits(plain) {
				return 0, false
			}
			last, marks = i, marks+1
		default:
			return 0, false
		}
	}
	if marks > 0 && !seen && len(b)-last != 4 {
		return 0, false
	}
	v, err := strconv.ParseFloat(string(plain), 64)
	return v + 0, err == nil
}

// threeDigits tells whether b is one to three digits, after a sign or none.
func threeDigits(b []byte) bool {
	n := len(bytes.TrimLeft(b, "+-"))
	return n >= 1 && n <= 3
}

// decimals gathers what values show of their decimal sign.
type decimals struct {
	point, comma bool   // one that can be nothing else
	open         [2]int // points and commas that may part thousands too
	whole        bool   // four digits and more without a mark: thousands are not parted
	example      string
}

// see looks at one value.
func (d *decimals) see(b []byte) {
	b = bytes.TrimLeft(b, "+-")
	point, comma := bytes.LastIndexByte(b, '.'), bytes.LastIndexByte(b, ',')
	points, commas := bytes.Count(b, []byte{'.'}), bytes.Count(b, []byte{','})
	switch {
	case points+commas == 0:
		d.whole = d.whole || len(b) > 3
	case points > 0 && commas > 0:
		d.point, d.comma = d.point || point > comma, d.comma || comma > point
	case points > 1:
		d.comma = true
	case commas > 1:
		d.point = true
	default:
		at := max(point, comma)
		sure := len(b)-at != 4 || at > 3 || at == 0 || b[0] == '0'
		d.point, d.comma = d.point || sure && points > 0, d.comma || sure && commas > 0
		if !sure {
			if d.open[commas]++; d.example == "" {
				d.example = string(b)
			}
		}
	}
}

// decide gives the decimal sign. known is false where no value has a sign at all.
func (d *decimals) decide() (sign byte, known bool, err error) {
	switch {
	case d.point && d.comma:
		return 0, false, fmt.Errorf("some numbers have a decimal point and some a comma; want one of them, or write decimal: point or decimal: comma")
	case d.point:
		return '.', true, nil
	case d.comma:
		return ',', true, nil
	case d.open[0]+d.open[1] == 0:
		return '.', false, nil
	case d.whole && d.open[1] == 0:
		return '.', true, nil
	case d.whole && d.open[0] == 0:
		return ',', true, nil
	}
	return 0, false, fmt.Errorf("%s may have a decimal sign or part thousands, and so may all rows looked at; write decimal: point or decimal: comma", brief(d.example))
}
