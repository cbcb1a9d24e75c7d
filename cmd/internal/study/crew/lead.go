package crew

import (
	"context"
	"fmt"
	"time"

	"noonkeep/cmd/internal/study/queue"
)

// mostOut is how many tasks are handed out at most and not come back: enough that no worker waits, and so few that a
// lead who begins again learns quickly what they are.
const mostOut = 256

// loop hands out and gathers until all is done, ctx ends, or the study is cancelled.
func (l *lead) loop(ctx, calls context.Context) error {
	results, lost := l.post.Results(calls)
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	for l.folder.done.count < l.plan.N {
		if err := l.handOut(calls); err != nil {
			return err
		}
		select {
		case <-ctx.Done():
			return nil
		case err := <-lost:
			return err
		case r := <-results:
			if err := l.take(ctx, calls, r); err != nil {
				return err
			}
		case <-tick.C:
			if err := l.beat(ctx, calls); err != nil {
				return err
			}
			if l.cancelled {
				return nil
			}
		}
	}
	return nil
}

// handOut keeps enough tasks with the workers.
func (l *lead) handOut(ctx context.Context) error {
	chunk := l.plan.ChunkCases()
	for l.out.count < mostOut*chunk {
		first := l.folder.done.missing(l.next, l.out)
		if first == l.plan.N {
			l.next = first
			return nil
		}
		s := span{First: first, Count: 1}
		for at := first + 1; at < l.plan.N && at%chunk != 0 && !l.folder.done.has(at) && !l.out.has(at); at++ {
			s.Count++
		}
		if err := l.post.Add(ctx, s.key(l.plan.ID, l.build, l.round), s.body()); err != nil {
			return err
		}
		for at := s.First; at < s.end(); at++ {
			l.out.add(at)
		}
		l.next = s.end()
	}
	return nil
}

// take puts a result into the folder and then lets the queue forget it. A full disk is waited for: until there is room the
// queue keeps what comes in, and workers wait once it holds as much as it may.
func (l *lead) take(ctx, calls context.Context, r *queue.Result) error {
	rows, err := unpacked(r.Body, l.folder.head, l.plan.N)
	if err != nil {
		l.opt.Say(fmt.Sprintf("a result %v; it is dropped, and its cases are handed out again", err))
		return r.Ack(calls)
	}
	for said := false; ; {
		_, err := l.folder.add(rows, r.Body)
		if err == nil {
			break
		}
		if !full(err) {
			return err
		}
		if !said {
			l.opt.Say(fmt.Sprintf("%v; waiting for room", err))
			said = true
		}
		select {
		case <-ctx.Done():
			return nil // the queue keeps it
		case <-time.After(time.Second):
		}
		if err := l.beat(ctx, calls); err != nil || l.cancelled {
			return err
		}
	}
	for _, row := range rows {
		l.out.remove(row.Case)
	}
	return r.Ack(calls)
}

// beat tells the queue and the user how far it is, hears whether someone cancelled, and looks for lost work.
func (l *lead) beat(ctx, calls context.Context) error {
	l.tell(l.workers)
	l.cancelled = l.cancelled || l.folder.cancelled()
	if now := time.Now(); now.Sub(l.lastBeat) >= l.opt.Silence/8 || l.cancelled {
		l.lastBeat = now
		if err := l.report(calls); err != nil {
			return err
		}
	}
	if now := time.Now(); now.Sub(l.lastCheck) >= l.opt.Silence/2 {
		return l.recount(calls)
	}
	return nil
}

// report writes the state where others read it: the folder, and the queue.
func (l *lead) report(ctx context.Context) error {
	state := queue.Open
	if l.cancelled {
		state = queue.Cancelled
	}
	if err := l.folder.write(Running); err != nil && !full(err) {
		return err
	}
	cancelled, err := l.post.Beat(ctx, queue.Study{State: state, Done: l.folder.done.count, SetAside: l.folder.state.SetAside})
	l.cancelled = l.cancelled || cancelled
	if err != nil {
		return err
	}
	seen, err := l.conn.Workers(ctx)
	l.workers = len(seen)
	return err
}

func (l *lead) tell(workers int) {
	rate, left := l.pace.at(time.Now(), l.folder.done.count, l.plan.N)
	l.folder.state.Rate, l.folder.state.Workers = rate, workers
	l.opt.Progress(Progress{Done: l.folder.done.count, Of: l.plan.N, SetAside: l.folder.state.SetAside, CasesPerS: rate, Left: left,
		Workers: workers, Away: l.conn.Away()})
}

// recount finds what is really handed out: what the queue holds as tasks. What is neither there nor done nor waiting as a
// result is lost, and handed out again. The tasks are read first: one that a worker ends meanwhile counts as handed out,
// and its result was stored before it left the tasks.
func (l *lead) recount(ctx context.Context) error {
	l.lastCheck = time.Now()
	bodies, err := l.post.Tasks(ctx)
	if err != nil {
		return err
	}
	waiting, err := l.post.Waiting(ctx)
	if err != nil {
		return err
	}
	if waiting > 0 {
		return nil // look again when they are in
	}
	return l.handedOut(bodies)
}

// begun finds out what an earlier run of this study handed out, and takes what came back meanwhile.
func (l *lead) begun(ctx context.Context) error {
	l.lastCheck = time.Now()
	bodies, err := l.post.Tasks(ctx)
	if err != nil {
		return err
	}
	if err := l.settle(ctx); err != nil {
		return err
	}
	return l.handedOut(bodies)
}

// handedOut takes down what the queue holds as tasks.
func (l *lead) handedOut(bodies [][]byte) error {
	out := newSet(l.plan.N)
	for _, body := range bodies {
		s, err := readSpan(body, l.plan.N)
		if err != nil {
			l.opt.Say(err.Error())
			continue
		}
		for at := s.First; at < s.end(); at++ {
			if !l.folder.done.has(at) {
				out.add(at)
			}
		}
	}
	l.round++ // what is handed out again is no repetition
	l.out, l.next = out, 0
	return nil
}

// settle takes the results that wait from an earlier run.
func (l *lead) settle(ctx context.Context) error {
	some, stop := context.WithCancel(ctx)
	defer stop()
	results, lost := l.post.Results(some)
	for {
		waiting, err := l.post.Waiting(ctx)
		if err != nil || waiting == 0 {
			return err
		}
		select {
		case r := <-results:
			if err := l.take(ctx, ctx, r); err != nil {
				return err
			}
		case err := <-lost:
			return err
		case <-time.After(100 * time.Millisecond):
		}
	}
}

// leave stops in order: the workers of this process hand over what they have, and that is taken; other workers are told.
func (l *lead) leave(ctx context.Context, crew *hired) error {
	state := queue.Paused
	switch {
	case l.folder.done.count == l.plan.N:
		state = queue.Ended
	case l.cancelled:
		state = queue.Cancelled
	}
	_, err := l.post.Beat(ctx, queue.Study{State: state, Done: l.folder.done.count, SetAside: l.folder.state.SetAside})
	<-crew.over
	if err == nil && l.opt.Jobs > 0 && l.folder.done.count < l.plan.N {
		err = l.settle(ctx)
	}
	if err == nil && state != queue.Paused {
		err = l.post.Clear(ctx)
	}
	return err
}
