package sky

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

func TestLimitsAt(t *testing.T) {
	const src = "checks-sun.md 6.5: Long and Dutton 2002 at Sa 1361"
	for _, r := range []struct {
		zDeg           float64
		possible, rare Light
		src            string
	}{
		{0, Light{2141.5, 1361.0, 1343.0}, Light{1683.2, 1303.0, 1050.8}, src},
		{30, Light{1817.9, 1361.0, 1138.0}, Light{1424.3, 1266.3, 888.9}, src},
		{60, Light{988.6, 1361.0, 612.8}, Light{760.9, 1135.6, 474.3}, src},
		{75, Light{503.2, 1361.0, 305.4}, Light{372.6, 996.7, 231.6}, src},
		{85, Light{209.2, 1361.0, 119.2}, Light{137.4, 803.7, 84.6}, src},
		{89, Light{115.9, 1361.0, 60.0}, Light{62.7, 585.4, 37.9}, src},
		{120, Light{100, 1361, 50}, Light{50, 10, 30}, "by hand: mu is 0 with the sun down"},
	} {
		possible, rare := LimitsAt(math.Cos(rad(r.zDeg)), 1361)
		for k, pair := range [6][2]float64{{possible.GHI, r.possible.GHI}, {possible.DNI, r.possible.DNI}, {possible.DHI, r.possible.DHI},
			{rare.GHI, r.rare.GHI}, {rare.DNI, r.rare.DNI}, {rare.DHI, r.rare.DHI}} {
			near(t, fmt.Sprintf("limit %d at %g deg", k, r.zDeg), pair[0], pair[1], 0.1, r.src)
		}
	}
}

func TestCloses(t *testing.T) {
	const src = "checks-sun.md 6.5: 0.92-1.08 and 1.05 under 75 deg, 0.85-1.15 and 1.10 to 93"
	at := func(share, zDeg float64) Light { // half beam, half diffuse; global is share of the sum
		return Light{GHI: share * 400, DNI: 200 / math.Cos(rad(zDeg)), DHI: 200}
	}
	for _, r := range []struct {
		l              Light
		zDeg           float64
		parts, diffuse bool
		src            string
	}{
		{at(1, 40), 40, true, true, src}, {at(1.079, 40), 40, true, true, src}, {at(1.081, 40), 40, false, true, src},
		{at(0.921, 40), 40, true, true, src}, {at(0.919, 40), 40, false, true, src},
		{at(1.149, 80), 80, true, true, src}, {at(1.151, 80), 80, false, true, src}, {at(0.849, 80), 80, false, true, src},
		{Light{100, 0, 104}, 40, true, true, src}, {Light{100, 0, 106}, 40, true, false, src},
		{Light{100, 0, 109}, 80, true, true, src}, {Light{100, 0, 111}, 80, true, false, src},
		{Light{49, 0, 200}, 40, false, true, "checks-sun.md 6.5: the sum is over 50, the global light is not"},
		{Light{40, 0, 49}, 40, true, true, "checks-sun.md 6.5: nothing is over 50"},
		{Light{100, 0, 200}, 94, true, true, "checks-sun.md 6.5: up to 93 deg"},
	} {
		if parts, diffuse := Closes(r.l, r.zDeg); parts != r.parts || diffuse != r.diffuse {
			t.Errorf("%+v at %g: %v %v; want %v %v (%s)", r.l, r.zDeg, parts, diffuse, r.parts, r.diffuse, r.src)
		}
	}
}

// Rows beyond a limit are counted and the first named; the values stay.
func TestQualityNotes(t *testing.T) {
	light := lightOf(false, 0)
	noon := func(day int) int { return day*24 + 11 }
	light[noon(170)].dhi = 1400 // over 0.95 Sa mu^1.2 + 50, some 1280 at 47 deg north in June
	light[noon(171)].dhi = 1010 // over 0.75 Sa mu^1.2 + 30, some 1000
	light[noon(10)].ghi = 650   // over 1.2 Sa mu^1.2 + 50, some 545 on 11 January, and under 1.5 Sa mu^1.2 + 100, some 720
	light[3].ghi, light[4].ghi, light[5].dni = -3, -4.5, -9
	for d := 100; d < 104; d++ {
		light[noon(d)].ghi *= 1.2
	}
	text := file(epwHeader, epwRow, light, nil)
	y := mustRead(t, text, ReadOptions{})
	for day, want := range map[int]float64{170: 1400, 171: 1010} {
		near(t, "kept", y.DHI[noon(day)], want, 0, "nothing is changed")
	}
	for _, want := range []string{
		"light that is more or less than is physically possible, GHI in 1 row (line 13), DNI in 1 row (line 14), DHI in 1 row (line 4100); nothing is changed",
		"light that is extremely rare, GHI in 2 rows (lines 12, 260), DHI in 1 row (line 4124); nothing is changed",
		"GHI and DHI + DNI cos z differ by more than 8 % (15 % with the sun under 15 deg) in 7 rows (lines 260, 2420, 2444 and on); nothing is changed",
		"DHI is over GHI by more than 5 % (10 % with the sun under 15 deg) in 2 rows (lines 4100, 4124); nothing is changed",
		"a little below 0 in 3 rows, taken as 0; the first is line 12",
	} {
		if !strings.Contains(notesOf(y), want) {
			t.Errorf("notes %s\n\twant %q", notesOf(y), want)
		}
	}
	if at := y.Notes[1]; at.Line == 0 {
		t.Errorf("note %+v; want a line", at)
	}
}

// Files without parts are held against what they have.
func TestQualityOfGlobalAlone(t *testing.T) {
	light := lightOf(false, 0)
	light[10*24+11].ghi = 900
	only := strings.Replace(strings.Replace(tmy3Header, "DNI (W/m^2)", "none", 1), "DHI (W/m^2)", "none either", 1)
	y := mustRead(t, file(only, tmy3Row, light, nil), ReadOptions{})
	if !strings.Contains(notesOf(y), "GHI in 1 row (line 254)") || strings.Contains(notesOf(y), "cos z differ") || strings.Contains(notesOf(y), "DNI in") {
		t.Errorf("notes %s", notesOf(y))
	}
}
