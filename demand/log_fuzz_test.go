package demand

import (
	"bytes"
	"fmt"
	"hash/crc32"
	"math"
	"strings"
	"testing"
	"time"

	"noonkeep/plant/clock"
)

// fuzzForm chooses a form by the bits of a number.
func fuzzForm(t testing.TB, bits uint16) LogForm {
	f := logForm(t, "kWh", func(f *LogForm) {
		f.Counts = []LogCount{Rate, Counter, Interval, Rate}[bits&3]
		f.AtEnd = bits&4 != 0
		f.Clock = []LogClock{StandardTime, WallClock, UTC, StandardTime}[bits>>3&3]
		f.Calendar = clock.Calendar{Summer: europe(t)}
		f.Dates = DateOrder(bits >> 5 & 3)
		f.Negative = bits&128 != 0
		f.Step = []time.Duration{time.Hour, 15 * time.Minute}[bits>>8&1]
		if f.Counts == Counter && bits&512 != 0 {
			f.RollOver = 1000
		}
		if bits&1024 != 0 {
			f.Time, f.Value = "time", "kW"
		}
	})
	if f.Counts == Rate {
		f.Unit, _ = ParseLogUnit("kW")
	}
	return f
}

// Whatever the text, reading a log ends in faults that each have a line of it, or in a log whose sums hold: and so does the
// year that is made of it.
func FuzzReadLog(f *testing.F) {
	for i, tt := range logTests {
		f.Add(tt.in, uint16(i*37))
	}
	for i, tt := range wrongLogs {
		f.Add(tt.in, uint16(i*53))
	}
	f.Add(good, uint16(1024))
	f.Fuzz(func(t *testing.T, in string, bits uint16) {
		if len(in) > 1<<16 {
			return
		}
		form := fuzzForm(t, bits)
		l, err := ReadLog(strings.NewReader(in), form)
		checkLog(t, l, err, strings.Count(in, "\n")+1)
		if err == nil && crc32.ChecksumIEEE([]byte(in))%16 == 0 {
			checkYear(t, l, form)
		}
	})
}

func checkLog(t *testing.T, l *Log, err error, lines int) {
	t.Helper()
	if err != nil {
		for line := range strings.SplitSeq(err.Error(), "\n") {
			var n int
			if _, e := fmt.Sscanf(line, "meter.csv:%d: ", &n); e != nil || n < 1 || n > lines || len(line) > 700 {
				t.Fatalf("error without its line of %d, or too long: %q", lines, line)
			}
		}
		return
	}
	spanH := l.Last.Sub(l.First).Hours()
	if l.Rows < 2 || l.Rows > lines || !(l.Quantity >= 0 && l.Quantity < math.MaxFloat64) || !(l.CoveredH <= spanH*(1+1e-9)) || l.Interval <= 0 {
		t.Fatalf("%d rows of %d lines, %g, %g of %g h, every %v", l.Rows, lines, l.Quantity, l.CoveredH, spanH, l.Interval)
	}
	for _, p := range l.bins.pages {
		if p == nil {
			continue
		}
		for _, b := range p.bin {
			if b.ns < 0 || b.ns > l.bins.stepNS || !(b.sum >= 0) {
				t.Fatalf("a step has %d ns of %d, %g", b.ns, l.bins.stepNS, b.sum)
			}
		}
	}
}

func checkYear(t *testing.T, l *Log, form LogForm) {
	t.Helper()
	if len(l.bins.pages) > 400 {
		return
	}
	a := yearAxis(t, l.First.Year(), form.Step)
	y, err := l.On(a, LogUse{KWhPer: 1, Move: true, Gaps: FillAnyway})
	if err != nil {
		return
	}
	sum := 0.0
	for _, p := range y.Parts {
		sum += p.KWh
	}
	if got := y.KW.EnergyKWh(a.StepH()); !(math.Abs(got-sum) <= 1e-9*sum+1e-9) {
		t.Fatalf("parts come to %g kWh, the year to %g", sum, got)
	}
}

// The same of a workbook: its parts as they are, so that the fuzzer reaches behind the packing.
func FuzzReadXLSX(f *testing.F) {
	for _, tt := range bookTests {
		f.Add(strings.Join(tt.shared, "</si><si>"), tt.sheets[len(tt.sheets)-1], tt.properties, []byte(nil))
	}
	f.Add("", `<row r="3"><c r="ZZ3" t="s"><v>-1</v></c></row>`, "", []byte("PK\x03\x04"))
	f.Add("<t>1</t>", "<!-- <row> --><row><c><v>46035</v></c><c t='s'><v>0</v></c></row>", "", book(f, "", nil, "a", "<row/>"))
	f.Fuzz(func(t *testing.T, shared, sheet, properties string, raw []byte) {
		if len(shared)+len(sheet)+len(raw) > 1<<16 {
			return
		}
		var texts []string
		if shared != "" {
			texts = strings.Split(shared, "</si><si>")
		}
		for _, data := range [][]byte{book(t, properties, texts, "a", sheet), raw} {
			l, err := ReadWorkbookLog(bytes.NewReader(data), int64(len(data)), logForm(t, "t/h"))
			checkLog(t, l, err, 1<<24+1)
		}
	})
}

// Units that are read are read again the same; what is not is told on one line.
func FuzzParseLogUnit(f *testing.F) {
	for _, s := range []string{"kWh", "t/h", "m³", "KWH", "lb/h", "Nm3", "", "kg/hr", "L"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		u, err := ParseLogUnit(s)
		if err != nil {
			if strings.ContainsAny(err.Error(), "\n\r\x1b") || len(err.Error()) > 500 {
				t.Fatalf("%q: poor error %q", s, err)
			}
			return
		}
		if again, err := ParseLogUnit(u.Text); err != nil || again != u || !(u.Base > 0) {
			t.Fatalf("%q is %+v, which reads as %+v, %v", s, u, again, err)
		}
	})
}
