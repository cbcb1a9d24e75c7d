package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

// lightText says how the weather's light lies to the sun.
func lightText(b *strings.Builder, l answer.SkyWay) {
	months := [2][]string{{"month"}, {"min"}}
	for m, v := range l.ClearDaysMin {
		months[0] = append(months[0], monthNames[m])
		if v == nil {
			months[1] = append(months[1], "-")
		} else {
			months[1] = append(months[1], signed(*v))
		}
	}
	fmt.Fprint(b, "\nTHE WEATHER'S CLOCK: MIDDLE OF CLEAR DAYS' LIGHT AFTER THE SUN'S NOON\n")
	table{names: 1, head: months[:1], rows: months[1:]}.write(b)
	entry(b, "", lightVerdict(l))
}

var monthNames = [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}

// mistimedMin is how far the middle of clear days' light may lie from noon before that is told; weather scatters it by
// some 10 min.
const mistimedMin = 20

func lightVerdict(l answer.SkyWay) string {
	var off []string
	var lo, hi float64
	for m, v := range l.ClearDaysMin {
		if v == nil || math.Abs(*v) < mistimedMin {
			continue
		}
		if off = append(off, monthNames[m]); len(off) == 1 {
			lo, hi = *v, *v
		}
		lo, hi = min(lo, *v), max(hi, *v)
	}
	text := "It follows the sun"
	if len(off) > 0 {
		by := signed(lo)
		if signed(hi) != by {
			by += " to " + signed(hi)
		}
		when := andList(off)
		if len(off) == len(monthNames) {
			when = "every month"
		}
		text = fmt.Sprintf("In %s it is off the sun's noon by %s min: look at weather.svg (--out), and under DOUBTFUL", when, by)
	}
	if l.DarkDNI < leastDark && l.DarkGHI < leastDark {
		return text + "; no light stands where the sun is down."
	}
	return text + fmt.Sprintf("; %s %% of the direct and %s %% of the global light stand where the sun is down.", darkShare(l.DarkDNI), darkShare(l.DarkGHI))
}

// lightDoubtful tells whether the light is off the sun's noon in some month, or stands in the dark.
func lightDoubtful(l answer.SkyWay) bool {
	return l.DarkDNI >= leastDark || l.DarkGHI >= leastDark || slices.ContainsFunc(l.ClearDaysMin[:], func(v *float64) bool { return v != nil && math.Abs(*v) >= mistimedMin })
}

// signed prints whole minutes with their sign.
func signed(v float64) string {
	if v = math.Round(v); v == 0 {
		return "0"
	}
	return fmt.Sprintf("%+.0f", v)
}

// leastDark is a share of light in the dark that rounding and refraction explain.
const leastDark = 5e-5

func darkShare(frac float64) string {
	switch {
	case frac == 0:
		return "0"
	case frac < leastDark:
		return "under 0.01"
	}
	return fmt.Sprintf("%.2f", 100*frac)
}

// weatherChart is the light hour by day under the sun's way.
func weatherChart(u answer.Understood) chart.SkyMap {
	l := u.Light
	title := "The light follows the sun's way"
	if lightDoubtful(l) {
		title = "The light does not follow the sun's way: the weather's clock is doubtful"
	}
	return chart.SkyMap{
		YearMap: chart.YearMap{
			Title: title, Subtitle: l.Source + "; local standard time. Light outside the lines, or lopsided about noon, shows a file whose clock is off.",
			Start: l.Axis.At(0), StepH: l.Axis.StepH(),
			Maps: []chart.Map{
				{Name: "Direct normal, W/m²", Note: fmt.Sprintf("%s kWh/m² in the year, %s %% of it where the sun is down", Whole(l.DNIKWhM2), darkShare(l.DarkDNI)), Values: l.DNI, Tone: chart.SunTone},
				{Name: "Global horizontal, W/m²", Note: fmt.Sprintf("%s kWh/m² in the year, %s %% of it where the sun is down", Whole(l.GHIKWhM2), darkShare(l.DarkGHI)), Values: l.GHI, Tone: chart.BoilerTone},
			},
		},
		RiseH: l.RiseH, NoonH: l.NoonH, SetH: l.SetH,
	}
}
