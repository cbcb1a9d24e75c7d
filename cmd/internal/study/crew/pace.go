package crew

import "time"

// paceSpan is the time over which the rate is taken.
const paceSpan = time.Minute

// pace reckons cases per second over the last minute.
type pace struct {
	marks []mark
}

type mark struct {
	at   time.Time
	done int64
}

func newPace(now time.Time, done int64) *pace { return &pace{[]mark{{now, done}}} }

// at notes how many are done now, and gives the rate and the time that the rest takes; zeros while nothing is known.
func (p *pace) at(now time.Time, done, of int64) (perS float64, left time.Duration) {
	p.marks = append(p.marks, mark{now, done})
	for len(p.marks) > 2 && now.Sub(p.marks[1].at) >= paceSpan {
		p.marks = p.marks[1:]
	}
	first := p.marks[0]
	s := now.Sub(first.at).Seconds()
	if s <= 0 || done <= first.done {
		return 0, 0
	}
	perS = float64(done-first.done) / s
	return perS, time.Duration(float64(of-done) / perS * float64(time.Second))
}
