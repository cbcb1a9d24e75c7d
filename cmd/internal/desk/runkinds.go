package desk

import (
	"archive/zip"
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
	"noonkeep/optimize"
	"noonkeep/scenarios"
)

// tells is how a run says how far it is.
type tells = func(done, of int, what string)

// longKinds are what the page starts. Each asks what the command of its name asks when it is given no flags.
var longKinds = []runKind{
	{runKindView{"bid-quick", "Bid, quick", "The consultant's document for the volume of the scenario, without other years, doubt and minutes: some seconds."},
		func(ctx context.Context, c scenarios.Case, tell tells) (outcome, error) {
			return bid(ctx, c, answer.BidOptions{Seeds: -1, Cases: -1}, tell)
		}},
	{runKindView{"bid", "Bid", "The whole document, with good and bad years, what is not known for sure, and the plant by the minute: about half a minute for a plant like the examples."},
		func(ctx context.Context, c scenarios.Case, tell tells) (outcome, error) {
			return bid(ctx, c, answer.BidOptions{Play: true}, tell)
		}},
	{runKindView{"replay", "By the minute", "The plan and plainer ways of running, played through the vessel's physics: some seconds."}, replay},
	{runKindView{"doubt", "Doubt", "Two hundred cases of what is not known for sure: ten seconds and more."}, doubt},
	{runKindView{"years", "Many years", "Thirty years of weather, or all that were measured, one by one: some seconds."}, years},
}

// runKinds are the kinds as the page lists them.
func runKinds() []runKindView {
	var list []runKindView
	for _, k := range longKinds {
		list = append(list, k.runKindView)
	}
	return list
}

func bid(ctx context.Context, c scenarios.Case, opt answer.BidOptions, tell tells) (outcome, error) {
	opt.Progress = func(s optimize.Step) { tell(0, 0, "volumes solved") }
	b, err := answer.MakeBid(ctx, c, opt)
	if err != nil {
		return outcome{}, err
	}
	return gather("bid", func(w io.Writer) error { return report.BidText(w, b, report.BidStyle{}) },
		func(dir string) ([]string, error) { return report.BidFiles(dir, b, report.BidStyle{}) })
}

func replay(ctx context.Context, c scenarios.Case, tell tells) (outcome, error) {
	r, err := answer.PlayYear(ctx, c, answer.ReplayOptions{Progress: counted(tell, "volumes played")})
	if err != nil {
		return outcome{}, err
	}
	return gather("replay", func(w io.Writer) error { return report.ReplayText(w, r) }, func(dir string) ([]string, error) { return report.ReplayFiles(dir, r) })
}

func doubt(ctx context.Context, c scenarios.Case, tell tells) (outcome, error) {
	d, err := answer.Doubtful(ctx, c, answer.DoubtOptions{Seed: 1, Progress: counted(tell, "cases solved")})
	if err != nil {
		return outcome{}, err
	}
	return gather("doubt", func(w io.Writer) error { return report.DoubtText(w, d) }, func(dir string) ([]string, error) { return report.DoubtFiles(dir, d) })
}

func years(ctx context.Context, c scenarios.Case, tell tells) (outcome, error) {
	y, err := answer.ManyYears(ctx, c, answer.YearsOptions{Progress: counted(tell, "years solved")})
	if err != nil {
		return outcome{}, err
	}
	return gather("years", func(w io.Writer) error { return report.YearsText(w, y) }, func(dir string) ([]string, error) { return report.YearsFiles(dir, y) })
}

func counted(tell tells, what string) func(done, of int) {
	return func(done, of int) { tell(done, of, what) }
}

// gather takes what a report says, and its files as a zip.
func gather(name string, text func(io.Writer) error, write func(dir string) ([]string, error)) (outcome, error) {
	var said, packed bytes.Buffer
	if err := text(report.Plain(&said)); err != nil {
		return outcome{}, err
	}
	dir, err := os.MkdirTemp("", "noonkeep")
	if err != nil {
		return outcome{}, err
	}
	defer os.RemoveAll(dir)
	paths, err := write(dir)
	if err != nil {
		return outcome{}, err
	}
	z := zip.NewWriter(&packed)
	for _, path := range paths {
		if err := pack(z, path); err != nil {
			return outcome{}, err
		}
	}
	err = z.Close()
	return outcome{text: said.String(), name: name + ".zip", zip: packed.Bytes()}, err
}

func pack(z *zip.Writer, path string) error {
	text, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	w, err := z.Create(filepath.Base(path))
	if err == nil {
		_, err = w.Write(text)
	}
	return err
}
