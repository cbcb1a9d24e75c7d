package demand

import (
	"strings"
	"time"
)

// timeScan walks along the text of a time.
type timeScan struct {
	b []byte
	i int
}

// dateParts are the numbers of a date in the order in which they are written.
type dateParts struct {
	x, y, z   int
	yearFirst bool // four digits first
	shortYear bool // none of them has four digits
	named     bool // the month was a name: day, month, year
}

func (s *timeScan) peek() byte {
	if s.i < len(s.b) {
		return s.b[s.i]
	}
	return 0
}

func (s *timeScan) eat(c byte) bool {
	if s.peek() != c {
		return false
	}
	s.i++
	return true
}

func (s *timeScan) spaces() {
	for s.peek() == ' ' {
		s.i++
	}
}

// number reads up to most digits, and how many they were.
func (s *timeScan) number(most int) (v, n int) {
	for n < most && isDigit(s.peek()) {
		v = v*10 + int(s.peek()-'0')
		s.i++
		n++
	}
	return v, n
}

// date reads three numbers with one sign between them, eight digits, or a day, a month's name and a year.
func (s *timeScan) date() (d dateParts, ok bool) {
	var n, nz int
	if d.x, n = s.number(8); n == 8 {
		return dateParts{x: d.x / 10000, y: d.x / 100 % 100, z: d.x % 100, yearFirst: true}, true
	}
	sign := s.peek()
	if n == 0 || n == 3 || n > 4 || !dateSign(sign) && sign != ' ' {
		return d, false
	}
	s.i++
	if d.y = s.month(); d.y > 0 {
		d.named = true
	} else if d.y, nz = s.number(2); nz == 0 || sign == ' ' {
		return d, false
	}
	if !s.eat(sign) {
		return d, false
	}
	d.z, nz = s.number(4)
	d.yearFirst, d.shortYear = n == 4, n < 3 && nz < 3
	switch {
	case nz == 0 || nz == 3 || d.yearFirst && nz > 2 || d.named && n > 2, d.named && d.shortYear:
		return d, false
	}
	return d, true
}

var logMonths = []string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}

// month reads an English month's name of three letters; 0 for none.
func (s *timeScan) month() int {
	if s.i+3 > len(s.b) {
		return 0
	}
	word := strings.ToLower(string(s.b[s.i : s.i+3]))
	for i, name := range logMonths {
		if word == name {
			s.i += 3
			return i + 1
		}
	}
	return 0
}

// dateEnd passes what stands between a date and a time.
func (s *timeScan) dateEnd() {
	s.spaces()
	if s.eat('T') || s.eat('t') || s.eat(',') {
		s.spaces()
	}
}

// timeOfDay reads "23:45", "23:45:10.5", "11:45 PM" or "24:00", ns of the day.
func (s *timeScan) timeOfDay() (ns int64, ok bool) {
	h, nh := s.number(2)
	if nh == 0 || !s.eat(':') {
		return 0, false
	}
	m, nm := s.number(2)
	if nm != 2 {
		return 0, false
	}
	sec, frac := 0, int64(0)
	if s.eat(':') {
		var n int
		if sec, n = s.number(2); n != 2 {
			return 0, false
		}
		if s.peek() == '.' || s.peek() == ',' {
			s.i++
			if frac, ok = s.fraction(); !ok {
				return 0, false
			}
		}
	}
	s.spaces()
	h, ok = s.halfDay(h)
	ns = int64(h*3600+m*60+sec)*int64(time.Second) + frac
	return ns, ok && h <= 24 && m < 60 && sec < 60 && ns <= dayNS
}

// fraction reads parts of a second, to the nanosecond.
func (s *timeScan) fraction() (ns int64, ok bool) {
	v, n := s.number(9)
	for isDigit(s.peek()) {
		s.i++
	}
	for k := n; k < 9; k++ {
		v *= 10
	}
	return int64(v), n > 0
}

// halfDay turns an hour with AM or PM after it into one of 24.
func (s *timeScan) halfDay(h int) (int, bool) {
	c := s.peek() | 0x20
	if c != 'a' && c != 'p' || s.i+1 >= len(s.b) || s.b[s.i+1]|0x20 != 'm' {
		return h, true
	}
	s.i += 2
	if h < 1 || h > 12 {
		return h, false
	}
	if h %= 12; c == 'p' {
		h += 12
	}
	return h, true
}

// offset reads Z or "+02:00", "+0200", "+02" to the end, in seconds.
func (s *timeScan) offset() (seconds int, ok bool) {
	s.spaces()
	if s.eat('Z') || s.eat('z') {
		return 0, true
	}
	if string(s.b[s.i:]) == "UTC" || string(s.b[s.i:]) == "GMT" {
		s.i = len(s.b)
		return 0, true
	}
	sign := s.peek()
	if sign != '+' && sign != '-' {
		return 0, false
	}
	s.i++
	h, nh := s.number(2)
	s.eat(':')
	m, nm := s.number(2)
	seconds = h*3600 + m*60
	if sign == '-' {
		seconds = -seconds
	}
	return seconds, nh == 2 && (nm == 0 || nm == 2) && h <= 14 && m < 60
}
