package study

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Move is how a varied key moves the savings over no store: the rank correlation with them, 1 or -1 where the key alone decides.
type Move struct {
	Key         string   `json:"key"`
	Correlation *float64 `json:"rank_correlation"`      // of all scenarios: their mean by cases; null where the key is no number, or one value
	Size        *float64 `json:"rank_correlation_size"` // of all scenarios: the mean of its size whatever its sign
	Worded      bool     `json:"not_a_number"`          // the values are no numbers of one unit, so that they have no order
}

// quantity parts "0.045 EUR/kWh" into its number and its unit. The number is NaN where the text has none.
func quantity(text string) (value float64, unit string) {
	number, unit, _ := strings.Cut(strings.TrimSpace(text), " ")
	if sign, last := strings.CutSuffix(number, "%"); last {
		number, unit = sign, "%"+unit
	}
	value, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return math.NaN(), text
	}
	return value, strings.TrimSpace(unit)
}

// moves are the rank correlations of the cases gathered, in the order of the keys.
func (g *gathered) moves(keys []string) []Move {
	list := []Move{}
	drawn := g.details.all()
	for k, key := range keys {
		m := Move{Key: key}
		var x, y []float64
		unit := ""
		for _, h := range drawn {
			d := h.item
			if k >= len(d.keys) || math.IsNaN(d.savings) {
				continue
			}
			m.Worded = m.Worded || math.IsNaN(d.keys[k]) || len(x) > 0 && d.units[k] != unit
			unit = d.units[k]
			x, y = append(x, d.keys[k]), append(y, d.savings)
		}
		if !m.Worded {
			if r, ok := rankCorrelation(x, y); ok {
				m.Correlation, m.Size = &r, new(float64)
				*m.Size = math.Abs(r)
			}
		}
		list = append(list, m)
	}
	return list
}

// movesOf takes the scenarios' correlations together, weighted by their solved cases; the key that moves most comes first.
func movesOf(keys []string, scenarios []ScenarioSummary) []Move {
	list := []Move{}
	for k, key := range keys {
		m := Move{Key: key}
		sum, size, weight := 0.0, 0.0, 0.0
		for _, s := range scenarios {
			if k >= len(s.Moves) {
				continue
			}
			m.Worded = m.Worded || s.Moves[k].Worded
			if r := s.Moves[k].Correlation; r != nil {
				w := float64(s.Done - s.SetAside)
				sum, size, weight = sum+w**r, size+w*math.Abs(*r), weight+w
			}
		}
		if weight > 0 {
			sum, size = sum/weight, size/weight
			m.Correlation, m.Size = &sum, &size
		}
		list = append(list, m)
	}
	slices.SortStableFunc(list, func(a, b Move) int { return cmp.Compare(sizeOf(b), sizeOf(a)) })
	return list
}

func sizeOf(m Move) float64 {
	if m.Size == nil {
		return -1
	}
	return *m.Size
}

// rankCorrelation is Spearman's (American Journal of Psychology 15, 1904): the correlation of the ranks, with equal values at
// their mean rank. False where one of the two is the same throughout.
func rankCorrelation(x, y []float64) (float64, bool) {
	rx, ry := ranks(x), ranks(y)
	mean := float64(len(x)+1) / 2
	xy, xx, yy := 0.0, 0.0, 0.0
	for i := range rx {
		a, b := rx[i]-mean, ry[i]-mean
		xy, xx, yy = xy+a*b, xx+a*a, yy+b*b
	}
	if xx == 0 || yy == 0 {
		return 0, false
	}
	return xy / math.Sqrt(xx*yy), true
}

// ranks counts from 1; equal values share the mean of theirs.
func ranks(v []float64) []float64 {
	order := make([]int, len(v))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(v[a], v[b]) })
	out := make([]float64, len(v))
	for from := 0; from < len(order); {
		to := from + 1
		for to < len(order) && v[order[to]] == v[order[from]] {
			to++
		}
		for _, i := range order[from:to] {
			out[i] = float64(from+to+1) / 2
		}
		from = to
	}
	return out
}
