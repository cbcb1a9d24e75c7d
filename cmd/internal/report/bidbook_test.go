package report

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"noonkeep/cmd/internal/answer"
)

// bookOf is a bid's spreadsheet.
func bookOf(t testing.TB, b answer.Bid) []byte {
	t.Helper()
	w, err := bidDocumentOf(b, BidStyle{})
	if err != nil {
		t.Fatal(err)
	}
	var book bytes.Buffer
	if err := w.bidBook(&book, b); err != nil {
		t.Fatal(err)
	}
	return book.Bytes()
}

// bookParts are the files within a spreadsheet.
func bookParts(t testing.TB, b answer.Bid) map[string]string {
	t.Helper()
	parts := map[string]string{}
	data := bookOf(t, b)
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		parts[f.Name] = string(text)
	}
	return parts
}

// ourValue is what stands beside a formula.
var ourValue = regexp.MustCompile(`</f><v>[^<]*</v>`)

// bare takes our values out of a book, so that a spreadsheet program has to work each formula out.
func bare(t *testing.T, parts map[string]string) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for name, text := range parts {
		f, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		io.WriteString(f, ourValue.ReplaceAllString(text, "</f>"))
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// recalculated has LibreOffice work books out, all in one run, and gives each sheet's cells by book and sheet.
func recalculated(t *testing.T, books map[string][]byte) map[string]map[string][][]string {
	t.Helper()
	office, err := exec.LookPath("soffice")
	if err != nil {
		t.Skip("no LibreOffice (soffice) on this machine: nobody else works the spreadsheet out; .ci/setup test installs it")
	}
	dir := t.TempDir()
	args := []string{"--headless", "-env:UserInstallation=file://" + filepath.Join(dir, "profile"), "--convert-to",
		"csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1", "--outdir", dir}
	for name, data := range books {
		path := filepath.Join(dir, name+".xlsx")
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
		args = append(args, path)
	}
	if out, err := exec.Command(office, args...).CombinedOutput(); err != nil {
		t.Fatalf("soffice: %v\n%s", err, out)
	}
	all := map[string]map[string][][]string{}
	for name := range books {
		all[name] = map[string][][]string{}
		files, _ := filepath.Glob(filepath.Join(dir, name+"-*.csv"))
		for _, path := range files {
			f, err := os.Open(path)
			if err != nil {
				t.Fatal(err)
			}
			r := csv.NewReader(f)
			r.FieldsPerRecord = -1
			rows, err := r.ReadAll()
			f.Close()
			if err != nil {
				t.Fatalf("%s: %v", path, err)
			}
			sheet := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(path), name+"-"), ".csv")
			all[name][sheet] = rows
		}
		if len(all[name]) == 0 {
			t.Fatalf("LibreOffice read nothing of %s", name)
		}
	}
	return all
}

// theirNumber reads a cell as LibreOffice writes it.
func theirNumber(s string) (float64, bool) {
	by := 1.0
	if cut, is := strings.CutSuffix(s, "%"); is {
		s, by = cut, 0.01
	}
	v, err := strconv.ParseFloat(s, 64)
	return v * by, err == nil
}

// found is the value in the fourth column of the row of a name.
func found(t *testing.T, rows [][]string, name string) string {
	t.Helper()
	for _, r := range rows {
		if len(r) > firstYear && r[0] == name {
			return r[firstYear]
		}
	}
	t.Fatalf("no row %q", name)
	return ""
}

