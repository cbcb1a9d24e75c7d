package plant

import (
	"errors"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
)

const (
	longestLogLine = 2048
	mostLogRows    = 1 << 20 // a year by the minute has 527 040
	mostLogFaults  = 10
)

// FieldLog is what was measured at a field, row by row over equal steps. ReadFieldLog makes it.
type FieldLog struct {
	Source string // where it was read, for messages
	StepH  float64
	Rows   int
	// StepAssumed says that the rows stand further apart than an hour, or that there is only one: each is taken for one hour.
	StepAssumed bool
	// AtEnd says that its times are the ends of the rows.
	AtEnd bool

	columns []logColumn
	rows    []logRow
}

// logColumn is a column of a field log.
type logColumn struct {
	what    int     // place in logKinds
	by      float64 // its unit in the kind's base unit
	present bool
}

// logKind is a sort of column: the units, the base one first, and the bounds of its values in that.
type logKind struct {
	name   string
	units  []logUnit
	lo, hi float64
}

type logUnit struct {
	text string
	by   float64
}

// The columns of a field log, in logKinds.
const (
	logDNI = iota
	logGHI
	logDHI
	logPlane
	logAir
	logWind
	logInlet
	logOutlet
	logFluid
	logWarming
	logHeat
	logFlow
	logColumns
)

var (
	logLight = []logUnit{{"W/m2", 1}, {"kW/m2", 1000}}
	logTemp  = []logUnit{{"degC", 1}}
	logKinds = [logColumns]logKind{
		{"DNI", logLight, -50, 2000}, {"GHI", logLight, -50, 2000}, {"DHI", logLight, -50, 2000}, {"plane", logLight, -50, 2000},
		{"air", logTemp, -70, 70}, {"wind", []logUnit{{"m/s", 1}, {"km/h", 1 / 3.6}}, 0, 100},
		{"inlet", logTemp, -50, 500}, {"outlet", logTemp, -50, 500}, {"fluid", logTemp, -50, 500},
		{"warming", []logUnit{{"K/h", 1}}, -1000, 1000},
		{"heat", []logUnit{{"kW", 1}, {"MW", 1000}, {"W", 1e-3}}, -1e6, 1e6},
		{"flow", []logUnit{{"kg/h", 1}, {"t/h", 1000}, {"kg/s", 3600}}, 0, 1e8},
	}
)

type logRow struct {
	at    time.Time // its start
	line  int
	value [logColumns]float64 // NaN where there is none
	aside string
}

// ReadFieldLog reads measurements at a field from CSV. name stands in front of each message; times without an offset are
// taken with utcOffset, the local standard time's.
//
//	start,DNI W/m2,air degC,wind m/s,inlet degC,outlet degC,heat kW
//	2026-07-01 10:00,812,27.1,3.2,150.2,180.4,1210
//
// The first column is "start" or "end": which end of its row a time is, for an hour's light is lost by a wrong guess. The
// others are named with their unit, in any order: DNI, GHI, DHI, plane (W/m2: on a plane that faces the sun, on the level,
// in the collectors' plane), air, inlet, outlet, fluid (degC; fluid is the mean in the collectors, in place of inlet and
// outlet), wind (m/s), heat (kW), flow (kg/h), warming (K/h; how fast the fluid changes), and aside: any words set the row
// aside. A semicolon may part the cells. An empty cell is a value that is missing. Rows are 1 to 60 min long, all alike.
// What is wrong is told with its line, the first few faults joined.
func ReadFieldLog(r io.Reader, name string, utcOffset time.Duration) (FieldLog, error) {
	in := logReader{rowsReader: newRowsReader(r, name, longestLogLine), log: FieldLog{Source: name},
		zone: time.FixedZone("", int(utcOffset.Seconds())), aside: -1}
	if in.header() {
		for in.row() {
		}
	}
	in.stopped(mostLogFaults, longestLogLine, "a row of measurements")
	if len(in.faults) == 0 {
		in.steps()
	}
	if err := errors.Join(in.faults...); err != nil {
		return FieldLog{}, err
	}
	in.log.Rows = len(in.log.rows)
	return in.log, nil
}

// logReader walks the lines once.
type logReader struct {
	rowsReader
	zone  *time.Location
	aside int // its column; -1 for none
	log   FieldLog
}

const wantLogHeader = "a header line such as start,DNI W/m2,air degC,wind m/s,inlet degC,outlet degC,heat kW"

