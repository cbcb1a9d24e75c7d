package report

import (
	"fmt"
	"io"
	"strings"

	"noonkeep/cmd/internal/answer"
)

// SizeStoreText prints the size of the store alone.
func SizeStoreText(w io.Writer, s answer.SizeStore) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s\n\n", s.Scenario, sizeStoreFinding(s))
	sizeMoneyText(&b, s)
	if text := leastText(s.Least) + varied(s.Store, s.Kept); text != "" {
		b.WriteString(text[1:] + "\n")
	}
	if s.NoCurve {
		fmt.Fprintf(&b, "%s\n%s\n", wrapped("What a store saves cannot be said, since without one the heat does not suffice; with unmet_price on the headers there is a curve."), Cautions)
		_, err := io.WriteString(w, b.String())
		return err
	}
	if s.Best.VolumeM3 > 0 {
		if s.Money != nil {
			b.WriteString("WHAT IS SAVED, whatever the tank costs\n")
		}
		for _, r := range []struct{ what, value string }{
			{"saves most", fmt.Sprintf("%s m³", Volume(s.Best.VolumeM3))},
			{"  a year, over no store", fmt.Sprintf("%s %s", Whole(s.Best.SavingsVsNoStorage), s.Currency)},
			{"  a year, over boilers alone", fmt.Sprintf("%s %s", Whole(s.Best.Savings), s.Currency)},
			{"saves half of that", shortM3(s.HalfM3) + " m³"},
			{"saves nine tenths of that", shortM3(s.NineTenthsM3) + " m³"},
			{"saves 99 % of that or more", fmt.Sprintf("%s to %s m³", shortM3(s.Within1.FromM3), shortM3(s.Within1.ToM3))},
			{fmt.Sprintf("no volume up to %s m³ saves more than", Volume(s.ToM3)), fmt.Sprintf("%s %s", Whole(s.UpperBound), s.Currency)},
		} {
			fmt.Fprintf(&b, "  %-44s %16s\n", r.what, r.value)
		}
		b.WriteString("\n")
	}
	fmt.Fprintf(&b, "%s\nVolumes are read off the certified curve, which lies within %s %% of its range between proven points.\n%s\n",
		storeCosts(s), twoDigits(100*s.CertifiedGap), Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

func sizeStoreFinding(s answer.SizeStore) string {
	switch {
	case s.Money != nil:
		return moneyFinding(s)
	case s.NoCurve:
		return fmt.Sprintf("%s m³ are the smallest store with which no heat is missing.", leastM3(s.Least.VolumeM3))
	case s.Best.VolumeM3 == 0:
		return "No store saves anything here: its losses cost more than it brings."
	case s.BestAtEdge:
		return fmt.Sprintf("%s m³ save most, %s %s a year over no store; that lies at the edge of what was asked:\nthe next m³ still saves %s %s a year.",
			Volume(s.Best.VolumeM3), Whole(s.Best.SavingsVsNoStorage), s.Currency, Whole(s.Best.MarginalSavingsPerM3), s.Currency)
	}
	return fmt.Sprintf("%s m³ save most, %s %s a year over no store; a larger store costs more heat than it saves.",
		Volume(s.Best.VolumeM3), Whole(s.Best.SavingsVsNoStorage), s.Currency)
}

// SizeStoreFiles draws the curve into dir with the best volume marked, writes its points and the size
// beside it, and returns the paths.
func SizeStoreFiles(dir string, s answer.SizeStore) ([]string, error) {
	if s.NoCurve {
		return writeFiles(dir, []file{{"size.json", func(w io.Writer) error { return JSON(w, s) }}})
	}
	picture := curveChart(s.Curve)
	picture.Title, picture.MarkM3 = strings.ReplaceAll(sizeStoreFinding(s), "\n", " "), s.Best.VolumeM3
	if s.Money != nil && s.Money.VolumeM3 != nil {
		picture.MarkM3 = *s.Money.VolumeM3
		if yearly := s.Money.YearlyPerM3; yearly != nil {
			picture.CostM3 = *yearly
		}
	}
	return writeFiles(dir, append(pictures("size", picture),
		file{"size.csv", func(w io.Writer) error { return CurveCSV(w, s.Curve) }},
		file{"size.json", func(w io.Writer) error { return JSON(w, s) }}))
}
