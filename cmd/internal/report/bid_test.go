package report

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"noonkeep/cmd/internal/answer"
	"noonkeep/scenarios"
)

// bidText is a plant whose money has all that money can have. Every figure of it is made up.
const bidText = `noonkeep: 1
name: %NAME%
site: {latitude: 37.6 deg, longitude: 31.4 deg, elevation: 1010 m, utc_offset: +3 h}
weather: {monthly: {ghi: [2.6, 3.6, 4.9, 5.9, 7.0, 8.1, 8.3, 7.4, 6.1, 4.3, 3.0, 2.3 kWh/m2d], air: [0, 2, 6, 12, 17, 21, 25, 25, 20, 14, 7, 2 degC]}, seed: 7}
headers: [{name: main, pressure: 6 bar(g), feedwater: 85 degC}]
loads: [{name: %LOAD%, header: main, steam: 1250 kg/h, when: "Mon-Sat 06:00-22:00"}]
fuels: [{name: natural gas, price: 0.052 EUR/kWh, price_basis: gross}]
boilers: [{name: B1, header: main, fuel: natural gas, capacity: 2500 kg/h, efficiency: 88 %}]
fields: [{name: dishes, collector: {kind: dish}, count: 30, aperture: 90 m2, header: main, cost: {per_m2: 210 EUR/m2, fixed: 30000 EUR, upkeep: 1 %/a}}]
electricity: {price: 0.11 EUR/kWh}
store: {vessel: flash, header: main, volume: 40 m3, steps: 0..80 m3, working_pressure: 18 bar(g), cost: %COST%}
money: %MONEY%
`

const (
	plainCost  = `{per_m3: 3000 EUR/m3}`
	plainMoney = `{currency: EUR, life: 20 a, discount: 8 %}`
	wholeCost  = `{fixed: 8000 EUR, reference: {volume: 20 m3, price: %PRICE%, exponent: 0.6}, upkeep: 1 %/a, integration: 12000 EUR, replace: [{what: pumps, year: 12, cost: 6 %}, {what: valves, year: 8, cost: 2500 EUR}]}`
	wholeMoney = `{currency: EUR, life: 18 a, discount: 6 %, rates: real, inflation: 2 %/a, fuel_price_rise: 1.5 %/a, degradation: 0.5 %/a,
    carbon_path: [40, 55, 70 EUR/t], subsidy: {share: 30 %, cap: 180000 EUR, paid_in_year: 1}, tax: 25 %, depreciation: {method: declining balance, rate: 40 %},
    loan: {share: 60 %, rate: 7 %, term: 10 a}, engineering: 8 %, integration: 25000 EUR, land: 20000 EUR, land_resale: 80 %, insurance: 0.5 %/a, residual: 5 %, water_treatment: 700 EUR/a}`
)

// unraced leaves a test that solves whole years to the pass without the race detector.
func unraced(t testing.TB) {
	t.Helper()
	if underRace {
		t.Skip("runs in the pass without the race detector")
	}
}

// bids are those made so far, each once.
var bids sync.Map

// everything, among the pairs, asks for the parts that take long: other years, what is unsure, running by the minute.
const everything = "everything"

// wholeBid has all that a bid can have.
func wholeBid(t testing.TB) answer.Bid {
	return bidOf(t, 0, "%COST%", wholeCost, "%MONEY%", wholeMoney, everything, everything)
}