func (in *logReader) header() bool {
	cells, ok := in.next()
	if !ok {
		if in.scan.Err() == nil {
			in.fault("is empty; want %s", wantLogHeader)
		}
		return false
	}
	switch first := strings.ToLower(cells[0]); first {
	case "start", "end":
		in.log.AtEnd = first == "end"
	case "time", "date", "timestamp":
		in.fault("column %s does not say which end of its row a time is; name it start or end", shortQuote(cells[0]))
		return false
	default:
		in.fault("first column is %s; want start or end, the time of each row, in %s", shortQuote(cells[0]), wantLogHeader)
		return false
	}
	in.log.columns = make([]logColumn, len(cells))
	seen := map[string]bool{}
	for i, cell := range cells[1:] {
		in.column(i+1, cell, seen)
	}
	return len(in.faults) == 0
}

// column understands the name and the unit of a column.
func (in *logReader) column(i int, cell string, seen map[string]bool) {
	name, unit, _ := strings.Cut(cell, " ")
	unit = strings.NewReplacer("²", "2", "°", "deg", "[", "", "]", "", "(", "", ")", " ").Replace(strings.TrimSpace(unit))
	unit = strings.TrimSpace(unit)
	key := strings.ToLower(name)
	if seen[key] {
		in.fault("column %s stands there twice; keep one", shortQuote(name))
		return
	}
	seen[key] = true
	if key == "aside" && unit == "" {
		in.aside = i
		return
	}
	k := slices.IndexFunc(logKinds[:], func(k logKind) bool { return strings.EqualFold(k.name, name) })
	if k < 0 {
		in.fault("column %s is not known; want one of %s", shortQuote(cell), logColumnNames())
		return
	}
	var units []string
	for _, u := range logKinds[k].units {
		if u.text == unit {
			in.log.columns[i] = logColumn{what: k, by: u.by, present: true}
			return
		}
		units = append(units, u.text)
	}
	saw := "has no unit"
	if unit != "" {
		saw = "has the unit " + shortQuote(unit)
	}
	in.fault("column %s %s; want %s", shortQuote(name), saw, strings.Join(units, " or "))
}

func logColumnNames() string {
	var names []string
	for _, k := range logKinds {
		names = append(names, k.name+" "+k.units[0].text)
	}
	return strings.Join(names, ", ") + ", aside"
}

// row reads one row; false ends the reading.
func (in *logReader) row() bool {
	cells, ok := in.next()
	switch {
	case !ok:
		return false
	case len(in.log.rows) == mostLogRows:
		in.fault("is row %d; want %d rows at most", mostLogRows+1, mostLogRows)
		return false
	case len(cells) != len(in.log.columns):
		in.fault("has %d cells parted by %q; want %d, as in the header", len(cells), in.delim, len(in.log.columns))
		return len(in.faults) < mostLogFaults
	}
	row := logRow{line: in.line}
	for i := range row.value {
		row.value[i] = math.NaN()
	}
	at, zoned, err := priceTime(cells[0])
	if err != nil {
		in.fault("%w", err)
		return len(in.faults) < mostLogFaults
	}
	if row.at = at; !zoned {
		row.at = time.Date(at.Year(), at.Month(), at.Day(), at.Hour(), at.Minute(), at.Second(), 0, in.zone)
	}
	row.at = row.at.In(in.zone)
	if y := at.Year(); y < 1950 || y > 2100 {
		in.fault("time %s lies in the year %d; want 1950 to 2100", shortQuote(cells[0]), y)
		return len(in.faults) < mostLogFaults
	}
	if n := len(in.log.rows); n > 0 && !row.at.After(in.log.rows[n-1].at) {
		in.fault("time %s is not after that of line %d; want rows in order of time, each once", shortQuote(cells[0]), in.log.rows[n-1].line)
	}
	for i, c := range in.log.columns {
		if c.present && cells[i] != "" {
			in.value(&row, c, cells[i])
		}
	}
	if in.aside >= 0 {
		row.aside = cells[in.aside]
	}
	in.log.rows = append(in.log.rows, row)
	return len(in.faults) < mostLogFaults
}

func (in *logReader) value(row *logRow, c logColumn, cell string) {
	k := &logKinds[c.what]
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil || math.IsNaN(v) {
		in.fault("%s %s is no number; want one with a decimal point, or an empty cell for none", k.name, shortQuote(cell))
		return
	}
	if v *= c.by; !(v >= k.lo && v <= k.hi) {
		in.fault("%s is %g %s; want %g to %g, or an empty cell where nothing was measured", k.name, v, k.units[0].text, k.lo, k.hi)
		return
	}
	row.value[c.what] = v
}

// Has tells whether the log has a column, by its name.
func (l FieldLog) Has(name string) bool {
	return slices.ContainsFunc(l.columns, func(c logColumn) bool { return c.present && strings.EqualFold(logKinds[c.what].name, name) })
}
