package demand

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"
)

// book writes a workbook as ISO/IEC 29500-1 has it: sheets by name, each the inside of its sheetData, and shared texts.
func book(t testing.TB, properties string, shared []string, sheets ...string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	method := zip.Store // packing takes a hundred times as long as reading what is this small
	if len(sheets) > 1 && len(sheets[1]) > 1<<16 {
		method = zip.Deflate
	}
	put := func(name, text string) {
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: method})
		if err == nil {
			_, err = io.WriteString(w, `<?xml version="1.0" encoding="UTF-8"?>`+text)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	const main = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
	const office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	list, links := "", ""
	for i := 0; i+1 < len(sheets); i += 2 {
		n := i/2 + 1
		list += fmt.Sprintf(`<sheet name="%s" sheetId="%d" r:id="rId%d"/>`, sheets[i], n, n)
		links += fmt.Sprintf(`<Relationship Id="rId%d" Type="%s/worksheet" Target="worksheets/sheet%d.xml"/>`, n, office, n)
		put(fmt.Sprintf("xl/worksheets/sheet%d.xml", n), `<worksheet `+main+`><sheetData>`+sheets[i+1]+`</sheetData></worksheet>`)
	}
	if shared != nil {
		links += `<Relationship Id="rIdS" Type="` + office + `/sharedStrings" Target="/xl/sharedStrings.xml"/>`
		text := ""
		for _, s := range shared {
			text += "<si>" + s + "</si>"
		}
		put("xl/sharedStrings.xml", `<sst `+main+`>`+text+`</sst>`)
	}
	put("xl/workbook.xml", `<workbook `+main+` xmlns:r="`+office+`">`+properties+`<sheets>`+list+`</sheets></workbook>`)
	put("xl/_rels/workbook.xml.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`+links+`</Relationships>`)
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func readBook(data []byte, f LogForm) (*Log, error) {
	return ReadWorkbookLog(bytes.NewReader(data), int64(len(data)), f)
}

const sharedHead = `<row r="2"><c r="A2" t="s"><v>0</v></c><c r="C2" t="s"><v>1</v></c></row>`

var bookTests = []struct {
	name       string
	properties string
	shared     []string
	sheets     []string
	change     func(*LogForm)
	want       string
	src        string
}{
	{"serial days, a header of shared texts", "", []string{"<t>Zeit</t>", `<r><t>Dampf</t></r><r><t xml:space="preserve"> t/h</t></r><rPh sb="0" eb="1"><t>x</t></rPh>`},
		[]string{"Tabelle1", sharedHead + `<row r="3"><c r="A3" s="4"><v>46035</v></c><c r="C3"><v>1.5</v></c></row><row r="4"><c r="A4"><v>46035.041666666664</v></c><c r="B4"><v>9</v></c><c r="C4"><v>2.5E0</v></c></row>`},
		func(f *LogForm) { f.Time, f.Value = "Zeit", "Dampf t/h" }, "13 00=1500 13 01=2500", "46035 = 25569 + 20466, 13 Jan 2026"},
	{"days from 1904", `<workbookPr date1904="1"/>`, nil,
		[]string{"a", `<row><c><v>44573</v></c><c><v>1.5</v></c></row><row><c><v>44573.0416666667</v></c><c><v>2.5</v></c></row>`},
		nil, "13 00=1500 13 01=2500", "ISO/IEC 29500-1 18.17.4.1: 1462 days between the calendars"},
	{"texts in the cells, a second sheet", "", nil,
		[]string{"other", ``, "log", `<row r="1"><c r="A1" t="inlineStr"><is><t>13.01.2026 00:00</t></is></c><c r="B1" t="str"><f>1+1</f><v>1,5</v></c></row><row r="2"><c r="A2" t="inlineStr"><is><t>13.01.2026 01:00</t></is></c><c r="B2" t="inlineStr"><is><t>2,5</t></is></c></row>`},
		func(f *LogForm) { f.Sheet = "log" }, "13 00=1500 13 01=2500", "ISO/IEC 29500-1 18.18.11, cell types"},
	{"ISO days, empty cells and rows", "", nil,
		[]string{"a", `<row r="1"><c r="A1" t="d"><v>2026-01-13T00:00:00</v></c><c r="B1"/><c r="D1"><v>1.5</v></c></row><row r="2"/><row r="3"><c r="A3" t="d"><v>2026-01-13T01:00:00</v></c><c r="D3"><v>2.5</v></c></row><row r="5"><c r="B5"/></row>`},
		func(f *LogForm) { f.Value = "4" }, "13 00=1500 13 01=2500", "ISO/IEC 29500-1 18.18.11, cell types"},
	{"a day as a number and a time of day as text", "", nil,
		[]string{"a", `<row r="1"><c r="A1"><v>46035</v></c><c r="B1" t="str"><v>00:00</v></c><c r="C1"><v>1.5</v></c></row><row r="2"><c r="A2"><v>4.6035E4</v></c><c r="B2" t="str"><v>1:00 AM</v></c><c r="C2"><v>2.5</v></c></row>`},
		func(f *LogForm) { f.TimeOfDay, f.Value = "2", "3" }, "13 00=1500 13 01=2500", "46035 = 25569 + 20466"},
	{"a day and a time of day as numbers", "", nil,
		[]string{"a", `<row r="1"><c r="A1"><v>46035</v></c><c r="B1"><v>0</v></c><c r="C1"><v>1.5</v></c></row><row r="2"><c r="A2"><v>46035</v></c><c r="B2"><v>4.1666666666666664E-2</v></c><c r="C2"><v>2.5</v></c></row>`},
		func(f *LogForm) { f.TimeOfDay, f.Value = "2", "3" }, "13 00=1500 13 01=2500", "1/24 day"},
}

func TestReadWorkbook(t *testing.T) {
	for _, tt := range bookTests {
		needSource(t, tt.src)
		f := logForm(t, "t/h")
		if tt.change != nil {
			tt.change(&f)
		}
		l, err := readBook(book(t, tt.properties, tt.shared, tt.sheets...), f)
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		if got := measured(l); !strings.HasPrefix(got, tt.want) {
			t.Errorf("%s: %s; want %s (%s)", tt.name, got, tt.want, tt.src)
		}
	}
}

func TestWrongWorkbooks(t *testing.T) {
	rows := `<row r="7"><c r="A7"><v>46035</v></c><c r="B7"><v>1.5</v></c></row><row r="8"><c r="A8"><v>46036</v></c><c r="B8" t="e"><v>#N/A</v></c></row>`
	for _, tt := range []struct {
		name  string
		data  []byte
		sheet string
		want  string // whole
	}{
		{"no zip", []byte("PK\x03\x04"), "", "meter.csv:1: is no XLSX workbook (zip: not a valid zip file); save it as .xlsx or as CSV"},
		{"two sheets", book(t, "", nil, "a", rows, "b", rows), "", `meter.csv:1: has 2 sheets; write sheet: with the name of one, of "a", "b"`},
		{"no such sheet", book(t, "", nil, "a", rows), "b", `meter.csv:1: no sheet is called "b"; want one of "a"`},
		{"an error in a cell", book(t, "", nil, "a", rows), "", "meter.csv:8: value: \"#N/A\"; want a number; if that stands for no value, write missing: [\"#N/A\"]\nmeter.csv:7: has 1 rows with a value; want 2 at least"},
		{"an empty sheet", book(t, "", nil, "a", ""), "", `meter.csv:1: is empty; want a header and rows with a time and a value`},
		{"broken off", book(t, "", nil, "a", rows+"<row r=\"9\"><c"), "", "meter.csv:8: value: \"#N/A\"; want a number; if that stands for no value, write missing: [\"#N/A\"]\nmeter.csv:9: the sheet ends within a row: unexpected EOF; save the workbook anew, or as CSV"},
		{"a text that is not there", book(t, "", nil, "a", `<row r="1"><c r="A1"><v>46035</v></c><c r="B1" t="s"><v>3</v></c></row>`), "", "meter.csv:1: value: \"a text that the workbook lacks\"; want a number; if that stands for no value, write missing: [\"a text that the work\"]\nmeter.csv:1: has 0 rows with a value; want 2 at least"},
	} {
		f := logForm(t, "t/h")
		f.Sheet = tt.sheet
		if _, err := readBook(tt.data, f); err == nil || err.Error() != tt.want {
			t.Errorf("%s:\n got %v\nwant %s", tt.name, err, tt.want)
		}
	}
}

// The walk through a sheet's XML gives what encoding/xml gives: names, attributes, texts, over comments and prefixes.
func TestSheetXML(t *testing.T) {
	for _, in := range []string{
		`<a b="1" c='2'><x:v t = "s">3 &lt; 4 &amp; &#65;&#x42;</x:v><!-- > <q> - --><d/></a>`,
		`<?xml version="1.0"?><!DOCTYPE a><a>` + "\n" + `<row r="7"/>ö</a>`,
		`<a><!----><!-- --><v>1</v></a>`,
	} {
		var got, want []string
		x := newSheetXML(strings.NewReader(in))
		for x.next() == nil {
			if text := string(x.text); text != "" {
				got = append(got, text)
			}
			got = append(got, fmt.Sprintf("%s/%v r=%s t=%s", x.name, x.closes, x.attr("r"), x.attr("t")))
			if x.alone {
				got = append(got, fmt.Sprintf("%s/true r= t=", x.name))
			}
		}
		d := xml.NewDecoder(strings.NewReader(in))
		text := ""
		for {
			token, err := d.RawToken()
			if err != nil {
				break
			}
			line := ""
			switch v := token.(type) {
			case xml.CharData:
				text += string(v)
				continue
			case xml.StartElement:
				line = fmt.Sprintf("%s/false r=%s t=%s", v.Name.Local, attrOf(v, "r"), attrOf(v, "t"))
			case xml.EndElement:
				line = fmt.Sprintf("%s/true r= t=", v.Name.Local)
			default:
				continue
			}
			if text != "" {
				want = append(want, text)
			}
			want, text = append(want, line), ""
		}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%s:\n got %q\nwant %q (encoding/xml)", in, got, want)
		}
	}
	x := newSheetXML(strings.NewReader("<a>" + strings.Repeat("7", 2*mostXMLToken) + "</a>"))
	if err := errors.Join(x.next(), x.next()); err == nil || err.Error() != "a text or a tag has more than 262144 bytes" {
		t.Errorf("a text without end: %v", err)
	}
}

func attrOf(t xml.StartElement, name string) string {
	for _, a := range t.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// A sheet of a whole million of rows is read in steady memory.
func BenchmarkWorkbook(b *testing.B) {
	var rows strings.Builder
	const n = 100_000
	for i := range n {
		fmt.Fprintf(&rows, `<row r="%d"><c r="A%d" s="1"><v>%.9f</v></c><c r="B%d"><v>%.3f</v></c></row>`, i+1, i+1, 46023+float64(i)/1440, i+1, 5+float64(i%977)/100)
	}
	data := book(b, "", nil, "a", rows.String())
	f := logForm(b, "t/h", func(f *LogForm) { f.Step = time.Hour })
	b.ReportAllocs()
	b.SetBytes(int64(rows.Len()))
	most := 0.0
	for b.Loop() {
		most = max(most, heapPeak(func() {
			if _, err := readBook(data, f); err != nil {
				b.Fatal(err)
			}
		}))
	}
	b.ReportMetric(most, "heap-MB")
	b.ReportMetric(n/b.Elapsed().Seconds()*float64(b.N), "rows/s")
}
