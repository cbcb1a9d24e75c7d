package desk

import (
	"fmt"
	"html/template"
	"math"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"noonkeep/cmd/internal/report"
	"noonkeep/scenarios"
)

// pageOf fills all parts of a sheet's page.
func (d *Desk) pageOf(now snapshot, r, was solved) sheetPage {
	p := sheetPage{deskPage: d.deskPage(now.file), ID: now.id, File: now.file, Base: "/sheet/" + now.id, Rev: now.rev,
		View: queryOf(now.view), Day: max(0, now.view.day), Days: 365, Refresh: r.waiting}
	for _, c := range now.view.units.Choices() {
		sw := unitSwitch{What: c.What}
		for _, o := range c.Options {
			sw.Options = append(sw.Options, unitLink{o.Unit, queryWith(now.view, func(v *view) { v.units = parseUnits(o.Name) }), o.Chosen})
		}
		p.Units = append(p.Units, sw)
	}
	p.Bar = barView{UndoSays: now.undo, RedoSays: now.redo, Unsaved: now.unsaved(), Said: now.said}
	p.Answer = answerOf(r)
	p.Versions = versionsView{Kept: d.keptOf(now.file, now.view.against), Typed: now.typed["keep"]}
	p.Text = textOf(now)
	p.Versions.Fault, now.faults = apart(now)
	p.Runs = runsView{Kinds: runKinds(), Runs: d.runs.views(now.id)}
	p.Conflict = conflictOf(now)
	if now.stale {
		p.Faults = append(p.Faults, errBehind.Error())
	}
	if r.bad == nil && r.c.Headers != nil {
		d.plantParts(&p, now, r, was)
	} else {
		p.Changed = d.changedPart(now, r, was)
		for _, f := range now.faults {
			p.Faults = append(p.Faults, f.headText())
		}
	}
	return p
}

// apart takes out of a sheet's faults what has its own place: that of a version's name, and those of a refused text, whose lines stand
// beside it. The rest goes beside the plant's fields or to the head.
func apart(now snapshot) (keep string, rest []fault) {
	if _, text := now.typed["text"]; text && len(now.faults) > 0 {
		return "", []fault{{"", "The text was not taken; what is wrong in it stands beside it."}}
	}
	for _, f := range now.faults {
		if _, typed := now.typed["keep"]; typed && f.Key == "keep" {
			keep = f.Text
			continue
		}
		rest = append(rest, f)
	}
	return keep, rest
}

// plantParts fills the parts that want a plant: knobs, weeks and what was solved.
func (d *Desk) plantParts(p *sheetPage, now snapshot, r, was solved) {
	knobs, weeks := knobsOf(r.c, now.view.units), weeksOf(r.c, now.view.perDay)
	if was.bad == nil && was.c.Headers != nil {
		steady(knobs, knobsOf(was.c, now.view.units))
	}
	var keys []string
	for _, k := range knobs {
		keys = append(keys, k.Key)
	}
	for _, w := range weeks {
		if w.Key != "" {
			keys = append(keys, w.Key)
		}
	}
	beside, head := placed(now.faults, keys)
	p.Faults = append(p.Faults, head...)
	p.Knobs = knobParts(knobs, beside, now.typed)
	p.Weeks = weekParts(now, r.c, weeks, beside)
	p.Changed = d.changedPart(now, r, was)
	p.DayPart, p.Year = dayView{Waiting: r.waiting}, yearView{Waiting: r.waiting}
	if !r.ok() {
		return
	}
	if len(r.curve.Points) > 1 {
		p.Curve = curvePart(now, r, was, knobs)
	}
	p.Days = len(r.plan.DemandKW) / stepsPerDay(r.plan)
	if p.Day = min(now.view.day, p.Days-1); now.view.day == anyDay {
		p.Day = busyDay(r.plan, p.Days)
	}
	p.DayPart = dayPart(now, r, p.Day)
	p.Year = yearPart(now, r)
}

func stepsPerDay(p planned) int { return int(math.Round(24 / p.Axis.StepH())) }

func queryOf(v view) string {
	q := url.Values{"fine": {strconv.Itoa(24 * 60 / v.perDay)}, "units": {v.units.Name()}}
	if v.day != anyDay {
		q.Set("day", strconv.Itoa(v.day))
	}
	if v.against != "" {
		q.Set("against", v.against)
	}
	return q.Encode()
}

