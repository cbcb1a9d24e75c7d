package report

import (
	"fmt"
	"math"
	"strings"

	"noonkeep/cmd/internal/answer"
)

// leastGapPercent is as near as a plan of boilers on and off is said to lie to the best.
const leastGapPercent = 0.01

// proof says how a reader checks the document, and who says what.
func (w *bidWriter) proof(b answer.Bid) {
	w.begin("proof", w.Say("proof"))
	p := b.Curve.Proof
	volume := w.short(b.Chosen.VolumeM3)
	w.add(bidBlock{Class: "lead", Para: w.Say("proof.text", "volume", volume, "steps", w.exact(float64(b.Curve.Steps), 0),
		"cost", w.exact(b.Chosen.AnnualCost, 2), "currency", b.Curve.Currency)})
	w.para(w.Say("proof.how", "command", exportCommand(b), "primal", w.tiny(p.PrimalResidual), "dual", w.tiny(p.DualResidual), "gap", w.tiny(p.DualityGap)))
	if tankCase(b) != nil || plantCase(b) != nil {
		w.para(w.Say("proof.sheet"))
	}
	if o := b.Curve.OnOff; o != nil && o.AnnualCost != nil {
		w.para(w.Say("proof.onoff", "real", w.exact(*o.AnnualCost, 2), "currency", b.Curve.Currency, "share", w.figure(math.Max(100**o.GapFrac, leastGapPercent))))
	}
	w.head(w.Say("proof.who"))
	w.into(w.Say("proof.who.text", "file", b.Place.File))
	t := &bidTable{Caption: w.Say("proof.table"), Head: []bidHead{{Text: w.Say("proof.part")}, {Text: w.Say("proof.ground")}, {Text: w.Say("proof.note")}, {Text: w.Say("proof.says"), Quoted: true}}}
	for _, x := range b.Bases {
		name := w.part(x)
		t.add(name, w.Say("ground."+string(x.Ground)), w.Say("ground."+string(x.Ground)+".text"), x.Text)
	}
	t.add(w.Say("part.results"), w.Say("ground.computed"), w.Say("ground.computed.text"), "")
	w.table(t)
	w.head(w.Say("unknown"))
	w.list(w.unknown(b))
}

func (w *bidWriter) part(x answer.Basis) string {
	switch x.Of {
	case answer.BasisLoad, answer.BasisBoiler, answer.BasisField:
		return w.Say("part."+x.Of, "name", x.Name)
	}
	return w.Say("part." + x.Of)
}

// exportCommand is what a reader types to check the answer.
func exportCommand(b answer.Bid) string {
	store := ""
	if b.Curve.Store != "" {
		store = fmt.Sprintf(" --store %q", b.Curve.Store)
	}
	return fmt.Sprintf("noonkeep export %s --volume %s%s --mps plant.mps", b.Place.File, Volume(b.Chosen.VolumeM3), store)
}

// unknown lists what nobody may take the document for.
func (w *bidWriter) unknown(b answer.Bid) []string {
	var list []string
	if b.Played == nil {
		list = append(list, w.Say("unknown.operator"), w.Say("unknown.minutes", "step", w.short(60*b.Curve.StepH)))
	}
	if tankCase(b) == nil {
		list = append(list, w.Say("unknown.money"))
	}
	if b.Years == nil {
		list = append(list, w.Say("unknown.years"))
	}
	return append(list, w.Say("unknown.site"), w.Say("unknown.future"))
}

// inputs lists all that was written, by section, and all that was filled in.
func (w *bidWriter) inputs(b answer.Bid) {
	w.begin("inputs", w.Say("inputs"))
	w.into(w.Say("inputs.text", "file", b.Place.File))
	var t *bidTable
	last := ""
	flush := func() {
		if t != nil {
			w.table(t)
		}
	}
	for _, in := range b.Inputs {
		if in.Assumed != "" {
			continue
		}
		section := topKey(in.Key)
		if section != last {
			flush()
			t, last = &bidTable{Class: "inputs", Caption: w.Say("inputs.table", "section", section),
				Head: []bidHead{{Text: w.Say("inputs.key")}, {Text: w.Say("inputs.value")}, {Text: w.Say("inputs.line"), Number: true}}}, section
		}
		line := w.Say("inputs.asked")
		if in.Line > 0 {
			line = fmt.Sprint(in.Line)
		}
		t.add(in.Key, in.Value, line)
	}
	flush()
	w.assumed(b)
}

