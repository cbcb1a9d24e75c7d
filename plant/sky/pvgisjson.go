package sky

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
)

// mostJSON is far over the 1.4 MB of a typical year; it bounds what one text in the file may take.
const mostJSON = 32 << 20

// pvgisJSON reads the rows of outputs.tmy_hourly one by one.
type pvgisJSON struct {
	name string
	in   *lineCounter
	dec  *json.Decoder
	ends bool
}

// pvgisRow has the keys of one row.
type pvgisRow struct {
	Time string   `json:"time(UTC)"`
	GHI  *float64 `json:"G(h)"`
	DNI  *float64 `json:"Gb(n)"`
	DHI  *float64 `json:"Gd(h)"`
	Air  *float64 `json:"T2m"`
	Wind *float64 `json:"WS10m"`
}

// openPVGISJSON reads up to the rows. The place comes before them, as the service writes it.
func openPVGISJSON(l *lines) (*stream, error) {
	f := &pvgisJSON{name: l.name, in: &lineCounter{in: io.LimitReader(l.in, mostJSON+1)}}
	f.dec = json.NewDecoder(f.in)
	h := pvgisHead()
	var location struct {
		Latitude, Longitude, Elevation *float64
		Offset                         *float64 `json:"irradiance_time_offset"`
	}
	placed := false
	if err := f.enter(); err != nil {
		return nil, err
	}
	for {
		key, err := f.key()
		switch {
		case err != nil:
			return nil, err
		case key == "inputs" || key == "outputs":
			err = f.enter()
		case key == "location":
			placed, err = true, f.fault(f.dec.Decode(&location))
		case key == "tmy_hourly" && placed:
			if location.Latitude == nil || location.Longitude == nil || location.Elevation == nil {
				return nil, f.fail("inputs.location: lacks latitude, longitude or elevation")
			}
			h.place = Place{LatDeg: *location.Latitude, LonDeg: *location.Longitude, ElevationM: *location.Elevation}
			offset := 0.
			if location.Offset != nil {
				offset = *location.Offset
			}
			if err := h.lightAt(offset, location.Offset != nil, 0); err != nil {
				return nil, f.fault(err)
			}
			if err := f.delim('['); err != nil {
				return nil, err
			}
			h.has = [quantities]bool{true, true, true, true, true}
			return h.open(l.name, f)
		case key == "tmy_hourly":
			return nil, f.fail("inputs.location: does not stand before the rows; want the json as the service writes it")
		default:
			err = f.skip()
		}
		if err != nil {
			return nil, err
		}
	}
}

// key gives the next key, leaving objects that end.
func (f *pvgisJSON) key() (string, error) {
	for {
		t, err := f.dec.Token()
		if err != nil {
			if errors.Is(err, io.EOF) {
				return "", f.fail("outputs.tmy_hourly: is not there; want a typical year as json")
			}
			return "", f.fault(err)
		}
		switch t := t.(type) {
		case string:
			return t, nil
		case json.Delim:
			continue
		default:
			return "", f.fail("json: %v stands where a key should", t)
		}
	}
}

// enter goes into an object.
func (f *pvgisJSON) enter() error { return f.delim('{') }

func (f *pvgisJSON) delim(want json.Delim) error {
	t, err := f.dec.Token()
	if err != nil {
		return f.fault(err)
	}
	if t != want {
		return f.fail("json: %.40v stands where %q should", t, rune(want))
	}
	return nil
}

// skip passes over a value, however deep.
func (f *pvgisJSON) skip() error {
	depth := 0
	for {
		t, err := f.dec.Token()
		if err != nil {
			return f.fault(err)
		}
		switch t {
		case json.Delim('{'), json.Delim('['):
			depth++
		case json.Delim('}'), json.Delim(']'):
			depth--
		}
		if depth <= 0 {
			return nil
		}
	}
}

// next reads one row.
func (f *pvgisJSON) next() (dated, error) {
	var r dated
	if f.ends || !f.dec.More() {
		if !f.ends {
			f.ends = true
			if err := f.delim(']'); err != nil {
				return r, err
			}
		}
		return r, io.EOF
	}
	var row pvgisRow
	if err := f.dec.Decode(&row); err != nil {
		return r, f.fault(err)
	}
	r.line = f.line()
	var err error
	if r.at, err = pvgisMoment([]byte(row.Time)); err != nil {
		return r, f.fault(err)
	}
	for q, v := range [quantities]*float64{row.GHI, row.DNI, row.DHI, row.Air, row.Wind} {
		r.values[q] = math.Inf(-1)
		if v != nil {
			r.values[q] = *v
		}
	}
	return r, nil
}

func (f *pvgisJSON) line() int { return f.in.lineAt(f.dec.InputOffset()) }

func (f *pvgisJSON) fail(format string, a ...any) error {
	return f.fault(fmt.Errorf(format, a...))
}

// fault puts file and line before an error.
func (f *pvgisJSON) fault(err error) error {
	switch {
	case err == nil:
		return nil
	case f.in.taken > mostJSON:
		err = fmt.Errorf("json: is over %d MB long; want a typical year", mostJSON>>20)
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		err = errors.New("json: ends too early; want a whole file")
	}
	return fmt.Errorf("%s:%d: %w", f.name, f.line(), err)
}

// lineCounter tells in which line an offset of a stream is, of offsets that rise.
type lineCounter struct {
	in    io.Reader
	taken int64
	ends  []int64 // offsets of the line ends beyond the last one asked for
	at    int     // line ends before it
}

func (c *lineCounter) Read(p []byte) (int, error) {
	n, err := c.in.Read(p)
	for i, b := range p[:n] {
		if b == '\n' {
			c.ends = append(c.ends, c.taken+int64(i))
		}
	}
	c.taken += int64(n)
	return n, err
}

func (c *lineCounter) lineAt(offset int64) int {
	k := 0
	for k < len(c.ends) && c.ends[k] < offset {
		k++
	}
	c.at += k
	c.ends = append(c.ends[:0], c.ends[k:]...)
	return c.at + 1
}
