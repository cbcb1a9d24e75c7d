package sketch

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// plain has round numbers, so that places in the picture can be worked out by hand.
func plain() Curve {
	return Curve{Currency: "EUR", VolumesM3: []float64{0, 10, 40, 100}, Savings: []float64{0, 4000, 10000, 13000},
		UpperM3: []float64{0, 5, 20, 100}, Upper: []float64{0, 2500, 8000, 13000},
		CostM3: 120, AtM3: 25, BestM3: 40,
		Was: &Line{Name: "two shifts", VolumesM3: []float64{0, 50, 150}, Savings: []float64{0, 8000, 9000}}}
}

func TestCurvePoints(t *testing.T) {
	for _, shape := range []struct {
		narrow         bool
		w, left, right float64
	}{{false, 900, PlotLeft, PlotRight}, {true, 340, NarrowLeft, NarrowRight}} {
		c := plain()
		c.Narrow = shape.narrow
		s, err := c.SVG()
		if err != nil {
			t.Fatal(err)
		}
		all := elements(t, s)
		root := all[0]
		if root.attr["data-m3"] != "0,10,40,100" || root.attr["data-savings"] != "0,4000,10000,13000" {
			t.Errorf("root's data are %q, %q", root.attr["data-m3"], root.attr["data-savings"])
		}
		var x0, y0, x1, y1, lo, hi float64
		fmt.Sscan(root.attr["data-plot"], &x0, &y0, &x1, &y1)
		fmt.Sscanf(root.attr["data-money"], "%g,%g", &lo, &hi)
		near(t, "plot's left", x0, shape.left*shape.w)
		near(t, "plot's right", x1, shape.right*shape.w)
		dots := of(all, "dot")[1:] // the first stands in the legend
		if len(dots) != 4 {
			t.Fatalf("has %d dots; want 4", len(dots))
		}
		for i, d := range dots {
			near(t, "a dot's x", number(t, d.attr["cx"]), x0+c.VolumesM3[i]/100*(x1-x0))
			near(t, "a dot's y", number(t, d.attr["cy"]), y1-(c.Savings[i]-lo)/(hi-lo)*(y1-y0))
		}
		// A quarter of the way along, and half way between the points at 10 and 40 m³: 7000 EUR.
		ring := of(all, "ring")[0]
		near(t, "the ring's x", number(t, ring.attr["cx"]), x0+0.25*(x1-x0))
		near(t, "the ring's y", number(t, ring.attr["cy"]), y1-(7000-lo)/(hi-lo)*(y1-y0))
		handle := of(all, "handle-line")[0].attr["d"]
		if want := "M" + num(x0+0.25*(x1-x0)) + " "; strings.Count(handle, want) != 2 {
			t.Errorf("the handle's line %q does not stand at %s in both panels", handle, want)
		}
		if want := "M" + num(x0+0.40*(x1-x0)) + " "; !strings.HasPrefix(of(all, "best")[0].attr["d"], want) {
			t.Errorf("the best volume's mark %q does not begin at %s", of(all, "best")[0].attr["d"], want)
		}
		checkWas(t, of(all, "was")[1], x1, y1-(8500-lo)/(hi-lo)*(y1-y0))
	}
}

// checkWas looks for the earlier curve's end: its 150 m³ lie past this curve, so it is cut at 100 m³, half way from
// 8000 to 9000 EUR.
func checkWas(t *testing.T, was element, x, y float64) {
	t.Helper()
	if want := num(x) + " " + num(y); !strings.HasSuffix(was.attr["d"], want) || was.attr["stroke-dasharray"] == "" {
		t.Errorf("the earlier curve is %q dashed %q; want it dashed, to %s", was.attr["d"], was.attr["stroke-dasharray"], want)
	}
}

func TestCurveSaysWhatItShows(t *testing.T) {
	c := plain()
	for _, row := range []struct {
		change func(*Curve)
		want   string
	}{
		{func(*Curve) {}, "A store of 25 m³ saves 7\u202f000 EUR a year; 40 m³ pays best"},
		{func(c *Curve) { c.AtM3 = 40 }, "A store of 40 m³ saves 10\u202f000 EUR a year, and no other volume pays better"},
		{func(c *Curve) { c.BestM3 = 0 }, "A store of 25 m³ saves 7\u202f000 EUR a year"},
		{func(c *Curve) { c.Savings = []float64{0, -40, -200, -900}; c.Upper, c.UpperM3 = nil, nil }, "A store of 25 m³ costs 120 EUR a year; 40 m³ pays best"},
	} {
		d := c
		row.change(&d)
		s, err := d.SVG()
		if err != nil {
			t.Fatal(err)
		}
		if got := elements(t, s)[1].text; got != row.want {
			t.Errorf("title is %q; want %q", got, row.want)
		}
	}
	s, _ := c.SVG()
	const want = "Savings per year over storage volume at 4 proven points, from 0 EUR at 0 m³ to 13\u202f000 EUR at 100 m³. " +
		"A thin line above it is the proven upper bound: no plan can save more. " +
		"Lower panel: at the chosen volume the next m³ saves 200 EUR a year and costs 120 EUR a year. " +
		"A dashed line is the earlier version, two shifts; it saves 4\u202f000 EUR at the chosen volume."
	if got := strings.TrimSpace(elements(t, s)[2].text); got != want {
		t.Errorf("desc is\n%s\nwant\n%s", got, want)
	}
}

