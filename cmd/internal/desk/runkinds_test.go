package desk

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
	"noonkeep/scenarios"
)

// workOf is what a kind of run does.
func workOf(t *testing.T, kind string) func(context.Context, scenarios.Case, tells) (outcome, error) {
	t.Helper()
	at := slices.IndexFunc(longKinds, func(k runKind) bool { return k.Kind == kind })
	if at < 0 {
		t.Fatalf("there is no run %q", kind)
	}
	return longKinds[at].work
}

func caseOf(t *testing.T, name string) scenarios.Case {
	t.Helper()
	c, err := scenarios.Parse(name+".yaml", example(t, name), nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// unpacked is a zip's files by their names.
func unpacked(t *testing.T, packed []byte) map[string][]byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(packed), int64(len(packed)))
	if err != nil {
		t.Fatal(err)
	}
	all := map[string][]byte{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if all[f.Name], err = io.ReadAll(r); err != nil {
			t.Fatal(err)
		}
		r.Close()
	}
	return all
}

// The page's bid is the command's, noonkeep bid --quick: its words and each of its files, byte for byte.
func TestRunBringsTheCommandsFiles(t *testing.T) {
	t.Parallel()
	unraced(t)
	ctx, c := context.Background(), caseOf(t, "dyehouse")
	told := 0
	got, err := workOf(t, "bid-quick")(ctx, c, func(int, int, string) { told++ })
	if err != nil {
		t.Fatal(err)
	}
	b, err := answer.MakeBid(ctx, c, answer.BidOptions{Seeds: -1, Cases: -1})
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	paths, err := report.BidFiles(dir, b, report.BidStyle{})
	if err != nil {
		t.Fatal(err)
	}
	var says bytes.Buffer
	if err := report.BidText(report.Plain(&says), b, report.BidStyle{}); err != nil || got.text != says.String() {
		t.Errorf("it says %s, %v; want %s", got.text, err, says.String())
	}
	packed := unpacked(t, got.zip)
	if got.name != "bid.zip" || len(packed) != len(paths) || len(paths) < 10 || told == 0 {
		t.Errorf("%s has %d files, told %d times; the command writes %d", got.name, len(packed), told, len(paths))
	}
	for _, path := range paths {
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if file := filepath.Base(path); !bytes.Equal(packed[file], want) {
			t.Errorf("%s has %d bytes in the zip and differs from the command's, of %d", file, len(packed[file]), len(want))
		}
	}
}

// A run that is given up brings nothing, whatever its kind; what went wrong otherwise is the command's own error.
func TestRunsGiveUp(t *testing.T) {
	t.Parallel()
	unraced(t)
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	c := caseOf(t, "dyehouse")
	seen := map[string]bool{}
	for _, k := range longKinds {
		if out, err := k.work(gone, c, func(int, int, string) {}); !errors.Is(err, context.Canceled) || out.zip != nil || out.text != "" {
			t.Errorf("%s: given up at once it brings %d bytes, %v", k.Kind, len(out.zip), err)
		}
		if seen[k.Kind] || seen[k.Name] || k.Name == "" || k.About == "" {
			t.Errorf("%+v: two kinds of one name, or one of none", k.runKindView)
		}
		seen[k.Kind], seen[k.Name] = true, true
	}
	if len(runKinds()) != len(longKinds) {
		t.Errorf("the page lists %d kinds", len(runKinds()))
	}
}
