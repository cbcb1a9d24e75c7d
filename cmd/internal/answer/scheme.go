package answer

import (
	"cmp"
	"fmt"
	"slices"

	"noonkeep/plant/clock"
	"noonkeep/scenarios"
)

// Scheme is the plant as a one-line diagram shows it: its parts with their main figures and what they hang on. Where
// there are more of a kind than a page holds, the smallest of one header are put together as one with Count above 1.
type Scheme struct {
	Headers []SchemeHeader `json:"headers"` // highest pressure first
	Fields  []SchemeField  `json:"fields"`
	Stores  []SchemeStore  `json:"stores"`
	Boilers []SchemeBoiler `json:"boilers"`
	Loads   []SchemeLoad   `json:"loads"`
}

// SchemeHeader is a header and what its loads ask for.
type SchemeHeader struct {
	Name       string  `json:"name"`
	BarG       float64 `json:"bar_g"`
	TempC      float64 `json:"degC"`
	FeedwaterC float64 `json:"feedwater_degC"`
	KWh        float64 `json:"heat_kWh"`
	PeakKW     float64 `json:"peak_kW"`
	PeakKgH    float64 `json:"peak_kg_h"`
	FromAbove  bool    `json:"from_above"`            // from the one over it
	From       string  `json:"heated_from,omitempty"` // another that is not just over it
	Carrier    string  `json:"carrier,omitempty"`     // what it carries in place of steam; it has then no pressure, and FeedwaterC is the return's
}

// SchemeField is a collector field. Headers and Stores are places in the scheme.
type SchemeField struct {
	Name       string  `json:"name"`
	Count      int     `json:"parts"`
	Collectors int     `json:"collectors"`
	ApertureM2 float64 `json:"aperture_m2"` // of each; 0 where parts differ
	AreaM2     float64 `json:"area_m2"`
	Tracking   string  `json:"tracking"`
	PeakKW     float64 `json:"peak_kW"` // where its heat mainly goes: to header or feedwater, or to the store that it alone feeds
	KWh        float64 `json:"heat_kWh"`
	Headers    []int   `json:"headers"`
	Stores     []int   `json:"stores"`
	WarmsFromC float64 `json:"warms_from_degC,omitempty"` // of a field that preheats a header's feedwater or make-up
	WarmsToC   float64 `json:"warms_to_degC,omitempty"`
}

// SchemeStore is a store at the scenario's volume.
type SchemeStore struct {
	Name         string  `json:"name"`
	Header       int     `json:"header"`
	From         int     `json:"charged_from"` // the header whose heat may charge it: mostly the same
	VolumeM3     float64 `json:"volume_m3"`
	WorkingBarG  float64 `json:"working_bar_g"`
	HotC         float64 `json:"hot_degC"`
	FloorC       float64 `json:"floor_degC"`
	CapacityKWh  float64 `json:"capacity_kWh"`
	DischargeKW  float64 `json:"discharge_kW"`
	FromHeaderKW float64 `json:"from_header_kW"` // most heat that From may put in; 0: none
}

// SchemeBoiler is a boiler.
type SchemeBoiler struct {
	Name       string  `json:"name"`
	Count      int     `json:"parts"`
	Header     int     `json:"header"`
	CapacityKW float64 `json:"capacity_kW"`
	KgH        float64 `json:"capacity_kg_h"`
	Fuel       string  `json:"fuel"` // empty where parts burn different ones
	NetEff     float64 `json:"net_efficiency"`
}

// SchemeLoad is a load.
type SchemeLoad struct {
	Name    string   `json:"name"`
	Count   int      `json:"parts"`
	Header  int      `json:"header"`
	KWh     float64  `json:"heat_kWh"`
	PeakKW  float64  `json:"peak_kW"`
	PeakKgH float64  `json:"peak_kg_h"`
	kW      clock.KW // for sums
}

// mostDrawn is how many of one kind a diagram shows.
const mostDrawn = 12

