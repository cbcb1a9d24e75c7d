package demand

import (
	"math"
	"slices"
	"time"
)

// folder takes the rows of a log in order and folds them into bins. It holds a few rows, never all.
type folder struct {
	form   *LogForm
	log    *Log
	bins   *bins
	faults *tally
	notes  *tally

	rows  int
	first reading
	last  reading // the row before

	before  reading // counter: the row before last
	pending *span   // counter: from before to last, until the next row shows that last was no wild reading
	peak    float64 // counter: the largest rate so far

	usual, limit int64  // between two rows; beyond the limit rows are missing
	held         []span // spans of unusual length, until it is seen what is usual now
	lumps        []lump

	stuckFrom int64
	stuckLine int
}

// reading is one row: a rate, or what a counter shows.
type reading struct {
	at    int64 // local standard time, ns since 1970
	value float64
	line  int
}

// span is what lies between two rows, with its rate per hour; or what came in it, where the log counts by intervals.
type span struct {
	from, to int64
	rate     float64
	line     int // of the later row
}

// lump is what a counter counted while rows were missing.
type lump struct {
	from, to int64
	quantity float64
}

const (
	mostLumps = 100_000 // beyond, a counter's gaps are drawn flat
	fewSpans  = 16      // that tell what is usual

	orderKind  logKind = "times out of order"
	twiceKind  logKind = "two values at one time"
	amountKind logKind = "values that cannot be"
	gapKind    logKind = "gaps"
	stepKind   logKind = "changes of the interval"
	resetKind  logKind = "resets of the counter"
	rollKind   logKind = "roll-overs of the counter"
	wildKind   logKind = "wild readings"
	stuckKind  logKind = "stuck values"
)

// push takes the next row.
func (f *folder) push(r reading) {
	f.rows++
	if f.rows == 1 {
		f.first, f.last = r, r
		f.stuckFrom, f.stuckLine = r.at, r.line
		return
	}
	d := r.at - f.last.at
	switch {
	case d == 0 && r.value == f.last.value:
		f.rows--
		f.log.Duplicates++
		return
	case d == 0:
		f.faults.add(twiceKind, r.line, "time: %s stands twice, with %g and %g; want one value a time%s", textOf(r.at), f.last.value, r.value, f.minuteHint())
		return
	case d < 0:
		f.faults.add(orderKind, r.line, "time: %s comes after %s; want rising times%s", textOf(r.at), textOf(f.last.at), f.orderHint(d))
		return
	case d > mostLogDays*dayNS:
		f.faults.add(orderKind, r.line, "time: %s comes %d years after %s; want a log of 10 years at most", textOf(r.at), d/dayNS/365, textOf(f.last.at))
		return
	}
	if f.form.Counts == Counter {
		f.count(r)
		return
	}
	f.stuck(r)
	rate := f.last.value
	if f.form.AtEnd {
		rate = r.value
	}
	f.span(span{f.last.at, r.at, rate, r.line})
	f.last = r
}

func (f *folder) orderHint(d int64) string {
	switch {
	case f.rows < 4:
		return "; sort the log by time"
	case d > -2*hourNS && f.form.Clock != WallClock:
		return "; write clock: wall if the log follows summer time, or sort it by time"
	}
	return "; sort the log by time"
}

func (f *folder) minuteHint() string {
	if f.rows < 4 {
		return "; if the column has no seconds, name one that has"
	}
	return ""
}

// count takes a counter's reading. The span before it is let go when this reading shows that the one before was right.
func (f *folder) count(r reading) {
	if f.pending == nil && f.rows == 2 {
		f.before = f.last
	}
	quantity := r.value - f.last.value
	if quantity < 0 {
		rolled := f.form.RollOver - f.last.value + r.value
		switch {
		case f.form.RollOver > 0 && f.rolls(rolled, r.at-f.last.at):
			f.log.RollOvers++
			f.notes.add(rollKind, r.line, "the counter goes from %g to %g on %s: a roll-over, %.6g counted", f.last.value, r.value, textOf(r.at), rolled)
			quantity = rolled
		case f.pending != nil && r.value >= f.before.value:
			f.log.Wild++
			f.notes.add(wildKind, f.last.line, "the counter shows %g between %g and %g: a wild reading, left out", f.last.value, f.before.value, r.value)
			f.pending = &span{f.before.at, r.at, f.rate(r.value-f.before.value, r.at-f.before.at, r.line), r.line}
			f.last = r
			return
		default:
			f.reset(r)
			return
		}
	}
	f.flush()
	f.pending = &span{f.last.at, r.at, f.rate(quantity, r.at-f.last.at, r.line), r.line}
	f.before, f.last = f.last, r
}

// rolls tells a roll-over from a reset: what would have been counted is at most a tenth of the counter, and no more than ten
// times the fastest so far.
func (f *folder) rolls(quantity float64, ns int64) bool {
	return quantity <= f.form.RollOver/10 && (f.rows < 100 || f.peak == 0 || quantity*float64(hourNS)/float64(ns) <= 10*f.peak)
}

