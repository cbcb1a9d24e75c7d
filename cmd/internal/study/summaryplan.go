package study

import (
	"context"
	"fmt"
	"iter"

	"noonkeep/cmd/internal/study/table"
)

// Summarise sums up the rows of a plan's cases, or of those that are done; what is missing is counted. Rows may come in any
// order, which changes nothing. A case that the plan does not have or that comes twice is an error, and so is that of the rows.
func Summarise(ctx context.Context, p Plan, rows iter.Seq2[table.Row, error]) (Summary, error) {
	o := outline{keys: p.Head().Keys}
	for i, s := range p.Scenarios {
		o.scenarios = append(o.scenarios, stretch{s.Name, p.first[i], p.first[i+1] - p.first[i]})
	}
	s, err := summarise(ctx, o, rows)
	if err != nil {
		return Summary{}, err
	}
	s.Study, s.Name = p.ID, p.Name
	if p.Sample != nil {
		s.Sampling = fmt.Sprintf("%d cases of each scenario drawn with seed %d, the same for each, as a Latin hypercube (McKay, Beckman and Conover 1979) of weather years and varied keys",
			p.Sample.Cases, p.Sample.Seed)
	}
	return s, nil
}
