package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"noonkeep/cmd/internal/answer"
)

// ReplayFiles draws the ways into dir as SVG and PNG, writes their figures beside them, and returns the paths.
func ReplayFiles(dir string, r answer.Replay) ([]string, error) {
	files := pictures("replay", replayBars(r))
	if len(r.Volumes) > 0 {
		files = append(files, pictures("replay-volumes", replayCurves(r))...)
		files = append(files, file{"replay-volumes.csv", func(w io.Writer) error { return ReplayVolumesCSV(w, r) }})
	}
	files = append(files, file{"replay.csv", func(w io.Writer) error { return ReplayCSV(w, r) }})
	for _, way := range r.Ways {
		if way.Hours.DemandKW != nil {
			name := "replay-hours-" + strings.ReplaceAll(way.Name, " ", "-") + ".csv"
			files = append(files, file{name, func(w io.Writer) error { return ReplayHoursCSV(w, r, way) }})
		}
	}
	return writeFiles(dir, append(files, file{"replay.json", func(w io.Writer) error { return JSON(w, r) }}))
}

// ReplayCSV writes a row for each way.
func ReplayCSV(w io.Writer, r answer.Replay) error {
	out := csv.NewWriter(w)
	out.Write([]string{"way", "annual_cost", "savings_vs_boilers_only", "savings_vs_no_storage", "arrived_share", "over_bound", "unmet_kWh", "unmet_h",
		"worst_unmet_kW", "boiler_starts", "lights", "fuel_kWh", "start_fuel_kWh", "hot_fuel_kWh", "hot_h", "sun_to_header_kWh", "sun_to_store_kWh",
		"spilled_sun_kWh", "store_out_kWh", "keep_warm_kWh", "loss_kWh", "best_volume_m3", "mass_residual", "energy_residual"})
	for _, x := range r.Ways {
		out.Write(append([]string{x.Name}, numbers(x.AnnualCost, x.SavingsVsBoilersOnly, x.SavingsVsNoStorage, x.Arrived, x.OverBoundFrac, x.UnmetKWh, x.UnmetH,
			x.WorstUnmetKW, float64(x.BoilerStarts), float64(x.Lights), x.FuelKWh, x.StartFuelKWh, x.HotFuelKWh, x.HotH, x.SunToHeaderKWh, x.SunToStoreKWh,
			x.SpilledSunKWh, x.StoreOutKWh, x.KeepWarmKWh, x.LossKWh, x.BestVolumeM3, x.MassResidual, x.EnergyResidual)...))
	}
	out.Flush()
	return out.Error()
}

// ReplayVolumesCSV writes what each way costs at each volume.
func ReplayVolumesCSV(w io.Writer, r answer.Replay) error {
	out := csv.NewWriter(w)
	head := []string{"volume_m3"}
	for _, x := range r.Ways {
		head = append(head, strings.ReplaceAll(x.Name, " ", "_")+"_cost")
	}
	out.Write(head)
	for _, v := range r.Volumes {
		out.Write(numbers(append([]float64{v.VolumeM3}, v.Costs...)...))
	}
	out.Flush()
	return out.Error()
}

// ReplayHoursCSV writes one way hour by hour: kW are means over the hour that begins at its time, in local standard time;
// the store is as it stands at the hour's start.
func ReplayHoursCSV(w io.Writer, r answer.Replay, way answer.Way) error {
	h := way.Hours
	cols := []column{{"demand_kW", h.DemandKW}, {"sun_to_header_kW", h.SunToHeaderKW}, {"sun_to_store_kW", h.SunToStoreKW}, {"store_out_kW", h.StoreOutKW},
		{"boiler_kW", h.BoilerKW}, {"fuel_kW", h.FuelKW}, {"keep_warm_kW", h.KeepWarmKW}, {"unmet_kW", h.UnmetKW}, {"spilled_sun_kW", h.SpilledSunKW},
		{"store_loss_kW", h.StoreLossKW}, {"held_kWh", h.HeldKWh}, {"store_degC", h.StoreC}, {"store_bar_a", h.StoreBarA}}
	out := csv.NewWriter(w)
	head := []string{"time"}
	for _, c := range cols {
		head = append(head, c.name)
	}
	out.Write(head)
	for t := range h.DemandKW {
		values := make([]float64, len(cols))
		for j, c := range cols {
			if t < len(c.values) {
				values[j] = c.values[t]
			}
		}
		out.Write(append([]string{r.Axis.At(t).Format("2006-01-02 15:04")}, numbers(values...)...))
	}
	out.Flush()
	if err := out.Error(); err != nil {
		return fmt.Errorf("%s: %w", way.Name, err)
	}
	return nil
}
