package demand

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"testing"
	"time"
)

// needSource keeps a row of a table from standing on nothing.
func needSource(t testing.TB, src string) {
	t.Helper()
	if src == "" {
		t.Fatal("row names no source")
	}
}

var readTests = []struct {
	name, in  string
	unit      Unit
	start     string
	step      time.Duration
	want      []float64
	src       string
	wantLines [2]int
}{
	{"plain", "time,kW\n2026-01-01 00:00,1\n2026-01-01 01:00,2.5\n2026-01-01 02:00,0\n",
		InKW, "2026-01-01 00:00", time.Hour, []float64{1, 2.5, 0}, "the form in ReadSeries' doc", [2]int{2, 4}},
	{"T between, steam, semicolons, no last line end", "time;kg/h\n2026-01-01T00:00;1e3\n2026-01-01T00:15;+2",
		InKgH, "2026-01-01 00:00", 15 * time.Minute, []float64{1000, 2}, "the form in ReadSeries' doc", [2]int{2, 3}},
	{"as a spreadsheet writes it", "\ufeff\"Time\",\"KW\"\r\n\"2026-01-01 00:00\",\"1\"\r\n2026-01-01 00:07,2\r\n\r\n",
		InKW, "2026-01-01 00:00", 7 * time.Minute, []float64{1, 2}, "RFC 4180: CRLF and quotes; byte order mark: common practice, no source", [2]int{2, 3}},
	{"spaces, an empty line, minus nought", "\n time , kW \n\n 2026-01-01 00:00 , -0 \n\n2026-01-01 00:00:10,2\n",
		InKW, "2026-01-01 00:00", 10 * time.Second, []float64{0, 2}, "by the doc: empty lines are passed over", [2]int{4, 6}},
	{"over a leap day", "time,kW\n2028-02-28 00:00,1\n2028-02-29 00:00,2\n2028-03-01 00:00,3\n",
		InKW, "2028-02-28 00:00", 24 * time.Hour, []float64{1, 2, 3}, "checks-sun.md 6.7: 29 Feb in leap years", [2]int{2, 4}},
}

func TestReadSeries(t *testing.T) {
	for _, tt := range readTests {
		needSource(t, tt.src)
		s, err := ReadSeries(strings.NewReader(tt.in), "log.csv")
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		if s.Unit != tt.unit || s.Start.Format(minuteForm) != tt.start || s.Step != tt.step ||
			!slices.Equal(s.Values, tt.want) || s.Source != "log.csv" || [2]int{s.firstLine, s.lastLine} != tt.wantLines {
			t.Errorf("%s: %+v; want %v from %s each %v: %v (%s)", tt.name, s, tt.unit, tt.start, tt.step, tt.want, tt.src)
		}
		if math.Signbit(s.Values[0]) {
			t.Errorf("%s: begins with minus nought", tt.name)
		}
	}
}

const two = "time,kW\n2026-01-01 00:00,1\n2026-01-01 01:00,2\n" // a good beginning

