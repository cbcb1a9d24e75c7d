package demand_test

import (
	"fmt"
	"strings"
	"time"

	"noonkeep/demand"
	"noonkeep/plant/clock"
	"noonkeep/plant/steam"
)

// Four quarters' bills of a plant that works by day: a fifth of the heat runs at all hours.
func ExampleBills() {
	table, err := demand.ReadBills(strings.NewReader(`from,to,used kWh net
2026-01-01,2026-04-01,300000
2026-04-01,2026-07-01,200000
2026-07-01,2026-10-01,100000
2026-10-01,2027-01-01,250000
`), "gas.csv")
	if err != nil {
		fmt.Println(err)
		return
	}
	const efficiency = 0.9
	var bills demand.Bills
	for _, row := range table.Rows {
		bills.List = append(bills.List, demand.Bill{From: row.From, To: row.To, KWh: efficiency * row.Used, Line: row.Line})
	}
	year, _ := clock.NewYear(2026, time.Hour, 0)
	when, _ := clock.ParseWhen("daily 06:00-18:00")
	bills.Hours, bills.BaseFrac = when.Shares(year, clock.Calendar{}), 0.2
	heat, err := bills.On(year)
	fmt.Printf("%.1f kW by night, %.1f kW by day in January, %v\n", heat.KW[2], heat.KW[12], err)
	for _, p := range heat.Parts {
		fmt.Printf("%.0f kWh: %s\n", p.KWh, p.Name)
	}
	// Output:
	// 25.0 kW by night, 225.0 kW by day in January, <nil>
	// 153000 kWh: bills, at all hours
	// 612000 kWh: bills, in the hours of work
}

// 70 % of the condensate comes back at 90 degC; a deaerator at 0.2 bar(g) heats the feedwater with the header's steam.
func ExampleBoilerHouse() {
	h := demand.BoilerHouse{
		Header: steam.BarGauge(6, 1.01325), AirBarA: 1.01325, ReturnFrac: 0.7, CondensateC: 90, MakeUpC: 15,
		BlowdownFrac: 0.05, Deaerator: steam.BarGauge(0.2, 1.01325), VentFrac: 0.001,
	}
	b, err := h.Balance()
	fmt.Printf("feedwater of %.1f degC; for 1000 kg/h of process steam %.1f kg/h to the deaerator, %.1f kg/h blown down, %.1f kW; %v\n",
		b.FeedwaterC, 1000*b.DeaeratorKgH, 1000*b.BlowdownKgH, 1000*b.BoilerKW, err)
	// Output: feedwater of 105.1 degC; for 1000 kg/h of process steam 78.5 kg/h to the deaerator, 56.8 kg/h blown down, 699.6 kW; <nil>
}
