package desk

import (
	"fmt"
	"math"
	"strings"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
	"noonkeep/scenarios"
)

// seen is one version of a scenario with what came of it.
type seen struct {
	Text     []byte
	Curve    answer.Answer // without points where there is none
	Plan     answer.Plan   // without steps where there is none
	VolumeM3 float64       // that the page shows; figures are taken there
	HeatKJKg float64       // of a kg of the plant's steam, for t of it; 0: heat stays in MWh
	Failed   string        // why there is no answer; "" where there is one
}

// changed is what a version gives otherwise than an earlier one.
type changed struct {
	Edits    []editLine
	Figures  []figure // none where one of the two has no answer
	Sentence string   // the main finding
	More     []string // the others worth telling, as `noonkeep compare` says them
	Rule     string   // how the best volumes are found, "" where there are none
	Nothing  bool     // no value is written otherwise
}

// editLine is one value that is written otherwise.
type editLine struct {
	Key      string
	What     string // "dye machines, night shift: hours"
	From, To string // as written, "" where there is none
	Text     string // the whole in words
}

// figure is one figure of both versions, as a page prints it.
type figure struct {
	Key                   string // as in `noonkeep compare --json`, and a few more
	What, Unit            string
	Before, After, Change string
	Worth                 bool // the difference is worth telling, by the thresholds of package answer
}

// changedOf sets a version beside an earlier one.
func changedOf(before, after seen, u units) changed {
	var out changed
	edits, err := scenarios.Changes(before.Text, after.Text)
	for _, e := range edits {
		out.Edits = append(out.Edits, editLineOf(e))
	}
	out.Nothing = err == nil && len(edits) == 0
	a, okA := atVolume(before)
	b, okB := atVolume(after)
	switch {
	case err != nil:
		out.Sentence = "What is written otherwise cannot be told: " + err.Error() + "."
	case !okA && !okB:
		out.Sentence = "Neither version has an answer" + because(after.Failed) + "."
	case !okB:
		out.Sentence = "This version has no answer" + because(after.Failed) + "."
	case !okA:
		out.Sentence = "The kept version has no answer" + because(before.Failed) + "; this one has."
	case a.currency != b.currency:
		out.Sentence = fmt.Sprintf("The kept version counts in %s and this one in %s, so their figures are not set side by side.", a.currency, b.currency)
	default:
		out.Rule = setBest(&a, &b, before.Curve, after.Curve)
		both := answer.Comparison{Cases: []answer.Compared{a.Compared, b.Compared}, Currency: b.currency}
		both.SetDifferences()
		out.Figures = figuresOf(a, b, both.Cases[1], units.filled(u))
		out.tell(both, before.VolumeM3, after.VolumeM3)
	}
	return out
}

func because(why string) string {
	if why == "" {
		return ""
	}
	return ": " + strings.TrimSuffix(why, ".")
}

// keyWords are the names of keys that a planner reads; of any other key its underscores become spaces.
var keyWords = map[string]string{
	"when": "hours", "rota": "rota", "rota_from": "first week of the rota", "season": "season", "breaks": "breaks", "count": "collectors",
	"aperture": "aperture of a collector", "per_m3": "price of one more m³", "per_m2": "price per m² of aperture",
	"per_collector": "price of a collector", "working_pressure": "working pressure", "steps": "volumes of the curve",
	"charged_from": "header that charges it", "unmet_price": "price of heat that is not met", "step": "step of time",
	"utc_offset": "clock ahead of UTC", "ghi": "sun by month", "air": "air by month", "wind": "wind by month",
	"file": "file", "boilers_may_charge": "heat from boilers into the store", "from_above": "valve from the header above",
}

// sectionWords are the lists whose entries have names of their own: what an entry is, when it is new or taken out.
var sectionWords = map[string]string{
	"loads": "load", "fields": "field", "boilers": "boiler", "fuels": "fuel", "headers": "header", "stores": "store",
	"limits": "limit", "variants": "variant", "doubt": "doubt",
}

func editLineOf(e scenarios.Edit) editLine {
	line := editLine{Key: e.Key, What: keyText(e.Key), From: e.From, To: e.To}
	switch {
	case e.From == "":
		line.Text = fmt.Sprintf("%s: new, %s", line.What, e.To)
	case e.To == "":
		line.Text = fmt.Sprintf("%s: taken out, was %s", line.What, e.From)
	default:
		line.Text = fmt.Sprintf("%s: %s, was %s", line.What, e.To, e.From)
	}
	return line
}

