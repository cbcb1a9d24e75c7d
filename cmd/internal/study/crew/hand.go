package crew

import (
	"context"
	"errors"
	"fmt"
	"time"

	"noonkeep/cmd/internal/study"
	"noonkeep/cmd/internal/study/queue"
	"noonkeep/cmd/internal/study/table"
)

const (
	mostTries = 5                // after so many a task is taken apart, and a case that stands alone is set aside
	caseLimit = 30 * time.Minute // a case that takes longer is set aside
)

// hand solves one case at a time, and keeps its bench between the tasks of a study.
type hand struct {
	*crewman
	plan  study.Plan
	bench *study.Bench
	head  table.Head
}

// do solves a task and reports it. An error is of the queue; what is wrong with a case stands in its row.
func (h *hand) do(ctx context.Context, s *posted, job *queue.Job) error {
	calls, drop := context.WithCancel(context.WithoutCancel(ctx))
	defer drop()
	defer context.AfterFunc(s.ctx, func() { time.AfterFunc(mostStopping, drop) })()
	defer h.keepAlive(s.ctx, job)()
	if err := h.ready(s); err != nil {
		return h.giveBack(s, job, err)
	}
	task, err := readSpan(job.Body, h.plan.N)
	if err != nil {
		h.Say(err.Error() + "; dropped")
		return job.Done(calls)
	}
	if job.Tries > mostTries && task.Count > 1 {
		return h.takeApart(calls, s, job, task)
	}
	rows, err := h.solve(s.ctx, task, job.Tries)
	if err != nil && s.ctx.Err() == nil {
		return h.giveBack(s, job, err)
	}
	if s.ctx.Err() != nil && h.board.over(s) {
		return ignoreStopped(calls, job.Done(calls))
	}
	return ignoreStopped(calls, h.hand(calls, s, job, task, rows))
}

// ignoreStopped forgets that a call was dropped because all stops: the queue then gives the task to another.
func ignoreStopped(calls context.Context, err error) error {
	if calls.Err() != nil {
		return nil
	}
	return err
}

// ready fetches the plan of a study and sets the bench up, unless they are from the task before.
func (h *hand) ready(s *posted) error {
	if h.bench != nil && h.plan.ID == s.ID {
		return nil
	}
	h.bench = nil
	manifest, err := h.inputs.fetch(s.ctx, s.Manifest)
	if err != nil {
		return err
	}
	plan, err := study.FromManifest(manifest)
	if err != nil {
		return err
	}
	h.plan, h.head, h.bench = plan, headOf(plan, h.build), study.NewBench(plan, h.inputs.fetch)
	return nil
}

// solve works the cases of a task out, until the end or until the study stops.
func (h *hand) solve(ctx context.Context, task span, tries int) ([]table.Row, error) {
	var rows []table.Row
	for n := task.First; n < task.end(); n++ {
		if tries > mostTries { // alone, and still
			rows = append(rows, h.setAside(n, fmt.Sprintf("ended the worker %d times (too little memory, or a fault of the program)", tries-1)))
			continue
		}
		row, err := h.one(ctx, n)
		if err != nil {
			return rows, err
		}
		rows = append(rows, row)
		h.cases.Add(1)
		if h.Seen != nil {
			h.Seen(h.cases.Load(), h.plan.Name)
		}
	}
	return rows, nil
}

// one solves a case within its time.
func (h *hand) one(ctx context.Context, n int64) (table.Row, error) {
	limited, stop := context.WithTimeout(ctx, caseLimit)
	defer stop()
	row, err := h.bench.Run(limited, n)
	if err != nil && ctx.Err() == nil && errors.Is(limited.Err(), context.DeadlineExceeded) {
		return h.setAside(n, fmt.Sprintf("took more than %v", caseLimit)), nil
	}
	return row, err
}

func (h *hand) setAside(n int64, why string) table.Row {
	return h.bench.SetAside(n, why)
}

// hand hands over what is solved, gives what is not back as a task of its own, and ends the task.
func (h *hand) hand(ctx context.Context, s *posted, job *queue.Job, task span, rows []table.Row) error {
	done := span{task.First, int64(len(rows))}
	if done.Count > 0 {
		body, err := packed(h.head, rows)
		if err != nil {
			return err
		}
		if err := h.conn.Report(ctx, s.ID, done.key(s.ID, h.build, time.Now().UnixNano()), body); err != nil {
			return err
		}
	}
	if rest := (span{done.end(), task.Count - done.Count}); rest.Count > 0 {
		if err := h.conn.Again(ctx, s.ID, rest.key(s.ID, h.build, time.Now().UnixNano()), rest.body()); err != nil {
			return err
		}
	}
	return job.Done(ctx)
}

// takeApart makes a task of each case: one of them may be what ends the workers.
func (h *hand) takeApart(ctx context.Context, s *posted, job *queue.Job, task span) error {
	for n := task.First; n < task.end(); n++ {
		alone := span{n, 1}
		if err := h.conn.Again(ctx, s.ID, alone.key(s.ID, h.build, time.Now().UnixNano()), alone.body()); err != nil {
			return err
		}
	}
	return job.Done(ctx)
}

// giveBack lets another have the task: this worker has not what it takes.
func (h *hand) giveBack(s *posted, job *queue.Job, why error) error {
	job.Back()
	if s.ctx.Err() != nil {
		return nil
	}
	h.Say(fmt.Sprintf("study %s: %v; trying again", s.ID, why))
	select {
	case <-s.ctx.Done():
	case <-time.After(h.Silence / 8):
	}
	return nil
}

// keepAlive tells the queue while the task is worked on; the returned function ends it.
func (h *hand) keepAlive(ctx context.Context, job *queue.Job) (stop func()) {
	ctx, cancel := context.WithCancel(ctx)
	go func() {
		for {
			select {
			case <-ctx.Done():
				return
			case <-time.After(h.Silence / 4):
				job.Alive()
			}
		}
	}()
	return cancel
}
