package study

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
)

// manifest is a plan as it is sent, with what it must be read by.
type manifest struct {
	Format  int    `json:"noonkeep_plan"`
	Physics string `json:"physics"`
	Plan
}

const manifestFormat = 1

// Manifest writes the plan down: the same plan gives the same bytes.
func (p Plan) Manifest() []byte {
	data, err := json.Marshal(manifest{manifestFormat, Physics, p})
	if err != nil {
		panic("study: a plan cannot be written: " + err.Error()) // texts and whole numbers; ranges are finite
	}
	return data
}

// settle names the plan by its manifest, and numbers its cases.
func (p *Plan) settle() {
	sum := sha256.Sum256(p.Manifest())
	const digits = 12
	p.ID = hex.EncodeToString(sum[:])[:digits]
	p.number()
}

// FromManifest reads a plan that [Plan.Manifest] wrote, and refuses any other bytes.
func FromManifest(data []byte) (Plan, error) {
	const most = 64 << 20
	if len(data) > most {
		return Plan{}, fmt.Errorf("plan: has %d bytes; want at most %d", len(data), most)
	}
	var m manifest
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&m); err != nil {
		return Plan{}, fmt.Errorf("plan: is not as noonkeep wrote it: %w", err)
	}
	if _, err := dec.Token(); err != io.EOF {
		return Plan{}, fmt.Errorf("plan: goes on after its end")
	}
	if m.Format != manifestFormat || m.Physics != Physics {
		return Plan{}, fmt.Errorf("plan: is of format %d and physics %.20q; want %d and %q: another build of noonkeep wrote it", m.Format, m.Physics, manifestFormat, Physics)
	}
	p := m.Plan
	if err := p.check(); err != nil {
		return Plan{}, fmt.Errorf("plan: %w", err)
	}
	p.settle()
	return p, nil
}

// check refuses what [Make] does not make.
func (p Plan) check() error {
	if len(p.Scenarios) == 0 || len(p.Scenarios) > mostScenarios || len(p.Keys) > mostKeys {
		return fmt.Errorf("has %d scenarios and %d keys; want 1 to %d and at most %d", len(p.Scenarios), len(p.Keys), mostScenarios, mostKeys)
	}
	if p.Sample != nil && (p.Sample.Cases < 2 || p.Sample.Cases > mostSampled) {
		return fmt.Errorf("samples %d cases; want 2 to %d", p.Sample.Cases, mostSampled)
	}
	for _, k := range p.Keys {
		if len(k.Values) == 0 || len(k.Values) > mostValues || k.Range && !(k.From < k.To) {
			return fmt.Errorf("key %.60q has %d values from %g to %g; want 1 to %d", k.Key, len(k.Values), k.From, k.To, mostValues)
		}
	}
	for _, s := range p.Scenarios {
		if len(s.Weather) == 0 || !isHash(s.Text) {
			return fmt.Errorf("scenario %.60q has no year or no text", s.Name)
		}
		for name, hash := range s.Files {
			if !isHash(hash) {
				return fmt.Errorf("scenario %.60q: file %.60q has no hash", s.Name, name)
			}
		}
	}
	if total := (&maker{plan: p}).total(); total > MostCases {
		return fmt.Errorf("has %.0f cases; want at most %d", total, MostCases)
	}
	return nil
}

func isHash(s string) bool {
	raw, err := hex.DecodeString(s)
	return err == nil && len(raw) == sha256.Size
}
