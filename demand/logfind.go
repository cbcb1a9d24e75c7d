package demand

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// layout is what was found of a log's form.
type layout struct {
	columns []int // of the time, the value, and the time of day if there is one; from 0
	width   int   // columns of the header, 0 for no header
	data    int   // line of the first row of data
	name    string
	order   DateOrder
	numbers numberReader
}

const (
	mostHeaderLines = 60     // before the rows
	mostHeadRows    = 40_000 // looked at for the order of dates and the decimal sign
)

// finder looks at the head of a log for what the form leaves open.
type finder struct {
	form *LogForm
	l    layout

	header   [][]byte // a copy of the row that holds the columns' names, or of the first widest before the data
	headLine int
	dec      decimals
	days     dayOrder
	rows     int
	texts    bool // a value was text, not a workbook's number
}

// find reads rows until it knows enough. The error says what it lacks, with the line to look at.
func (f *finder) find(rows logRows) (layout, *LogNote) {
	var all [][]byte
	byNumber := f.byNumber()
	for f.rows < mostHeadRows {
		line, ok := rows.next()
		if !ok {
			break
		}
		all = rows.cells(all[:0])
		switch {
		case f.l.data > 0:
			f.see(rows)
		case f.l.columns == nil && !byNumber:
			f.named(all, line)
		case f.begins(all):
			f.l.data = line
			f.see(rows)
		case byNumber:
			f.keep(all, line)
		}
		if f.l.data == 0 && line > f.headLine+mostHeaderLines {
			break
		}
		if f.rows > 2000 && f.days.known(f.form) && (f.dec.point || f.dec.comma || f.form.Decimal != 0 || !f.texts) {
			break
		}
	}
	if f.l.data == 0 {
		return f.l, f.missing()
	}
	return f.l, f.settle()
}

// byNumber sets the columns if all are given by number.
func (f *finder) byNumber() bool {
	var columns []int
	for _, name := range f.names() {
		n, err := strconv.Atoi(name)
		if err != nil || n < 1 || n > 1000 {
			return false
		}
		columns = append(columns, n-1)
	}
	f.l.columns = columns
	return true
}

func (f *finder) names() []string {
	names := []string{f.form.Time, f.form.Value}
	if f.form.TimeOfDay != "" {
		names = append(names, f.form.TimeOfDay)
	}
	return names
}

// named looks for the row that holds the columns' names.
func (f *finder) named(all [][]byte, line int) {
	texts := make([]string, len(all))
	for i, c := range all {
		texts[i] = letters(c)
	}
	var columns []int
	for _, name := range f.names() {
		i := slices.IndexFunc(texts, func(s string) bool { return strings.EqualFold(s, strings.TrimSpace(name)) })
		if n, err := strconv.Atoi(name); i < 0 && err == nil && n >= 1 && n <= len(all) && len(columns) > 0 {
			i = n - 1
		}
		if i >= 0 {
			columns = append(columns, i)
		}
	}
	if len(columns) == len(f.names()) {
		f.l.columns, f.header = columns, nil
	}
	f.keep(all, line)
}

// keep remembers the row as the header, if it is wider than those before.
func (f *finder) keep(all [][]byte, line int) {
	if len(all) <= len(f.header) {
		return
	}
	f.header, f.headLine = nil, line
	for _, c := range all {
		f.header = append(f.header, []byte(letters(c)))
	}
}

// begins tells whether a row looks like data: a time where one should be.
func (f *finder) begins(all [][]byte) bool {
	if slices.Max(f.l.columns) >= len(all) {
		return false
	}
	text := bytes.TrimSpace(all[f.l.columns[0]])
	if len(text) == 0 || !isDigit(text[0]) {
		return false
	}
	if plainNumber(text) {
		_, err := newStampReader(UnknownOrder).numeric(text)
		return err == nil
	}
	s := timeScan{b: text}
	_, ok := s.date()
	return ok
}

// see looks at a row of data.
func (f *finder) see(rows logRows) {
	var got [3]cell
	rows.wanted(f.l.columns, got[:])
	f.rows++
	if got[0].there && !got[0].numeric {
		f.days.see(got[0].text)
	}
	if v := got[1]; v.there && !v.numeric && len(v.text) > 0 && isDigit(v.text[len(v.text)-1]) {
		f.dec.see(v.text)
		f.texts = true
	}
}