func TestCurveEscapesNames(t *testing.T) {
	for _, narrow := range []bool{false, true} {
		c := plain()
		c.Narrow, c.Currency, c.Was.Name = narrow, nasty, nasty
		s, err := c.SVG()
		if err != nil {
			t.Fatal(err)
		}
		all := elements(t, s)
		if !strings.Contains(all[2].text, "</svg><script>alert(1)</script>") {
			t.Errorf("desc is %q; want the name whole", all[2].text)
		}
	}
}

func TestCurveRefuses(t *testing.T) {
	for _, row := range []struct {
		change func(*Curve)
		want   string
	}{
		{func(c *Curve) { c.Currency = " " }, "curve: currency: is empty; want a name such as EUR"},
		{func(c *Curve) { c.Savings = c.Savings[:3] }, "curve: savings: are 3 values; want 4"},
		{func(c *Curve) { c.Savings[2] = math.NaN() }, "curve: savings: value 3 is NaN; want a number within ±1e15"},
		{func(c *Curve) { c.Savings[1] = math.Inf(1) }, "curve: savings: value 2 is +Inf; want a number within ±1e15"},
		{func(c *Curve) { c.VolumesM3[1] = 40 }, "curve: volumes: 40 m³ follows 40 m³; want them rising"},
		{func(c *Curve) { c.VolumesM3[0] = -1 }, "curve: volumes: start at -1 m³; want 0 or more"},
		{func(c *Curve) { c.VolumesM3, c.Savings = c.VolumesM3[:1], c.Savings[:1] }, "curve: volumes: are 1; want 2 or more"},
		{func(c *Curve) { c.Marginal = []float64{1, 2} }, "curve: marginal: are 2 values; want 4"},
		{func(c *Curve) { c.Upper = nil }, "curve: upper bound: has volumes but no values; want both"},
		{func(c *Curve) { c.Upper = c.Upper[:2] }, "curve: upper bound: are 2 values; want 4"},
		{func(c *Curve) { c.AtM3 = 101 }, "curve: chosen volume: is 101 m³; want 0 to 100"},
		{func(c *Curve) { c.AtM3 = math.NaN() }, "curve: chosen volume: is NaN m³; want 0 to 100"},
		{func(c *Curve) { c.BestM3 = math.NaN() }, "curve: best volume: is NaN m³; want 0 to 100, or 0 for none"},
		{func(c *Curve) { c.CostM3 = -5 }, "curve: cost of a m³: value 1 is -5; want 0 or more"},
		{func(c *Curve) { c.Was.Savings = nil }, "curve: earlier curve's savings: are 0 values; want 3"},
		{func(c *Curve) { c.ID = "a b" }, `curve: id: is "a b"; want letters, digits and - alone`},
		{func(c *Curve) { c.Savings, c.AtM3 = nil, -1 }, "curve: savings: are 0 values; want 4\nchosen volume: is -1 m³; want 0 to 100"},
	} {
		c := plain()
		row.change(&c)
		s, err := c.SVG()
		wantError(t, err, row.want)
		if s != "" {
			t.Errorf("%s: drew a picture all the same", row.want)
		}
	}
}

// Words keep inside the plot wherever the handle stands.
func TestCurveWordsFollowTheHandle(t *testing.T) {
	for _, narrow := range []bool{false, true} {
		for at := 0.0; at <= 100; at += 12.5 {
			c := plain()
			c.Narrow, c.AtM3 = narrow, at
			s, err := c.SVG()
			if err != nil {
				t.Fatal(err)
			}
			var plot panel
			all := elements(t, s) // reports what leaves the picture
			fmt.Sscan(all[0].attr["data-plot"], &plot.x0, &plot.y0, &plot.x1, &plot.y1)
			for _, e := range of(all, "say") {
				if x := number(t, e.attr["x"]); x < plot.x0 || x+width(e.text) > plot.x1+8 {
					t.Errorf("at %g m³ %q begins at %g; want it between %g and %g", at, e.text, x, plot.x0, plot.x1)
				}
			}
		}
	}
}
