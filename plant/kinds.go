package plant

import (
	"fmt"
	"strings"
)

// Kind is a typical collector of one type: no product, a starting point that a test report of the collector really
// offered should replace.
type Kind struct {
	Name      string
	Also      []string // other words for it
	Words     string   // what it is, in a sentence
	Collector Collector
	// Area is "aperture" or "gross": the area to which the coefficients refer. For a gross kind take the gross area
	// as the field's aperture; the yields are then per m² gross.
	Area string
	Why  []Why
}

// Why is where some figures of a kind come from.
type Why struct{ What, Source string }

// Where a figure of a kind has no source, it says so in these words.
const (
	practice     = "common practice, no source"
	classMemory  = "inside the usual range of the class, from memory"
	geometryOnly = "its own geometry: a collector that faces the sun meets no incidence angle"
)

// Kinds lists the typical collectors in a new slice. A fixed kind stands at 30° to the south: a scenario in the southern
// hemisphere has to turn it.
func Kinds() []Kind {
	return []Kind{dishKind(), troughKind(), vacuumTroughKind(), fresnelKind(), tubeKind(), flatKind()}
}

// KindByName finds a kind by its name or another word for it, in any case. The error lists the names.
func KindByName(name string) (Kind, error) {
	var names []string
	for _, k := range Kinds() {
		if matches(name, k.Name, k.Also) {
			return k, nil
		}
		names = append(names, k.Name)
	}
	return Kind{}, fmt.Errorf("collector: no kind is named %q; want one of: %s", name, strings.Join(names, ", "))
}

// concentrator gives what all tracked concentrators share.
func concentrator(c Collector) Collector {
	c.ApertureShare = 1
	c.StowWindMS = DefaultStowWindMS
	c.CoolingTimeH = 6
	c.LeastDNIWM2 = 200
	return c
}

var concentratorWhy = []Why{
	{"stow wind 12.5 m/s (45 km/h)", practice},
	{"least DNI, heat capacity, cooling time, drive power", practice},
}

func dishKind() Kind {
	return Kind{
		Name: "dish", Also: []string{"paraboloid dish"},
		Words: "two-axis paraboloid dish with a cavity receiver that raises steam",
		Area:  "aperture",
		Collector: concentrator(Collector{
			Name: "dish", Tracking: TwoAxis, Eta0b: 0.80, A1: 0.15,
			Receiver:          Receiver{Concentration: 500, FilmWM2K: 10, Emissivity: 0.9},
			HeatCapacityKJM2K: 8, DriveWM2: 0.5,
		}),
		Why: append([]Why{
			{"eta0b 0.80", "class range 0.75-0.86, from memory; 0.86 peak and 0.81 mean to steam at 260 °C were published " +
				"for a 300 m² dish (abstract, doi 10.3316/INFORMIT.436607189735308)"},
			{"a1 0.15", classMemory + " (0.05-0.3)"},
			{"receiver: concentration 500, film 10 W/(m² K), emissivity 0.9", "invented; 8 W/m² of aperture at 200 °C"},
			{"no incidence modifier", geometryOnly},
		}, concentratorWhy...),
	}
}

func troughKind() Kind {
	return Kind{
		Name: "trough", Also: []string{"small trough", "parabolic trough"},
		Words: "small parabolic trough for process heat on a north-south axis, receiver in a glass tube without vacuum",
		Area:  "aperture",
		Collector: concentrator(Collector{
			Name: "trough", Tracking: AxisNorthSouth, Eta0b: 0.69, A1: 0.6, A2: 0.001,
			IAMPoly:           troughModifier,
			HeatCapacityKJM2K: 6, DriveWM2: 0.3,
		}),
		Why: append([]Why{
			{"eta0b 0.69, a1 0.6, a2 0.001", classMemory + " (0.65-0.72, 0.3-0.9, 0.0005-0.002)"},
			{"incidence modifier", "SAND94-1884, coefficients from memory, cosine taken out; end loss of a short row is not in it"},
		}, concentratorWhy...),
	}
}

// troughModifier is K = cos θ + 0.000884 θ - 0.00005369 θ² of SAND94-1884.
var troughModifier = [2]float64{0.000884, -0.00005369}

func vacuumTroughKind() Kind {
	return Kind{
		Name: "vacuum trough", Also: []string{"large trough"},
		Words: "large parabolic trough on a north-south axis, selective receiver in vacuum",
		Area:  "aperture",
		Collector: concentrator(Collector{
			Name: "vacuum trough", Tracking: AxisNorthSouth, Eta0b: 0.733, OpticalFallPerK: 0.007276 / 73.3,
			A1: 0.00496, A2: 0.000691, IAMPoly: troughModifier,
			HeatCapacityKJM2K: 6, DriveWM2: 0.3,
		}),
		Why: append([]Why{
			{"efficiency and incidence modifier", "SAND94-1884 (cermet, vacuum), coefficients from memory; clean, new, without end loss"},
		}, concentratorWhy...),
	}
}

func tubeKind() Kind {
	return Kind{
		Name: "evacuated tube", Also: []string{"vacuum tube", "tube"},
		Words: "fixed evacuated tubes, up the slope, with mirrors behind them",
		Area:  "gross",
		Collector: Collector{
			Name: "evacuated tube", Tracking: Fixed, SlopeDeg: 30, AzimuthDeg: 180,
			Eta0b: 0.64, Kd: 1, A1: 0.8, A2: 0.003, ApertureShare: 1,
			IAM:               flatModifier(),
			IAMT:              []IAMPoint{{0, 1}, {20, 1.02}, {40, 1.06}, {60, 1.15}, {70, 1.1}, {80, 0.7}},
			HeatCapacityKJM2K: 10, CoolingTimeH: 8,
		},
		Why: []Why{
			{"eta0b 0.64, a1 0.8, a2 0.003", classMemory + " (0.60-0.69, 0.6-0.95, 0.001-0.006)"},
			{"modifier across", "the low end of the class, whose maximum is 1.1-1.5 near 60°, from memory"},
			{"modifier along", "that of the flat plate: both are a flat pane of glass along the tube"},
			{"Kd, heat capacity, cooling time", practice},
		},
	}
}

func flatKind() Kind {
	return Kind{
		Name: "flat plate", Also: []string{"flat"},
		Words: "fixed flat plate, selective, one cover",
		Area:  "gross",
		Collector: Collector{
			Name: "flat plate", Tracking: Fixed, SlopeDeg: 30, AzimuthDeg: 180,
			Eta0b: 0.739, Kd: 0.91, A1: 3.51, A2: 0.017, A5: 10620, ApertureShare: 1,
			IAM:          flatModifier(),
			CoolingTimeH: 1,
		},
		Why: []Why{
			{"eta0b, Kd, a1, a2, a5, modifier", "a public ISO 9806 certificate sheet of a flat plate"},
			{"cooling time", "a5/a1 = 0.84 h, with some pipe"},
		},
	}
}

// flatModifier is the table on the flat plate's sheet.
func flatModifier() []IAMPoint {
	return []IAMPoint{{10, 1}, {20, 0.99}, {30, 0.98}, {40, 0.97}, {50, 0.94}, {60, 0.90}, {70, 0.80}, {80, 0.50}, {90, 0}}
}
