package answer

import (
	"context"
	"strings"
	"testing"

	"noonkeep/scenarios"
)

func TestMovesNames(t *testing.T) {
	t.Parallel()
	c := dyehouse(t, "", "name: stenter and dryers", "name: \"dryers: all\"")
	for _, v := range []struct {
		name        string
		shifts, try []string
		want        []string
	}{
		{"by the hour", []string{"dryers: all:-1h..+2h"}, nil, []string{"as it is", "dryers: all -1 h", "dryers: all +1 h", "dryers: all +2 h"}},
		{"by half hours", []string{"dryers: all: 0 .. 90 min / 30 min"}, nil, []string{"as it is", "dryers: all +30 min", "dryers: all +1 h", "dryers: all +90 min"}},
		{"hours in its place, and its own", nil, []string{"dryers: all:Mon-Fri 07:00-19:00 | Sun 10:00-14:00"}, []string{"as it is", "dryers: all Sun 10:00-14:00"}},
		{"two loads", []string{"dryers: all:0..1h"}, []string{"dye machines, night shift:Mon-Sat 10:00-18:00"},
			[]string{"as it is", "dye machines, night shift Mon-Sat 10:00-18:00", "dryers: all +1 h", "dryers: all +1 h; dye machines, night shift Mon-Sat 10:00-18:00"}},
	} {
		got, err := Moves(c, v.shifts, v.try)
		if err != nil {
			t.Errorf("%s: %v", v.name, err)
			continue
		}
		var names []string
		for _, n := range got {
			names = append(names, n.Name)
		}
		if strings.Join(names, "|") != strings.Join(v.want, "|") {
			t.Errorf("%s: %q\nwant %q", v.name, names, v.want)
		}
	}
}

func TestMovesWrong(t *testing.T) {
	t.Parallel()
	c := dyehouse(t, "")
	const night = "dye machines, night shift"
	for _, v := range []struct {
		shifts, try []string
		want        string
	}{
		{[]string{night}, nil, `--shift "dye machines, night shift": has no colon; want a load, a colon and its moves, as "dye machines, day shifts:-3h..+3h"`},
		{[]string{"night:-3h..3h"}, nil, `--shift "night:-3h..3h": dyehouse.yaml: no load is called "night"; nearest is "dye machines, night shift"`},
		{[]string{night + ":3h"}, nil, `--shift "dye machines, night shift:3h": "3h" is no range; want for example -3h..+3h`},
		{[]string{night + ":-3..3"}, nil, `--shift "dye machines, night shift:-3..3": "-3" is no span of time; want hours or minutes, as -3h or 30min`},
		{[]string{night + ":3h..-3h"}, nil, `--shift "dye machines, night shift:3h..-3h": "3h..-3h" falls; want the earliest first`},
		{[]string{night + ":-3h..3h/0"}, nil, `--shift "dye machines, night shift:-3h..3h/0": the step is "0"; want more than nothing, as 30min`},
		{[]string{night + ":-3h..3h/0.001h"}, nil, `--shift "dye machines, night shift:-3h..3h/0.001h": "0.001h" is no span of whole minutes; want hours or minutes, as -3h or 30min`},
		{[]string{night + ":-72h..72h/1min"}, nil, `--shift "dye machines, night shift:-72h..72h/1min": these are 8641 moves; want at most 200, by a longer step`},
		{[]string{night + ":-10h..10h", "stenter and dryers:-10h..10h"}, nil, "compare: these moves have more than 200 combinations; want longer steps, or fewer loads at once"},
		{[]string{night + ":-1h..1h"}, []string{night + ":Sun 10:00-14:00"}, `--try "dye machines, night shift:Sun 10:00-14:00": load "dye machines, night shift" is moved twice; give it one --shift or --try`},
		{[]string{night + ":0..0"}, nil, "compare: these moves leave every load where it is; want another place for one"},
		{nil, []string{night + ":|"}, `--try "dye machines, night shift:|": a pattern is empty; want hours such as Mon-Fri 06:00-14:00, with | between`},
		{nil, []string{night + ":Mon 6-14"}, `dyehouse.yaml: loads[dye machines, night shift].when: "6" does not fit; want a time such as 06:00, up to 24:00 (in the variant "dye machines, night shift Mon 6-14")`},
		{[]string{"space and tank heating:-1h..1h"}, nil, "dyehouse.yaml:52: loads[space and tank heating]: has no hours of its own, so there is nothing to move; give it `when`, or try hours in its place"},
	} {
		_, err := Moves(c, v.shifts, v.try)
		if err == nil || err.Error() != v.want {
			t.Errorf("\n got %v\nwant %s", err, v.want)
		}
	}
}

// Ranked, the cheapest comes after the first case, and each is what its own plan costs.
func TestMovesRanked(t *testing.T) {
	t.Parallel()
	unraced(t)
	cases, err := Moves(dyehouse(t, ""), []string{"dye machines, night shift:0..16h/8h"}, nil)
	if err != nil {
		t.Fatal(err)
	}
	got, err := Compare(context.Background(), cases, CompareOptions{ToM3: 40, Ranked: true})
	if err != nil {
		t.Fatal(err)
	}
	if got.Cases[0].Name != "as it is" || len(got.Cases) != 3 || got.Cases[1].AnnualCost > got.Cases[2].AnnualCost {
		t.Errorf("%s, %s, %s at %g, %g", got.Cases[0].Name, got.Cases[1].Name, got.Cases[2].Name, got.Cases[1].AnnualCost, got.Cases[2].AnnualCost)
	}
}

// Whatever is written after --shift and --try: it names at least one move of a load that there is, and not too many, or it is refused.
func FuzzMoves(f *testing.F) {
	for _, s := range []string{"a:-3h..+3h", "a : 0..1h/30min", "b:c:-1h..1h", "a:Mon 06:00-14:00|Sun 10:00-12:00", "a:1e3h..1e9h", "a:-0h..0", "a:..", ":", "a:-3h..3h/-1h", "a:NaNh..3h"} {
		f.Add(s)
	}
	c := dyehouse(f, "", "name: stenter and dryers", "name: a", "name: dye machines, night shift", "name: \"b:c\"")
	f.Fuzz(func(t *testing.T, s string) {
		load, rest, err := loadOf(c, s)
		if err != nil {
			return
		}
		if c.HasLoad(load) != nil {
			t.Fatalf("%q: no load is called %q", s, load)
		}
		for _, read := range []func(scenarios.Case, string, string) ([]choice, error){shiftsOf, triesOf} {
			list, err := read(c, load, rest)
			if err != nil {
				continue
			}
			if len(list) < 1 || len(list) > len(s)+mostMoves+1 || list[0].move != nil {
				t.Fatalf("%q: %d choices", s, len(list))
			}
			for _, x := range list[1:] {
				if x.move.Load != load || x.move.By == 0 && x.move.When == "" || x.name == "" {
					t.Fatalf("%q: %+v", s, x.move)
				}
			}
		}
	})
}
