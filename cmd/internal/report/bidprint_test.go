package report

import (
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"noonkeep/cmd/internal/answer"
)

// chromium finds a browser that prints, and the tools that read what it printed; without them the test is skipped.
func chromium(t *testing.T) string {
	t.Helper()
	for _, tool := range []string{"pdfinfo", "pdftotext"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("no %s on this machine (Debian's poppler-utils): nobody reads the printed pages; .ci/setup test installs it", tool)
		}
	}
	for _, name := range []string{"chromium-headless-shell", "chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Skip("no Chromium on this machine: nobody prints the page; .ci/setup test installs it")
	return ""
}

// printed has the browser print a page, and gives the text of each sheet of paper, and its size in points. The browser's only
// way out is a door that we watch.
func printed(t *testing.T, page string) (sheets []string, wPt, hPt float64, asked []string) {
	t.Helper()
	browser := chromium(t)
	door, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer door.Close()
	knocked := make(chan string, 64)
	go func() {
		for {
			c, err := door.Accept()
			if err != nil {
				return
			}
			words := make([]byte, 200)
			n, _ := c.Read(words)
			select {
			case knocked <- string(words[:n]):
			default:
			}
			c.Close()
		}
	}()
	dir := t.TempDir()
	html, pdf := filepath.Join(dir, "bid.html"), filepath.Join(dir, "bid.pdf")
	if err := os.WriteFile(html, []byte(page), 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(browser, "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-pdf-header-footer", "--user-data-dir="+filepath.Join(dir, "profile"),
		"--disable-background-networking", "--disable-component-update", "--no-first-run", "--proxy-server=http://"+door.Addr().String(), "--proxy-bypass-list=<-loopback>",
		"--print-to-pdf="+pdf, "file://"+html).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", browser, err, out)
	}
	for more := true; more; {
		select {
		case what := <-knocked:
			asked = append(asked, what)
		default:
			more = false
		}
	}
	info, err := exec.Command("pdfinfo", pdf).Output()
	if err != nil {
		t.Fatal(err)
	}
	size := regexp.MustCompile(`Page size: +([0-9.]+) x ([0-9.]+)`).FindSubmatch(info)
	wPt, _ = strconv.ParseFloat(string(size[1]), 64)
	hPt, _ = strconv.ParseFloat(string(size[2]), 64)
	text, err := exec.Command("pdftotext", "-layout", pdf, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	sheets = strings.Split(strings.TrimRight(string(text), "\f"), "\f")
	return sheets, wPt, hPt, asked
}

// squeezed is a text without spaces, as line breaks and columns fall anywhere in print.
func squeezed(s string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(" \n\t\u00a0\u202f-\u2010", r) {
			return -1
		}
		return r
	}, s)
}

// On paper, A4 and letter: each heading has something under it on its page, no table that fits a page is cut, every page has its
// foot and its number, and nothing was sent for.
func TestBidPrints(t *testing.T) {
	t.Parallel()
	b := wholeBid(t)
	none := bidOf(t, 33, append([]string{"%COST%", "{}", "%MONEY%", "{currency: EUR}"}, hostile...)...)
	for _, c := range []struct {
		name     string
		b        answer.Bid
		style    BidStyle
		wPt, hPt float64 // ISO 216 A4 210 x 297 mm; ANSI letter 8.5 x 11 in
	}{{"A4", b, BidStyle{}, 595.28, 841.89}, {"letter", none, BidStyle{Letter: true}, 612, 792}} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			w, err := bidDocumentOf(c.b, c.style)
			if err != nil {
				t.Fatal(err)
			}
			sheets, wPt, hPt, asked := printed(t, pageOf(t, c.b, c.style))
			if len(asked) > 0 {
				t.Errorf("the page sent for something: %q", asked)
			}
			if wPt < c.wPt-1 || wPt > c.wPt+1 || hPt < c.hPt-1 || hPt > c.hPt+1 {
				t.Errorf("the paper is %g x %g pt; want %g x %g", wPt, hPt, c.wPt, c.hPt)
			}
			if len(sheets) < 8 || len(sheets) > 30 {
				t.Errorf("it takes %d pages; want 8 to 30", len(sheets))
			}
			var flat []string
			for i, s := range sheets {
				foot := strconv.Itoa(i+1) + " / " + strconv.Itoa(len(sheets))
				lines := strings.Split(strings.TrimSpace(s), "\n")
				if last := lines[len(lines)-1]; !strings.Contains(strings.Join(lines[max(0, len(lines)-3):], "\n"), foot) {
					t.Errorf("page %d ends with %q; want its foot with %q", i+1, last, foot)
				}
				flat = append(flat, squeezed(s))
			}
			for _, fault := range checkPages(w.doc, flat) {
				t.Error(fault)
			}
		})
	}
}

