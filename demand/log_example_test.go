package demand_test

import (
	"fmt"
	"strings"
	"time"

	"noonkeep/demand"
	"noonkeep/plant/clock"
)

// A steam counter by the half hour, which begins at 0 again after 9999 t, with an hour missing.
func ExampleReadLog() {
	const log = `Zeitstempel;Dampf t
13.01.2026 00:00;9998,0
13.01.2026 00:30;9999,5
13.01.2026 01:00;0,5
13.01.2026 01:30;1,5
13.01.2026 02:30;3,5
13.01.2026 03:00;4,5
`
	unit, err := demand.ParseLogUnit("t")
	if err != nil {
		fmt.Println(err)
		return
	}
	l, err := demand.ReadLog(strings.NewReader(log), demand.LogForm{
		Source: "meter.csv", Time: "Zeitstempel", Value: "Dampf t", Unit: unit,
		Counts: demand.Counter, RollOver: 10000, Step: time.Hour, Zone: time.FixedZone("", 3600),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d rows, usually %v apart, %.0f kg\n", l.Rows, l.Interval, l.Quantity)
	for _, n := range l.Notes {
		fmt.Printf("line %d: %s\n", n.Line, n.Text)
	}
	// Output:
	// 6 rows, usually 30m0s apart, 6500 kg
	// line 4: the counter goes from 9999.5 to 0.5 on 2026-01-13 01:00: a roll-over, 1 counted
	// line 6: no rows from 2026-01-13 01:30 to 2026-01-13 02:30
}

// A log of the summer becomes a year: what it lacks is filled, and counted apart.
func ExampleLog_On() {
	var b strings.Builder
	b.WriteString("time,kW\n")
	for at := time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC); at.Month() < 9; at = at.Add(time.Hour) {
		kW := 100
		if at.Weekday() != time.Sunday && at.Hour() >= 6 && at.Hour() < 22 {
			kW = 600
		}
		fmt.Fprintf(&b, "%s,%d\n", at.Format("2006-01-02 15:04"), kW)
	}
	a, err := clock.NewYear(2026, time.Hour, time.Hour)
	if err != nil {
		fmt.Println(err)
		return
	}
	unit, err := demand.ParseLogUnit("kW")
	if err != nil {
		fmt.Println(err)
		return
	}
	l, err := demand.ReadLog(strings.NewReader(b.String()), demand.LogForm{
		Source: "summer.csv", Time: "time", Value: "kW", Unit: unit, Step: a.Step, Zone: a.Start.Location()})
	if err != nil {
		fmt.Println(err)
		return
	}
	y, err := l.On(a, demand.LogUse{KWhPer: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range y.Parts {
		fmt.Printf("%.0f MWh %s\n", p.KWh/1000, p.Name)
	}
	fmt.Printf("%s: %.0f kW\n", a.Label(17*24), y.KW[17*24])
	// Output:
	// 1135 MWh measured in summer.csv
	// 2245 MWh filled from other weeks of summer.csv
	// 18 Jan 00:00: 100 kW
}
