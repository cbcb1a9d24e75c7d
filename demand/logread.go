package demand

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
)

// ReadLog reads a meter's log from CSV of any length in one pass; its memory grows with the days that the log spans
// and the steps of a day, not with the rows. Every fault is a [*LineError] with its line; of each kind the first 20
// are told and the rest counted. See [LogForm] for what a log may look like.
func ReadLog(r io.Reader, form LogForm) (*Log, error) {
	if err := form.check(); err != nil {
		return nil, err
	}
	faults := newTally(form.Source, mostOfKind)
	in := bufio.NewReaderSize(r, headBytes)
	head, _ := in.Peek(headBytes)
	if said := noText(head); said != "" {
		faults.stop(1, nil, "%s", said)
		return nil, faults.err()
	}
	whole := bytes.LastIndexByte(head, '\n') + 1
	if whole == 0 || len(head) < headBytes {
		whole = len(head)
	}
	delim, l, bad := findInCSV(&form, head[:whole])
	if bad != nil {
		faults.stop(bad.Line, nil, "%s", bad.Text)
		return nil, faults.err()
	}
	return readRows(&csvRows{in: in, faults: faults, delim: delim}, form, l, faults)
}

// delimiters in the order in which they are tried: a comma may be a decimal sign.
var delimiters = []struct {
	sign byte
	name string
}{{'\t', "tab"}, {';', "semicolon"}, {'|', "bar"}, {',', "comma"}}

// findInCSV looks for the delimiter with which the head of a file is a log. If there is none it says what is wrong with the
// delimiter that parts the most.
func findInCSV(form *LogForm, head []byte) (byte, layout, *LogNote) {
	var best, worst *LogNote
	bestWidth, fits := 0, ""
	for _, d := range delimiters {
		f := finder{form: form}
		l, bad := f.find(&csvRows{in: bufio.NewReaderSize(bytes.NewReader(head), len(head)+16), faults: newTally("", 1), delim: d.sign})
		switch {
		case form.Delimiter == 0 && f.l.data > 0:
			return d.sign, l, bad // it is a log, with whatever fault
		case form.Delimiter == d.sign && bad == nil:
			return d.sign, l, nil
		case form.Delimiter == d.sign:
			worst = bad
		case form.Delimiter != 0 && bad == nil:
			fits = d.name
		case form.Delimiter == 0 && (best == nil || len(f.header) > bestWidth):
			best, bestWidth = bad, len(f.header)
		}
	}
	if worst == nil {
		worst = best
	}
	if fits != "" {
		worst.Text += "; with delimiter: " + fits + " it fits"
	}
	return 0, layout{}, worst
}

// wideKind and its like sort the faults of rows.
const (
	wideKind   logKind = "rows of another width"
	timeKind   logKind = "times that cannot be read"
	valueKind  logKind = "values that cannot be read"
	belowKind  logKind = "values below 0"
	unitKind   logKind = "the unit"
	mostReads          = 1e15 // of a counter
	shownCells         = 3
)

// rowReader turns the cells of rows into readings.
type rowReader struct {
	form   *LogForm
	l      layout
	stamps *stampReader
	clock  clockReader
	fold   folder
	faults *tally
}

// readRows folds all rows.
func readRows(rows logRows, form LogForm, l layout, faults *tally) (*Log, error) {
	log := &Log{Source: form.Source, Unit: form.Unit, bins: newBins(form.Step), form: form}
	notes := newTally(form.Source, mostOfNotes)
	_, zoneS := time.Unix(0, 0).In(form.Zone).Zone()
	r := rowReader{form: &log.form, l: l, faults: faults, stamps: newStampReader(l.order),
		clock: clockReader{clock: form.Clock, atEnd: form.AtEnd || form.Counts == Counter, zoneNS: int64(zoneS) * int64(time.Second),
			summer: summerTable{rule: form.Calendar.Summer}},
		fold: folder{form: &log.form, log: log, bins: log.bins, faults: faults, notes: notes}}
	if w, ok := rows.(*workbookRows); ok && w.from1904 {
		r.stamps.excelDay0 += days1904
	}
	if in := unitIn(l.name); in != "" && in != form.Unit.Text && form.Scale == 0 {
		notes.add(unitKind, 0, "column %s seems to be in %s, and the log is read in %s", brief(l.name), in, form.Unit.Text)
	}
	var got [3]cell
	for {
		line, ok := rows.next()
		if !ok {
			break
		}
		if line >= l.data {
			n := rows.wanted(l.columns, got[:])
			r.row(line, got, n)
		}
	}
	if faults.broken == nil {
		r.fold.end()
	}
	if !faults.none() {
		return nil, faults.err()
	}
	log.finish(&r.fold, notes)
	return log, nil
}