// topKey is the section of a key; what stands outside any belongs to the scenario.
func topKey(key string) string {
	if i := strings.IndexAny(key, ".["); i > 0 {
		return key[:i]
	}
	return "scenario"
}

func (w *bidWriter) assumed(b answer.Bid) {
	var sections []string
	rows := map[string][]answer.Input{}
	for _, in := range b.Inputs {
		if in.Assumed == "" {
			continue
		}
		section := topKey(in.Key)
		if rows[section] == nil {
			sections = append(sections, section)
		}
		rows[section] = append(rows[section], in)
	}
	if len(sections) == 0 {
		return
	}
	w.head(w.Say("assumed"))
	w.into(w.Say("assumed.text"))
	for _, section := range sections {
		t := &bidTable{Class: "inputs assumed", Caption: w.Say("assumed.table", "section", section),
			Head: []bidHead{{Text: w.Say("inputs.key")}, {Text: w.Say("inputs.value"), Quoted: true}, {Text: w.Say("assumed.why"), Quoted: true}}}
		for _, in := range rows[section] {
			t.add(in.Key, in.Value, in.Assumed)
		}
		w.table(t)
	}
}

// doubts quotes what the check doubts and how the program is simpler than the plant.
func (w *bidWriter) doubts(b answer.Bid) {
	w.begin("doubts", w.Say("doubts"))
	if len(b.Curve.Warnings) == 0 {
		w.para(w.Say("doubts.none"))
	} else {
		w.into(w.Say("doubts.text"))
		var list []string
		for _, n := range b.Curve.Warnings {
			text := n.Text
			if n.Line > 0 {
				text = fmt.Sprintf("line %d: %s", n.Line, text)
			}
			list = append(list, text)
		}
		w.add(bidBlock{List: list, Lang: quotedLang})
	}
	w.into(w.Say("simpler.text"))
	var terms []bidTerm
	for _, r := range b.Plant.Relaxations {
		terms = append(terms, bidTerm{r.Name, r.Text})
	}
	w.add(bidBlock{Terms: terms, Lang: quotedLang})
}

// quotedLang is the language of what the check says.
const quotedLang = "en"

// methods names how things were worked out, and by whose book.
func (w *bidWriter) methods(b answer.Bid) {
	w.begin("methods", w.Say("methods"))
	w.into(w.Say("methods.text"))
	t := &bidTable{Caption: w.Say("methods"), Head: []bidHead{{Text: w.Say("methods.part")}, {Text: w.Say("methods.method")}, {Text: w.Say("methods.source")}}}
	keys := []string{"steam", "vessel"}
	if !b.Curve.NoSunFields {
		keys = append(keys, "sun", "light", "collector")
	}
	for _, x := range b.Bases {
		if x.Ground == answer.Generated {
			keys = append(keys, "year")
		}
	}
	keys = append(keys, "fuel", "plan")
	if tankCase(b) != nil || plantCase(b) != nil {
		keys = append(keys, "money")
	}
	if b.Years != nil {
		keys = append(keys, "spread")
	}
	if b.Doubt != nil {
		keys = append(keys, "doubt")
	}
	if b.Played != nil {
		keys = append(keys, "played")
	}
	for _, k := range keys {
		t.add(w.Say("method."+k), w.Say("method."+k+".how"), w.Say("method."+k+".source"))
	}
	w.table(t)
}

func (w *bidWriter) cautions() {
	w.begin("cautions", w.Say("cautions"))
	w.para(w.Say("cautions.use"))
	w.para(w.Say("cautions.code"))
	w.into(w.Say("cautions.hazards"))
	var list []string
	for _, key := range []string{"water", "pressure", "hammer", "vacuum", "scald", "light"} {
		list = append(list, w.Say("hazard."+key))
	}
	w.list(list)
}
