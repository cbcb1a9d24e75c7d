package demand

import (
	"archive/zip"
	"bytes"
	"io"
	"strings"
	"testing"
)

// A workbook from a stranger may unpack to anything, and name any path: what it names is looked up among its own parts.
func TestHostileWorkbooks(t *testing.T) {
	form := logForm(t, "kW", func(f *LogForm) { f.Counts = Rate })
	row := `<row><c t="inlineStr"><is><t>time</t></is></c><c t="inlineStr"><is><t>kW</t></is></c></row><row><c><v>46023</v></c><c><v>1</v></c></row>`
	sound := book(t, "", nil, "a", row)
	parts := func(change func(name, text string) string) []byte {
		var out bytes.Buffer
		w := zip.NewWriter(&out)
		in, err := zip.NewReader(bytes.NewReader(sound), int64(len(sound)))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range in.File {
			r, _ := f.Open()
			text, _ := io.ReadAll(r)
			to, _ := w.Create(f.Name)
			io.WriteString(to, change(f.Name, string(text)))
		}
		w.Close()
		return out.Bytes()
	}
	for _, tt := range []struct {
		what string
		data []byte
		want string
	}{
		{"a sheet outside", parts(func(_, s string) string { return strings.ReplaceAll(s, "worksheets/sheet1.xml", "../../../etc/passwd") }),
			`meter.csv:1: sheet "a" is listed but not there; save the workbook anew`},
		{"a row beyond the last", book(t, "", nil, "a", row+`<row r="1048577"><c><v>1</v></c></row>`),
			"meter.csv:1048576: the sheet goes on beyond row 1048576, the last that a sheet can have"},
		{"relations that go on and on", parts(func(name, s string) string {
			if strings.HasSuffix(name, "workbook.xml.rels") {
				return "<!--" + strings.Repeat(" ", mostPart) + "-->" + s
			}
			return s
		}), "is no XLSX workbook that can be read: XML syntax error on line 1: unexpected EOF"},
		{"half of it", sound[:len(sound)/2], "is no XLSX workbook (zip: not a valid zip file)"},
	} {
		_, err := ReadWorkbookLog(bytes.NewReader(tt.data), int64(len(tt.data)), form)
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v; want %q", tt.what, err, tt.want)
		}
	}
	if _, err := io.ReadAll(&bounded{strings.NewReader("four"), 3}); err == nil || err.Error() != "it unpacks to over 1024 MB" {
		t.Errorf("reading beyond the bound gave %v", err)
	}
}
