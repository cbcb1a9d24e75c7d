package scenarios

import (
	"slices"

	"noonkeep/plant"
	"noonkeep/storage"
)

// Thresholds of what `check` calls doubtful; common practice, no source.
const (
	poorDNIKWhM2  = 1200 // a year's beam under which concentrators seldom pay
	wastefulRatio = 2    // field's best hour over the demand's mean, from which without a store much is spilled
)

// doubt looks for what is allowed but most likely a slip.
func (b *builder) doubt() {
	b.doubtBoilers()
	b.doubtFields()
	b.doubtStore()
	for _, f := range b.f.Fuels {
		if !slices.ContainsFunc(b.c.Boilers, func(x Boiler) bool { return x.Fuel.Name == f.Name.s }) {
			b.doubtAt(f.At, "is burnt in no boiler")
		}
	}
	for i, f := range b.f.Headers {
		charges := slices.ContainsFunc(b.c.Stores, func(s *Store) bool { return s.From == b.swap[i] && s.From != s.Header })
		if peak(b.c.Headers[b.swap[i]].PlannedKW()) == 0 && !charges {
			b.doubtAt(f.At, "no load takes heat from it")
		}
	}
}

// doubtBoilers looks for headers whose boilers cannot carry the peak alone: the sun is then counted on.
func (b *builder) doubtBoilers() {
	for i, f := range b.f.Headers {
		place := b.swap[i]
		h := b.c.Headers[place]
		if h.UnmetPerKWh > 0 || len(h.DemandKW) == 0 {
			continue
		}
		chain := b.chain(place)
		capacity := 0.0
		for _, x := range b.c.Boilers {
			if slices.Contains(chain, x.Header) {
				capacity += x.CapacityKW
			}
		}
		most, at := 0.0, 0
		spare := make([]float64, len(h.DemandKW))
		for t := range h.DemandKW {
			sum := 0.0
			for _, x := range chain {
				sum += b.c.Headers[x].DemandKW[t]
			}
			if sum > most {
				most, at = sum, t
			}
			spare[t] = max(0, capacity-sum)
		}
		if capacity < most*(1-1e-9) {
			b.doubtAt(f.At, "boilers give %.4g kW and the loads take %.4g kW on %s; without enough %s just then no plan meets them",
				capacity, most, b.c.Axis.Label(at), b.besides())
			continue
		}
		b.doubtMoves(f.At, chain, spare)
	}
}

// besides is what may help boilers that fall short.
func (b *builder) besides() string {
	charged := slices.ContainsFunc(b.c.Stores, func(s *Store) bool { return s.HeaderChargeKW > 0 })
	switch {
	case charged && len(b.c.Fields) == 0:
		return "stored heat"
	case charged:
		return "sun or stored heat"
	}
	return "sun"
}

// doubtFields looks for fields that are too large for what they can do, and for a dull site.
func (b *builder) doubtFields() {
	for i, field := range b.c.Fields {
		f := b.f.Fields[i]
		h := b.c.Headers[field.Header]
		mean, best, share := 0.0, field.ToHeader.PeakKWM2*field.AreaM2(), 1.
		if field.Preheat != nil {
			share = field.Preheat.ShareFrac
		}
		for _, kW := range h.PlannedKW() {
			mean += share * kW / float64(len(h.DemandKW))
		}
		if !field.charges() && mean > 0 && best > wastefulRatio*mean {
			b.doubtAt(f.Count.at, "the field's best hour gives %.4g kW, the loads of header %q take %.4g kW in the mean, and no store takes the rest",
				best, h.Name, mean)
		}
		if field.AreaM2() == 0 {
			b.doubtAt(f.Count.at, "is 0, so the field gives nothing")
		}
		if field.Collector.Tracking != plant.Fixed && field.Yield().DNIKWhM2 < poorDNIKWhM2 {
			b.doubtAt(f.Collector.At, "the year has %.0f kWh/m2 of beam; under %d a concentrator seldom pays", field.Yield().DNIKWhM2, poorDNIKWhM2)
		}
	}
}

// doubtStore looks for a store that nothing fills or nothing needs.
func (b *builder) doubtStore() {
	for k, s := range b.c.Stores {
		f := b.storeFiles()[k]
		charged := s.HeaderChargeKW > 0
		for _, field := range b.c.Fields {
			charged = charged || field.ToStores[k].KWM2 != nil && field.AreaM2() > 0
		}
		if !charged {
			b.doubtAt(f.At, "no field charges it and boilers may not, so it can save nothing")
		}
		if s.VolumeM3 < s.FromM3 || s.VolumeM3 > s.ToM3 {
			b.doubtAt(f.Volume.at, "%g m3 lies outside the steps %s", s.VolumeM3, f.Steps)
		}
		b.doubtCharge(f, s)
	}
}

// doubtCharge looks for a header that may charge a store and is too cold for that.
func (b *builder) doubtCharge(f *storeFile, s *Store) {
	h, needC := b.c.Headers[s.From], s.FloorC()
	if s.Spec.Discharge == storage.Thermocline {
		needC = s.HotC() // its hot layer has one temperature
	}
	const rounding = 1e-6
	switch {
	case s.HeaderChargeKW == 0 || h.SteamC >= s.HotC()-rounding:
	case h.SteamC > needC:
		b.doubtAt(f.Boilers.at, "header %q has %.4g degC, and the plan may fill the store from it to %.4g degC", h.Name, h.SteamC, s.HotC())
	case s.Spec.Discharge == storage.Thermocline:
		b.doubtAt(f.Boilers.at, "header %q has %.4g degC, and the hot layer of the store %.4g degC: it can be charged so only if the boilers run hotter; name a hotter header in charged_from",
			h.Name, h.SteamC, s.HotC())
	default:
		b.doubtAt(f.Boilers.at, "steam of header %q has %.4g degC, and the store is empty at %.4g degC: it can be charged so only if the boilers run at a higher pressure; give them a header of their own, and name it in charged_from",
			h.Name, h.SteamC, s.FloorC())
	}
}

// charges tells whether a field charges any store.
func (f Field) charges() bool {
	return slices.ContainsFunc(f.ToStores, func(y plant.YieldYear) bool { return y.KWM2 != nil })
}

// variants keeps the variants as they are written, for Case.Vary.
func (b *builder) variants() {
	b.names("variant", len(b.f.Variants), func(i int) text { return b.f.Variants[i].Name })
	for _, f := range b.f.Variants {
		b.c.Variants = append(b.c.Variants, Variant{f.Name.s, f.At.line, f.Change.node})
	}
}