// SchemeOf gathers the parts of a case. It solves nothing.
func SchemeOf(c scenarios.Case) (Scheme, error) {
	s := Scheme{Headers: []SchemeHeader{}, Fields: []SchemeField{}, Stores: []SchemeStore{}, Boilers: []SchemeBoiler{}, Loads: []SchemeLoad{}}
	stepH := c.Axis.StepH()
	for i, h := range c.Headers {
		asks := h.PlannedKW()
		peak, _ := asks.Peak()
		x := SchemeHeader{
			Name: h.Name, BarG: h.Pressure.BarAbs() - c.AirBarA, TempC: h.SteamC, FeedwaterC: h.FeedwaterC,
			KWh: sum(asks) * stepH, PeakKW: peak, PeakKgH: kgH(h, peak), FromAbove: h.Above >= 0 && h.Above == i-1,
		}
		if h.Above >= 0 && !x.FromAbove {
			x.From = c.Headers[h.Above].Name
		}
		if h.Medium != nil {
			x.Carrier, x.BarG = h.Medium.String(), 0
		}
		s.Headers = append(s.Headers, x)
	}
	for _, l := range c.Loads {
		peak, _ := l.KW.Peak()
		s.Loads = append(s.Loads, SchemeLoad{Name: l.Name, Count: 1, Header: l.Header, KWh: sum(l.KW) * stepH, PeakKW: peak, PeakKgH: kgH(c.Headers[l.Header], peak), kW: l.KW})
	}
	for _, b := range c.Boilers {
		s.Boilers = append(s.Boilers, SchemeBoiler{b.Name, 1, b.Header, b.CapacityKW, kgH(c.Headers[b.Header], b.CapacityKW), b.Fuel.Name, b.NetEfficiency()})
	}
	for _, f := range c.Fields {
		s.Fields = append(s.Fields, schemeField(c, f))
	}
	var err error
	if s.Stores, err = schemeStores(c); err != nil {
		return Scheme{}, err
	}
	s.fold(c)
	return s, nil
}

// kgH is the steam that a heat makes in a header.
func kgH(h scenarios.Header, kW float64) float64 {
	if h.HeatKJKg == 0 {
		return 0
	}
	return kW * 3600 / h.HeatKJKg
}

func schemeField(c scenarios.Case, f scenarios.Field) SchemeField {
	y := f.Yield()
	s := SchemeField{
		Name: f.Name, Count: 1, Collectors: f.Count, ApertureM2: f.ApertureM2, AreaM2: f.AreaM2(), Tracking: f.Collector.Tracking.String(),
		PeakKW: y.PeakKWM2 * f.AreaM2(), KWh: y.DeliveredKWhM2 * f.AreaM2(), Headers: headersOf(f), Stores: chargesOf(f),
	}
	if f.Preheat != nil {
		s.WarmsFromC, s.WarmsToC = f.Preheat.FromC, f.Preheat.ToC
	}
	return s
}

// headersOf gives the headers that a field feeds, and chargesOf the stores that it charges, by place.
func headersOf(f scenarios.Field) []int {
	if f.Feeds == scenarios.ToStoreAlone {
		return []int{}
	}
	return []int{f.Header}
}

func chargesOf(f scenarios.Field) []int {
	to := []int{}
	for k, y := range f.ToStores {
		if y.KWM2 != nil {
			to = append(to, k)
		}
	}
	return to
}

func schemeStores(c scenarios.Case) ([]SchemeStore, error) {
	all := []SchemeStore{}
	for _, st := range c.Stores {
		l, err := st.Limits(st.VolumeM3)
		if err != nil {
			return nil, fmt.Errorf("%s of %g m3: %w", calledOf(c, st), st.VolumeM3, err)
		}
		all = append(all, SchemeStore{
			Name: st.Name, Header: st.Header, From: st.From, VolumeM3: st.VolumeM3, WorkingBarG: st.Spec.Working.BarAbs() - c.AirBarA,
			HotC: st.HotC(), FloorC: st.FloorC(), CapacityKWh: l.CapacityKWh, DischargeKW: l.DischargeKW, FromHeaderKW: st.HeaderChargeKW,
		})
		if one := &all[len(all)-1]; one.Name == "" {
			one.Name = "store"
		}
	}
	return all, nil
}

