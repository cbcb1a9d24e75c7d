package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"noonkeep/cmd/internal/study"
)

// StudyText prints a study for a person: the finding, a row for each scenario, why cases were set aside, which key matters most,
// and what it rests on.
func StudyText(w io.Writer, s study.Summary) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", studyName(s))
	paragraphAt(&b, "", studyFinding(s, Whole)+".")
	b.WriteString("\n")
	paragraphAt(&b, "", studyHeading(s))
	b.WriteString("\n")
	t := studyTable(s)
	t.write(&b)
	if more := studyMore(s); more != "" {
		fmt.Fprintf(&b, "\n  %s.\n", more)
	}
	if len(s.Reasons) > 0 {
		fmt.Fprintf(&b, "\nWhy %s of %s cases were set aside\n\n", spaced(float64(s.SetAside), 0), spaced(float64(s.Done), 0))
		for _, r := range s.Reasons {
			reasonText(&b, r)
		}
		if told := reasonsTold(s); told < s.SetAside {
			fmt.Fprintf(&b, "  %6s  of other kinds; every case with its reason stands in results.parquet\n", spaced(float64(s.SetAside-told), 0))
		}
	}
	b.WriteString("\n")
	for _, text := range studySentences(s) {
		paragraphAt(&b, "", text)
	}
	fmt.Fprintf(&b, "\n%s\n", Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

func studyName(s study.Summary) string {
	if s.Name == "" {
		return "study " + s.Study
	}
	return s.Name
}

// reasonText prints one kind of reason with its count, and the first case of it.
func reasonText(b *strings.Builder, r study.Reason) {
	const in = "          "
	for i, line := range broken(r.Text, textWidth-len(in)) {
		lead := in
		if i == 0 {
			lead = fmt.Sprintf("  %6s  ", spaced(float64(r.Cases), 0))
		}
		b.WriteString(strings.TrimRight(lead+line, " ") + "\n")
	}
	text := fmt.Sprintf("case %d: %s, %s", r.Case, r.Scenario, r.Weather)
	if r.Cases > 1 {
		text = "for example " + text
	}
	for _, in := range r.Inputs {
		text += fmt.Sprintf(", %s = %s", in.Key, in.Value)
	}
	paragraphAt(b, in, text)
}

func reasonsTold(s study.Summary) int64 {
	told := int64(0)
	for _, r := range s.Reasons {
		told += r.Cases
	}
	return told
}

// studyShown are the scenarios that text and picture have room for.
func studyShown(s study.Summary) []study.ScenarioSummary {
	return s.Scenarios[:min(len(s.Scenarios), study.MostShown)]
}

// studyMore says how many scenarios have no room, without a full stop; empty if none.
func studyMore(s study.Summary) string {
	switch n := len(s.Scenarios) - study.MostShown; {
	case n == 1:
		return "One more scenario stands in study.csv"
	case n > 1:
		return fmt.Sprintf("%s more scenarios stand in study.csv", spaced(float64(n), 0))
	}
	return ""
}

// studyCurrency is the one currency of all scenarios that have one; empty where they differ or there is none.
func studyCurrency(s study.Summary) string {
	one := ""
	for _, x := range s.Scenarios {
		if x.Currency != "" && one != "" && x.Currency != one {
			return ""
		}
		if x.Currency != "" {
			one = x.Currency
		}
	}
	return one
}

func studyHeading(s study.Summary) string {
	whose, of := "each scenario's", "its own currency"
	if c := studyCurrency(s); c != "" {
		of = c
	}
	if len(s.Scenarios) == 1 {
		whose = "the scenario's"
	}
	return fmt.Sprintf("What %s own tank saves over no tank, %s a year (%% of cost: of the year's cost without one)", whose, of)
}

// studyFinding says what the cases come to, in one sentence without its full stop, its sums of money in a way of writing.
func studyFinding(s study.Summary, money func(float64) string) string {
	of := fmt.Sprintf("%s scenarios and %s solved cases", money(float64(len(s.Scenarios))), money(float64(s.Done-s.SetAside)))
	saved, show := s.All.SavingsFrac, func(frac float64) string { return percentWords(frac) + " of the year's cost without one" }
	if len(s.Scenarios) == 1 {
		x := s.Scenarios[0]
		of = fmt.Sprintf("%s solved cases of %s", money(float64(s.Done-s.SetAside)), x.Name)
		if x.SavingsVsNoStorage != nil {
			saved, show = x.SavingsVsNoStorage, func(v float64) string { return money(v) + " " + x.Currency + " a year over none" }
		}
	}
	if saved == nil {
		if s.Done == s.SetAside {
			return fmt.Sprintf("None of %s cases could be solved", money(float64(s.Done)))
		}
		return "Over " + of + ", there is no saving of a tank to tell of"
	}
	text := fmt.Sprintf("Over %s, the tank saves %s in half of them", of, show(saved.Mid()))
	low, _, _ := strings.Cut(show(saved.Low()), " of the year")
	low, _, _ = strings.Cut(low, " a year")
	if saved.Extremes() {
		return text + ", and " + low + " in the worst"
	}
	return text + ", and " + low + " in nine of ten"
}

// percentWords is a share to three digits at most.
func percentWords(frac float64) string {
	decimals := 1
	if math.Abs(frac) < 0.00995 {
		decimals = 2
	}
	return spaced(100*frac, decimals) + " %"
}
