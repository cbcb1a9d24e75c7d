package scenarios

import (
	"strings"
	"testing"
)

// What may be wrong with a batch, each with its whole message. The keys stand on lines 14 on.
func TestWrongBatchLoads(t *testing.T) {
	t.Parallel()
	base := []string{"mass: 1 t", "from: 20 degC", "to: 80 degC", "heat_up: {power: 120 kW}", "starts: daily 06:00"}
	without := func(i int, more ...string) []string {
		return append(append(append([]string{}, base[:i]...), base[i+1:]...), more...)
	}
	const at = ": loads[works].batch"
	for _, c := range []struct {
		name string
		keys []string
		want string // without the file's name; several lines for several faults
	}{
		{"no mass", without(0), `14` + at + `: heats nothing; write a volume, or a mass such as "mass: 300 kg" with a liquor_ratio`},
		{"ratio alone", without(0, "liquor_ratio: 10"), `14` + at + `.mass: is missing beside liquor_ratio; write the goods, for example "mass: 300 kg"`},
		{"ratio as two numbers", without(0, "mass: 1 t", "liquor_ratio: 1:10"), `19` + at + `.liquor_ratio: "1:10" is not a number; write it without a unit`},
		{"ratio and volume", append(base, "volume: 5 m3", "liquor_ratio: 10"), `20` + at + `.liquor_ratio: stands beside a volume; want one of the two`},
		{"goods without a bath", append(base, "goods: wool"), `19` + at + `.goods: stands without goods; want their mass beside a liquor_ratio or a volume`},
		{"unknown material", append(base, "material: mlik"), `19` + at + `.material: no material is called "mlik"; nearest is "milk", or give specific_heat`},
		{"unknown machine", append(base, "machine: {mass: 3 t, material: adamant}"),
			`19` + at + `.machine.material: no material is called "adamant"; want water, milk, skim milk, wort, vegetable oil, caustic, textile, cotton, viscose, wool, silk, nylon, polyester, carrots, green beans, beets, sweet corn, steel, stainless steel, cast iron, copper, aluminium or glass, or give specific_heat`},
		{"density not known", without(0, "volume: 5 m3", "material: carrots"), `14` + at + `.density: is not known of carrots; write it, or a mass in place of the volume`},
		{"too hot a food", []string{"mass: 1 t", "material: milk", "from: 20 degC", "to: 155 degC", "heat_up: {power: 120 kW}", "starts: daily 06:00"},
			`15` + at + `.material: milk: at 155 degC; its equations hold up to 150 degC, want its specific heat given`},
		{"no to", without(2), `14` + at + `.to: is missing; write for example "to: 98 degC", or stages`},
		{"to and stages", append(base, "stages: [{from: 20 degC, to: 50 degC}]"),
			"15" + at + ".from: stands beside stages, which say it; want one of the two\n16" + at + ".to: stands beside stages, which say it; want one of the two"},
		{"first stage without from", []string{"mass: 1 t", "stages: [{to: 50 degC}]", "heat_up: {power: 120 kW}", "starts: daily 06:00"},
			`15` + at + `.stages[1].from: is missing; want the temperature that the first bath is filled with, for example "from: 15 degC"`},
		{"cooled by nothing", []string{"mass: 1 t", "stages:", "  - {from: 20 degC, to: 50 degC}", "  - {to: 40 degC}", "heat_up: {power: 120 kW}", "starts: daily 06:00"},
			`17` + at + `.stages[2].to: is 40 degC and the bath has 50 degC; want a higher one, or a gradient of this stage to cool by`},
		{"hotter than steam", without(2, "to: 170 degC"), `18` + at + `.to: is 170 degC; want less than the steam's 165.0 degC`},
		{"never reached", append(base, "loss: 150 kW"), `16` + at + `.to: is 80 degC, which the bath never reaches: 30 kW are lacking there; want more heat or a lower one`},
		{"cannot boil so fast", append(base, "hold: 1 h", "boil_off: 50 %"),
			`19` + at + `.hold: at 80 degC takes 320.6 kW and the heater gives at most 120 kW there; want more heat, or a longer hold`},
		{"no heat_up", without(3), `14` + at + `.heat_up: is missing; write for example "heat_up: {gradient: 2 K/min}"`},
		{"no way", without(3, "heat_up: {}"), `18` + at + `.heat_up: says no way; write power, coil, live_steam or gradient`},
		{"two ways", without(3, "heat_up: {power: 1 kW, gradient: 2 K/min}"), `18` + at + `.heat_up: has power and gradient; want one of them`},
		{"half a coil", without(3, "heat_up: {coil: 6 m2}"), `18` + at + `.heat_up.coefficient: is missing; write for example "coefficient: 800 W/m2K"`},
		{"no coil", without(3, "heat_up: {power: 9 kW, coefficient: 800 W/m2K}"), `18` + at + `.heat_up.coefficient: stands without a coil; want both or neither`},
		{"pressure of no coil", without(3, "heat_up: {power: 9 kW, pressure: 3 bar(g)}"), `18` + at + `.heat_up.pressure: stands without a coil; want both or neither`},
		{"coil over the header", without(3, "heat_up: {coil: 6 m2, coefficient: 800 W/m2K, pressure: 8 bar(g)}"),
			`18` + at + `.heat_up: has steam of 9.01325 bar(a) in the coil; want no more than the header's 7.01325 bar(a)`},
		{"unit of a gradient", without(3, "heat_up: {gradient: 2 K}"), `18` + at + `.heat_up.gradient: "2 K" is not a rate of heating; want it in K/min or K/h`},
		{"a near key", append(base, "refill: 2"), `19` + at + `.refill: is not a key of a scenario here; nearest is "refills"`},
		{"half a surface", append(base, "surface: 6 m2"), `14` + at + `.loss_coefficient: is missing beside surface; want both or neither`},
		{"air of no surface", append(base, "air: 6 degC"), `19` + at + `.air: stands without a surface; want both or neither`},
		{"no starts", without(4), `14` + at + `: does not say when batches begin; write for example "starts: Mon-Fri 06:00, 10:30" or "every: 4 h"`},
		{"starts and every", append(base, "every: 3 h"), `19` + at + `.every: stands beside starts; want one of the two`},
		{"starts that are hours", without(4, "starts: Mon-Fri 06:00-14:00"), `18` + at + `.starts: "06:00-14:00" does not fit; want single times, as in Mon-Fri 06:00, 10:30`},
		{"crowded", without(4, "starts: daily 06:00, 06:20"), `18` + at + `.starts: the batch begun on 1 Jan 06:00 takes 34.86 min and the next begins after 20 min; want more time between them`},
		{"crowded in turn", without(4, "every: 20 min"), `18` + at + `.every: the batch begun on 31 Dec 23:40 takes 34.86 min and the next begins after 20 min; want more time between them`},
		{"takes no heat", without(2, "to: 20 degC", "hold: 1 h"), `14` + at + `: takes no heat: its baths are filled as hot as they are wanted, and lose nothing; want a higher to, or a loss`},
		{"takes no time", without(2, "to: 20 degC"), `18` + at + `.to: is reached at once and held for no time; want a batch that takes some`},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			_, err := Parse("my.yaml", []byte(batchOf(t, c.keys...)), nil)
			want := "my.yaml:" + strings.ReplaceAll(c.want, "\n", "\nmy.yaml:")
			if err == nil || err.Error() != want {
				t.Errorf("\n got %v\nwant %s", err, want)
			}
		})
	}
}

