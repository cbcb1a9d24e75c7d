package answer_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"noonkeep/cmd/internal/answer"
	"noonkeep/scenarios"
)

// twenty is the dyehouse with 20 variants of every sort: hours, tank, collectors, pressure, prices.
func twenty(b testing.TB) []byte {
	b.Helper()
	data, err := scenarios.Source("dyehouse")
	if err != nil {
		b.Fatal(err)
	}
	text, _, _ := strings.Cut(string(data), "\nvariants:")
	var s strings.Builder
	s.WriteString(text + "\nvariants:\n")
	for i := range 5 {
		fmt.Fprintf(&s, "- {name: later %d, change: {loads: [{name: 'dye machines, night shift', when: 'Mon-Sat %02d:00-%02d:00'}]}}\n", i, 8+i, 16+i)
		fmt.Fprintf(&s, "- {name: field %d, change: {fields: [{name: dishes, count: %d}]}}\n", i, 20+3*i)
		fmt.Fprintf(&s, "- {name: pressure %d, change: {store: {working_pressure: %d bar(g)}}}\n", i, 13+i)
		fmt.Fprintf(&s, "- {name: price %d, change: {fuels: [{name: natural gas, price: 0.0%d EUR/kWh}]}}\n", i, 60+i)
	}
	return []byte(s.String())
}

// 20 variants of a year, from the text to the comparison.
func BenchmarkCompare20(b *testing.B) {
	text := twenty(b)
	for b.Loop() {
		c, err := scenarios.Parse("dyehouse.yaml", text, nil)
		if err != nil {
			b.Fatal(err)
		}
		cases, err := answer.Variants(c)
		if err != nil {
			b.Fatal(err)
		}
		if len(cases) != 21 {
			b.Fatalf("%d cases, want 21", len(cases))
		}
		if _, err := answer.Compare(context.Background(), cases, answer.CompareOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
