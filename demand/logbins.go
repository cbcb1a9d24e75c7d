package demand

import "time"

const hourNS = int64(time.Hour)

// bins hold what was measured in each of the study's steps, from midnight on, a page a day. A day without rows has no page.
type bins struct {
	stepNS int64
	perDay int64
	day0   int64 // of the first page, since 1970
	pages  []*page

	lo, hi int64 // of the step that add was in last
	in     *bin
}

type page struct {
	bin    []bin
	lumped []bin // by a counter over gaps; nil for none
}

// bin is one step: the integral of the rate over what is covered, unit times ns per hour, and how much that is.
type bin struct {
	sum float64
	ns  int64
}

// mostLogDays bounds what a log may span: by the minute the pages of ten years have 84 MB.
const mostLogDays = 3660

func newBins(step time.Duration) *bins {
	return &bins{stepNS: int64(step), perDay: dayNS / int64(step)}
}

// add counts a rate from one time up to another.
func (b *bins) add(from, to int64, rate float64) {
	for from < to {
		if from < b.lo || from >= b.hi {
			b.seek(from)
		}
		until := min(to, b.hi)
		b.in.sum += rate * float64(until-from)
		b.in.ns += until - from
		from = until
	}
}

// seek goes to the step that a time lies in.
func (b *bins) seek(ns int64) {
	day := floorDiv(ns, dayNS)
	p := b.page(day)
	i := (ns - day*dayNS) / b.stepNS
	b.in = &p.bin[i]
	b.lo = day*dayNS + i*b.stepNS
	b.hi = b.lo + b.stepNS
}

// page gives a day's page, and makes it if there is none.
func (b *bins) page(day int64) *page {
	switch {
	case len(b.pages) == 0:
		b.day0 = day
	case day < b.day0:
		b.pages = append(make([]*page, b.day0-day, int(b.day0-day)+len(b.pages)), b.pages...)
		b.day0 = day
	}
	for int64(len(b.pages)) <= day-b.day0 {
		b.pages = append(b.pages, nil)
	}
	p := &b.pages[day-b.day0]
	if *p == nil {
		*p = &page{bin: make([]bin, b.perDay)}
	}
	return *p
}

// at gives what was measured in a step, counted from 1970 on, and what was counted over gaps.
func (b *bins) at(k int64) (measured, lumped bin) {
	day := floorDiv(k, b.perDay)
	if day < b.day0 || day >= b.day0+int64(len(b.pages)) || b.pages[day-b.day0] == nil {
		return bin{}, bin{}
	}
	p, i := b.pages[day-b.day0], k-day*b.perDay
	if p.lumped != nil {
		lumped = p.lumped[i]
	}
	return p.bin[i], lumped
}

// lump counts a quantity in a step in which nothing was measured for so long.
func (b *bins) lump(k int64, sum float64, ns int64) {
	day := floorDiv(k, b.perDay)
	p := b.page(day)
	if p.lumped == nil {
		p.lumped = make([]bin, b.perDay)
	}
	i := k - day*b.perDay
	p.lumped[i].sum += sum
	p.lumped[i].ns += ns
}

// coveredNS is how much of a day rows stand for.
func (b *bins) coveredNS(day int64) (ns int64) {
	if day < b.day0 || day >= b.day0+int64(len(b.pages)) || b.pages[day-b.day0] == nil {
		return 0
	}
	for _, x := range b.pages[day-b.day0].bin {
		ns += x.ns
	}
	return ns
}

// knownNS is coveredNS with what a counter counted over gaps.
func (b *bins) knownNS(day int64) int64 {
	ns := b.coveredNS(day)
	if day >= b.day0 && day < b.day0+int64(len(b.pages)) && b.pages[day-b.day0] != nil {
		for _, x := range b.pages[day-b.day0].lumped {
			ns += x.ns
		}
	}
	return ns
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}
