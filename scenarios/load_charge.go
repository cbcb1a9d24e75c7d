package scenarios

import (
	"fmt"

	"noonkeep/demand"
)

// charges reads what is in the bath: liquor, goods and the machine's own mass.
func (b *builder) charges(f *batchFile, d *demand.Batch) {
	low, high := *d.Stages[0].FromC, 0.0
	for _, s := range d.Stages {
		high = max(high, s.ToC)
		if s.FromC != nil {
			low = min(low, *s.FromC)
		}
	}
	high = max(high, low)
	liquor := b.material(stuff{f.Material, f.Specific, "water"}, low, high)
	if f.Density.set {
		liquor = liquor.WithKgM3(f.Density.base())
		if !f.Volume.set {
			b.doubtAt(f.Density.at, "has no effect without a volume")
		}
	}
	d.Liquor.Of = liquor
	withGoods := false
	switch {
	case f.Ratio.set && f.Volume.set:
		b.add(f.Ratio.at, "stands beside a volume; want one of the two")
	case f.Ratio.set && !f.Mass.set:
		b.add(f.Mass.at, `is missing beside liquor_ratio; write the goods, for example "mass: 300 kg"`)
	case f.Ratio.set:
		d.Liquor.Kg, withGoods = f.Mass.base()*f.Ratio.base(), true
	case f.Volume.set:
		perM3, err := liquor.KgM3(*d.Stages[0].FromC)
		if err != nil && !liquor.IsZero() {
			b.add(f.Density.at, "is not known of %s; write it, or a mass in place of the volume", liquor.Name)
		}
		d.Liquor.Kg, withGoods = f.Volume.base()*perM3, f.Mass.set
	case f.Mass.set:
		d.Liquor.Kg = f.Mass.base()
	default:
		b.add(f.At, `heats nothing; write a volume, or a mass such as "mass: 300 kg" with a liquor_ratio`)
	}
	b.goods(f, d, withGoods, low, high)
	if m := f.Machine; m != nil {
		d.Machine = demand.Charge{Kg: m.Mass.base(), Of: b.material(stuff{m.Material, m.Specific, "steel"}, low, high), StartC: degC(m.From)}
	}
}

// goods reads the goods in the liquor.
func (b *builder) goods(f *batchFile, d *demand.Batch, with bool, low, high float64) {
	if !with {
		for _, idle := range []at{f.Goods.at, f.GoodsHeat.at, f.GoodsFrom.at} {
			if idle.set {
				b.add(idle, "stands without goods; want their mass beside a liquor_ratio or a volume")
			}
		}
		return
	}
	if f.GoodsHeat.set && f.GoodsHeat.base() == 0 {
		return // they are left out
	}
	d.Goods = demand.Charge{Kg: f.Mass.base(), Of: b.material(stuff{f.Goods, f.GoodsHeat, "textile"}, low, high), StartC: degC(f.GoodsFrom)}
}

// stuff is a material as a scenario names it: by its name, or by its specific heat.
type stuff struct {
	name     text
	specific amount
	other    string // when neither is written
}

// material finds a material, and notes the specific heat that it brings and whence.
func (b *builder) material(s stuff, low, high float64) demand.Material {
	name := s.name.s
	if !s.name.set {
		name = s.other
	}
	m, err := demand.MaterialNamed(name)
	if err != nil && !s.specific.set {
		tail, near := wantOneOf(name, demand.MaterialNames())
		b.add(s.name.at, "no material is called %s; %s, or give %s", quoted(name), tail, lastKey(s.specific.key)).Near = near
		return m
	}
	if s.specific.set {
		if err != nil {
			return demand.PlainMaterial(name, s.specific.base(), 0)
		}
		return m.WithKJKgK(s.specific.base())
	}
	kJKgK, err := m.KJKgK(low, high)
	if err != nil {
		b.add(s.name.at, "%v", err)
		return demand.Material{}
	}
	b.note(s.specific.key, fmt.Sprintf("%.4g kJ/kgK", kJKgK), fmt.Sprintf("%s, %g to %g degC (%s)", m.Name, low, high, m.Source))
	return m
}
