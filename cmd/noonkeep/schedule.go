package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
	"noonkeep/plant/clock"
)

type scheduleFlags struct {
	volume         volume
	csv, out, week string
	engine, store  string
}

func newSchedule(s streams) *cobra.Command {
	var f scheduleFlags
	cmd := &cobra.Command{
		Use:     "schedule SCENARIO",
		GroupID: "answer",
		Short:   "Plan the year hour by hour at one volume",
		Long: `Plan the year hour by hour at one volume: sun to the header, sun to the store, steam out of
the store, boilers.

SCENARIO is a file, - for standard input, or a built-in one (noonkeep starter lists them).
The CSV has one row a step: kW are means over the step that begins at its time, in local
standard time; stored_kWh is at the step's end; cost carries an even share of the drives'
yearly cost, so that it adds up to the curve's annual cost. With --out, the week and the year
are drawn and schedule.csv stands beside them.

The guide line says how far the store may be drawn down in place of a boiler: below it, a kWh in
the store is worth more in a later hour than the boiler's kWh that it would spare now. guide.svg
is a sheet for the control room's wall, with the level by month and hour of the day in % of full;
guide.csv has its figures. In the schedule the last two columns have the level at each step's end
and the boiler's price that it is weighed against. It is of a plan with known weather and loads.

Where a boiler has a lowest fire or takes fuel to start (minimum_fire, start), the plan keeps to
it, and says how far it may lie over the best that any on and off could do; columns say in which
steps each such boiler fires or stands by. The curve's own costs are with boilers that may burn
as little as they like.

Work that may be moved (a load's key movable) stands in demand_kW at the hours that the plan chose;
a last column, moved_kW, shows it alone. There is then no guide line.

Of several stores, --volume is that of the one that --store names; the columns of the store are sums
over all, and each store has columns of its own behind them.

` + statuses + "\n" + cautions,
		Example: `  $ noonkeep schedule dyehouse --volume 40
  $ noonkeep schedule dyehouse --volume "60 m3" --week 2026-06-22 --out pictures`,
		Args: one("SCENARIO"),
		RunE: func(cmd *cobra.Command, args []string) error { return runSchedule(cmd.Context(), s, args[0], f) },
	}
	flags := cmd.Flags()
	flags.Var(&f.volume, "volume", "the store's volume (default: the scenario's store.volume)")
	flags.StringVar(&f.store, "store", "", storeFlag)
	flags.StringVar(&f.csv, "csv", "", "write one row a step into this `file`; - for standard output")
	flags.StringVar(&f.out, "out", "", "draw a week, the year and the guide line into this `folder`")
	flags.StringVar(&f.week, "week", "", "draw the week that holds this `day`, as 2026-06-22 (default: the week in which the store gives most)")
	flags.StringVar(&f.engine, "engine", "", "solve with this `engine`: "+engines+" (default: the fitting one)")
	return cmd
}

func runSchedule(ctx context.Context, s streams, name string, f scheduleFlags) error {
	c, err := loadVarying(s, name, f.store)
	if err != nil {
		return err
	}
	day := -1
	if f.week != "" {
		if day, err = stepOf(c.Axis, f.week); err != nil {
			return err
		}
	}
	p, err := answer.PlanAt(ctx, c, f.volume.orNone(), f.engine)
	if err != nil {
		return err
	}
	warn(s.err, c)
	var paths []string
	switch f.csv {
	case "":
	case "-":
		return written(report.ScheduleCSV(s.out, p))
	default:
		if err := report.WriteFile(f.csv, func(w io.Writer) error { return report.ScheduleCSV(w, p) }); err != nil {
			return &answer.Failed{Err: err}
		}
		paths = append(paths, f.csv)
	}
	if f.out != "" {
		week := p.BusiestWeek()
		if day >= 0 {
			week = p.WeekOf(day)
		}
		more, err := report.ScheduleFiles(f.out, p, week)
		if err != nil {
			return &answer.Failed{Err: err}
		}
		paths = append(paths, more...)
	}
	if err := report.ScheduleText(s.out, p); err != nil {
		return written(err)
	}
	return wrote(s, paths)
}

// stepOf finds the first step of a day of the study.
func stepOf(a clock.Axis, day string) (int, error) {
	d, err := clock.ParseDate(day)
	if err != nil {
		return 0, fmt.Errorf("--week: %w", err)
	}
	for i := range a.N {
		on := a.Date(i)
		if d.Month == on.Month && d.Day == on.Day && (d.Year == 0 || d.Year == on.Year) {
			return i, nil
		}
	}
	return 0, fmt.Errorf("--week: %q lies outside the study; want a day of %d", day, a.Start.Year())
}