var readErrorTests = []struct{ in, want string }{
	{"", "log.csv:1: is empty; want the header line time,kW or time,kg/h"},
	{"\n\n  \n", "log.csv:3: is empty; want the header"},
	{"2026-01-01 00:00,1\n", `log.csv:1: is "2026-01-01 00:00,1" without a header; want the header line time,kW or time,kg/h first`},
	{"kW\n1\n2\n", `log.csv:1: is "kW"; want the header line`},
	{"812\n790\n", `log.csv:1: is "812" without a header`},
	{"date,kW\n", `log.csv:1: is "date,kW"; want the header line`},
	{"time,kW,note\n", `log.csv:1: is "time,kW,note"; want the header line`},
	{"time,steam\n", `log.csv:1: column "steam" has no unit that is known here; want kW or kg/h`},
	{"time,\n", `log.csv:1: column "" has no unit`},
	{"time,kWh\n", `log.csv:1: column "kWh" has no unit that is known here; want kW or kg/h`},
	{"time,MW\n", `log.csv:1: column "MW" has no unit`},
	{"\x00\x01\x02\n", `log.csv:1: is "\x00\x01\x02"; want the header`},
	{"time,kW\n", "log.csv:1: has 0 rows after the header; want 2 at least, to know the step"},
	{"time,kW\n2026-01-01 00:00,1\n", "log.csv:2: has 1 rows after the header; want 2"},
	{two + "2026-01-01 02:00,lots\n", `log.csv:4: kW: "lots"; want a number of 0 or more`},
	{two + "2026-01-01 02:00,NaN\n", `log.csv:4: kW: "NaN"; want a number`},
	{two + "2026-01-01 02:00,Inf\n", `log.csv:4: kW: "Inf"; want a number`},
	{two + "2026-01-01 02:00,0x10\n", `log.csv:4: kW: "0x10"; want a number`},
	{two + "2026-01-01 02:00,1_000\n", `log.csv:4: kW: "1_000"; want a number`},
	{two + "2026-01-01 02:00,1e\n", `log.csv:4: kW: "1e"; want a number`},
	{two + "2026-01-01 02:00,\n", `log.csv:4: kW: is empty; want a number`},
	{two + "2026-01-01 02:00,-5\n", `log.csv:4: kW: is "-5"; want 0 to 1e+09`},
	{two + "2026-01-01 02:00,1e999\n", `log.csv:4: kW: is "1e999"; want 0 to 1e+09`},
	{two + "2026-01-01 02:00,1,5\n", `log.csv:4: has 3 columns parted by ","; want 2, as in the header, and a decimal point`},
	{two + "2026-01-01 02:00\n", `log.csv:4: has 1 columns parted by ","; want 2`},
	{two + "2026-01-01 02:00;3\n", `log.csv:4: has 1 columns parted by ","; want 2`},
	{"time;kg/h\n2026-01-01 00:00;1,5\n", `log.csv:2: kg/h: "1,5"; want a decimal point and no thousands sign`},
	{two + "2026-01-01 03:00,3\n", `log.csv:4: time: 2026-01-01 03:00 is 2h0m0s after the row before; want 1h0m0s, the step of the first two rows: local`},
	{two + "2026-01-01 01:30,3\n", `log.csv:4: time: 2026-01-01 01:30 is 30m0s after the row before`},
	{two + "2026-01-01 01:00,3\n", `log.csv:4: time: 2026-01-01 01:00 stands twice; want local standard time without summer time`},
	{two + "2026-01-01 00:00,3\n", `log.csv:4: time: 2026-01-01 00:00 comes after 2026-01-01 01:00:00; want rising times`},
	{"time,kW\n2026-01-01 00:00,1\n2026-01-01 00:00,1\n", `log.csv:3: time: 2026-01-01 00:00 stands twice`},
	{"time,kW\n2026-01-01 00:00,1\n2025-01-01 00:00,1\n", `log.csv:3: time: 2025-01-01 00:00 comes after 2026-01-01`},
	{"time,kW\n2026-01-01 00:00,1\n2026-02-01 00:00,1\n", `log.csv:3: time: 2026-02-01 00:00 is 744h0m0s after the row before; want a step of 1 s to 24 h`},
	{"time,kW\n0001-01-01 00:00,1\n9999-01-01 00:00,1\n", `want a step of 1 s to 24 h`},
	{two + "2026-01-01T02:00Z,3\n", `log.csv:4: time: "2026-01-01T02:00Z"; want local standard time such as 2026-01-01 00:00, without zone`},
	{two + "2026-01-01 24:00,3\n", `log.csv:4: time: "2026-01-01 24:00"; want`},
	{two + "2026-02-29 00:00,3\n", `log.csv:4: time: "2026-02-29 00:00"; want`},
	{two + "01.01.2026 02:00,3\n", `log.csv:4: time: "01.01.2026 02:00"; want`},
	{two + "2026-01-01 2:00:0.5,3\n", `log.csv:4: time: "2026-01-01 2:00:0.5"; want`},
	{two + ",3\n", `log.csv:4: time: ""; want local standard time`},
	{two + strings.Repeat("x", 5000), `log.csv:4: is longer than 4096 bytes; want a time and a number`},
	{strings.Repeat("x", 5000), `log.csv:1: is longer than 4096 bytes`},
}

func TestReadSeriesErrors(t *testing.T) {
	for _, tt := range readErrorTests {
		s, err := ReadSeries(strings.NewReader(tt.in), "log.csv")
		if err == nil {
			t.Errorf("%.80q was read as %v; want an error", tt.in, s)
			continue
		}
		var at *LineError
		if !strings.Contains(err.Error(), tt.want) || !errors.As(err, &at) {
			t.Errorf("%.80q: %v; want %s", tt.in, err, tt.want)
		}
		if s.Values != nil {
			t.Errorf("%.80q: an error, and values too", tt.in)
		}
	}
}

// Bad numbers are all told, up to ten.
func TestReadSeriesTellsManyFaults(t *testing.T) {
	_, err := ReadSeries(strings.NewReader(two+"2026-01-01 02:00,a\n2026-01-01 03:00,4\n2026-01-01 04:00,-1\n2026-01-01 06:00,1\n"), "log.csv")
	for _, want := range []string{"log.csv:4: ", "log.csv:6: ", "log.csv:7: time"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v; want %s too", err, want)
		}
	}
	_, err = ReadSeries(rows("a"), "log.csv")
	if n := strings.Count(err.Error(), "\n") + 1; n != mostFaults+1 || !strings.Contains(err.Error(), "reading stopped after 10 faults") {
		t.Errorf("%d faults told; want %d: %v", n, mostFaults+1, err)
	}
}