// bidOf makes a bid of bidText with some of it replaced.
func bidOf(t testing.TB, volume float64, pairs ...string) answer.Bid {
	t.Helper()
	unraced(t)
	once, _ := bids.LoadOrStore(fmt.Sprint(volume, pairs), sync.OnceValues(func() (answer.Bid, error) { return makeBid(volume, pairs) }))
	b, err := once.(func() (answer.Bid, error))()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func makeBid(volume float64, pairs []string) (answer.Bid, error) {
	defaults := []string{"%NAME%", "works", "%LOAD%", "vats", "%COST%", plainCost, "%MONEY%", plainMoney, "%PRICE%", "50000 EUR"}
	text := bidText
	for _, list := range [][]string{pairs, defaults} {
		for i := 0; i+1 < len(list); i += 2 {
			text = strings.ReplaceAll(text, list[i], list[i+1])
		}
	}
	c, err := scenarios.Parse("works.yaml", []byte(text), nil)
	if err == nil && volume > 0 {
		c, err = c.WithVolume(volume)
	}
	if err != nil {
		return answer.Bid{}, err
	}
	opt := answer.BidOptions{Seeds: -1, Cases: -1, Options: answer.Options{StepM3: 10, GapFrac: 0.01}}
	if slices.Contains(pairs, everything) {
		opt.Seeds, opt.Cases, opt.Play = 10, answer.LeastCases, true
	}
	return answer.MakeBid(context.Background(), c, opt)
}

// hostile are names that would run, if anything let them.
var hostile = []string{"%NAME%", `"<script>alert(1)</script>]]>&amp; \\' ; } * { display: none"`, "%LOAD%", `'=HYPERLINK("http://example.org";"x")<img src=x onerror=alert(1)>'`}

// noField takes the collectors out.
var noField = []string{"fields: [{name: dishes, collector: {kind: dish}, count: 30, aperture: 90 m2, header: main, cost: {per_m2: 210 EUR/m2, fixed: 30000 EUR, upkeep: 1 %/a}}]\n", "",
	"working_pressure: 18 bar(g)", "working_pressure: 18 bar(g), boilers_may_charge: 300 kW"}

func pageOf(t testing.TB, b answer.Bid, style BidStyle) string {
	t.Helper()
	var page bytes.Buffer
	if err := BidHTML(&page, b, style); err != nil {
		t.Fatal(err)
	}
	return page.String()
}

// A page is sound XML, has one of each id, sends for nothing, runs nothing, and says all it shows.
func TestBidPageIsSound(t *testing.T) {
	t.Parallel()
	for name, b := range map[string]answer.Bid{
		"whole": wholeBid(t), "no money": bidOf(t, 33, "%COST%", "{}", "%MONEY%", "{currency: EUR}"),
		"hostile": bidOf(t, 0, hostile...), "no field": bidOf(t, 0, noField...),
	} {
		page := pageOf(t, b, BidStyle{Letter: name == "hostile"})
		for _, fault := range pageFaults(page) {
			t.Errorf("%s: %s", name, fault)
		}
	}
}

// pageFaults walks a page. It is its own judge of what a page may hold: the elements and attributes that we use.
func pageFaults(page string) (faults []string) {
	say := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	if !strings.Contains(page, `content="default-src &#39;none&#39;`) && !strings.Contains(page, `content="default-src 'none'`) {
		say("no policy keeps the page from sending for things")
	}
	known := strings.Fields("html head meta title style body header h1 h2 h3 p main section figure figcaption svg g path text rect image table caption thead tbody tr th td span ul li b nav ol a div")
	ids, refs, links := map[string]bool{}, []string{}, []string{}
	dec := xml.NewDecoder(strings.NewReader(page))
	dec.Strict = true
	var way []string
	level := 0
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			say("is no sound XML: %v", err)
			return faults
		}
		switch x := tok.(type) {
		case xml.StartElement:
			way = append(way, x.Name.Local)
			if !slices.Contains(known, x.Name.Local) {
				say("element %s", x.Name.Local)
			}
			at := attributes(x)
			for name, value := range at {
				switch {
				case strings.HasPrefix(name, "on"):
					say("%s has %s", x.Name.Local, name)
				case name == "href" && strings.HasPrefix(value, "#"):
					links = append(links, value[1:])
				case name == "href" || name == "src" || name == "action" || name == "data":
					say("%s sends for %q", x.Name.Local, value)
				case name == "id" && ids[value]:
					say("two elements have the id %q", value)
				case name == "id":
					ids[value] = true
				case strings.HasPrefix(name, "aria-labelledby"):
					refs = append(refs, value)
				}
				if strings.Contains(value, "url(") {
					say("%s has a url in %s", x.Name.Local, name)
				}
			}
			switch x.Name.Local {
			case "svg":
				if at["role"] != "img" || len(at["aria-label"]) < 40 {
					say("a picture tells too little to those who do not see it: %q", at["aria-label"])
				}
			case "th":
				if at["scope"] == "" {
					say("a head cell has no scope")
				}
			case "h1", "h2", "h3":
				if n := int(x.Name.Local[1] - '0'); n > level+1 {
					say("heading %d follows heading %d", n, level)
				} else {
					level = n
				}
			}
			if x.Name.Local == "style" && len(way) > 2 && way[1] != "head" {
				say("a style sheet stands in the text")
			}
		case xml.EndElement:
			way = way[:len(way)-1]
		}
	}
	for _, ref := range append(refs, links...) {
		if !ids[ref] {
			say("nothing has the id %q", ref)
		}
	}
	for _, bad := range []string{"<script", "javascript:", "@import", "url("} {
		if strings.Contains(strings.ToLower(page), bad) {
			say("holds %q", bad)
		}
	}
	return faults
}

func attributes(x xml.StartElement) map[string]string {
	at := map[string]string{}
	for _, a := range x.Attr {
		at[a.Name.Local] = a.Value
	}
	return at
}

