package scenarios

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"noonkeep/plant"
)

const dishesLine = "  - {name: dishes, collector: {kind: dish}, count: 8, aperture: 90 m2}\n"

// withField is the plain scenario with another field, written over lines.
func withField(t testing.TB, field string) string {
	t.Helper()
	return with(t, dishesLine, field)
}

func parsedGround(t testing.TB, s string) Case {
	t.Helper()
	c, err := Parse("plain.yaml", []byte(s), nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

const gridField = `  - name: dishes
    collector: {kind: dish}
    count: 8
    aperture: 90 m2
    grid: {east: 15 m, north: 14 m}
`

const troughField = `  - name: troughs
    collector: {kind: trough, length: 12 m, focal_length: 1.7 m}
    count: 24
    aperture: 69.24 m2
    row_spacing: 15 m
    rows: 6
`

func TestGroundWrong(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ from, change, to, want string }{
		{gridField, "    grid:", "    ground: {width: 40 m, depth: 50 m}\n    grid:",
			`plain.yaml:20: fields[dishes].count: 8 do not fit; the ground of 40 x 50 m takes 6 at 15 x 14 m. Take fewer, a tighter spacing or more ground`},
		{gridField, "    grid: {east: 15 m, north: 14 m}\n", "    ground: {area: 4000 m2}\n",
			`plain.yaml:22: fields[dishes].ground: cannot say how many collectors fit; write their grid too`},
		{gridField, "    grid:", "    ground: {border: 1 m}\n    grid:",
			`plain.yaml:22: fields[dishes].ground: has no size; want area, or width and depth`},
		{gridField, "    grid:", "    ground: {area: 4000 m2, width: 5 m}\n    grid:",
			`plain.yaml:22: fields[dishes].ground.area: stands beside width or depth; want the area or the two sides`},
		{gridField, "north: 14 m}", "north: 14 m, columns: 8}\n    ground: {width: 60 m, depth: 60 m}",
			`plain.yaml:22: fields[dishes].grid.columns: 8 in 1 rows do not fit; the ground takes 4 in a row, 16 in all`},
		{gridField, "north: 14 m}", "north: 9 m}",
			`plain.yaml:18: fields[dishes]: field "dishes": spacing: leaves 9 m between the middles of neighbours; want at least the diameter of 10.7 m, or they touch`},
		{gridField, "north: 14 m}", "north: 14 m, diameter: 9 m}",
			`plain.yaml:22: fields[dishes].grid.diameter: "9 m" is less than the 10.7 m of a circle of 90 m2`},
		{gridField, "north: 14 m}", "north: 14 m, pattern: hexagon}",
			`plain.yaml:22: fields[dishes].grid.pattern: "hexagon" is not known; want rectangle or staggered`},
		{gridField, "    grid: {east: 15 m, north: 14 m}", "    row_spacing: 15 m",
			`plain.yaml:22: fields[dishes].row_spacing: is of collectors in rows; dishes on two axes want grid`},
		{gridField, "kind: dish", "kind: dish, focal_length: 4 m",
			`plain.yaml:19: fields[dishes].collector.focal_length: is of a trough; a dish has no ends`},
		{gridField, "kind: dish", "kind: trough",
			`plain.yaml:22: fields[dishes].grid: is of dishes on two axes; a north-south axis collector wants row_spacing`},
		{troughField, "    rows: 6\n", "",
			`plain.yaml:18: fields[troughs].rows: is missing; rows that shade each other need their number`},
		{troughField, "rows: 6", "rows: 25", `plain.yaml:23: fields[troughs].rows: 25 are more than the 24 collectors`},
		{troughField, "row_spacing: 15 m", "row_spacing: 4 m",
			`plain.yaml:18: fields[troughs]: field "troughs": row spacing: is 4 m; want at least the row's width of 5.77 m, or rows that lie level touch`},
		{troughField, "    row_spacing: 15 m\n", "", `plain.yaml:22: fields[troughs].rows: has no effect without row_spacing`},
		{troughField, "length: 12 m, focal_length: 1.7 m", "focal_length: 1.7 m",
			`plain.yaml:19: fields[troughs].collector.length: is missing; with focal_length it sets the loss at the ends`},
		{troughField, ", length: 12 m, focal_length: 1.7 m", "",
			`plain.yaml:18: fields[troughs].row_width: is missing; rows need the width of their aperture to shade each other`},
		{troughField, "    rows: 6\n", "    rows: 6\n    ground: {width: 80 m, depth: 70 m}\n",
			`plain.yaml:23: fields[troughs].rows: 6 of 4 collectors do not fit; the ground takes 5 rows of 5`},
		{troughField, "kind: trough, length", "kind: flat plate, length",
			`plain.yaml:19: fields[troughs].collector.length: is of a trough; a fixed collector has no receiver's ends`},
		{troughField, "kind: trough,", "kind: trough, iam_poly: [0.001 , -0.00005], b0: 0.1,",
			`plain.yaml:19: fields[troughs].collector.iam_poly[1]: stands beside b0, iam or iam_across; write one of them`},
		{troughField, "kind: trough,", "kind: trough, iam_poly: [0.001],",
			`plain.yaml:19: fields[troughs].collector.iam_poly: has 1 values; want 2`},
		{troughField, "kind: trough,", "kind: trough, tracking: fixed,",
			`plain.yaml:19: fields[troughs].collector.tracking: makes a fixed collector of a north-south axis one; want its slope and azimuth too`},
	} {
		if strings.Count(row.from, row.change) != 1 {
			t.Fatalf("%q stands %d times in the field", row.change, strings.Count(row.from, row.change))
		}
		_, err := Parse("plain.yaml", []byte(withField(t, strings.Replace(row.from, row.change, row.to, 1))), nil)
		if err == nil || !slices.Contains(strings.Split(err.Error(), "\n"), row.want) {
			t.Errorf("%s for %s:\n got %v\nwant %s", row.to, row.change, err, row.want)
		}
	}
	for _, row := range []struct{ horizon, want string }{
		{"[{azimuth: 90 deg, height: 5 deg}, {azimuth: 90 deg, height: 4 deg}]", `plain.yaml:3: site.horizon[1]: horizon: azimuth: of 90° stands twice; want one height there`},
		{"[{azimuth: 400 deg, height: 5 deg}]", `plain.yaml:3: site.horizon[1].azimuth: "400 deg" is out of range; want 0 deg and less than 360 deg`},
		{"[{azimuth: 90 deg}]", "plain.yaml:3: site.horizon[1].height: is missing; write for example \"height: 5 deg\""},
	} {
		_, err := Parse("plain.yaml", []byte(with(t, "utc_offset: +2 h}", "utc_offset: +2 h, horizon: "+row.horizon+"}")), nil)
		if err == nil || !slices.Contains(strings.Split(err.Error(), "\n"), row.want) {
			t.Errorf("%s:\n got %v\nwant %s", row.horizon, err, row.want)
		}
	}
}

// What is written becomes what the plant is given, and what is left out is said.
func TestGroundUnderstood(t *testing.T) {
	t.Parallel()
	assumed := func(c Case, key string) string {
		for _, a := range c.Assumptions {
			if a.Key == key {
				return a.Value
			}
		}
		return ""
	}
	c := parsedGround(t, withField(t, strings.Replace(gridField, "north: 14 m}", "pattern: staggered}", 1)))
	g := *c.Fields[0].Grid
	want := plant.Grid{EastM: 15, NorthM: 15 * math.Sqrt(3) / 2, Staggered: true, Columns: 3, Count: 8, DiameterM: math.Sqrt(360 / math.Pi)}
	if g != want {
		t.Errorf("grid is %+v; want %+v", g, want)
	}
	for key, value := range map[string]string{"north": "12.99 m", "columns": "3", "diameter": "10.7 m"} {
		if got := assumed(c, "fields[dishes].grid."+key); got != value {
			t.Errorf("assumed %s is %q; want %q", key, got, value)
		}
	}
	c = parsedGround(t, withField(t, strings.Replace(troughField, "rows: 6", "row_gap: 1 m\n    ground: {width: 100 m, depth: 70 m}", 1)))
	f := c.Fields[0]
	if r := (plant.Rows{SpacingM: 15, WidthM: 5.77, Count: 5, LengthM: 64}); *f.Rows != r || f.Places != 35 {
		t.Errorf("rows are %+v, %d places; want %+v, 35", *f.Rows, f.Places, r)
	}
	if e := (plant.Ends{LengthM: 12, FocalM: 1.7, WidthM: 5.77, InRow: 5, GapM: 1}); f.Ends != e {
		t.Errorf("ends are %+v; want %+v", f.Ends, e)
	}
	c = parsedGround(t, withField(t, strings.Replace(gridField, "    grid:", "    ground: {area: 3600 m2}\n    grid:", 1)))
	if x := c.Fields[0]; x.Places != 16 || x.Grid.Columns != 4 || assumed(c, "fields[dishes].ground.width") != "60 m" || x.Ground.BorderM != 2 {
		t.Errorf("ground %+v holds %d in columns of %d; want 16 of 4 on 60 m with 2 m free", x.Ground, x.Places, x.Grid.Columns)
	}
}

// In the south a fixed collector of a kind looks north by itself, whether its tracking is written or not.
func TestTowardsTheEquator(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		latitude, collector string
		azimuth             float64
		said                bool
	}{
		{"37 deg", "{kind: flat plate}", 180, true},
		{"-33 deg", "{kind: flat plate}", 0, true},
		{"-33 deg", "{kind: evacuated tube, tracking: fixed}", 0, true},
		{"-33 deg", "{kind: flat plate, azimuth: 20 deg}", 20, false},
	} {
		s := strings.Replace(with(t, "kind: dish", strings.Trim(row.collector, "{}")), "latitude: 37 deg", "latitude: "+row.latitude, 1)
		s = strings.Replace(s, "[3, 4, 5, 6, 7, 8, 8, 7, 6, 5, 4, 3 kWh/m2d]", "[3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3 kWh/m2d]", 1)
		c := parsedGround(t, s)
		if got := c.Fields[0].Collector.AzimuthDeg; got != row.azimuth {
			t.Errorf("%s at %s looks to %g°; want %g°", row.collector, row.latitude, got, row.azimuth)
		}
		said := slices.ContainsFunc(c.Assumptions, func(a Assumption) bool {
			return a.Key == "fields[dishes].collector.azimuth" && a.Value == fmt.Sprintf("%g deg", row.azimuth)
		})
		if said != row.said {
			t.Errorf("%s at %s: azimuth said to be assumed: %v; want %v", row.collector, row.latitude, said, row.said)
		}
	}
}

