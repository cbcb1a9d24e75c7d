package scenarios

import (
	"fmt"
	"math"
	"slices"
)

// unsure sets what is not known for sure. Where there is no such section, nothing is; see [Case.UsualUnsure].
func (b *builder) unsure() {
	for i, f := range b.f.Doubt {
		if !f.What.set || f.What.bad() && !isUnsure(f.What.s) {
			continue // noted already
		}
		k := unsureKindOf(f.What.s)
		u := Unsure{What: k.what, Of: f.Of.s, Line: f.At.line}
		if !b.unsureOf(k, f) || !b.unsureTwice(i) {
			continue
		}
		if k.what == UnsureWeather {
			b.unsureWeather(f, &u)
		} else if b.unsureShape(f, &u) {
			b.unsureRange(k, f, u)
		}
		b.c.Unsure = append(b.c.Unsure, u)
	}
}

func isUnsure(word string) bool {
	return slices.ContainsFunc(unsureKinds(), func(k unsureKind) bool { return k.what == word })
}

// unsureOf checks that there is what is unsure; false for a fault.
func (b *builder) unsureOf(k unsureKind, f doubtFile) bool {
	names := k.all(&b.c)
	switch {
	case k.of == "" && f.Of.set:
		b.add(f.Of.at, "is not for %s, of which there is one alone; take it out", k.what)
		return false
	case len(names) > 0 && (f.Of.s == "" || slices.Contains(names, f.Of.s)):
		return true
	case len(b.faults.list) > 0:
		return false // what there is may be among what is at fault
	case len(names) == 0:
		b.add(f.What.at, "the scenario has nothing of which %s could be unsure; %s", k.what, k.lack)
		return false
	}
	tail, near := wantOneOf(f.Of.s, names)
	b.add(f.Of.at, "no %s is called %s; %s", k.of, quoted(f.Of.s), tail).Near = near
	return false
}

// unsureTwice refuses what another entry turns too: which of the two would hold?
func (b *builder) unsureTwice(i int) bool {
	f := b.f.Doubt[i]
	for _, g := range b.f.Doubt[:i] {
		if g.What.s == f.What.s && (g.Of.s == f.Of.s || g.Of.s == "" || f.Of.s == "") {
			b.add(f.What.at, "%s stands in line %d already, and both would turn the same; keep one, or give each its own `of`", quoted(f.What.s), g.At.line)
			return false
		}
	}
	return true
}

// unsureWeather sets how many years there are to draw from.
func (b *builder) unsureWeather(f doubtFile, u *Unsure) {
	for _, v := range []at{f.Times.at, f.Shape.at, f.Mode.at} {
		if v.set || b.faulty(v.key) {
			b.add(v, "is not for weather, whose years are each as likely as another; take it out")
			return
		}
	}
	switch generated := b.f.Weather.Monthly != nil; {
	case b.faulty("weather") || b.faulty(f.Years.key):
	case !generated && f.Years.set:
		b.add(f.Years.at, "is for weather from monthly means; of weather files every whole year is taken")
	case generated && f.Years.set:
		u.Years = int(f.Years.base())
	case generated:
		u.Years = usualYears
		b.note(f.Years.key, fmt.Sprint(usualYears), "as many as a climate normal has")
	}
}

// unsureShape sets range, shape and mode; false for a fault.
func (b *builder) unsureShape(f doubtFile, u *Unsure) bool {
	before := len(b.faults.list)
	if f.Years.set {
		b.add(f.Years.at, "is for weather alone; take it out")
	}
	if !f.Times.set && !b.faulty(f.Times.key) {
		b.add(f.Times.at, "is missing; write for example \"times: 90..110 %%\"")
	}
	if !f.Times.set || f.Shape.bad() && !f.Shape.set || b.faulty(f.Shape.key) || b.faulty(f.Mode.key) {
		return false
	}
	u.Low, u.High, u.Shape = f.Times.lo.base(), f.Times.hi.base(), f.Shape.s
	if u.Shape == "" {
		u.Shape = Uniform
		b.note(f.Shape.key, Uniform, "nothing is said of what is likelier")
	}
	u.Mode = b.modeOf(f, *u)
	return len(b.faults.list) == before
}

// modeOf is the likeliest value of a triangular shape, 0 for others.
func (b *builder) modeOf(f doubtFile, u Unsure) float64 {
	inside := func(x float64) bool { return x >= u.Low && x <= u.High }
	switch {
	case u.Shape != Triangular:
		if f.Mode.set {
			b.add(f.Mode.at, "is of a triangular shape, and this one is %s; write shape: triangular, or take it out", u.Shape)
		}
		return 0
	case f.Mode.set:
		if !inside(f.Mode.base()) {
			b.add(f.Mode.at, "%s lies outside the range %s", f.Mode, f.Times)
		}
		return f.Mode.base()
	case !inside(1):
		b.add(f.Mode.at, "is missing, and 100 %%, which it would be, lies outside the range %s; write for example \"mode: %.4g %%\"", f.Times, 50*(u.Low+u.High))
	default:
		b.note(f.Mode.key, "100 %", "what the scenario has is the likeliest")
	}
	return 1
}

// unsureRange refuses ends that cannot be, and doubts a range without the scenario's own value.
func (b *builder) unsureRange(k unsureKind, f doubtFile, u Unsure) {
	if len(b.faults.list) > 0 {
		return // boilers and fields may be at fault
	}
	low, high := u.At(0), u.At(1)
	by := ""
	if u.Shape == Normal {
		by = fmt.Sprintf("; a normal shape of %s goes from %.4g to %.4g %%", f.Times, 100*low, 100*high)
	}
	most, what := k.most(b.c, u.Of)
	const rounding = 1e-9
	switch {
	case high > most*(1+rounding) && most < mostTimes:
		b.add(f.Times.at, "%s takes the %s of %s past what there can be%s; want at most %.6g %%", f.Times, k.what, what, by, 100*math.Floor(most*1e4)/1e4)
	case high > most*(1+rounding):
		b.add(f.Times.at, "%s is out of range%s; want at most %g %%", f.Times, by, 100*most)
	case low <= 0:
		b.add(f.Times.at, "%s reaches below nothing%s; want a narrower band, or a uniform or triangular shape", f.Times, by)
	case u.Low > 1 || u.High < 1:
		b.doubtAt(f.Times.at, "%s leaves out 100 %%, what the scenario itself has", f.Times)
	}
}
