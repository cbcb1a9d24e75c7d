package clock

import (
	"fmt"
	"testing"
	"time"
)

func BenchmarkParseWhen(b *testing.B) {
	for b.Loop() {
		if _, err := ParseWhen("daily 08:00-12:00, 13:00-17:00; Sat 06:00-14:00; Sun 22:00-06:00"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkShares(b *testing.B) {
	w := mustWhen(b, "Mon-Fri 06:00-14:00, 14:30-22:15, 22:30-05:30")
	c := Calendar{Holidays: []Date{{0, 1, 1}, {0, 5, 1}, {0, 12, 25}}, Shutdowns: []Span{{Date{0, 12, 24}, Date{0, 1, 2}}}}
	for _, step := range []time.Duration{time.Hour, 15 * time.Minute, time.Minute} {
		a := mustYear(b, 2026, step, 0)
		for _, rule := range []string{"", europe} {
			if c.Summer = (SummerTime{}); rule != "" {
				c.Summer = mustSummer(b, rule)
			}
			b.Run(fmt.Sprintf("step=%v/summer=%t", step, rule != ""), func(b *testing.B) {
				for b.Loop() {
					w.Shares(a, c)
				}
			})
		}
	}
}

func BenchmarkResample(b *testing.B) {
	hourly := mustYear(b, 2026, time.Hour, 0)
	v := make([]float64, hourly.N)
	for _, step := range []time.Duration{15 * time.Minute, time.Minute} {
		fine := mustYear(b, 2026, step, 0)
		w, err := Resample(v, hourly, fine)
		if err != nil {
			b.Fatal(err)
		}
		b.Run("way=finer/step="+step.String(), func(b *testing.B) {
			for b.Loop() {
				_, _ = Resample(v, hourly, fine)
			}
		})
		b.Run("way=coarser/step="+step.String(), func(b *testing.B) {
			for b.Loop() {
				_, _ = Resample(w, fine, hourly)
			}
		})
	}
}