// Hours beside starts, and hours that hold no batch.
func TestWrongBatchHours(t *testing.T) {
	t.Parallel()
	for _, c := range [][2]string{
		{strings.Replace(batchOf(t, "mass: 1 t", "from: 20 degC", "to: 80 degC", "heat_up: {power: 120 kW}", "starts: daily 06:00"), "  - name: works\n", "  - name: works\n    when: Mon-Fri 06:00-14:00\n", 1),
			`my.yaml:13: loads[works].when: stands beside batch.starts, which says when; want one of the two`},
		{strings.Replace(batchOf(t, "mass: 1 t", "from: 20 degC", "to: 80 degC", "heat_up: {power: 120 kW}", "starts: daily 06:00"), "  - name: works\n", "  - name: works\n    rota: [Mon-Fri 06:00-14:00, off]\n    rota_from: 2026-01-05\n", 1),
			`my.yaml:13: loads[works].rota[1]: stands beside batch.starts, which says when; want one of the two`},
		{strings.Replace(batchOf(t, "mass: 1 t", "from: 20 degC", "to: 80 degC", "heat_up: {power: 12 kW}", "every: 8 h"), "  - name: works\n", "  - name: works\n    when: Mon-Fri 06:00-10:00\n", 1),
			`my.yaml:15: loads[works].batch: has no batch in the year; want hours that hold one of 5 h 49 min`},
		{strings.Replace(batchOf(t, "mass: 1 t", "from: 20 degC", "to: 80 degC", "heat_up: {power: 120 kW}", "starts: daily 06:00"), "  - name: works\n", "  - name: works\n    season: 2025-01-01..2025-02-01\n", 1),
			`my.yaml:13: loads[works].season: 2025-01-01..2025-02-01 has no day from 2026-01-01 to 2026-12-31; want days of the study`},
	} {
		_, err := Parse("my.yaml", []byte(c[0]), nil)
		if err == nil || err.Error() != c[1] {
			t.Errorf("\n got %v\nwant %s", err, c[1])
		}
	}
}

// What is allowed but most likely a slip.
func TestBatchDoubts(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		keys []string
		line int
		text string
	}{
		{[]string{"mass: 1 t", "from: 20 degC", "to: 60 degC", "hold: 1 h", "boil_off: 10 %", "heat_up: {power: 120 kW}", "starts: daily 06:00"}, 18,
			"loads[works].batch.boil_off: boils off at 60 degC, and water boils at 100.0 degC here; it counts with the heat of evaporation at 60 degC"},
		{[]string{"mass: 1 t", "density: 998 kg/m3", "from: 20 degC", "to: 60 degC", "heat_up: {power: 40 kW}", "starts: daily 06:00"}, 15,
			"loads[works].batch.density: has no effect without a volume"},
		{[]string{"mass: 1 t", "from: 20 degC", "to: 60 degC", "heat_up: {power: 400 kW}", "starts: daily 06:00"}, 14,
			"loads[works].batch: a batch takes 400 kW for a while, and by the step of 1 h the load's peak is 46.45 kW; a finer time.step shows more of it"},
	} {
		got, err := Parse("my.yaml", []byte(batchOf(t, c.keys...)), nil)
		if err != nil {
			t.Error(err)
			continue
		}
		found := false
		for _, w := range got.Warnings {
			found = found || w.Line == c.line && w.Text == c.text
		}
		if !found {
			t.Errorf("want line %d: %s\n got %+v", c.line, c.text, got.Warnings)
		}
	}
}
