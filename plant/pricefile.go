package plant

import (
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"
)

const (
	longestPriceLine = 1024
	mostPriceRows    = 1 << 20 // a year by the minute has 527 040
	mostPriceFaults  = 10
	dearestPerKWh    = 1e6
)

// ReadPrices reads a series of prices from CSV. name stands in front of each message.
//
//	time,EUR/MWh
//	2026-01-01 00:00,87.10
//	2026-01-01 01:00,-3.5
//
// The header line is "time," and a currency per MWh or kWh; a semicolon may stand for the comma. A time is the start of
// its step, as 2026-01-01 00:00 or 2026-01-01T00:00, on its own or with an offset from UTC behind it (Z, +01:00): see
// [Prices.On]. Prices may be below 0. What is wrong is told with its line, the first few faults joined.
func ReadPrices(r io.Reader, name string) (Prices, error) {
	in := priceReader{rowsReader: newRowsReader(r, name, longestPriceLine), p: Prices{Source: name}}
	if in.header() {
		for in.row() {
		}
	}
	in.stopped(mostPriceFaults, longestPriceLine, "a time and a price")
	if len(in.faults) == 0 {
		if err := in.p.enough(); err != nil {
			in.faults = append(in.faults, err)
		}
	}
	if err := errors.Join(in.faults...); err != nil {
		return Prices{}, err
	}
	return in.p, nil
}

// priceReader walks the lines once.
type priceReader struct {
	rowsReader
	per float64 // kWh in the header's unit
	p   Prices
}

const wantPriceHeader = "the header line time,EUR/MWh, with any currency, per MWh or kWh"

var priceUnit = regexp.MustCompile(`^([A-Za-z]{1,8}) */ *(MWh|kWh)$`)

func (in *priceReader) header() bool {
	cells, ok := in.next()
	if !ok {
		if in.scan.Err() == nil {
			in.fault("is empty; want %s", wantPriceHeader)
		}
		return false
	}
	if len(cells) != 2 || !strings.EqualFold(cells[0], "time") {
		in.fault("is %s; want %s", shortQuote(strings.Join(cells, in.delim)), wantPriceHeader)
		return false
	}
	m := priceUnit.FindStringSubmatch(cells[1])
	if m == nil {
		in.fault("column %s is no price of energy; want a currency per MWh or kWh, such as EUR/MWh", shortQuote(cells[1]))
		return false
	}
	in.p.Currency, in.per = m[1], 1
	if m[2] == "MWh" {
		in.per = 1000
	}
	return true
}

// row reads one row; false ends the reading.
func (in *priceReader) row() bool {
	cells, ok := in.next()
	switch {
	case !ok:
		return false
	case len(in.p.rows) == mostPriceRows:
		in.fault("is row %d; want %d rows at most", mostPriceRows+1, mostPriceRows)
		return false
	case len(cells) != 2:
		hint := ""
		if in.delim == "," && len(cells) == 3 {
			hint = ", and a decimal point in the number"
		}
		in.fault("has %d columns parted by %q; want 2, as in the header%s", len(cells), in.delim, hint)
		return false
	}
	at, zoned, err := priceTime(cells[0])
	if err != nil {
		in.fault("%w", err)
		return false
	}
	if n := len(in.p.rows); n == 0 {
		in.p.zoned = zoned
	} else if zoned != in.p.zoned {
		in.fault("time %s has an offset from UTC where the first has none, or the other way round; want all alike", shortQuote(cells[0]))
		return false
	}
	price, err := strconv.ParseFloat(cells[1], 64)
	if err != nil || math.IsNaN(price) || math.Abs(price/in.per) > dearestPerKWh {
		in.fault("price %s is no number; want one with a decimal point, such as 87.1", shortQuote(cells[1]))
	}
	in.p.rows = append(in.p.rows, priceRow{at, price / in.per, in.line})
	return len(in.faults) < mostPriceFaults
}

// priceTime reads a time, and whether it carries its offset.
func priceTime(s string) (at time.Time, zoned bool, err error) {
	s = strings.Replace(s, "T", " ", 1)
	for _, form := range []string{"2006-01-02 15:04", "2006-01-02 15:04:05"} {
		if at, err := time.Parse(form, s); err == nil {
			return at, false, nil
		}
		for _, zone := range []string{"Z07:00", " Z07:00", "-0700"} {
			if at, err := time.Parse(form+zone, s); err == nil {
				return at, true, nil
			}
		}
	}
	return time.Time{}, false, fmt.Errorf("time %s is not known; want it as 2026-01-31 18:00", shortQuote(s))
}

// shortQuote shows what was seen, cut where it is long.
func shortQuote(s string) string {
	if r := []rune(s); len(r) > 40 {
		s = string(r[:37]) + "..."
	}
	return strconv.Quote(s)
}
