package scenarios

import (
	"fmt"
	"math"
	"time"

	"noonkeep/demand"
)

// atOnceKW is the highest step if all machines began at once, kW; 0 where they do anyway.
func (b *builder) atOnceKW(t demand.Timetable, c demand.Cycle) float64 {
	if t.Machines < 2 || t.Stagger == 0 {
		return 0
	}
	t.Stagger = 0
	begins, err := t.Begins(b.c.Axis, b.c.Calendar, c.H)
	if err != nil {
		return 0
	}
	peak, _ := c.Over(b.c.Axis, begins).KW.Peak()
	return peak
}

// batchSays tells a load of batches in a few words.
func batchSays(t demand.Timetable, c demand.Cycle, y demand.BatchYear, atOnceKW float64) string {
	s := fmt.Sprintf("%d batches of %s, %.4g kWh and at most %.4g kW", y.Batches, shortTime(c.H), c.KWh, c.PeakKW)
	if t.Every > 0 {
		s += fmt.Sprintf(", one every %s within %s", shortTime(t.Every.Hours()), t.When)
	} else {
		s += ", begun " + t.Starts.String()
	}
	if t.Machines > 1 {
		s += fmt.Sprintf("; %d machines", t.Machines)
		peak, _ := y.KW.Peak()
		if t.Stagger > 0 {
			s += fmt.Sprintf(", each %s after the last: %.0f kW at most by the step, %.0f kW if they began at once", shortTime(t.Stagger.Hours()), peak, atOnceKW)
		} else {
			s += " that begin at once"
		}
	}
	return s
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
