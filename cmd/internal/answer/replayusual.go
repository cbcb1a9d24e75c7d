package answer

import (
	"time"

	"noonkeep/optimize"
	"noonkeep/plant/clock"
)

// usualMonths are how many months a usual value is the mean of: the one before, the month itself and the one after.
const usualMonths = 3

// usual gives, for each step, the mean of a year's values over the steps of the same weekday and hour in three months.
// What a single day held, and what came after it, is a thirteenth of that.
func usual(a clock.Axis, v []float64) []float64 {
	perWeek := int(7 * 24 * time.Hour / a.Step)
	place := func(t int) (month, step int) {
		at := a.At(t)
		hour := time.Duration(at.Weekday())*24*time.Hour + at.Sub(time.Date(at.Year(), at.Month(), at.Day(), 0, 0, 0, 0, at.Location()))
		return int(at.Month()) - 1, int(hour / a.Step)
	}
	sum, count := grid(12, perWeek), grid(12, perWeek)
	for t, x := range v {
		m, i := place(t)
		sum[m][i] += x
		count[m][i]++
	}
	out := make([]float64, len(v))
	for t := range out {
		m, i := place(t)
		total, n := 0.0, 0.0
		for near := m + 11; near < m+11+usualMonths; near++ {
			total, n = total+sum[near%12][i], n+count[near%12][i]
		}
		out[t] = total / n
	}
	return out
}

func grid(rows, n int) [][]float64 {
	out := make([][]float64, rows)
	for i := range out {
		out[i] = make([]float64, n)
	}
	return out
}

// worthParts are into how many equal parts a store is cut for what its heat is usually worth.
const worthParts = 16

// usualWorths are what heat in a store is usually worth at the start of every so many steps: the means of a year's own.
func usualWorths(a clock.Axis, every int, worths [][]optimize.Worth, capacityKWh float64) [][]optimize.Worth {
	coarse := clock.Axis{Start: a.Start, Step: a.Step * time.Duration(every), N: len(worths)}
	part := capacityKWh / worthParts
	out := make([][]optimize.Worth, len(worths))
	for i := range out {
		out[i] = make([]optimize.Worth, 0, worthParts)
	}
	for j := range worthParts {
		price := make([]float64, len(worths))
		for i, list := range worths {
			price[i] = worthBetween(list, part*float64(j), part*float64(j+1)) / part
		}
		for i, x := range usual(coarse, price) {
			if j > 0 { // rounding apart it never rises
				x = min(x, out[i][j-1].PricePerKWh)
			}
			out[i] = append(out[i], optimize.Worth{PricePerKWh: x, KWh: part})
		}
	}
	return out
}

// worthBetween is what the heat between two contents is worth.
func worthBetween(list []optimize.Worth, from, to float64) float64 {
	sum, at := 0.0, 0.0
	for _, v := range list {
		if n := min(at+v.KWh, to) - max(at, from); n > 0 {
			sum += n * v.PricePerKWh
		}
		at += v.KWh
	}
	return sum
}