// settle decides what the head has shown.
func (f *finder) settle() *LogNote {
	if len(f.header) > slices.Max(f.l.columns) { // else it is a title
		f.l.width = len(f.header)
		f.l.name = string(f.header[f.l.columns[1]])
	}
	var err error
	if f.l.order, err = f.days.decide(f.form.Dates); err != nil {
		return &LogNote{f.l.data, "time: " + err.Error()}
	}
	f.l.numbers = numberReader{f.form.Decimal, true}
	if f.form.Decimal == 0 {
		if f.l.numbers.decimal, f.l.numbers.known, err = f.dec.decide(); err != nil {
			return &LogNote{f.l.data, "value: " + err.Error()}
		}
	}
	return nil
}

// missing says which column there is none of, or that there are no rows.
func (f *finder) missing() *LogNote {
	if f.header == nil {
		return &LogNote{1, "is empty; want a header and rows with a time and a value"}
	}
	var there []string
	for _, c := range f.header {
		there = append(there, brief(string(c)))
	}
	if len(there) > 12 {
		there = append(there[:12], "...")
	}
	if f.l.columns == nil {
		for _, name := range f.names() {
			if !slices.ContainsFunc(f.header, func(c []byte) bool { return strings.EqualFold(string(c), strings.TrimSpace(name)) }) {
				return &LogNote{f.headLine, fmt.Sprintf("no column is called %s; the widest of the first rows has %s", brief(name), strings.Join(there, ", "))}
			}
		}
	}
	if f.l.columns != nil && slices.Max(f.l.columns) >= len(f.header) {
		return &LogNote{f.headLine, fmt.Sprintf("has %d columns, and column %d is wanted; want the right delimiter and columns", len(f.header), slices.Max(f.l.columns)+1)}
	}
	return &LogNote{f.headLine, fmt.Sprintf("no row after this begins with a time in column %d; want %s", f.l.columns[0]+1, wantTime)}
}

// dayOrder gathers what dates show of the order of day and month.
type dayOrder struct {
	yearFirst, dayFirst, monthFirst, open, short bool
	example                                      string
}

func (o *dayOrder) see(text []byte) {
	text = bytes.TrimSpace(text)
	if plainNumber(text) {
		return
	}
	s := timeScan{b: text}
	d, ok := s.date()
	switch {
	case !ok || d.named:
		return
	case d.yearFirst:
		o.yearFirst = true
		return
	case d.x > 12 && d.y <= 12:
		o.dayFirst = true
	case d.y > 12 && d.x <= 12:
		o.monthFirst = true
	case d.x != d.y && !o.open:
		o.open = true
		o.example = string(text)
	}
	o.short = o.short || d.shortYear
	if o.example == "" {
		o.example = string(text)
	}
}

func (o *dayOrder) known(form *LogForm) bool {
	return form.Dates != UnknownOrder || o.yearFirst || o.dayFirst || o.monthFirst || !o.open
}

// decide gives the order of the dates, or the reason to ask for it.
func (o *dayOrder) decide(said DateOrder) (DateOrder, error) {
	const write = "write dates: day-month-year or dates: month-day-year"
	switch {
	case said != UnknownOrder:
		return said, nil
	case o.short:
		return 0, fmt.Errorf("%s has a year of two digits; write dates: day-month-year, dates: month-day-year or dates: year-month-day", brief(o.example))
	case o.dayFirst && o.monthFirst:
		return 0, fmt.Errorf("some dates can only be day-month-year and some only month-day-year; want one order in a log")
	case o.dayFirst:
		return DayMonthYear, nil
	case o.monthFirst:
		return MonthDayYear, nil
	case o.open:
		return 0, fmt.Errorf("%s may have the day or the month first, and so may all rows looked at; %s", brief(o.example), write)
	case o.yearFirst:
		return YearMonthDay, nil
	case o.example != "":
		return 0, fmt.Errorf("%s may have the day or the month first; %s", brief(o.example), write)
	}
	return YearMonthDay, nil // no dates but numbers or names of months
}