// The written modifiers reach the collector and multiply as the published forms do.
func TestModifierKeys(t *testing.T) {
	t.Parallel()
	unraced(t)
	const published = "checks of the published forms: bi-axial product; K of SAND94-1884 over its cosine; 1 - b0 (1/cos - 1)"
	at := func(collector string, long, trans float64) float64 {
		c := parsedGround(t, with(t, "kind: dish", collector)).Fields[0].Collector
		tan := math.Hypot(math.Tan(long*math.Pi/180), math.Tan(trans*math.Pi/180))
		in := plant.Incidence{Cos: 1 / math.Hypot(1, tan), ThetaDeg: math.Atan(tan) * 180 / math.Pi, LongDeg: long, TransDeg: trans}
		return c.Modifier(in)
	}
	for _, row := range []struct {
		collector         string
		long, trans, want float64
	}{
		{"kind: evacuated tube, iam: [{angle: 50 deg, factor: 0.9}], iam_across: [{angle: 60 deg, factor: 1.3}]", 25, 30, 0.95 * 1.15},
		{"kind: evacuated tube, iam_across: [{angle: 60 deg, factor: 1.3}]", 40, 60, 0.97 * 1.3}, // along as the kind's
		{"kind: flat plate, iam: [{angle: 50 deg, factor: 0.9}]", 0, 50, 0.9},
		{"kind: flat plate, b0: 0.1", 60, 0, 0.9},
		{"kind: trough, iam_poly: [0.000884, -0.00005369]", 60, 0, 0.7195},
	} {
		if got := at(row.collector, row.long, row.trans); math.Abs(got-row.want) > 6e-5 {
			t.Errorf("%s at %g° along, %g° across: %g; want %g (%s)", row.collector, row.long, row.trans, got, row.want, published)
		}
	}
}