// row takes one row.
func (r *rowReader) row(line int, got [3]cell, n int) {
	switch {
	case !got[0].there || !got[1].there || len(r.l.columns) > 2 && !got[2].there:
		r.faults.add(wideKind, line, "has %d columns; want at least %d, or another delimiter", n, slices.Max(r.l.columns)+1)
		return
	case r.l.width > 0 && n > r.l.width:
		r.faults.add(wideKind, line, "has %d columns, and the header %d; want as many, and quotes round a number with a decimal comma where commas part the columns", n, r.l.width)
		return
	}
	if len(got[0].text) == 0 && len(got[1].text) == 0 {
		r.fold.log.Empty++ // a row of nothing but delimiters, as spreadsheets write below a table
		return
	}
	at, ok := r.time(line, got)
	if !ok {
		return
	}
	v, ok := r.value(line, got[1])
	if !ok {
		return
	}
	r.fold.push(reading{at, v, line})
	r.clock.last = r.fold.last.at
}

// time reads the row's time to local standard time.
func (r *rowReader) time(line int, got [3]cell) (int64, bool) {
	s, err := r.stamps.read(unfold(got[0]))
	if err == nil && len(r.l.columns) > 2 {
		s, err = atHour(s, got[2])
	}
	if err != nil {
		r.faults.add(timeKind, line, "%v", err)
		return 0, false
	}
	r.clock.stepNS = r.fold.usual
	at, err := r.clock.standard(s)
	if err != nil {
		r.faults.add(timeKind, line, "%v", err)
		return 0, false
	}
	return at, true
}

// unfold writes a workbook's number without an exponent.
func unfold(c cell) []byte {
	if !c.numeric || !bytes.ContainsAny(c.text, "eE") {
		return c.text
	}
	v, err := strconv.ParseFloat(string(c.text), 64)
	if err != nil {
		return c.text
	}
	return strconv.AppendFloat(nil, v, 'f', -1, 64)
}

// atHour puts a time of day to a day: a text, or a workbook's part of a day.
func atHour(s stamp, c cell) (stamp, error) {
	if s.ns != 0 || s.kind != bareStamp {
		return s, fmt.Errorf("time: has a time of day in both columns; want the day alone in one, or no time_of_day")
	}
	text := bytes.TrimSpace(unfold(c))
	if v, err := strconv.ParseFloat(string(text), 64); err == nil && v >= 0 && v <= 1 {
		s.ns = int64(math.Round(v*daySeconds)) * int64(time.Second)
		return s, nil
	}
	in := timeScan{b: text}
	ns, ok := in.timeOfDay()
	if !ok || in.i != len(text) {
		return s, fmt.Errorf("time: %s is no time of day; want one such as 23:45", brief(string(text)))
	}
	s.ns = ns
	return s, nil
}

// value reads the row's value; false for none, whether by fault or because the cell is empty.
func (r *rowReader) value(line int, c cell) (float64, bool) {
	numbers := r.l.numbers
	if c.numeric {
		numbers = numberReader{decimal: '.'}
	}
	v, ok := numbers.read(c.text)
	if !ok {
		if len(c.text) == 0 || slices.Contains(r.form.Missing, letters(c.text)) {
			r.fold.log.Empty++
			return 0, false
		}
		r.faults.add(valueKind, line, "value: %s; want a number%s", brief(letters(c.text)), r.valueHint(c.text))
		return 0, false
	}
	if v < 0 {
		if !r.form.Negative || r.form.Counts == Counter {
			r.faults.add(belowKind, line, "value: %s is below 0; want 0 or more, or below_zero: count as 0 for a meter whose zero drifts", brief(string(c.text)))
			return 0, false
		}
		r.fold.log.Negatives++
		v = 0
	}
	if most := r.form.most(); !(v <= most) {
		r.faults.add(amountKind, line, "value: %s is more than any plant has; want at most %g, or the unit or scale", brief(string(c.text)), most)
		return 0, false
	}
	if r.form.Counts == Counter && r.form.RollOver > 0 && v >= r.form.RollOver {
		r.faults.add(amountKind, line, "value: %s is not below roll_over; want the reading at which the counter begins at 0 again, such as %s", brief(string(c.text)), trimFloat(r.form.RollOver*10))
		return 0, false
	}
	return v, true
}

func (r *rowReader) valueHint(text []byte) string {
	other := byte(',')
	if r.l.numbers.decimal == ',' {
		other = '.'
	}
	if _, ok := (numberReader{decimal: other}).read(text); ok {
		return fmt.Sprintf(" with %q for its decimal sign; write decimal: %s if all have %q", r.l.numbers.decimal, map[byte]string{',': "comma", '.': "point"}[other], other)
	}
	if len(text) > 0 && !strings.ContainsAny(string(text), "0123456789") {
		return fmt.Sprintf("; if that stands for no value, write missing: [%s]", strconv.Quote(brief1(letters(text))))
	}
	return ""
}

// brief1 is brief without quotes.
func brief1(s string) string {
	if len(s) > 20 {
		return strings.ToValidUTF8(s[:20], "")
	}
	return s
}
