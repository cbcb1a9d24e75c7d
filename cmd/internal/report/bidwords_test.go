package report

import (
	"encoding/xml"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

// markedWords is a catalogue of a made-up language: every English sentence between double brackets.
func markedWords(t testing.TB) Words {
	t.Helper()
	text := map[string]string{}
	for key, s := range English().text {
		switch key {
		case "language":
			s = "tlh"
		case "months", "days":
			var names []string
			for _, n := range strings.Fields(s) {
				names = append(names, "⟦"+n+"⟧")
			}
			s = strings.Join(names, " ")
		default:
			s = "⟦" + s + "⟧"
		}
		text[key] = s
	}
	data, err := yaml.Marshal(text)
	if err != nil {
		t.Fatal(err)
	}
	w, err := ReadWords("marked.yaml", strings.NewReader(string(data)))
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// All that a page says comes out of the catalogue: with every sentence of it marked, no words are left outside the marks but
// those of the scenario, what the check says (which is marked as English), names of files, and units.
func TestBidSaysNothingOfItsOwn(t *testing.T) {
	t.Parallel()
	words := markedWords(t)
	for name, b := range map[string]answer.Bid{
		"whole": wholeBid(t), "none": bidOf(t, 33, "%COST%", "{}", "%MONEY%", "{currency: EUR}"),
	} {
		page := pageOf(t, b, BidStyle{Words: &words})
		for _, s := range wordsOutside(t, page) {
			t.Errorf("%s: the page says %q, which is not in the catalogue", name, s)
		}
	}
}

var (
	aWord    = regexp.MustCompile(`\p{L}{3,}`)
	ourNames = regexp.MustCompile(`\b[a-z-]+\.(html|xlsx|json|csv|svg|png|yaml)\b|\b(MWh|kWh|EUR|works|vats|dishes)\b`)
)

// wordsOutside are the texts of a page outside double brackets; those of the scenario's own tables and of passages marked as
// English are passed over.
func wordsOutside(t *testing.T, page string) (out []string) {
	t.Helper()
	dec := xml.NewDecoder(strings.NewReader(page))
	var skip []bool
	look := func(s string) {
		depth, outside := 0, strings.Builder{}
		for _, r := range s {
			switch r {
			case '⟦':
				depth++
			case '⟧':
				depth--
			default:
				if depth == 0 {
					outside.WriteRune(r)
				}
			}
		}
		if left := ourNames.ReplaceAllString(outside.String(), ""); aWord.MatchString(left) {
			out = append(out, strings.TrimSpace(left))
		}
	}
	for {
		tok, err := dec.Token()
		if err != nil {
			return out
		}
		over := len(skip) > 0 && skip[len(skip)-1]
		switch x := tok.(type) {
		case xml.StartElement:
			at := attributes(x)
			table := x.Name.Local == "tbody" && len(skip) > 0
			skip = append(skip, over || x.Name.Local == "style" || at["lang"] == "en" || strings.HasPrefix(at["class"], "inputs") && x.Name.Local == "table" || table && over)
			for name, value := range at {
				if !over && (name == "aria-label" || name == "alt" || name == "title") {
					look(value)
				}
			}
		case xml.EndElement:
			skip = skip[:len(skip)-1]
		case xml.CharData:
			if !over {
				look(string(x))
			}
		}
	}
}

// Every phrase that a picture says of itself has a key, so that it is translated too.
func TestPicturesSpeakTheCatalogue(t *testing.T) {
	t.Parallel()
	of := markedWords(t).phrases()
	for _, phrase := range chart.Phrases() {
		if got := of[phrase]; !strings.HasPrefix(got, "⟦") {
			t.Errorf("the picture's phrase %q is %q; want it in the catalogue, under picture", phrase, got)
		}
	}
	args := []any{"A", "B"}
	if got, want := fmt.Sprintf(of["%s m³ saves %s a year"], args...), "⟦A m³ saves B a year⟧"; got != want {
		t.Errorf("%q; want %q", got, want)
	}
}

func TestWrongWords(t *testing.T) {
	t.Parallel()
	english := string(EnglishWords())
	swap := func(old, by string) string {
		if !strings.Contains(english, old) {
			t.Fatalf("the catalogue has no %q", old)
		}
		return strings.Replace(english, old, by, 1)
	}
	line := func(text, part string) int { return 1 + strings.Count(text[:strings.Index(text, part)], "\n") }
	for _, c := range []struct{ name, text, want string }{
		{"a key is missing", swap("none: \"none\"\n", ""), `words.yaml: "none": is missing; the English is "none"`},
		{"a key too many", english + "\nnones: no\n", fmt.Sprintf(`words.yaml:%d: "nones": is no key of a bid; take it out`, strings.Count(english, "\n")+2)},
		{"a key twice", english + "\nnone: no\n", fmt.Sprintf(`words.yaml:%d: "none": stands twice, first in line %d; keep one`, strings.Count(english, "\n")+2, line(english, "\nnone:")+1)},
		{"an empty sentence", swap(`none: "none"`, `none: " "`), fmt.Sprintf(`words.yaml:%d: "none": is empty; want a sentence`, line(english, "\nnone:")+1)},
		{"a list", swap(`none: "none"`, `none: [a, b]`), fmt.Sprintf(`words.yaml:%d: "none": is no sentence; want one text`, line(english, "\nnone:")+1)},
		{"another name", swap(`per_year: "{value} a year"`, `per_year: "{sum} a year"`), fmt.Sprintf(`words.yaml:%d: "per_year": has {sum} in braces; want {value}`, line(english, "\nper_year:")+1)},
		{"months", swap("Nov Dec", "Nov"), fmt.Sprintf(`words.yaml:%d: "months": are 11 names; want 12, parted by spaces`, line(english, "\nmonths:")+1)},
		{"no YAML", "a: [", "words.yaml: line 1: did not find expected node content"},
		{"nothing", "", "words.yaml: holds no keys and sentences; want those of `noonkeep bid --print-words`"},
		{"a list alone", "- a\n", "words.yaml: holds no keys and sentences; want those of `noonkeep bid --print-words`"},
		{"not UTF-8", "none: \xff\n", "words.yaml: is not UTF-8 text; save it as UTF-8"},
	} {
		_, err := ReadWords("words.yaml", strings.NewReader(c.text))
		if err == nil || err.Error() != c.want {
			t.Errorf("%s: %v; want %s", c.name, err, c.want)
		}
	}
}

// FuzzWords reads any text as a catalogue: it is refused with a reason, or it has just the keys and names of the English one.
func FuzzWords(f *testing.F) {
	f.Add(string(EnglishWords()))
	f.Add("none: none\n")
	f.Add("a: &x [b]\nc: *x\n")
	f.Add(strings.Replace(string(EnglishWords()), "{value}", "{value} {value}", 1))
	want := English()
	f.Fuzz(func(t *testing.T, text string) {
		w, err := ReadWords("words.yaml", strings.NewReader(text))
		if err != nil {
			if !strings.HasPrefix(err.Error(), "words.yaml") {
				t.Fatalf("the error does not name the file: %v", err)
			}
			return
		}
		if len(w.text) != len(want.text) {
			t.Fatalf("%d keys were read; want %d", len(w.text), len(want.text))
		}
		for key, s := range w.text {
			if !slices.Equal(namesIn(s), namesIn(want.text[key])) {
				t.Fatalf("%s has %v", key, namesIn(s))
			}
		}
	})
}
