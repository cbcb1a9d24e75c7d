package answer

import (
	"context"
	"errors"
	"fmt"

	"noonkeep/optimize"
	"noonkeep/scenarios"
)

// Least is the smallest volume of the varied store with which no heat is missing, where without it some is.
type Least struct {
	VolumeM3 float64 `json:"volume_m3"`  // heat suffices: a proven plan
	ShortM3  float64 `json:"short_m3"`   // here it does not
	Missing  float64 `json:"unmet_kWh"`  // without the store, at the header that misses most
	WorstKW  float64 `json:"unmet_kW"`   // the most at once
	Header   string  `json:"header"`     // which that is
	Text     string  `json:"short_text"` // the same in words
}

// Short is an error: the plant cannot do without its store, so that there is no curve of savings.
type Short struct {
	Least Least
	Err   error
}

func (s *Short) Error() string {
	return fmt.Sprintf("%v; the smallest store with which nothing is missing has %.4g m³ (noonkeep size says so too), and with unmet_price on the headers there is a curve", s.Err, s.Least.VolumeM3)
}
func (s *Short) Unwrap() error { return s.Err }

// leastOf seeks the smallest volume with which nothing is missing; nil where none up to toM3 is enough, or none is needed.
func leastOf(ctx context.Context, c scenarios.Case, p optimize.Problem, opt Options) (*Least, error) {
	l, err := optimize.LeastVolume(ctx, p, c.StoreAt(), c.StoreLaw(), optimize.Options{ToM3: opt.ToM3, Engine: opt.Engine})
	if short := (*optimize.NoPlan)(nil); errors.As(err, &short) {
		return nil, nil
	}
	if err != nil || l.Short == nil {
		return nil, err
	}
	return &Least{l.VolumeM3, l.ShortM3, l.Short.TotalKWh, l.Short.WorstKW, l.Short.Header, l.Short.Error()}, nil
}

// leastShort is what of the demand may be missing without being said: rounding.
const leastShortFrac = 1e-7

// withLeast adds the smallest volume to a curve that begins with heat unmet.
func (a *Answer) withLeast(ctx context.Context, c scenarios.Case, p optimize.Problem, opt Options) error {
	if a.Points[0].UnmetKWh <= leastShortFrac*a.DemandKWh {
		return nil
	}
	var err error
	a.Least, err = leastOf(ctx, c, p, opt)
	return err
}

// explained makes a curve's want of heat say how large a store would do.
func explained(ctx context.Context, c scenarios.Case, p optimize.Problem, opt Options, cause error) error {
	if short := (*optimize.NoPlan)(nil); !errors.As(cause, &short) {
		return cause
	}
	l, err := leastOf(ctx, c, p, opt)
	if err != nil || l == nil {
		return cause
	}
	return &Short{*l, cause}
}
