package sky

import (
	"errors"
	"fmt"
	"io"
)

// open gives the years of files one after another, each file opened when its turn comes.
func open(in []Input, opt ReadOptions) tables { return &opener{in: in, opt: opt} }

type opener struct {
	in  []Input
	opt ReadOptions
	now tables
}

func (o *opener) next() (*table, error) {
	for {
		if o.now != nil {
			t, err := o.now.next()
			if !errors.Is(err, io.EOF) {
				return t, err
			}
			o.now = nil
		}
		if len(o.in) == 0 {
			return nil, io.EOF
		}
		t, s, err := o.file()
		switch {
		case err != nil:
			return nil, err
		case t != nil:
			o.now = &one{t}
		default:
			o.now = &collector{now: s, more: o.more}
		}
	}
}

// more opens the next file of rows that go on.
func (o *opener) more() (*stream, error) {
	if len(o.in) == 0 {
		return nil, io.EOF
	}
	name := o.in[0].Name
	t, s, err := o.file()
	if err == nil && t != nil {
		err = fmt.Errorf("%s:1: format: is %s, unlike the file before it; want files of one kind", name, t.kind)
	}
	return s, err
}

// file opens the first of the files that are left: as a whole year, or as a stream of rows.
func (o *opener) file() (*table, *stream, error) {
	in := o.in[0]
	o.in = o.in[1:]
	l := newLines(in.R, in.Name)
	if o.opt.Plain != nil {
		s, err := openPlain(l, *o.opt.Plain, o.opt)
		return nil, s, err
	}
	if l.startsWith('{') {
		s, err := openPVGISJSON(l)
		return nil, s, err
	}
	line, err := l.must("its first line")
	if err != nil {
		return nil, nil, err
	}
	first := append([]byte(nil), line...)
	switch {
	case hasWord(first, "LOCATION"):
		t, err := wholeYear(openEPW, l, first)
		return t, nil, err
	case hasWord(first, "Latitude (decimal degrees)"):
		s, err := openPVGIS(l, first)
		return nil, s, err
	case hasWord(first, "Source,Location ID"):
		s, err := openPSM(l, first)
		return nil, s, err
	case isRecord(first):
		s, err := openBSRN(l, first)
		return nil, s, err
	case isTMY3(words(first)):
		t, err := wholeYear(openTMY3, l, first)
		return t, nil, err
	}
	return nil, nil, l.fail("format: the first line is %s; want an EPW (LOCATION,...), a TMY3 csv (station,name,state,...), a PVGIS typical year, "+
		"an NSRDB PSM csv, a BSRN station-to-archive file (*C0001), or a plain CSV whose columns are named", shown(first))
}

// isTMY3 wants the head of a TMY3 csv: its fields are many and some of the place's are numbers.
func isTMY3(head []string) bool {
	if len(head) < 7 {
		return false
	}
	for _, field := range head[3:7] {
		if _, ok := number([]byte(field)); ok {
			return true
		}
	}
	return false
}

// wholeYear reads a file that is a year without missing rows.
func wholeYear(open func(*lines, []byte) (*table, format, [quantities]bool, error), l *lines, first []byte) (*table, error) {
	t, f, has, err := open(l, first)
	if err != nil {
		return nil, err
	}
	return t, t.readRows(l, f, has)
}