// Everyone's spreadsheet gives our figures: LibreOffice works every formula out anew, from nothing but the inputs, and finds
// the value that we wrote beside it; no cell is an error; and where an input is changed there, the result moves as our own
// recomputation does.
func TestSpreadsheetGivesOurFigures(t *testing.T) {
	t.Parallel()
	cases := map[string]answer.Bid{
		"plain": bidOf(t, 0), "whole": bidOf(t, 0, "%COST%", wholeCost, "%MONEY%", wholeMoney),
		"dear":      bidOf(t, 0, "%COST%", wholeCost, "%MONEY%", wholeMoney, "%PRICE%", "83000 EUR"),
		"never":     bidOf(t, 0, "%COST%", "{per_m3: 90000 EUR/m3}"),
		"straight":  bidOf(t, 0, "%COST%", "{table: [{volume: 20 m3, price: 52000 EUR}, {volume: 90 m3, price: 150000 EUR}]}", "%MONEY%", "{currency: EUR, life: 12 a, discount: 9 %, tax: 30 %, tax_losses: at once, depreciation: {method: declining then straight line, rate: 30 %, years: 7}, subsidy: {sum: 90000 EUR, reduces_depreciation: no}}"),
		"schedule":  bidOf(t, 0, "%MONEY%", "{currency: EUR, life: 15 a, discount: 9 %, tax: 21 %, depreciation: {method: MACRS, years: 5}, fuel_price_rise: 3 %/a, carbon_price: 60 EUR/t, carbon_price_rise: 4 %/a}"),
		"no money":  bidOf(t, 0, "%COST%", "{}", "%MONEY%", "{currency: EUR}"),
		"dangerous": bidOf(t, 0, hostile...),
	}
	books := map[string][]byte{}
	for name, b := range cases {
		books[name] = bare(t, bookParts(t, b))
	}
	// What a reader does: another price of the reference vessel, in the sheet of the case with all that money has.
	changed := bookParts(t, cases["whole"])
	for name, part := range changed {
		changed[name] = strings.ReplaceAll(part, "<v>50000</v>", "<v>83000</v>")
	}
	books["changed"] = bare(t, changed)
	theirs := recalculated(t, books)

	formulas := 0
	for name, b := range cases {
		for _, m := range []*answer.MoneySheet{b.TankMoney, b.PlantMoney} {
			if m == nil {
				continue
			}
			rows := moneyRows(t, theirs[name], m)
			formulas += compareSheet(t, name+", "+m.Project, m, rows)
		}
		for sheet, rows := range theirs[name] {
			for i, r := range rows {
				for j, cell := range r {
					if strings.HasPrefix(cell, "#") || strings.HasPrefix(cell, "Err:") {
						t.Errorf("%s, %s: %s%d is %s", name, sheet, columnName(j), i+1, cell)
					}
				}
			}
		}
	}
	if formulas < 5000 {
		t.Errorf("%d formulas were compared; want thousands", formulas)
	}
	for _, m := range []*answer.MoneySheet{cases["dear"].TankMoney, cases["dear"].PlantMoney} {
		if n := compareSheet(t, "changed there, "+m.Project, m, moneyRows(t, theirs["changed"], m)); n == 0 {
			t.Error("nothing was compared")
		}
	}
	if was, is := cases["whole"].Chosen.Money.Tank.NPV, cases["dear"].Chosen.Money.Tank.NPV; !(was-is > 1000) {
		t.Errorf("a vessel dearer by two thirds takes the worth from %g to %g; want much less", was, is)
	}
}

// moneyRows is the sheet of a case.
func moneyRows(t *testing.T, sheets map[string][][]string, m *answer.MoneySheet) [][]string {
	t.Helper()
	for _, rows := range sheets {
		if len(rows) > 0 && len(rows[0]) > 0 && rows[0][0] == English().Say("sheet.money", "case", m.Project) {
			return rows
		}
	}
	t.Fatalf("no sheet for %s", m.Project)
	return nil
}

// compareSheet holds each figure of a sheet against ours, to 1e-6 of it, and counts the formulas among them.
func compareSheet(t *testing.T, name string, m *answer.MoneySheet, rows [][]string) (formulas int) {
	t.Helper()
	biggest := 0.0
	for _, c := range m.Columns {
		if c.Unit == "money" {
			for _, v := range c.Values {
				biggest = math.Max(biggest, math.Abs(v))
			}
		}
	}
	bad := 0
	check := func(what, cell string, ours float64) {
		if math.IsNaN(ours) || math.IsInf(ours, 0) {
			if cell != "–" {
				t.Errorf("%s: %s: we have none, LibreOffice %q; want a dash", name, what, cell)
			}
			return
		}
		got, is := theirNumber(cell)
		if bad < 8 && (!is || math.Abs(got-ours) > 1e-6*math.Abs(ours)+1e-12*biggest) {
			bad++
			t.Errorf("%s: %s: we have %.10g, LibreOffice %q", name, what, ours, cell)
		}
	}
	for _, total := range m.Totals {
		check(total.Name, found(t, rows, total.Name), total.Value)
		formulas++
	}
	at := len(m.Totals) + 6
	for i, in := range m.Inputs {
		check(in.Name, rows[at+i][firstYear], in.Value)
		if in.Formula != "" {
			formulas++
		}
	}
	at += len(m.Inputs) + 2
	for i, c := range m.Columns {
		if rows[at+i][0] != c.Name {
			t.Fatalf("%s: row %d is %q; want %q", name, at+i+1, rows[at+i][0], c.Name)
		}
		for year, v := range c.Values {
			check(fmt.Sprintf("%s, year %d", c.Name, year), rows[at+i][firstYear+year], v)
			if c.Formula != "" {
				formulas++
			}
		}
	}
	return formulas
}

// Columns have letters beyond Z, and sheets have names that programs take, each its own.
func TestWorkbookNames(t *testing.T) {
	t.Parallel()
	for i, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA"} {
		if got := columnName(i); got != want {
			t.Errorf("column %d is %s; want %s", i, got, want)
		}
	}
	var b workbook
	for _, c := range [][2]string{{"Curve", "Curve"}, {"curve", "curve 2"}, {"a/b:c?", "a b c"}, {"", "2"}, {strings.Repeat("x", 40), strings.Repeat("x", 30) + "…"}} {
		if got := b.add(c[0], &sheet{}).name; strings.TrimSpace(got) != strings.TrimSpace(c[1]) {
			t.Errorf("a sheet called %q is %q; want %q", c[0], got, c[1])
		}
	}
}

// Equal bids give equal bytes.
func TestSpreadsheetIsTheSameTwice(t *testing.T) {
	t.Parallel()
	b := bidOf(t, 0)
	if !bytes.Equal(bookOf(t, b), bookOf(t, b)) {
		t.Error("two books of one bid differ")
	}
}
