package sketch

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"testing"
)

// nasty is what a name in a scenario may hold.
const nasty = `a "b" <c> & ' </svg><script>alert(1)</script> style="x" ` + "\x00"

// element is one start tag of a picture with the text that follows it.
type element struct {
	name, text string
	attr       map[string]string
}

// elements reads a picture as strict XML and fails for all that a strict content policy would stop.
func elements(t *testing.T, picture string) []element {
	t.Helper()
	var out []element
	ids := map[string]bool{}
	for dec := xml.NewDecoder(strings.NewReader(picture)); ; {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("not well formed: %v", err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			e := element{name: token.Name.Local, attr: map[string]string{}}
			for _, a := range token.Attr {
				e.attr[a.Name.Local] = a.Value
				if low := strings.ToLower(a.Name.Local); low == "style" || strings.HasPrefix(low, "on") {
					t.Errorf("<%s> has the attribute %s", e.name, a.Name.Local)
				}
				if strings.Contains(a.Value, "NaN") || strings.Contains(a.Value, "Inf") {
					t.Errorf("<%s> has %s=%q", e.name, a.Name.Local, a.Value)
				}
			}
			if id := e.attr["id"]; id != "" {
				if ids[id] {
					t.Errorf("id %q twice", id)
				}
				ids[id] = true
			}
			if e.name == "script" || e.name == "style" || e.name == "foreignObject" {
				t.Errorf("has an element <%s>", e.name)
			}
			out = append(out, e)
		case xml.CharData:
			if len(out) > 0 {
				out[len(out)-1].text += string(token)
			}
		}
	}
	checkRoot(t, out, ids)
	return out
}

// checkRoot looks for what a screen reader needs, and for letters that lie outside the picture.
func checkRoot(t *testing.T, all []element, ids map[string]bool) {
	t.Helper()
	root := all[0]
	if root.name != "svg" || root.attr["role"] != "img" || all[1].name != "title" || all[2].name != "desc" {
		t.Fatalf("begins with <%s role=%q>, <%s>, <%s>; want an image with title and desc", root.name, root.attr["role"], all[1].name, all[2].name)
	}
	if root.attr["aria-labelledby"] != all[1].attr["id"] || root.attr["aria-describedby"] != all[2].attr["id"] || all[1].text == "" || all[2].text == "" {
		t.Error("title and desc are not what the root points at, or empty")
	}
	for _, e := range all {
		if name, is := strings.CutPrefix(e.attr["fill"], "url(#"); is && !ids[strings.TrimSuffix(name, ")")] {
			t.Errorf("fill %q is nowhere", e.attr["fill"])
		}
	}
	w, h := 900.0, 0.0
	if strings.HasPrefix(root.attr["viewBox"], "0 0 340 ") {
		w = 340
	}
	h = number(t, root.attr["viewBox"][strings.LastIndex(root.attr["viewBox"], " ")+1:])
	for _, e := range all {
		if e.name != "text" {
			continue
		}
		x, y, long := number(t, e.attr["x"]), number(t, e.attr["y"]), width(strings.TrimSpace(e.text))
		switch e.attr["text-anchor"] {
		case "middle":
			x -= long / 2
		case "end":
			x -= long
		}
		if x < -1 || x+long > w+1 || y < letterPx-3 || y > h-2 {
			t.Errorf("text %q reaches from %.0f to %.0f at height %.0f of a picture of %.0f by %.0f", e.text, x, x+long, y, w, h)
		}
	}
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	var v float64
	if err := xml.Unmarshal([]byte("<v>"+s+"</v>"), &v); err != nil {
		t.Fatalf("%q is no number: %v", s, err)
	}
	return v
}

// of gives the elements whose class list has a class.
func of(all []element, class string) []element {
	var out []element
	for _, e := range all {
		for _, c := range strings.Fields(e.attr["class"]) {
			if c == class {
				out = append(out, e)
			}
		}
	}
	return out
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 0.011) { // coordinates are printed to a hundredth
		t.Errorf("%s is %g; want %g", what, got, want)
	}
}

func wantError(t *testing.T, err error, want string) {
	t.Helper()
	if err == nil || err.Error() != want {
		t.Errorf("error is\n%v\nwant\n%s", err, want)
	}
}

func TestWordsAreText(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"<", "&lt;"}, {`"`, "&#34;"}, {"'", "&#39;"}, {"&amp;", "&amp;amp;"}, {"\x01", "\uFFFD"}, {"50 m³", "50 m³"},
	} {
		if got := escape(c.in); got != c.want {
			t.Errorf("escape(%q) is %q; want %q", c.in, got, c.want)
		}
	}
}

func TestFigures(t *testing.T) {
	for _, c := range []struct {
		v    float64
		want string
	}{{40, "40"}, {12345, "12\u202f300"}, {0.5, "0.5"}, {7.416, "7.42"}, {0, "0"}, {-12, "\u221212"}} {
		if got := figure(c.v); got != c.want {
			t.Errorf("figure(%g) is %q; want %q", c.v, got, c.want)
		}
	}
}

func TestAxesKeepTheirRoom(t *testing.T) {
	texts, times := labels([]float64{0, 2.5e6, 5e6}, 48)
	if times != "thousand " || texts[1] != "2\u202f500" {
		t.Errorf("labels are %q in %q; want them in thousands", texts, times)
	}
	if texts, times = labels([]float64{0, 0.5}, 48); times != "" || texts[0] != "0.0" {
		t.Errorf("labels are %q in %q; want one decimal in ones", texts, times)
	}
}
