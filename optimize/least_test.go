package optimize

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"
)

// sized is the accumulator with a capacity of 2 kWh for each m³ and no loss.
func sized(v float64) (Store, error) {
	s := accumulator(0).Stores[0]
	s.VolumeM3, s.CapacityKWh = v, 2*v
	return s, nil
}

// 50 kWh must be stored, so 25 m³ at 2 kWh/m³, found to a thousandth.
func TestLeastVolume(t *testing.T) {
	t.Parallel()
	p := accumulator(0)
	needsClp(t, p)
	got, err := LeastVolume(context.Background(), p, 0, sized, Options{ToM3: 100})
	if err != nil {
		t.Fatal(err)
	}
	if got.VolumeM3 < 25-1e-6 || got.VolumeM3 > 25.03 || got.ShortM3 >= 25 || got.VolumeM3-got.ShortM3 > 0.0251 {
		t.Errorf("%+v; want 25 m³ by hand", got)
	}
	if got.Short == nil || math.Abs(got.Short.TotalKWh-50) > 1e-6 || got.Solved > 15 {
		t.Errorf("%+v: short of %v; want 50 kWh in a dozen solves", got, got.Short)
	}
	// A price of unmet heat changes nothing: that none is missing is asked for all the same.
	p.Headers[1].UnmetPrice = 0.001
	priced, err := LeastVolume(context.Background(), p, 0, sized, Options{ToM3: 100})
	if err != nil || math.Abs(priced.VolumeM3-got.VolumeM3) > 1e-9 {
		t.Errorf("%+v %v", priced, err)
	}
	var short *NoPlan
	if _, err := LeastVolume(context.Background(), p, 0, sized, Options{ToM3: 20}); !errors.As(err, &short) || !strings.HasPrefix(err.Error(), "even 20 m³ fall short: header \"low\": 1 h short") {
		t.Error(err)
	}
	p.Boilers[0].Pieces[0].CapacityKW = 150
	if none, err := LeastVolume(context.Background(), p, 0, sized, Options{ToM3: 20}); err != nil || none.VolumeM3 != 0 || none.Short != nil {
		t.Errorf("%+v %v; want none needed", none, err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := LeastVolume(ctx, p, 0, sized, Options{ToM3: 20}); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}
