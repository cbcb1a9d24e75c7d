package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
	"noonkeep/cmd/internal/study/crew"
	"noonkeep/cmd/internal/study/queue"
	"noonkeep/cmd/internal/study/table"
)

func newStudyStatus(s streams) *cobra.Command {
	var nats string
	var json bool
	cmd := &cobra.Command{
		Use:   "status [FOLDER]",
		Short: "Say how far a study is",
		Long: `Say how far the study in FOLDER is: cases done and set aside, how many a second, the time left. With
--nats, say it of every study that the server has, and which workers are there.

` + statuses,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			switch {
			case nats != "" && len(args) == 0:
				return serverStatus(cmd.Context(), s, nats, json)
			case nats == "" && len(args) == 1:
				return folderStatus(s, args[0], json)
			}
			return fmt.Errorf("study status: want one FOLDER, or --nats and a URL")
		},
	}
	cmd.Flags().StringVar(&nats, "nats", "", "ask the JetStream server at this `URL`")
	cmd.Flags().BoolVar(&json, "json", false, "print one JSON object and nothing else")
	return cmd
}

func folderStatus(s streams, dir string, json bool) error {
	state, err := crew.ReadState(dir)
	if err != nil {
		return err
	}
	if state.State == crew.Running && !crew.Held(dir) {
		state.State = crew.Interrupted // its process is no more
	}
	if json {
		return written(report.JSON(s.out, state))
	}
	return written(report.StudyState(s.out, dir, report.StudyAt{Name: state.Name, State: state.State, Done: state.Done, Of: state.Of, SetAside: state.SetAside,
		CasesPerS: state.Rate, Workers: state.Workers, Started: state.Started, At: state.At}))
}

func serverStatus(ctx context.Context, s streams, url string, json bool) error {
	conn, err := queue.Dial(ctx, queue.Options{URL: url, Name: "noonkeep study status"})
	if err != nil {
		return err
	}
	defer conn.Close()
	studies, err := conn.Studies(ctx)
	if err != nil {
		return studyFault(err)
	}
	workers, err := conn.Workers(ctx)
	if err != nil {
		return studyFault(err)
	}
	if json {
		return written(report.JSON(s.out, map[string]any{"studies": studies, "workers": workers}))
	}
	var at []report.StudyAt
	for _, x := range studies {
		at = append(at, report.StudyAt{ID: x.ID, Name: x.Name, State: x.State, Done: x.Done, Of: x.Of, SetAside: x.SetAside, At: x.Beat})
	}
	var crews []report.StudyWorker
	for _, w := range workers {
		crews = append(crews, report.StudyWorker{Host: w.Host, Jobs: w.Jobs, Cases: w.Cases, Build: w.Build})
	}
	return written(report.StudyServer(s.out, at, crews))
}

func newStudyCancel(s streams) *cobra.Command {
	return &cobra.Command{
		Use:   "cancel FOLDER",
		Short: "End a study; what is done is kept",
		Long: `End the study in FOLDER, whoever runs it: workers stop, what is handed out is taken back, and the
cases that are done are kept. Running the study again goes on from there.

` + statuses,
		Args: one("FOLDER"),
		RunE: func(cmd *cobra.Command, args []string) error { return cancelStudy(cmd.Context(), s, args[0]) },
	}
}

// cancelStudy tells the process that runs the study, or where there is none any more, its server.
func cancelStudy(ctx context.Context, s streams, dir string) error {
	state, err := crew.ReadState(dir)
	if err != nil {
		return err
	}
	switch {
	case state.State == crew.Done:
		return fmt.Errorf("%s: the study is done; there is nothing to cancel", dir)
	case crew.Held(dir):
		if err := crew.Cancel(dir); err != nil {
			return &answer.Failed{Err: err}
		}
	case state.Server != "":
		conn, err := queue.Dial(ctx, queue.Options{URL: state.Server, Name: "noonkeep study cancel"})
		if err != nil {
			return err
		}
		defer conn.Close()
		if err := conn.Cancel(ctx, state.Study); err != nil {
			return studyFault(err)
		}
	default:
		return fmt.Errorf("%s: nobody runs the study, so there is nothing to cancel; noonkeep study goes on with it", dir)
	}
	_, err = fmt.Fprintf(s.out, "%s: told to end; %d of %d cases were done\n", dir, state.Done, state.Of)
	return written(err)
}

func newStudyResults(s streams) *cobra.Command {
	var asCSV, json bool
	cmd := &cobra.Command{
		Use:   "results FOLDER",
		Short: "Show the results that a study has so far",
		Long: `Show what the cases of the study in FOLDER come to; while it runs, those that are done. With --csv,
print every case as a line. results.parquet and the files under parts/ are plain Parquet.

` + statuses,
		Args: one("FOLDER"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if asCSV && json {
				return fmt.Errorf("study results: --csv and --json: want one of the two")
			}
			if asCSV {
				return resultsCSV(s, args[0])
			}
			return results(cmd.Context(), s, args[0], json)
		},
	}
	cmd.Flags().BoolVar(&asCSV, "csv", false, "print every case as a line of CSV")
	cmd.Flags().BoolVar(&json, "json", false, "print one JSON object and nothing else")
	return cmd
}

func resultsCSV(s streams, dir string) error {
	head, rows, err := crew.Rows(dir)
	if err != nil {
		return err
	}
	return written(table.CSV(s.out, head, rows))
}

func results(ctx context.Context, s streams, dir string, json bool) error {
	plan, err := crew.PlanIn(dir)
	if err != nil {
		return err
	}
	sum, err := summed(ctx, plan, dir)
	if err != nil {
		return studyFault(err)
	}
	return deliver(ctx, s, "", json, sum, nil, func(w io.Writer) error { return report.StudyText(w, sum) })
}
