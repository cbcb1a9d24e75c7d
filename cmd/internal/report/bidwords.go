package report

import (
	_ "embed"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"noonkeep/cmd/internal/chart"
)

//go:embed bid/en.yaml
var englishWords []byte

// EnglishWords is the catalogue of a bid's sentences, as a file to translate.
func EnglishWords() []byte { return englishWords }

// Words are a bid's sentences in one language.
type Words struct {
	text map[string]string
}

// mostWords bounds a catalogue's file.
const mostWords = 1 << 20

// English is the built-in catalogue.
func English() Words { return english() }

var english = sync.OnceValue(func() Words {
	w, err := readWords("en.yaml", englishWords)
	if err != nil {
		panic(err) // a test reads it
	}
	return w
})

// ReadWords reads a catalogue of another language. It must have the English one's keys and no other, and in each sentence
// the same names in braces. The error tells all that is wrong, by line and key.
func ReadWords(name string, r io.Reader) (Words, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostWords+1))
	if err != nil {
		return Words{}, fmt.Errorf("%s: %w", name, err)
	}
	return readWords(name, data)
}

func readWords(name string, data []byte) (Words, error) {
	switch {
	case len(data) > mostWords:
		return Words{}, fmt.Errorf("%s: is over %d MB; a catalogue is a short text", name, mostWords>>20)
	case !utf8.Valid(data):
		return Words{}, fmt.Errorf("%s: is not UTF-8 text; save it as UTF-8", name)
	}
	var doc yaml.Node
	if err := yaml.Unmarshal(data, &doc); err != nil {
		return Words{}, fmt.Errorf("%s: %s", name, strings.TrimPrefix(err.Error(), "yaml: "))
	}
	if doc.Kind != yaml.DocumentNode || doc.Content[0].Kind != yaml.MappingNode {
		return Words{}, fmt.Errorf("%s: holds no keys and sentences; want those of `noonkeep bid --print-words`", name)
	}
	c := catalogue{name: name, words: Words{map[string]string{}}, lines: map[string]int{}}
	c.read(doc.Content[0])
	c.compare()
	return c.words, errors.Join(c.faults...)
}

// catalogue is a file of words while it is checked.
type catalogue struct {
	name   string
	words  Words
	lines  map[string]int
	faults []error
}

func (c *catalogue) fault(line int, format string, args ...any) {
	place := c.name
	if line > 0 {
		place = fmt.Sprintf("%s:%d", c.name, line)
	}
	c.faults = append(c.faults, fmt.Errorf("%s: "+format, append([]any{place}, args...)...))
}

func (c *catalogue) read(n *yaml.Node) {
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		switch first, twice := c.lines[k.Value]; {
		case k.Kind != yaml.ScalarNode || v.Kind != yaml.ScalarNode:
			c.fault(k.Line, "%q: is no sentence; want one text", k.Value)
		case twice:
			c.fault(k.Line, "%q: stands twice, first in line %d; keep one", k.Value, first)
		case strings.TrimSpace(v.Value) == "":
			c.fault(k.Line, "%q: is empty; want a sentence", k.Value)
		default:
			c.words.text[k.Value] = v.Value
		}
		if _, has := c.lines[k.Value]; !has {
			c.lines[k.Value] = k.Line
		}
	}
}

// englishList is the English catalogue as it stands in its file, read once.
var englishList = sync.OnceValue(func() (list struct {
	keys []string
	text map[string]string
}) {
	var doc yaml.Node
	if err := yaml.Unmarshal(englishWords, &doc); err != nil {
		panic(err) // a test reads it
	}
	list.text = map[string]string{}
	for n, i := doc.Content[0], 0; i+1 < len(n.Content); i += 2 {
		list.keys = append(list.keys, n.Content[i].Value)
		list.text[n.Content[i].Value] = n.Content[i+1].Value
	}
	return list
})

// compare holds the catalogue against the English one.
func (c *catalogue) compare() {
	keys, english := englishList().keys, englishList().text
	for _, key := range keys {
		text, has := c.words.text[key]
		if _, seen := c.lines[key]; !has && !seen {
			c.fault(0, "%q: is missing; the English is %q", key, english[key])
		}
		if !has {
			continue
		}
		want, got := namesIn(english[key]), namesIn(text)
		if !slices.Equal(want, got) {
			c.fault(c.lines[key], "%q: has %s in braces; want %s", key, listed(got), listed(want))
		}
		if want, list := map[string]int{"months": 12, "days": 7}[key], strings.Fields(text); want > 0 && len(list) != want {
			c.fault(c.lines[key], "%q: are %d names; want %d, parted by spaces", key, len(list), want)
		}
	}
	var extra []string
	for key := range c.lines {
		if _, known := english[key]; !known {
			extra = append(extra, key)
		}
	}
	slices.SortFunc(extra, func(a, b string) int { return c.lines[a] - c.lines[b] })
	for _, key := range extra {
		c.fault(c.lines[key], "%q: is no key of a bid; take it out", key)
	}
}

var braced = regexp.MustCompile(`\{([a-z0-9_]+)\}`)

// namesIn are the names in braces, each once, in alphabetical order.
func namesIn(text string) []string {
	names := []string{}
	for _, m := range braced.FindAllStringSubmatch(text, -1) {
		names = append(names, m[1])
	}
	slices.Sort(names)
	return slices.Compact(names)
}

func listed(names []string) string {
	if len(names) == 0 {
		return "none"
	}
	return "{" + strings.Join(names, "} {") + "}"
}

// Say is a sentence with its names filled in: Say("key", "name", value, "name", value).
func (w Words) Say(key string, pairs ...any) string {
	text, has := w.text[key]
	if !has {
		panic("report: no words for " + key) // a programmer's slip: tests make every document
	}
	values := map[string]string{}
	for i := 0; i+1 < len(pairs); i += 2 {
		values[fmt.Sprint(pairs[i])] = fmt.Sprint(pairs[i+1])
	}
	return braced.ReplaceAllStringFunc(text, func(name string) string {
		if v, has := values[name[1:len(name)-1]]; has {
			return v
		}
		panic("report: " + key + " has no value for " + name)
	})
}

// phrases translates what pictures say of themselves.
func (w Words) phrases() map[string]string {
	of := English()
	byEnglish := map[string]string{}
	for key, text := range of.text {
		if strings.HasPrefix(key, "picture.") {
			byEnglish[braced.ReplaceAllString(text, "%s")] = key
		}
	}
	out := map[string]string{}
	for _, phrase := range chart.Phrases() {
		places := map[string]int{}
		for i, m := range braced.FindAllString(of.text[byEnglish[phrase]], -1) {
			places[m] = i + 1
		}
		text := strings.ReplaceAll(w.text[byEnglish[phrase]], "%", "%%")
		out[phrase] = braced.ReplaceAllStringFunc(text, func(name string) string { return fmt.Sprintf("%%[%d]s", places[name]) })
	}
	return out
}
