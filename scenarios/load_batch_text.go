package scenarios

import (
	"fmt"
	"math"
	"time"

	"noonkeep/demand"
)

// batchSays tells a load of batches in a few words; hours is what it says of its times.
func batchSays(t demand.Timetable, hours string, c demand.Cycle, y demand.BatchYear) string {
	s := fmt.Sprintf("%d batches of %s, %.4g kWh and at most %.4g kW, ", y.Batches, shortTime(c.H), c.KWh, c.PeakKW)
	if t.Every > 0 {
		return s + fmt.Sprintf("one every %s, %s", shortTime(t.Every.Hours()), hours)
	}
	return s + hours
}

// staggerSays tells what several machines come to, and what they would without their stagger.
func (b *builder) staggerSays(t demand.Timetable, c demand.Cycle, y demand.BatchYear) string {
	switch {
	case t.Machines < 2:
		return ""
	case t.Stagger == 0:
		return fmt.Sprintf("; %d machines that begin at once", t.Machines)
	}
	peak, _ := y.KW.Peak()
	s := fmt.Sprintf("; %d machines, each %s after the last: %.0f kW at most by the step", t.Machines, shortTime(t.Stagger.Hours()), peak)
	t.Stagger = 0
	begins, err := t.Begins(b.c.Axis, b.c.Calendar, c.H)
	if err != nil {
		return s // a stagger may be what keeps a year's last batches few enough
	}
	atOnce, _ := c.Over(b.c.Axis, begins).KW.Peak()
	return s + fmt.Sprintf(", %.0f kW if they began at once", atOnce)
}

// batchText tells where a batch's heat goes, and what the year's ends cut.
func batchText(c demand.Cycle, y demand.BatchYear) string {
	s := fmt.Sprintf("a batch has %.4g kWh: ", c.KWh)
	var parts []string
	for _, p := range []struct {
		kWh  float64
		does string
	}{{c.LiquorKWh, "warm the liquor"}, {c.SolidsKWh, "warm goods and machine"}, {c.BoilKWh, "boil off"}, {c.LossKWh, "are lost"},
		{c.WaterKWh, fmt.Sprintf("stay in the water of %.4g kg of live steam, over feedwater", c.SteamKg)}} {
		if p.kWh > 1e-6*c.KWh {
			parts = append(parts, fmt.Sprintf("%.4g %s", p.kWh, p.does))
		}
	}
	s += andList(parts)
	if c.WaterKWh < -1e-6*c.KWh {
		s += fmt.Sprintf("; %.4g more come with the feedwater of %.4g kg of live steam", -c.WaterKWh, c.SteamKg)
	}
	if y.Cut > 0 {
		s += fmt.Sprintf("; the year's ends cut %d batches, with %.4g kWh outside", y.Cut, y.OutsideKWh)
	}
	return s
}

// shortTime writes hours as people do: "45 min", "2 h 20 min".
func shortTime(h float64) string {
	d := time.Duration(math.Round(h*60)) * time.Minute
	switch whole, rest := int(d.Hours()), int(d.Minutes())%60; {
	case d == 0:
		return fmt.Sprintf("%.2g min", h*60)
	case whole == 0:
		return fmt.Sprintf("%d min", rest)
	case rest == 0:
		return fmt.Sprintf("%d h", whole)
	default:
		return fmt.Sprintf("%d h %d min", whole, rest)
	}
}
