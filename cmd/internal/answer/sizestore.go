package answer

import (
	"context"
	"errors"
	"fmt"

	"noonkeep/scenarios"
)

// SizeStore is what the certified curve says of the store's size alone. Best and what follows from it are of yearly savings
// in Currency, read off the curve's straight lines: the cost of the vessel is in Money alone.
type SizeStore struct {
	Scenario     string   `json:"scenario"`
	Currency     string   `json:"currency"`
	Over         []string `json:"over"`
	Best         Volume   `json:"best"`
	UpperBound   float64  `json:"upper_bound"`      // against no store: no volume up to ToM3 saves more
	Within1      Range    `json:"within_1_percent"` // saves 99 % of the best or more
	HalfM3       float64  `json:"half_m3"`          // the first volume that saves half of the best
	NineTenthsM3 float64  `json:"nine_tenths_m3"`
	ToM3         float64  `json:"to_m3"`
	BestAtEdge   bool     `json:"best_at_edge"` // savings still rise at ToM3
	CertifiedGap float64  `json:"certified_gap"`
	Proof        Proof    `json:"proof"`

	Least   *Least       `json:"least,omitempty"`    // the smallest volume with which no heat is missing, where without the store some is
	NoCurve bool         `json:"no_curve,omitempty"` // there is no plant without the store to save against: only Least is known
	Store   string       `json:"store,omitempty"`    // the one that is sized, where there are several
	Kept    []KeptVolume `json:"other_stores,omitempty"`

	Money *SizeMoney `json:"money,omitempty"` // the size that earns most; nil without money

	Curve Answer `json:"-"`
}

// Volume is a size of the store and what it saves.
type Volume struct {
	VolumeM3             float64 `json:"volume_m3"`
	Savings              float64 `json:"savings_vs_boilers_only"`
	SavingsVsNoStorage   float64 `json:"savings_vs_no_storage"`
	MarginalSavingsPerM3 float64 `json:"marginal_savings_per_m3"`
}

// Range is of volumes.
type Range struct {
	FromM3 float64 `json:"from_m3"`
	ToM3   float64 `json:"to_m3"`
}

// SizeOverStore traces the curve and reads the store's size off it. The error is as that of [Make].
func SizeOverStore(ctx context.Context, c scenarios.Case, opt Options) (SizeStore, error) {
	a, err := Make(ctx, c, opt)
	if short := (*Short)(nil); errors.As(err, &short) {
		if opt.By.By != "" {
			return SizeStore{}, fmt.Errorf("%s: a size by %s needs a plant without the store to save against, and without it the heat does not suffice; write unmet_price on the headers, or leave --by out", c.File, opt.By.By)
		}
		name, kept := keptOf(c)
		return SizeStore{Scenario: c.Name, Currency: c.Currency, Over: []string{"store"}, ToM3: opt.filled(c).ToM3, Least: &short.Least, NoCurve: true, Store: name, Kept: kept}, nil
	}
	if err != nil {
		return SizeStore{}, err
	}
	s := sizeOf(a)
	s.Least, s.Store, s.Kept = a.Least, a.Store, a.Kept
	if s.Curve, err = a.WithMoney(c); err != nil {
		return SizeStore{}, err
	}
	if s.Money, err = pickByMoney(ctx, c, s.Curve, opt); s.Money != nil && s.Money.VolumeM3 != nil {
		s.Curve = s.Curve.with(s.Money.Point)
	}
	return s, err
}

// sizeOf takes the best of the points, which are proven; where all are below none, no store is best.
func sizeOf(a Answer) SizeStore {
	best, last := 0, len(a.Points)-1
	s := SizeStore{Scenario: a.Scenario, Currency: a.Currency, Over: []string{"store"}, ToM3: a.Points[last].VolumeM3,
		CertifiedGap: a.CertifiedGap, Proof: a.Proof, Curve: a}
	for i, p := range a.Points {
		s.UpperBound = max(s.UpperBound, p.UpperBound)
		if p.SavingsVsNoStorage > a.Points[best].SavingsVsNoStorage {
			best = i
		}
	}
	at := a.Points[best]
	s.Best = Volume{at.VolumeM3, at.SavingsVsBoilersOnly, at.SavingsVsNoStorage, at.MarginalSavingsPerM3}
	s.BestAtEdge = best == last && best > 0
	if best == 0 {
		return s
	}
	s.HalfM3, s.NineTenthsM3 = a.VolumeFor(0.5*at.SavingsVsNoStorage), a.VolumeFor(0.9*at.SavingsVsNoStorage)
	near := 0.99 * at.SavingsVsNoStorage
	s.Within1 = Range{a.VolumeFor(near), s.ToM3}
	for i := best; i < last; i++ {
		if p, q := a.Points[i], a.Points[i+1]; q.SavingsVsNoStorage < near {
			s.Within1.ToM3 = p.VolumeM3 + (p.SavingsVsNoStorage-near)/(p.SavingsVsNoStorage-q.SavingsVsNoStorage)*(q.VolumeM3-p.VolumeM3)
			break
		}
	}
	return s
}

// VolumeFor is the least volume on the curve's straight lines that saves so much against no store; the
// largest volume if none does.
func (a Answer) VolumeFor(saving float64) float64 {
	for i := 1; i < len(a.Points); i++ {
		p, q := a.Points[i-1], a.Points[i]
		if q.SavingsVsNoStorage >= saving {
			return p.VolumeM3 + (saving-p.SavingsVsNoStorage)/(q.SavingsVsNoStorage-p.SavingsVsNoStorage)*(q.VolumeM3-p.VolumeM3)
		}
	}
	return a.Points[len(a.Points)-1].VolumeM3
}
