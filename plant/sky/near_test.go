package sky

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

const weatherDir = "../../../shared/weather"

// near fails unless got is within tol of want, and unless the row names its source.
func near(t *testing.T, what string, got, want, tol float64, src string) {
	t.Helper()
	if src == "" {
		t.Fatalf("%s: the row has no source", what)
	}
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.10g; want %.10g within %g (%s)", what, got, want, tol, src)
	}
}

// utc reads "2006-01-02 15:04:05".
func utc(t *testing.T, s string) time.Time {
	t.Helper()
	at, err := time.Parse("2006-01-02 15:04:05", s)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// openWeather opens a real file, or skips.
func openWeather(tb testing.TB, name string) *os.File {
	tb.Helper()
	f, err := os.Open(filepath.Join(weatherDir, name))
	if err != nil {
		tb.Skipf("real weather files are not here: %v", err)
	}
	tb.Cleanup(func() { f.Close() })
	return f
}

// anchors is the part of expected.json that these tests use.
type anchors struct {
	Annual  map[string]*float64  `json:"annual_kWh_m2"`
	Monthly map[string][]float64 `json:"monthly_kWh_m2"`
	MeanC   float64              `json:"mean_dry_bulb_C"`
	Closure struct {
		ByOffset map[string]struct {
			MeanAbs float64 `json:"mean_abs_W_m2"`
		} `json:"by_offset_min"`
		BestByMonth []float64 `json:"best_offset_min_by_month"`
	} `json:"closure"`
	Centroid struct {
		GHIByMonth []float64 `json:"ghi_min_by_month"`
	} `json:"light_centroid"`
}

func expected(tb testing.TB, name string) anchors {
	tb.Helper()
	var all struct {
		Files map[string]anchors `json:"files"`
	}
	if err := json.NewDecoder(bufio.NewReader(openWeather(tb, "expected.json"))).Decode(&all); err != nil {
		tb.Fatal(err)
	}
	a, ok := all.Files[name]
	if !ok {
		tb.Fatalf("expected.json: no %s", name)
	}
	return a
}

func sumKWh(watts []float64, stepH float64) float64 {
	sum := 0.
	for _, w := range watts {
		sum += w
	}
	return sum * stepH / 1000
}

func notesOf(y Year) string {
	var lines []string
	for _, n := range y.Notes {
		lines = append(lines, n.Text)
	}
	return strings.Join(lines, "\n")
}

func haveWeather(name string) bool {
	_, err := os.Stat(filepath.Join(weatherDir, name))
	return err == nil
}
