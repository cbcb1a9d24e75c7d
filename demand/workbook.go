package demand

import (
	"archive/zip"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"
)

// ReadWorkbookLog is [ReadLog] for an XLSX workbook (ISO/IEC 29500, Office Open XML) of so many bytes. Lines are the sheet's rows.
// The sheet is read in one pass like a CSV file; texts that cells share are held, at most 64 MB.
func ReadWorkbookLog(r io.ReaderAt, size int64, form LogForm) (*Log, error) {
	if err := form.check(); err != nil {
		return nil, err
	}
	faults := newTally(form.Source, mostOfKind)
	b, err := openWorkbook(r, size, form.Sheet)
	if err != nil {
		faults.stop(1, err, "%v", err)
		return nil, faults.err()
	}
	f := finder{form: &form}
	head := b.rows(newTally("", 1), mostHeadRows)
	l, bad := f.find(head)
	head.close()
	if bad != nil {
		faults.stop(bad.Line, nil, "%s", bad.Text)
		return nil, faults.err()
	}
	rows := b.rows(faults, 0)
	defer rows.close()
	return readRows(rows, form, l, faults)
}

// IsWorkbook reports whether a file that begins so is an XLSX workbook (or another zip file).
func IsWorkbook(head []byte) bool { return strings.HasPrefix(string(head), "PK\x03\x04") }

// workbook is an XLSX file whose sheet is found.
type workbook struct {
	sheet    *zip.File
	shared   sharedTexts
	from1904 bool // days count from 1904
}

const (
	days1904   = 1462 // between the two calendars of spreadsheets, ISO/IEC 29500-1, 18.17.4.1
	mostPart   = 4 << 20
	mostShared = 64 << 20
)

// openWorkbook finds the sheet of a name, or the only one.
func openWorkbook(r io.ReaderAt, size int64, name string) (*workbook, error) {
	z, err := zip.NewReader(r, size)
	if err != nil {
		return nil, fmt.Errorf("is no XLSX workbook (%w); save it as .xlsx or as CSV", err)
	}
	parts := map[string]*zip.File{}
	for _, f := range z.File {
		parts[strings.ToLower(strings.TrimPrefix(f.Name, "/"))] = f
	}
	var book struct {
		Properties struct {
			Date1904 string `xml:"date1904,attr"`
		} `xml:"workbookPr"`
		Sheets []struct {
			Name string `xml:"name,attr"`
			ID   string `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"`
		} `xml:"sheets>sheet"`
	}
	var links struct {
		Links []struct{ Id, Type, Target string } `xml:"Relationship"`
	}
	if err = decodePart(parts["xl/workbook.xml"], &book); err == nil {
		err = decodeLinks(parts["xl/_rels/workbook.xml.rels"], &links.Links)
	}
	if err != nil {
		said := err.Error() // of the XML reader, which may quote the file at any length
		return nil, fmt.Errorf("is no XLSX workbook that can be read: %s", strings.ToValidUTF8(said[:min(len(said), 200)], ""))
	}
	targets := map[string]*zip.File{}
	b := &workbook{from1904: book.Properties.Date1904 == "1" || book.Properties.Date1904 == "true"}
	for _, l := range links.Links {
		target := strings.TrimPrefix(l.Target, "/")
		if target == l.Target {
			target = path.Join("xl", target)
		}
		targets[l.Id] = parts[strings.ToLower(target)]
		if strings.HasSuffix(l.Type, "/sharedStrings") {
			if err := b.shared.read(targets[l.Id]); err != nil {
				return nil, err
			}
		}
	}
	var names []string
	for _, s := range book.Sheets {
		names = append(names, brief(s.Name))
		if s.Name == name || name == "" && len(book.Sheets) == 1 {
			b.sheet = targets[s.ID]
			if b.sheet == nil {
				return nil, fmt.Errorf("sheet %s is listed but not there; save the workbook anew", brief(s.Name))
			}
		}
	}
	switch {
	case b.sheet != nil:
		return b, nil
	case name == "":
		return nil, fmt.Errorf("has %d sheets; write sheet: with the name of one, of %s", len(names), strings.Join(names[:min(len(names), 20)], ", "))
	}
	return nil, fmt.Errorf("no sheet is called %s; want one of %s", brief(name), strings.Join(names[:min(len(names), 20)], ", "))
}

// decodePart reads a small part of the workbook.
func decodePart(f *zip.File, out any) error {
	if f == nil {
		return errors.New("a part of it is missing")
	}
	r, err := f.Open()
	if err != nil {
		return err
	}
	defer r.Close()
	return xml.NewDecoder(io.LimitReader(r, mostPart)).Decode(out)
}

func decodeLinks(f *zip.File, out *[]struct{ Id, Type, Target string }) error {
	var links struct {
		Links []struct {
			ID     string `xml:"Id,attr"`
			Type   string `xml:"Type,attr"`
			Target string `xml:"Target,attr"`
		} `xml:"Relationship"`
	}
	if err := decodePart(f, &links); err != nil {
		return err
	}
	for _, l := range links.Links {
		*out = append(*out, struct{ Id, Type, Target string }{l.ID, l.Type, l.Target})
	}
	return nil
}

// sharedTexts are the texts that cells share, one after another.
type sharedTexts struct {
	all  []byte
	ends []int32
}

func (s *sharedTexts) at(i int) ([]byte, bool) {
	if i < 0 || i >= len(s.ends) {
		return nil, false
	}
	from := int32(0)
	if i > 0 {
		from = s.ends[i-1]
	}
	return s.all[from:s.ends[i]], true
}

// read takes the text of each si: all its t, but for the phonetic ones.
func (s *sharedTexts) read(f *zip.File) error {
	if f == nil {
		return nil
	}
	in, err := f.Open()
	if err != nil {
		return err
	}
	defer in.Close()
	x := newSheetXML(&bounded{in, mostUnpacked})
	aside := false
	for {
		if err := x.next(); err == io.EOF {
			return nil
		} else if err != nil {
			return fmt.Errorf("its shared texts cannot be read: %w", err)
		}
		switch string(x.name) {
		case "rPh":
			aside = !x.closes && !x.alone
		case "t":
			if x.closes && !aside {
				s.all = append(s.all, x.text...)
			}
		case "si":
			if x.closes || x.alone {
				s.ends = append(s.ends, int32(len(s.all)))
			}
		}
		if len(s.all)+4*len(s.ends) > mostShared {
			return fmt.Errorf("its texts have more than %d MB; save the sheet as CSV", mostShared>>20)
		}
	}
}