// counted is an endless text that counts what is taken of it.
type counted struct {
	more  func() string
	rest  string
	taken int
}

func (c *counted) Read(p []byte) (int, error) {
	if c.rest == "" {
		c.rest = c.more()
	}
	n := copy(p, c.rest)
	c.rest = c.rest[n:]
	c.taken += n
	return n, nil
}

// rows is an endless log with one value.
func rows(value string) *counted {
	at := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	return &counted{rest: "time,kW\n", more: func() string {
		defer func() { at = at.Add(time.Second) }()
		return at.Format(secondForm) + "," + value + "\n"
	}}
}

// A line without an end is an error after one buffer, whatever its length.
func TestReadSeriesEndlessLine(t *testing.T) {
	endless := &counted{rest: two, more: func() string { return strings.Repeat("7", 1<<10) }}
	_, err := ReadSeries(endless, "log.csv")
	if err == nil || !strings.Contains(err.Error(), "log.csv:4: is longer than 4096 bytes") {
		t.Errorf("%v; want an error at line 4", err)
	}
	if endless.taken > 4*longestLine {
		t.Errorf("%d bytes were taken; want a few buffers", endless.taken)
	}
}

func TestReadSeriesEndlessRows(t *testing.T) {
	unraced(t)
	if testing.Short() {
		t.Skip("reads four million rows")
	}
	_, err := ReadSeries(rows("1"), "log.csv")
	if want := fmt.Sprintf("log.csv:%d: is row %d; want %d rows at most", mostRows+2, mostRows+1, mostRows); err == nil || err.Error() != want {
		t.Errorf("%v; want %s", err, want)
	}
}

func TestReadSeriesReaderFails(t *testing.T) {
	r, w := io.Pipe()
	broken := errors.New("the disk is gone")
	go func() {
		_, _ = io.WriteString(w, two)
		w.CloseWithError(broken)
	}()
	_, err := ReadSeries(r, "log.csv")
	if !errors.Is(err, broken) || !strings.Contains(err.Error(), "log.csv:4: cannot be read: the disk is gone") {
		t.Errorf("%v; want the reader's error at line 4", err)
	}
}

// What is read can be written and read again equal; what is not read says where, on each line of the error.
func FuzzReadSeries(f *testing.F) {
	for _, tt := range readTests {
		f.Add(tt.in)
	}
	for _, tt := range readErrorTests {
		f.Add(tt.in)
	}
	f.Fuzz(func(t *testing.T, in string) {
		s, err := ReadSeries(strings.NewReader(in), "log.csv")
		if err != nil {
			for line := range strings.SplitSeq(err.Error(), "\n") {
				var n int
				if _, e := fmt.Sscanf(line, "log.csv:%d: ", &n); e != nil || n < 1 || n > strings.Count(in, "\n")+1 || len(line) > 400 {
					t.Fatalf("%q: error without its line, or too long: %q", in, line)
				}
			}
			return
		}
		if err := s.check(); err != nil || len(s.Values) < 2 || len(s.Values) > strings.Count(in, "\n") {
			t.Fatalf("%q: read as %+v, %v", in, s, err)
		}
		again, err := ReadSeries(strings.NewReader(asCSV(s)), "log.csv")
		if err != nil || again.Unit != s.Unit || !again.Start.Equal(s.Start) || again.Step != s.Step || !slices.Equal(again.Values, s.Values) {
			t.Fatalf("%q: %+v reads back as %+v, %v", in, s, again, err)
		}
	})
}

// asCSV writes a series as ReadSeries wants it.
func asCSV(s Series) string {
	var b strings.Builder
	fmt.Fprintf(&b, "time,%s\n", s.Unit)
	for i, v := range s.Values {
		fmt.Fprintf(&b, "%s,%v\n", s.Start.Add(time.Duration(i)*s.Step).Format(secondForm), v)
	}
	return b.String()
}

func BenchmarkReadSeries(b *testing.B) {
	for _, step := range []time.Duration{time.Hour, 15 * time.Minute, time.Minute} {
		s := Series{Unit: InKW, Step: step, Start: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)}
		s.Values = make([]float64, 8760*time.Hour/step)
		for i := range s.Values {
			s.Values[i] = float64(i%997) * 1.5
		}
		text := asCSV(s)
		b.Run("step="+step.String(), func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			for b.Loop() {
				if _, err := ReadSeries(strings.NewReader(text), "log.csv"); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
