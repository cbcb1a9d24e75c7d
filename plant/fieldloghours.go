package plant

import (
	"fmt"
	"math"
	"strings"
	"time"

	"noonkeep/plant/steam"
)

// steps finds the length of the rows and brings their times to their starts.
func (in *logReader) steps() {
	l := &in.log
	if len(l.rows) == 0 {
		in.fault("has no rows; want at least one hour")
		return
	}
	step := time.Duration(0)
	for i := 1; i < len(l.rows); i++ {
		if d := l.rows[i].at.Sub(l.rows[i-1].at); step == 0 || d < step {
			step = d
		}
	}
	l.StepAssumed = step == 0 || step > time.Hour
	if l.StepAssumed {
		step = time.Hour
	}
	if step%time.Minute != 0 || time.Hour%step != 0 {
		in.faultAt(l.rows[1].line, "rows stand %v apart; want 1 to 60 min, a whole part of an hour", step)
		return
	}
	l.StepH = step.Hours()
	for i := range l.rows {
		row := &l.rows[i]
		if l.AtEnd {
			row.at = row.at.Add(-step)
		}
		off := row.at.Sub(hourOf(row.at))
		if step < time.Hour && off%step != 0 {
			in.faultAt(row.line, "time does not fall on the rows' step of %v; want rows that part each hour evenly", step)
			if len(in.faults) == mostLogFaults {
				return
			}
		}
	}
}

// Hours gathers the log in hours, in order of time: means over those that are whole. A row of an hour stands as it is; where
// no column tells how fast the fluid changes, it is the slope over an hour's rows, or over the hours beside it.
func (l FieldLog) Hours() []FieldHour {
	perHour := int(math.Round(1 / l.StepH))
	var hours []FieldHour
	for i := 0; i < len(l.rows); {
		start := l.rows[i].at
		if perHour > 1 {
			start = hourOf(start)
		}
		n := 1
		for i+n < len(l.rows) && l.rows[i+n].at.Before(start.Add(time.Hour)) {
			n++
		}
		hours = append(hours, l.hour(start, l.rows[i:i+n], perHour))
		i += n
	}
	if perHour == 1 {
		warmBetween(hours)
	}
	return hours
}

// hourOf is the full hour of the local standard clock at or before a time.
func hourOf(t time.Time) time.Time {
	_, seconds := t.Zone()
	off := time.Duration(seconds) * time.Second
	return t.Add(off).Truncate(time.Hour).Add(-off)
}

// hour is the mean of the rows of one hour.
func (l FieldLog) hour(start time.Time, rows []logRow, perHour int) FieldHour {
	var sum [logColumns]float64
	var fluid []float64
	h := FieldHour{Start: start, Line: rows[0].line}
	for i := range rows {
		for c, v := range rows[i].value {
			sum[c] += v / float64(len(rows))
		}
		fluid = append(fluid, rows[i].fluidC())
		if rows[i].aside != "" && h.Aside == "" {
			h.Aside = rows[i].aside
		}
	}
	heat := sum[logHeat]
	if !l.Has("heat") {
		heat = 0
		for i := range rows {
			heat += rows[i].waterKW() / float64(len(rows))
		}
	}
	h.DNIWM2, h.GHIWM2, h.DHIWM2, h.PlaneWM2 = light(sum[logDNI]), light(sum[logGHI]), light(sum[logDHI]), light(sum[logPlane])
	h.AirC, h.WindMS, h.WarmingKH, h.HeatKW = sum[logAir], sum[logWind], sum[logWarming], heat
	for _, t := range fluid {
		h.FluidC += t / float64(len(rows))
	}
	if math.IsNaN(h.WarmingKH) && len(rows) > 1 {
		h.WarmingKH = (fluid[len(rows)-1] - fluid[0]) / (rows[len(rows)-1].at.Sub(rows[0].at).Hours())
	}
	h.Lacks = l.lacks(h, len(rows), perHour)
	return h
}

// light is a measured light: what a sensor shows under 0 at night is 0.
func light(wattsM2 float64) float64 {
	if wattsM2 < 0 {
		return 0
	}
	return wattsM2
}

// lacks says what an hour lacks of whole data in the log's own columns.
func (l FieldLog) lacks(h FieldHour, rows, perHour int) string {
	if rows < perHour {
		return fmt.Sprintf("%d of %d rows of the hour", rows, perHour)
	}
	var none []string
	for _, v := range [...]struct {
		name   string
		value  float64
		wanted bool
	}{
		{"DNI", h.DNIWM2, l.Has("DNI")}, {"GHI", h.GHIWM2, l.Has("GHI")}, {"DHI", h.DHIWM2, l.Has("DHI")}, {"plane", h.PlaneWM2, l.Has("plane")},
		{"air", h.AirC, true}, {"wind", h.WindMS, l.Has("wind")}, {"fluid temperature", h.FluidC, true}, {"heat", h.HeatKW, true},
	} {
		if v.wanted && math.IsNaN(v.value) {
			none = append(none, v.name)
		}
	}
	if len(none) == 0 {
		return ""
	}
	return "no value of " + strings.Join(none, ", ")
}

// fluidC is the mean temperature of the fluid in the collectors.
func (r *logRow) fluidC() float64 {
	if t := r.value[logFluid]; !math.IsNaN(t) {
		return t
	}
	return (r.value[logInlet] + r.value[logOutlet]) / 2
}

// waterKW is the heat that a flow of liquid water takes between inlet and outlet, under a bar more than it boils at.
func (r *logRow) waterKW() float64 {
	inC, outC, kgH := r.value[logInlet], r.value[logOutlet], r.value[logFlow]
	boils, err := steam.SatPressure(max(inC, outC, 100))
	if err != nil || math.IsNaN(kgH) {
		return math.NaN()
	}
	p := steam.BarAbs(boils.BarAbs() + 1)
	from, err1 := steam.Liquid(p, inC)
	to, err2 := steam.Liquid(p, outC)
	if err1 != nil || err2 != nil {
		return math.NaN()
	}
	const kJPerKWh = 3600
	return kgH * (to.HKJKg - from.HKJKg) / kJPerKWh
}

// warmBetween fills in how fast the fluid changes in hours, from the ones before and after where they follow on.
func warmBetween(hours []FieldHour) {
	for i := range hours {
		h := &hours[i]
		if !math.IsNaN(h.WarmingKH) {
			continue
		}
		lo, hi := i, i
		if i > 0 && h.Start.Sub(hours[i-1].Start) == time.Hour {
			lo--
		}
		if i+1 < len(hours) && hours[i+1].Start.Sub(h.Start) == time.Hour {
			hi++
		}
		if lo < hi {
			h.WarmingKH = (hours[hi].FluidC - hours[lo].FluidC) / float64(hi-lo)
		}
	}
}