// reset leaves a span out: what was counted before the counter fell, and how far it then stood from 0, nobody knows.
func (f *folder) reset(r reading) {
	f.flush()
	f.log.Resets++
	hint := ""
	if f.form.RollOver == 0 {
		if top := math.Pow10(int(math.Ceil(math.Log10(max(f.last.value, 1))))); f.last.value > 0.9*top {
			hint = "; if that was a roll-over, write roll_over: " + trimFloat(top)
		}
	}
	f.notes.add(resetKind, r.line, "the counter falls from %g to %g on %s: a reset, the time between is a gap%s", f.last.value, r.value, textOf(r.at), hint)
	f.before, f.last = r, r
}

// flush lets the span before last go.
func (f *folder) flush() {
	if f.pending != nil {
		f.span(*f.pending)
		f.pending = nil
	}
}

// rate is a quantity over a time, per hour.
func (f *folder) rate(quantity float64, ns int64, line int) float64 {
	rate := quantity * float64(hourNS) / float64(ns)
	if !(rate*f.form.perUnit() <= mostKW) {
		f.faults.add(amountKind, line, "%g in %s is more than any plant takes; want the unit, or the scale, of one count", quantity, agoText(time.Duration(ns)))
		return 0
	}
	f.peak = max(f.peak, rate)
	return rate
}

// span counts what lies between two rows. One of unusual length waits until it is seen whether that is usual from now on.
func (f *folder) span(s span) {
	d := s.to - s.from
	if len(f.held) == 0 && f.usual > 0 && d <= f.limit && 3*d >= 2*f.usual {
		f.whole(s)
		return
	}
	if f.held = append(f.held, s); len(f.held) == fewSpans {
		f.settle()
	}
}

// whole counts a span without a missing row.
func (f *folder) whole(s span) {
	if f.form.Counts == Interval {
		s.rate = f.rate(s.rate, s.to-s.from, s.line)
	}
	f.bins.add(s.from, s.to, s.rate)
}

// oneUsual counts a row that stands for one usual interval.
func (f *folder) oneUsual(from int64, value float64, line int) {
	f.whole(span{from, from + f.usual, value, line})
}

// settle looks at the held spans: their median is usual now if it differs much from what was.
func (f *folder) settle() {
	if len(f.held) == 0 {
		return
	}
	lengths := make([]int64, len(f.held))
	for i, s := range f.held {
		lengths[i] = s.to - s.from
	}
	slices.Sort(lengths)
	median := lengths[(len(lengths)-1)/2]
	if f.usual == 0 || len(f.held) == fewSpans && (2*median > 3*f.usual || 3*median < 2*f.usual) {
		if f.usual > 0 {
			f.notes.add(stepKind, f.held[0].line, "from here on rows stand %s apart, before %s", agoText(time.Duration(median)), agoText(time.Duration(f.usual)))
		}
		f.usual = median
		f.limit = median + median/2
		if f.form.LongestGap > 0 {
			f.limit = int64(f.form.LongestGap)
		}
	}
	for _, s := range f.held {
		if s.to-s.from <= f.limit {
			f.whole(s)
		} else {
			f.gap(s)
		}
	}
	f.held = f.held[:0]
}

// gap counts a span in which rows are missing: a rate stands for one usual interval, and a counter has counted on.
func (f *folder) gap(s span) {
	f.notes.add(gapKind, s.line, "no rows from %s to %s", textOf(s.from), textOf(s.to))
	switch {
	case f.form.Counts == Counter && len(f.lumps) < mostLumps:
		f.lumps = append(f.lumps, lump{s.from, s.to, s.rate * float64(s.to-s.from)})
	case f.form.Counts == Counter:
		f.bins.add(s.from, s.to, s.rate)
	case f.form.AtEnd:
		f.oneUsual(s.to-f.usual, s.rate, s.line)
	default:
		f.oneUsual(s.from, s.rate, s.line)
	}
}

// stuck tells of a rate that stays the very same.
func (f *folder) stuck(r reading) {
	if r.value == f.last.value && r.at-f.last.at <= max(f.limit, 0) {
		return
	}
	f.unstick()
	f.stuckFrom, f.stuckLine = r.at, r.line
}

func (f *folder) unstick() {
	long := f.last.at - f.stuckFrom
	if f.last.value != 0 && long > int64(f.form.stuckAfter()) {
		f.log.StuckH += float64(long) / float64(hourNS)
		f.notes.add(stuckKind, f.stuckLine, "stands at the very same %g for %.4g h from %s on; kept", f.last.value, float64(long)/float64(hourNS), textOf(f.stuckFrom))
	}
}

// end closes the log: what is held is counted, and the last or first row of a rate stands for one usual interval.
func (f *folder) end() {
	if f.rows < 2 {
		f.faults.stop(f.last.line, nil, "has %d rows with a value; want 2 at least", f.rows)
		return
	}
	f.flush()
	f.settle()
	if f.usual == 0 {
		f.faults.stop(f.last.line, nil, "no two rows have anything counted between them; want a counter that rises")
		return
	}
	first, last := f.first.at, f.last.at
	if f.form.Counts != Counter {
		f.unstick()
		if f.form.AtEnd {
			first -= f.usual
			f.oneUsual(first, f.first.value, f.first.line)
		} else {
			last += f.usual
			f.oneUsual(f.last.at, f.last.value, f.last.line)
		}
	}
	f.log.Rows = f.rows
	f.log.First, f.log.Last = time.Unix(0, first).UTC(), time.Unix(0, last).UTC()
	f.log.Interval = time.Duration(f.usual)
}