// The checker of pages finds what is wrong: each of these pages has one fault.
func TestPageFaults(t *testing.T) {
	t.Parallel()
	const policy = `<html><head><meta content="default-src 'none'" /></head><body><h1>x</h1>`
	for _, c := range []struct{ body, want string }{
		{`<p>fine</p>`, ""},
		{`<p><script>x</script></p>`, "element script; holds \"<script\""},
		{`<p onclick="x">x</p>`, "p has onclick"},
		{`<a href="http://example.org">x</a>`, `a sends for "http://example.org"`},
		{`<svg role="img"></svg>`, `a picture tells too little to those who do not see it: ""`},
		{`<p id="a">x</p><p id="a">y</p>`, `two elements have the id "a"`},
		{`<a href="#nowhere">x</a>`, `nothing has the id "nowhere"`},
		{`<h3>x</h3>`, "heading 3 follows heading 1"},
		{`<p>x`, "is no sound XML: XML syntax error on line 1: element <p> closed by </body>"},
		{`<table><tr><th>x</th></tr></table>`, "a head cell has no scope"},
	} {
		if got := strings.Join(pageFaults(policy+c.body+`</body></html>`), "; "); got != c.want {
			t.Errorf("%s: %s; want %s", c.body, got, c.want)
		}
	}
}

// A number is the same wherever it stands: in the first sentence, the tables, the pictures and their words.
func TestBidSaysOneNumber(t *testing.T) {
	t.Parallel()
	b := bidOf(t, 37)
	for _, style := range []BidStyle{{}, {Decimal: ",", Group: "."}, {Decimal: ".", Group: ",", CurrencyFirst: true}, {Decimal: ",", Group: noGroup}} {
		w := style.manner("EUR")
		saved := w.money(b.Chosen.SavingsVsNoStorage)
		page := pageOf(t, b, style)
		// Sentence, key figures, curve's title, its mark, its alternative text.
		if n := strings.Count(page, saved); n < 5 {
			t.Errorf("%+v: %q stands in %d places; want 5 or more", style, saved, n)
		}
		if cell := ">" + w.figure(b.Chosen.SavingsVsNoStorage) + "</td>"; !strings.Contains(page, cell) {
			t.Errorf("%+v: no table has %s", style, cell)
		}
		raw := Whole(b.Chosen.SavingsVsNoStorage)
		if strings.Contains(page, strings.ReplaceAll(raw, " ", "\u202f")) {
			t.Errorf("%+v: the unrounded %s stands in the page", style, raw)
		}
		// No number keeps the marks of another way of writing.
		wrong := map[string]*regexp.Regexp{",": regexp.MustCompile(`class="n">[0-9]+\.[0-9]+<`), ".": regexp.MustCompile(`class="n">[0-9]+,[0-9]+<`)}[w.locale.Decimal]
		if w.locale.Decimal == "," && w.locale.Group == "." {
			wrong = regexp.MustCompile(`class="n">[0-9]+\.[0-9]{1,2}<`)
		}
		if w.locale.Group == "," {
			wrong = regexp.MustCompile(`class="n">[0-9]+,[0-9]{1,2}<`)
		}
		if m := wrong.FindString(page); m != "" {
			t.Errorf("%+v: the page has %s", style, m)
		}
	}
}

// Figures are written once for all, to the digits that they deserve.
func TestBidFigures(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		sample string
		v      float64
		want   string
	}{
		{"1,234.5", 20320.6, "20,300"}, {"1.234,5", 20320.6, "20.300"}, {"1'234.5", 1234567, "1’230’000"}, {"1234.5", 20320.6, "20300"},
		{"1,234.5", 999.6, "1,000"}, {"1,234.5", 0.0523456, "0.0523"}, {"1.234,5", -12.34, "−12,3"}, {"1,234.5", 0, "0"}, {"1,234.5", 7, "7.00"},
	} {
		var s BidStyle
		if err := s.ParseMarks(c.sample); err != nil {
			t.Fatal(err)
		}
		if got := s.manner("EUR").figure(c.v); got != c.want {
			t.Errorf("%g by %s: %s; want %s", c.v, c.sample, got, c.want)
		}
	}
	var s BidStyle
	const want = `is "1;234"; want a sample: "1 234.5", "1,234.5", "1.234,5", "1 234,5", "1'234.5", "1234.5" or "1234,5"`
	if err := s.ParseMarks("1;234"); err == nil || err.Error() != want {
		t.Errorf("%v; want %s", err, want)
	}
}

// Texts of a scenario run nothing in a spreadsheet.
func TestBidFilesRunNothing(t *testing.T) {
	t.Parallel()
	b := bidOf(t, 0, hostile...)
	var csv bytes.Buffer
	if err := inputsCSV(&csv, b.Inputs); err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(csv.String()) {
		for _, field := range strings.Split(line, ",") {
			if f := strings.Trim(field, "\"\r\n"); f != "" && strings.ContainsRune("=+@", rune(f[0])) {
				t.Errorf("inputs.csv has a field that runs: %s", f)
			}
		}
	}
	for name, part := range bookParts(t, b) {
		if strings.Contains(part, "<f>") && regexp.MustCompile(`<f>[^<]*(HYPERLINK|script)`).MatchString(part) {
			t.Errorf("%s: a text became a formula", name)
		}
		for dec := xml.NewDecoder(strings.NewReader(part)); ; {
			if _, err := dec.Token(); err != nil {
				if !errors.Is(err, io.EOF) {
					t.Errorf("%s: %v", name, err)
				}
				break
			}
		}
	}
}
