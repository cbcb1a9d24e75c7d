package clock

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// The offsets in use run from UTC-12 to UTC+14 in quarters of an hour.
// IANA time zone database, theory and zone tables: Asia/Kathmandu +5:45, Pacific/Kiritimati +14.
const (
	leastOffset = -12 * time.Hour
	mostOffset  = 14 * time.Hour
	quarter     = 15 * time.Minute
)

const wantOffset = "-12 h to +14 h in quarters of an hour, such as +3 h, -3:30 or +5:45"

func checkOffset(offset time.Duration) error {
	if offset < leastOffset || offset > mostOffset || offset%quarter != 0 {
		return fmt.Errorf("UTC offset: is %v; want %s", offset, wantOffset)
	}
	return nil
}

// ParseOffset reads what local standard time is ahead of UTC: "+3 h", "+5.75 h", "+5:45", "-03:30"
// or "0". A leading "UTC" is allowed.
func ParseOffset(s string) (time.Duration, error) {
	bad := &TextError{What: "UTC offset", Saw: s, Want: wantOffset}
	text := strings.TrimSpace(s)
	text = strings.TrimSpace(strings.TrimPrefix(text, "UTC"))
	text = strings.TrimSpace(strings.TrimSuffix(text, "h"))
	sign := time.Duration(1)
	switch {
	case strings.HasPrefix(text, "+"):
		text = text[1:]
	case strings.HasPrefix(text, "-"):
		text, sign = text[1:], -1
	}
	hours, minutes, colon := strings.Cut(text, ":")
	if !plainNumber(hours) || colon && (len(minutes) != 2 || !digits(minutes) || !digits(hours)) {
		return 0, bad
	}
	h, err := strconv.ParseFloat(hours, 64)
	if err != nil || h > 24 {
		return 0, bad
	}
	offset := time.Duration(h * float64(time.Hour))
	if colon {
		m, _ := strconv.Atoi(minutes)
		if m > 59 {
			return 0, bad
		}
		offset += time.Duration(m) * time.Minute
	}
	offset *= sign
	if checkOffset(offset) != nil {
		return 0, bad
	}
	return offset, nil
}

// OffsetString writes an offset as "+05:45"; [ParseOffset] reads it back.
func OffsetString(offset time.Duration) string {
	sign := '+'
	if offset < 0 {
		sign, offset = '-', -offset
	}
	return fmt.Sprintf("%c%02d:%02d", sign, offset/time.Hour, offset%time.Hour/time.Minute)
}

// plainNumber admits "5" and "5.75", not the hexadecimal, infinite or signed forms of strconv.
func plainNumber(s string) bool {
	whole, part, point := strings.Cut(s, ".")
	return digits(whole) && (!point || digits(part))
}

func digits(s string) bool {
	for _, c := range s {
		if c < '0' || c > '9' {
			return false
		}
	}
	return s != "" && len(s) <= 9
}
