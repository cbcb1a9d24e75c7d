package replay

import "math"

// series is a list of values, each of which lasts for so many steps.
type series struct {
	v    []float64
	each int
}

// seriesOf wraps values over steps. None are one that always holds.
func seriesOf(v []float64, steps int, none float64) series {
	if len(v) == 0 {
		v = []float64{none}
	}
	return series{v, steps / len(v)}
}

func (s *series) at(i int) float64 {
	if s.each != 1 {
		i /= s.each
	}
	return s.v[i]
}

// ahead is the highest value of each stretch of steps that begins there; the year goes on at its beginning.
func (s series) ahead(steps int) series {
	n := len(s.v)
	reach := min((steps+s.each-1)/s.each, n-1)
	out := series{make([]float64, n), s.each}
	queue := make([]int, 0, n+reach) // places whose values fall
	first := 0
	for i := 0; i < n+reach; i++ {
		for len(queue) > first && s.v[queue[len(queue)-1]%n] <= s.v[i%n] {
			queue = queue[:len(queue)-1]
		}
		queue = append(queue, i)
		if queue[first] < i-reach {
			first++
		}
		if i >= reach {
			out.v[i-reach] = s.v[queue[first]%n]
		}
	}
	return out
}

// sum adds up without losing small terms. Neumaier 1974.
type sum struct{ s, c float64 }

func (t *sum) add(x float64) {
	n := t.s + x
	if math.Abs(t.s) >= math.Abs(x) {
		t.c += t.s - n + x
	} else {
		t.c += x - n + t.s
	}
	t.s = n
}

func (t *sum) value() float64 { return t.s + t.c }