// keyText is the way to a value as a planner says it: "dishes: collectors", "store: price of one more m³".
func keyText(key string) string {
	head, rest := key, ""
	if open := strings.IndexByte(key, '['); open >= 0 && sectionWords[key[:open]] != "" {
		entry, _ := entryOf(key)
		name := strings.TrimSuffix(entry[open+1:], "]")
		if rest = strings.TrimPrefix(strings.TrimPrefix(key, entry), "."); rest == "" {
			return sectionWords[key[:open]] + " " + name
		}
		head = name
	} else {
		head, rest, _ = strings.Cut(key, ".")
		head = strings.ReplaceAll(head, "_", " ")
	}
	if rest == "" {
		return head
	}
	steps := strings.Split(rest, ".")
	last := steps[len(steps)-1]
	if word, known := keyWords[last]; known {
		return head + ": " + word
	}
	return head + ": " + strings.ReplaceAll(strings.Join(steps, ", "), "_", " ")
}

// tell sets the sentences. The main finding is of the page's question, how large a tank: then of what the year costs.
func (out *changed) tell(both answer.Comparison, wasM3, isM3 float64) {
	a, b := both.Cases[0], both.Cases[1]
	var main []string
	if d, has := b.Difference("unmet_kWh"); has && d.Worth {
		main = append(main, fmt.Sprintf("%s MWh %s of the heat is not met", sizeText((d.Is-d.Was)/1000), moreLess(d)))
	}
	if d, has := b.Difference("best_volume_m3"); has && d.Worth {
		main = append(main, fmt.Sprintf("the best volume %s from %s to %s", riseFall(d), bestText(a), bestText(b)))
	}
	if d, has := b.Difference("annual_cost"); has && d.Worth {
		main = append(main, fmt.Sprintf("the year costs %s %s %s%s", sizeText(d.Is-d.Was), both.Currency, moreLess(d), percentText(d)))
	}
	out.More = worthTelling(both, len(main) > 0)
	switch {
	case len(main) > 0:
		out.Sentence = sentence(strings.Join(main, ", and "))
	case len(out.More) > 0:
		out.Sentence, out.More = out.More[0], out.More[1:]
	case out.Nothing && wasM3 == isM3:
		out.Sentence = "Nothing has changed."
	case out.Nothing:
		out.Sentence = "No value is written otherwise, and the other volume shown changes nothing worth telling."
	default:
		out.Sentence = "What was changed makes no difference worth telling."
	}
}

func moreLess(d answer.Differ) string {
	if d.Is < d.Was {
		return "less"
	}
	return "more"
}

func riseFall(d answer.Differ) string {
	if d.Is < d.Was {
		return "falls"
	}
	return "rises"
}

func percentText(d answer.Differ) string {
	if d.Was == 0 {
		return ""
	}
	rounded, decimals := chart.Digits(100*math.Abs((d.Is-d.Was)/d.Was), 2)
	return fmt.Sprintf(" (%s %%)", chart.Thousands(rounded, min(decimals, 1)))
}

// bestText is a best volume, "63 m³" or "120 m³ or more".
func bestText(c answer.Compared) string {
	s := volumeText(*c.BestVolumeM3) + " m³"
	if *c.BestVolumeM3 == 0 {
		s = "none"
	}
	if c.BestAtEdge {
		s += " or more"
	}
	return s
}

// volumeText is a volume read off the curve: whole, or under ten to a tenth.
func volumeText(m3 float64) string {
	if m3 < 10 {
		return strings.TrimSuffix(chart.Thousands(m3, 1), ".0")
	}
	return chart.Thousands(m3, 0)
}

// sizeText is the size of a difference to three digits, whole from ten up: the model is not surer than that.
func sizeText(v float64) string {
	rounded, decimals := chart.Digits(math.Abs(v), 3)
	if rounded >= 10 {
		return chart.Thousands(rounded, 0)
	}
	return chart.Thousands(rounded, min(decimals, 1))
}

func sentence(s string) string { return strings.ToUpper(s[:1]) + s[1:] + "." }