func queryWith(v view, change func(*view)) template.URL {
	change(&v)
	return template.URL(queryOf(v))
}

// readView takes a page's choices from a query; what is not there or not to be had stays as it was.
func readView(v *view, q url.Values) {
	if day, err := strconv.Atoi(q.Get("day")); err == nil && day >= 0 && day < 366 {
		v.day = day
	}
	if minutes, err := strconv.Atoi(q.Get("fine")); err == nil && minutes > 0 && slices.Contains(finerGrids, 24*60/minutes) {
		v.perDay = 24 * 60 / minutes
	}
	if q.Has("units") {
		v.units = parseUnits(q.Get("units"))
	}
	if q.Has("against") {
		v.against = q.Get("against")
	}
}

func answerOf(r solved) answerView {
	v := answerView{Waiting: r.waiting}
	for _, w := range r.c.Warnings {
		v.Warnings = append(v.Warnings, w.Text)
	}
	switch {
	case r.bad != nil:
		v.Failed = linesOf(r.bad)
	case r.err != nil:
		v.Failed = linesOf(r.err)
	case r.waiting:
	case len(r.curve.Points) == 0:
		v.Sentence = "This plant has no store yet: add a section store to its text, and the curve of volumes is drawn here."
	default:
		v.Sentence = strings.ReplaceAll(report.Finding(r.curve), "\n", " ")
		if pays(r.curve) {
			v.At, v.Sentence = []string{v.Sentence}, report.StopsText(r.curve)
		}
		v.At = append(v.At, atSentences(r)...)
		v.Sentence = unbroken(v.Sentence)
		for i := range v.At {
			v.At[i] = unbroken(v.At[i])
		}
		v.Proof = fmt.Sprintf("Each point is a plan proven to be the cheapest (%s, residuals at most %s); between points the curve lies within %s %% of its range below a proven bound. Sun and demand are taken as known.",
			r.curve.Engine, report.Tiny(math.Max(r.curve.Proof.DualityGap, 0)), numberText(100*math.Max(r.curve.CertifiedGap, 0)))
	}
	return v
}

// atSentences say what the chosen volume saves and earns.
func atSentences(r solved) []string {
	a, m3 := r.curve, r.c.Store.VolumeM3
	p, plant, tank := between(a.Points, m3)
	say := []string{fmt.Sprintf("%s m³ saves %s %s a year against the same plant without a store, and %s %s against boilers alone.",
		sizeText(m3), report.Sum3(p.SavingsVsNoStorage), a.Currency, report.Sum3(p.SavingsVsBoilersOnly), a.Currency)}
	next := fmt.Sprintf("The next m³ saves %s %s a year", report.Sum3(p.MarginalSavingsPerM3), a.Currency)
	if costs := r.c.StoreYearly(); costs != nil {
		if _, one := costs(m3); one > 0 && !math.IsInf(one, 0) {
			next += fmt.Sprintf(" and has to save %s to pay its price", report.Sum3(one))
		}
	}
	say = append(say, next+".")
	for _, e := range []struct {
		of string
		earned
	}{{"The tank alone", tank}, {"Sun and tank together", plant}} {
		if e.npv == nil {
			continue
		}
		text := fmt.Sprintf("%s: net present value %s %s", e.of, report.Sum3(*e.npv), a.Currency)
		if e.paybackA != nil {
			text += fmt.Sprintf(", paid back in %s a", report.Tenths(*e.paybackA))
		}
		say = append(say, text+".")
	}
	return say
}

var spaceInNumber = regexp.MustCompile(`(\d) ([\d%])`)

// unbroken keeps a line from ending inside a number, and before its %.
func unbroken(sentence string) string {
	return spaceInNumber.ReplaceAllString(sentence, "${1}\u00a0${2}")
}

func linesOf(err error) []string {
	return strings.Split(strings.TrimSpace(err.Error()), "\n")
}

// steady keeps a slider's range what it was for the version before, so that it does not change under the hand; a value beyond it
// has a range of its own.
func steady(knobs, before []knob) {
	for i := range knobs {
		k := &knobs[i]
		at := slices.IndexFunc(before, func(b knob) bool { return b.Key == k.Key && b.Unit == k.Unit && b.Max > 0 })
		if at >= 0 && k.Max > 0 && k.Number >= before[at].Min && k.Number <= before[at].Max {
			k.Min, k.Max, k.Step = before[at].Min, before[at].Max, min(k.Step, before[at].Step)
			if !onStep(k.Number-k.Min, before[at].Step) {
				continue
			}
			k.Step = before[at].Step
		}
	}
}