// fold puts the smallest of a kind together where there are more than a page shows.
func (s *Scheme) fold(c scenarios.Case) {
	s.Loads = folded(s.Loads, func(l SchemeLoad) (float64, string) { return l.KWh, fmt.Sprint(l.Header) }, func(all []SchemeLoad) SchemeLoad {
		one := SchemeLoad{Name: fmt.Sprintf("%d more loads", len(all)), Count: len(all), Header: all[0].Header, kW: make(clock.KW, c.Axis.N)}
		for _, l := range all {
			one.KWh += l.KWh
			addTo(one.kW, l.kW)
		}
		one.PeakKW, _ = one.kW.Peak()
		one.PeakKgH = kgH(c.Headers[one.Header], one.PeakKW)
		return one
	})
	s.Boilers = folded(s.Boilers, func(b SchemeBoiler) (float64, string) { return b.CapacityKW, fmt.Sprint(b.Header) }, func(all []SchemeBoiler) SchemeBoiler {
		one := all[0]
		one.Name, one.Count, one.CapacityKW, one.KgH = fmt.Sprintf("%d more boilers", len(all)), len(all), 0, 0
		fuel := 0.0
		for _, b := range all {
			if b.Fuel != one.Fuel {
				one.Fuel = ""
			}
			one.CapacityKW += b.CapacityKW
			one.KgH += b.KgH
			fuel += b.CapacityKW / b.NetEff
		}
		one.NetEff = one.CapacityKW / fuel // all at full fire
		return one
	})
	s.Fields = folded(s.Fields, func(f SchemeField) (float64, string) { return f.AreaM2, fmt.Sprint(f.Headers, f.Stores) }, func(all []SchemeField) SchemeField {
		one := all[0]
		one.Name, one.Count = fmt.Sprintf("%d more fields", len(all)), len(all)
		for _, f := range all[1:] {
			if f.WarmsToC != one.WarmsToC || f.WarmsFromC != one.WarmsFromC {
				one.WarmsFromC, one.WarmsToC = 0, 0
			}
			if f.Tracking != one.Tracking {
				one.Tracking = ""
			}
			one.Collectors += f.Collectors
			one.ApertureM2 = 0
			one.AreaM2 += f.AreaM2
			one.PeakKW += f.PeakKW
			one.KWh += f.KWh
		}
		return one
	})
}

// folded keeps the largest and puts the rest together, those that hang on the same apart; they stand last.
func folded[T any](all []T, of func(T) (size float64, on string), sum func([]T) T) []T {
	if len(all) <= mostDrawn {
		return all
	}
	groups := map[string]bool{}
	order := make([]int, len(all))
	for i, x := range all {
		_, on := of(x)
		groups[on] = true
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, _ := of(all[a])
		y, _ := of(all[b])
		return cmp.Compare(y, x)
	})
	keep := max(0, mostDrawn-len(groups))
	slices.Sort(order[:keep])
	slices.Sort(order[keep:])
	var out []T
	for _, i := range order[:keep] {
		out = append(out, all[i])
	}
	var ons []string
	rest := map[string][]T{}
	for _, i := range order[keep:] {
		_, on := of(all[i])
		if rest[on] == nil {
			ons = append(ons, on)
		}
		rest[on] = append(rest[on], all[i])
	}
	for _, on := range ons {
		if same := rest[on]; len(same) == 1 {
			out = append(out, same[0])
		} else {
			out = append(out, sum(same))
		}
	}
	return out
}
