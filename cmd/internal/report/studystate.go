package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"
)

// StudyAt is how far a study is.
type StudyAt struct {
	ID, Name, State    string
	Done, Of, SetAside int64
	CasesPerS          float64 // 0: not known
	Workers            int
	Started, At        time.Time
}

// StudyWorker is a machine that solves cases.
type StudyWorker struct {
	Host, Build string
	Jobs        int
	Cases       int64
}

// StudyProgress is one line for a person who waits. left is 0 where it is not known; away: the queue cannot be reached.
func StudyProgress(at StudyAt, left time.Duration, away bool) string {
	parts := []string{studyDone(at)}
	if at.CasesPerS > 0 {
		parts = append(parts, rateWords(at.CasesPerS))
	}
	if left > 0 {
		parts = append(parts, spanWords(left)+" left")
	}
	if at.Workers > 0 {
		parts = append(parts, counted(at.Workers, "worker"))
	}
	if away {
		parts = append(parts, "the server cannot be reached, waiting for it")
	}
	return strings.Join(parts, ", ")
}

func studyDone(at StudyAt) string {
	text := fmt.Sprintf("%s of %s cases", spaced(float64(at.Done), 0), spaced(float64(at.Of), 0))
	if at.SetAside > 0 {
		text += fmt.Sprintf(", %s set aside", spaced(float64(at.SetAside), 0))
	}
	return text
}

// rateWords is a rate in cases a second, or a minute where that is under one.
func rateWords(perS float64) string {
	if perS < 1 {
		return fmt.Sprintf("%.2g a minute", 60*perS)
	}
	if perS < 10 {
		return fmt.Sprintf("%.1f a second", perS)
	}
	return fmt.Sprintf("%s a second", spaced(math.Round(perS), 0))
}

// spanWords is a time that one waits, in the two units that matter.
func spanWords(d time.Duration) string {
	switch s := int(math.Ceil(d.Seconds())); {
	case s < 60:
		return fmt.Sprintf("%d s", s)
	case s < 3600:
		return fmt.Sprintf("%d min %d s", s/60, s%60)
	case s < 48*3600:
		return fmt.Sprintf("%d h %d min", s/3600, s/60%60)
	default:
		return fmt.Sprintf("%d days %d h", s/86400, s/3600%24)
	}
}

// StudyState prints how far the study in a folder is.
func StudyState(w io.Writer, dir string, at StudyAt) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s: %s, %s\n", dir, at.Name, at.State, studyDone(at))
	if at.State == "running" && at.CasesPerS > 0 {
		left := time.Duration(float64(at.Of-at.Done) / at.CasesPerS * float64(time.Second))
		fmt.Fprintf(&b, "%s, %s left, %s\n", rateWords(at.CasesPerS), spanWords(left), counted(at.Workers, "worker"))
	}
	fmt.Fprintf(&b, "begun %s, as of %s\n", at.Started.Format(time.RFC3339), at.At.Format(time.RFC3339))
	_, err := io.WriteString(Plain(w), b.String())
	return err
}

// StudyServer prints the studies that a server has, and the workers that it hears of.
func StudyServer(w io.Writer, studies []StudyAt, workers []StudyWorker) error {
	var b strings.Builder
	if len(studies) == 0 {
		b.WriteString("no study is on the server\n")
	} else {
		t := table{names: 3, head: [][]string{{"study", "id", "state", "done", "of", "set aside", "as of"}}}
		for _, s := range studies {
			t.rows = append(t.rows, []string{s.Name, s.ID, s.State, spaced(float64(s.Done), 0), spaced(float64(s.Of), 0), spaced(float64(s.SetAside), 0), s.At.UTC().Format("15:04:05 UTC")})
		}
		t.write(&b)
	}
	b.WriteString("\n")
	if len(workers) == 0 {
		b.WriteString("no worker is there\n")
	} else {
		t := table{names: 2, head: [][]string{{"worker on", "build", "cases at once", "cases solved"}}}
		for _, x := range workers {
			t.rows = append(t.rows, []string{x.Host, x.Build, fmt.Sprint(x.Jobs), spaced(float64(x.Cases), 0)})
		}
		t.write(&b)
	}
	_, err := io.WriteString(Plain(w), b.String())
	return err
}
