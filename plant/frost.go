package plant

import "math"

// Freeze says how a field's water is kept from freezing. The zero value is not at all: antifreeze, oil or no frost.
type Freeze struct {
	On     bool
	BelowC float64 // the air at which protection begins
	KeepC  float64 // the temperature at which receivers and pipes are kept, by circulation
	// Drain lets the water out instead: no heat, no pump.
	Drain bool
	// Electric keeps them warm by electricity. Else the heat comes from the use through the loop, and is taken back from
	// the field's next heat: in a year the use gets that much less.
	Electric bool
	PumpW    float64 // of the whole field, while it is kept warm
}

func (f Freeze) check(bad *faults) {
	if !f.On {
		bad.require(f == Freeze{}, "freeze", "has values without being on; want it on")
		return
	}
	bad.require(f.BelowC >= -50 && f.BelowC <= 20, "freeze", "begins at %g °C; want -50 to 20 °C", f.BelowC)
	bad.require(f.Drain || f.KeepC > f.BelowC && f.KeepC <= 60, "freeze",
		"keeps %g °C from %g °C of air; want more than the air's, at most 60 °C", f.KeepC, f.BelowC)
	bad.require(f.PumpW >= 0 && f.PumpW < math.Inf(1), "freeze", "has a pump of %g W; want 0 or more", f.PumpW)
	bad.require(!f.Drain || !f.Electric && f.PumpW == 0, "freeze", "drains and heats; want one of the two")
}

// frost runs an idle step under frost: masses are held at the temperature, and what that takes is owed or paid for.
func (r *run) frost(i int, o *flows) {
	airC := r.y.AirC[i]
	o.frosty = true
	keepC := min(r.freeze.KeepC, r.fluidC) // a loop whose working fluid is cooler still is kept no warmer than that
	if r.freeze.Drain || keepC <= airC {
		r.cool(airC)
		return
	}
	heat := r.receiver.hold(r.fluidC, airC, keepC, r.stepH) + r.pipes.hold(r.fluidC, airC, keepC, r.stepH)
	if r.receiver.capacity == 0 {
		// Nothing there that cools slowly: it loses at once what it does at that temperature, by its coefficients.
		cold := Conditions{FluidC: keepC, AirC: airC, WindMS: r.y.WindMS[i], NetLongwaveWM2: netLongwaveWM2}
		heat += r.stepH * max(0, -r.c.HeatWM2(cold)/r.c.share())
		if r.pipes.capacity == 0 {
			heat += r.stepH * r.pipeUA * (keepC - airC)
		}
	}
	o.held = heat / r.stepH * r.availability
	if !r.freeze.Electric {
		r.owedWhM2 += heat
	}
}
