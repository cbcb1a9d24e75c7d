package report

import (
	"math"
	"testing"
)

func TestNumbersArePrintedAsPeopleWriteThem(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Whole(0), "0"}, {Whole(999.4), "999"}, {Whole(1000), "1 000"}, {Whole(1234567.5), "1 234 568"},
		{Whole(-0.2), "0"}, {Whole(-1234), "-1 234"}, {Whole(math.NaN()), "none"},
		{Tenths(12.34), "12.3"}, {Tenths(-0.04), "0.0"}, {Tenths(10000.06), "10 000.1"},
		{Share(0.4236), "42.4"}, {Tiny(0), "0"}, {Tiny(2.71e-9), "2.7e-09"}, {Tiny(2.7e-14), "1e-13"}, {Tiny(1e-30), "1e-20"},
		{Volume(40), "40"}, {Volume(2.5), "2.5"}, {Volume(1.0 / 3), "0.333"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}