// A page that does send for something is seen to.
func TestPrintedPageIsWatched(t *testing.T) {
	t.Parallel()
	if _, _, _, asked := printed(t, `<!DOCTYPE html><title>x</title><p>x<img src="http://bid.invalid/x.png">`); len(asked) == 0 {
		t.Error("a page with a picture from elsewhere sent for nothing: the door is not watched")
	}
}

// checkPages holds headings and tables against the pages that they came to stand on.
func checkPages(doc bidDocument, pages []string) (faults []string) {
	say := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	on := func(text string) int {
		for i, p := range pages {
			if strings.Contains(p, squeezed(text)) {
				return i
			}
		}
		return -1
	}
	for _, section := range doc.Sections[1:] {
		first := firstWords(section.Blocks[0])
		if first == "" {
			continue
		}
		if on(section.Title+first) < 0 && on(section.Title) != on(first) {
			say("the heading %q stands on page %d and its first words on page %d", section.Title, on(section.Title)+1, on(first)+1)
		}
		for _, block := range section.Blocks {
			table := block.Table
			if table == nil || len(table.Rows) > 40 {
				continue
			}
			from := on(table.Caption)
			if from < 0 {
				say("%q is not in print", table.Caption)
				continue
			}
			// A cell may be broken over lines, so that its words stand apart in the page's text.
			last := table.Rows[len(table.Rows)-1].Cells
			for _, word := range strings.Fields(strings.Join(last, " ")) {
				if !strings.Contains(pages[from], squeezed(word)) && len(word) < 30 {
					say("%q begins on page %d, and its last row %q is not there", table.Caption, from+1, last[0])
					break
				}
			}
		}
	}
	return faults
}

func firstWords(b bidBlock) string {
	r := []rune(b.Para)
	return string(r[:min(len(r), 30)])
}

// The checker of pages sees a heading alone at a page's end, a table that is cut and one that is lost.
func TestCheckPages(t *testing.T) {
	t.Parallel()
	table := &bidTable{Caption: "Table 1. Rows", Rows: []bidRow{{Cells: []string{"first row", "1"}}, {Cells: []string{"last row", "2"}}}}
	doc := bidDocument{Sections: []bidSection{{}, {Title: "What is told", Blocks: []bidBlock{{Para: "These are words."}, {Table: table}}}}}
	for _, c := range []struct {
		pages []string
		want  string
	}{
		{[]string{"What is told\nThese are words.\nTable 1. Rows\nfirst row 1\nlast row 2"}, ""},
		{[]string{"What is told", "These are words.\nTable 1. Rows\nfirst row 1\nlast row 2"}, `the heading "What is told" stands on page 1 and its first words on page 2`},
		{[]string{"What is told\nThese are words.\nTable 1. Rows\nfirst row 1", "last row 2"}, `"Table 1. Rows" begins on page 1, and its last row "last row" is not there`},
		{[]string{"What is told\nThese are words."}, `"Table 1. Rows" is not in print`},
	} {
		var flat []string
		for _, p := range c.pages {
			flat = append(flat, squeezed(p))
		}
		if got := strings.Join(checkPages(doc, flat), "; "); got != c.want {
			t.Errorf("%q: %s; want %s", c.pages, got, c.want)
		}
	}
}
