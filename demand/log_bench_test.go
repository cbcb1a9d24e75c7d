package demand

import (
	"flag"
	"io"
	"runtime"
	"strconv"
	"testing"
	"time"
)

var logMB = flag.Int("logmb", 16, "length of BenchmarkLog's log, MB; 1024 for the large one")

// secondLog is a log by the second that is made as it is read: it holds one day, and writes the next one's date into it.
type secondLog struct {
	day  time.Time
	left int
	rest []byte
	rows []byte // of a day, 28 bytes each
}

const secondRow = len("2026-01-01 00:00:00,10.0000\n")

func newSecondLog(bytes int) *secondLog {
	s := &secondLog{day: time.Date(2024, 1, 1, 0, 0, 0, 0, time.UTC), left: bytes}
	s.rest = append(s.rest, "time,steam t/h\n"...)
	for i := range daySeconds {
		s.rows = s.day.Add(time.Duration(i)*time.Second).AppendFormat(s.rows, "2006-01-02 15:04:05")
		s.rows = strconv.AppendFloat(append(s.rows, ','), 10+float64(i*7919%89999)/10000, 'f', 4, 64)
		s.rows = append(s.rows, '\n')
	}
	return s
}

func (s *secondLog) Read(p []byte) (int, error) {
	if len(s.rest) == 0 {
		if s.left <= 0 {
			return 0, io.EOF
		}
		date := s.day.Format("2006-01-02")
		for i := 0; i < len(s.rows); i += secondRow {
			copy(s.rows[i:], date)
		}
		s.day = s.day.AddDate(0, 0, 1)
		s.rest = s.rows[:min(len(s.rows), (s.left+secondRow-1)/secondRow*secondRow)]
	}
	n := copy(p, s.rest)
	s.rest = s.rest[n:]
	s.left -= n
	return n, nil
}

// heapPeak watches the heap in use while a function runs, MB.
func heapPeak(run func()) float64 {
	runtime.GC()
	done, peak := make(chan bool), make(chan uint64)
	go func() {
		most := uint64(0)
		for {
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			most = max(most, m.HeapInuse)
			select {
			case <-done:
				peak <- most
				return
			case <-time.After(20 * time.Millisecond):
			}
		}
	}()
	run()
	done <- true
	return float64(<-peak) / (1 << 20)
}

// BenchmarkLog reads a log by the second that is made on the way, into steps of an hour and of a minute; the
// making alone is measured beside it. With -logmb 1024 -benchtime 1x the log has 1 GB.
func BenchmarkLog(b *testing.B) {
	size := *logMB << 20
	b.Run("making alone", func(b *testing.B) {
		b.SetBytes(int64(size))
		for b.Loop() {
			if _, err := io.Copy(io.Discard, newSecondLog(size)); err != nil {
				b.Fatal(err)
			}
		}
	})
	for _, step := range []time.Duration{time.Hour, time.Minute} {
		form := logForm(b, "t/h", func(f *LogForm) { f.Step = step })
		b.Run("step="+step.String(), func(b *testing.B) {
			b.SetBytes(int64(size))
			most := 0.0
			for b.Loop() {
				most = max(most, heapPeak(func() {
					l, err := ReadLog(newSecondLog(size), form)
					if err != nil {
						b.Fatal(err)
					}
					if l.Rows < size/30 {
						b.Fatalf("%d rows", l.Rows)
					}
				}))
			}
			b.ReportMetric(most, "heap-MB")
		})
	}
}

// BenchmarkLogOn makes a year of a log of nine months, with what that takes: the filling, and its trial on all measured steps.
func BenchmarkLogOn(b *testing.B) {
	for _, step := range []time.Duration{time.Hour, 15 * time.Minute, time.Minute} {
		b.Run("step="+step.String(), func(b *testing.B) {
			form := logForm(b, "t/h", func(f *LogForm) { f.Step = step })
			l := &Log{Source: "meter.csv", Unit: form.Unit, First: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), bins: newBins(step), form: form}
			for m := range int64(270 * 1440) {
				from := l.First.UnixNano() + m*int64(time.Minute)
				l.bins.add(from, from+int64(time.Minute), float64(m*7919%1000))
			}
			a := yearAxis(b, 2026, step)
			for b.Loop() {
				if _, err := l.On(a, LogUse{KWhPer: 1}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