// More neighbours, hills and ends take heat; the books say which.
func TestSurroundTakesHeat(t *testing.T) {
	t.Parallel()
	unraced(t)
	alone := parsedGround(t, plain).Fields[0]
	grid := parsedGround(t, withField(t, gridField)).Fields[0]
	hills := parsedGround(t, with(t, "utc_offset: +2 h}", "utc_offset: +2 h, horizon: [{azimuth: 90 deg, height: 10 deg}, {azimuth: 270 deg, height: 0 deg}]}")).Fields[0]
	for what, f := range map[string]Field{"grid": grid, "hills": hills} {
		if a, b := f.ToHeader.DeliveredKWhM2, alone.ToHeader.DeliveredKWhM2; !(a < 0.999*b && a > 0.7*b) {
			t.Errorf("%s: %g kWh/m2, alone %g; want some loss", what, a, b)
		}
		if a, b := f.ToStore.DeliveredKWhM2, alone.ToStore.DeliveredKWhM2; !(a < 0.999*b) {
			t.Errorf("%s: %g kWh/m2 for the store, alone %g; want some loss", what, a, b)
		}
	}
	if alone.ToHeader.ShadedKWhM2 != 0 || grid.ToHeader.ShadedKWhM2 == 0 || hills.ToHeader.HorizonKWhM2 == 0 {
		t.Error("shade is booked where there is none, or none where there is some")
	}
	trough := parsedGround(t, withField(t, troughField)).Fields[0]
	gap := parsedGround(t, withField(t, strings.Replace(troughField, "rows: 6", "rows: 6\n    row_gap: 0.5 m", 1))).Fields[0]
	if a, b := trough.ToHeader.EndsKWhM2, gap.ToHeader.EndsKWhM2; !(a > b && b > 0) {
		t.Errorf("ends take %g kWh/m2, with receivers end to end %g; want less of the second, and some", a, b)
	}
}