func knobParts(knobs []knob, beside map[string][]string, typed map[string]string) knobsView {
	var v knobsView
	for _, k := range knobs {
		kv := knobView{knob: k, Slug: slug(k.Key), Value: k.Written, Faults: beside[k.Key],
			MinS: plainNumber(k.Min), MaxS: plainNumber(k.Max), StepS: plainNumber(k.Step), NumberS: plainNumber(k.Number)}
		if text, there := typed[k.Key]; there {
			kv.Value = text
		}
		if n := len(v.Groups); n == 0 || v.Groups[n-1].Name != k.Group {
			v.Groups = append(v.Groups, knobGroup{Name: k.Group})
		}
		g := &v.Groups[len(v.Groups)-1]
		g.Knobs = append(g.Knobs, kv)
	}
	return v
}

func textOf(now snapshot) textView {
	v := textView{Text: string(now.text)}
	before := map[string]int{}
	for line := range strings.SplitSeq(string(now.base), "\n") {
		before[line]++
	}
	for i, line := range strings.Split(strings.TrimSuffix(string(now.text), "\n"), "\n") {
		isNew := before[line] == 0
		before[line]--
		v.Lines = append(v.Lines, textLine{N: i + 1, Text: line, New: isNew})
	}
	if typed, there := now.typed["text"]; there {
		v.Text = typed
		for _, f := range now.faults {
			v.Faults = append(v.Faults, f.headText())
		}
	}
	return v
}

func conflictOf(now snapshot) *conflictView {
	if now.conflict == nil {
		return nil
	}
	v := &conflictView{Why: now.conflict.Error(), Gone: now.conflict.Now == nil}
	theirs, _ := scenarios.Changes(now.base, now.conflict.Now)
	for _, e := range theirs {
		v.Theirs = append(v.Theirs, editLineOf(e))
	}
	mine, _ := scenarios.Changes(now.base, now.text)
	for _, e := range mine {
		v.Mine = append(v.Mine, editLineOf(e))
	}
	return v
}

func (d *Desk) changedPart(now snapshot, r, was solved) changedView {
	v := changedView{Against: "the file as it is on disk", Options: d.keptOf(now.file, now.view.against), Waiting: r.waiting || was.waiting}
	if now.conflict != nil {
		v.Against = "the file as it was opened here"
	}
	if now.view.against != "" {
		v.Against = "the kept version " + now.view.against
	}
	if was.text != nil && !v.Waiting {
		v.changed = changedOf(was.seen(), r.seen(), now.view.units)
		v.Sentence = unbroken(v.Sentence)
	}
	return v
}

// seen is a result as package answer's comparison wants it.
func (r solved) seen() seen {
	s := seen{Text: r.text, Curve: r.curve, Plan: r.plan}
	if r.c.Store != nil {
		s.VolumeM3 = r.c.Store.VolumeM3
	}
	if len(r.c.Headers) > 0 {
		s.HeatKJKg = r.c.Headers[0].HeatKJKg
	}
	switch {
	case r.bad != nil:
		s.Failed = linesOf(r.bad)[0]
	case r.err != nil:
		s.Failed = linesOf(r.err)[0]
	}
	return s
}

// keptOf are the kept versions of a file.
func (d *Desk) keptOf(file, against string) []keptView {
	return keptViews(entry{File: file, Kept: d.folder.keptOf(file)}, against)
}

func keptViews(e entry, against string) []keptView {
	var list []keptView
	for _, name := range e.Kept {
		if file, err := keptFile(e.File, name); err == nil {
			list = append(list, keptView{Name: name, File: file, Open: "/open/" + url.PathEscape(file), Chosen: name == against})
		}
	}
	return list
}

func pictures(list ...func() (string, error)) []template.HTML {
	var out []template.HTML
	for _, draw := range list {
		if svg, err := draw(); err == nil {
			out = append(out, template.HTML(svg))
		} else {
			out = append(out, template.HTML(`<p class="fault">`+template.HTMLEscapeString("not drawn: "+err.Error())+`</p>`))
		}
	}
	return out
}
