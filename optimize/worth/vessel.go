package worth

import (
	"fmt"
	"math"
)

// VesselPrice is what a vessel in place costs by its volume: a fixed part, and one of a price per m³, a table or a
// reference vessel. The zero value costs nothing.
type VesselPrice struct {
	Fixed float64
	PerM3 float64
	Table []SizePrice // volumes rising; straight between, and below the first as dear as the first

	// Price = ReferencePrice (volume/ReferenceM3)^Exponent, the capacity rule of cost engineering, with an
	// exponent of 0.6 where nothing better is known (the six-tenths rule).
	ReferenceM3, ReferencePrice, Exponent float64
}

// SizePrice is one row of a price list.
type SizePrice struct{ M3, Price float64 }

// Check tells what is wrong.
func (v VesselPrice) Check() error {
	var f faults
	f.require(v.Fixed >= 0, "fixed: is %g; want 0 or more", v.Fixed)
	f.require(v.PerM3 >= 0, "price per m³: is %g; want 0 or more", v.PerM3)
	for i, r := range v.Table {
		f.require(r.M3 > 0 && r.Price >= 0, "table: row %d: %g m³ for %g; want a volume above 0 and a price of 0 or more", i+1, r.M3, r.Price)
		f.require(i == 0 || r.M3 > v.Table[i-1].M3, "table: row %d: %g m³ after %g; want the volumes rising", i+1, r.M3, v.Table[max(i-1, 0)].M3)
	}
	if v.ReferenceM3 != 0 {
		f.require(v.ReferenceM3 > 0 && v.ReferencePrice >= 0 && v.Exponent > 0, "reference: %g m³ for %g, exponent %g; want them above 0", v.ReferenceM3, v.ReferencePrice, v.Exponent)
	}
	return f.err()
}

// MostM3 is the largest volume that has a price: the table's last, +Inf without a table.
func (v VesselPrice) MostM3() float64 {
	if n := len(v.Table); n > 0 {
		return v.Table[n-1].M3
	}
	return math.Inf(1)
}

// At is the price of a vessel; no vessel costs nothing. Beyond the table it is an error.
func (v VesselPrice) At(m3 float64) (float64, error) {
	if m3 <= 0 {
		return 0, nil
	}
	if m3 > v.MostM3()*(1+1e-12) {
		return 0, fmt.Errorf("a vessel of %g m³ has no price: the table ends at %g m³", m3, v.MostM3())
	}
	sum := v.Fixed + v.PerM3*m3
	if v.ReferenceM3 > 0 {
		sum += v.ReferencePrice * math.Pow(m3/v.ReferenceM3, v.Exponent)
	}
	if len(v.Table) > 0 {
		price, _ := v.row(m3)
		sum += price
	}
	return sum, nil
}

// NextM3 is what one more m³ costs there, by the slope; at the table's end that of its last stretch.
func (v VesselPrice) NextM3(m3 float64) float64 {
	slope := v.PerM3
	if v.ReferenceM3 > 0 {
		slope += v.ReferencePrice / v.ReferenceM3 * v.Exponent * math.Pow(m3/v.ReferenceM3, v.Exponent-1)
	}
	if len(v.Table) > 0 {
		_, per := v.row(m3)
		slope += per
	}
	return slope
}

// row gives price and slope of the table.
func (v VesselPrice) row(m3 float64) (price, perM3 float64) {
	first, last := v.Table[0], len(v.Table)-1
	if m3 < first.M3 || last == 0 {
		return first.Price, 0
	}
	i := 0
	for i < last-1 && m3 >= v.Table[i+1].M3 {
		i++
	}
	a, b := v.Table[i], v.Table[i+1]
	perM3 = (b.Price - a.Price) / (b.M3 - a.M3)
	return a.Price + perM3*(m3-a.M3), perM3
}