// A spacing's row is what the scenario of that spacing gives.
func TestSpacingsAreScenarios(t *testing.T) {
	t.Parallel()
	unraced(t)
	const ground = "    ground: {width: 62 m, depth: 60 m}\n"
	c := parsedGround(t, withField(t, gridField+ground))
	all, err := c.Spacings(0)
	if err != nil || len(all) < 5 {
		t.Fatalf("%d spacings, %v; want some", len(all), err)
	}
	written, last := 0, math.Inf(1)
	for i, x := range all {
		if i > 0 && (x.Places > all[i-1].Places || x.EachKWh < all[i-1].EachKWh) {
			t.Errorf("%g m apart: %d places of %g kWh; tighter %d of %g", x.AlongM, x.Places, x.EachKWh, all[i-1].Places, all[i-1].EachKWh)
		}
		if x.Written {
			written++
			if x.AlongM != 15 || x.AcrossM != 14 || x.Places != c.Fields[0].Places {
				t.Errorf("as written: %+v", x)
			}
		}
		if x.ShadedFrac > last {
			t.Errorf("%g m apart shade more than when tighter", x.AlongM)
		}
		last = x.ShadedFrac
		s := fmt.Sprintf("    count: %d\n    aperture: 90 m2\n    grid: {east: %.17g m, north: %.17g m}\n", x.Places, x.AlongM, x.AcrossM)
		at := strings.Index(gridField, "    count")
		again := parsedGround(t, withField(t, gridField[:at]+s+ground)).Fields[0]
		if got := again.ToHeader.DeliveredKWhM2 * 90; math.Abs(got-x.EachKWh) > 1e-6*got || again.Places != x.Places {
			t.Errorf("%g m apart: %d places, %.9g kWh; its own scenario says %d, %.9g", x.AlongM, x.Places, x.EachKWh, again.Places, got)
		}
	}
	if written != 1 {
		t.Errorf("%d rows are the scenario's own; want 1", written)
	}
	if none, err := parsedGround(t, plain).Spacings(0); none != nil || err != nil {
		t.Errorf("a field without ground has spacings %v, %v", none, err)
	}
	// Rows: 80 m deep and 100 wide take 7 rows of 6.
	rows := parsedGround(t, withField(t, troughField+"    ground: {width: 100 m, depth: 80 m}\n"))
	all, err = rows.Spacings(0)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(all, func(x Spacing) bool { return x.Written })
	if i < 0 || all[i].Places != 42 || all[i].AlongM != 0 || all[i].AcrossM != 15 {
		t.Errorf("rows as written: %+v", all)
	}
}

// Another count is laid out anew: edges are lit, so a field of one dish is that without neighbours.
func TestWithCount(t *testing.T) {
	t.Parallel()
	alone, c := parsedGround(t, plain), parsedGround(t, withField(t, gridField))
	for _, row := range []struct {
		count, least, most float64
	}{{1, 1, 1}, {0.5, 1, 1}, {4, 0.9, 0.999}, {40, 0.6, 0.99}} {
		x, err := c.WithCount(0, row.count)
		if err != nil {
			t.Fatal(err)
		}
		f := x.Fields[0]
		for k, got := range []float64{f.ToHeader.DeliveredKWhM2, f.ToStore.DeliveredKWhM2} {
			whole := []float64{alone.Fields[0].ToHeader.DeliveredKWhM2, alone.Fields[0].ToStore.DeliveredKWhM2}[k]
			if share := got / whole; share < row.least-1e-12 || share > row.most+1e-12 {
				t.Errorf("%g dishes: a m2 gives %g of one without neighbours; want %g to %g", row.count, share, row.least, row.most)
			}
		}
		if f.AreaM2() != row.count*90 {
			t.Errorf("%g dishes have %g m2; want %g", row.count, f.AreaM2(), row.count*90)
		}
	}
	same, err := c.WithCount(0, 8)
	if err != nil || &same.Fields[0].ToHeader.KWM2[0] != &c.Fields[0].ToHeader.KWM2[0] {
		t.Errorf("the scenario's own count is worked out again: %v", err)
	}
	if big, _ := c.WithCount(0, 40); big.Fields[0].ToHeader.DeliveredKWhM2 >= c.Fields[0].ToHeader.DeliveredKWhM2 || c.Fields[0].Grid.Count != 8 {
		t.Error("40 dishes give as much each as 8, or the case itself was changed")
	}
}

// A variant with another count or spacing does not take the plant's own yields.
func TestVariantOfGrid(t *testing.T) {
	t.Parallel()
	s := withField(t, gridField) + `variants:
  - {name: more, change: {fields: [{name: dishes, count: 30}]}}
  - {name: wider, change: {fields: [{name: dishes, grid: {east: 30 m, north: 28 m}}]}}
  - {name: hills, change: {site: {horizon: [{azimuth: 0 deg, height: 12 deg}]}}}
`
	c := parsedGround(t, s)
	own := c.Fields[0].ToHeader.DeliveredKWhM2
	for name, rises := range map[string]bool{"more": false, "wider": true, "hills": false} {
		v, err := c.Vary(name)
		if err != nil {
			t.Fatal(err)
		}
		if got := v.Fields[0].ToHeader.DeliveredKWhM2; got == own || got > own != rises {
			t.Errorf("%s: %g kWh/m2, the plant %g; want more: %v", name, got, own, rises)
		}
	}
}
