package report

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Plain gives a writer of text through which nothing can drive a terminal: a control character but for the end of a line and
// the tab comes out as \u001b. Names come from scenarios and weather files, which strangers write.
func Plain(w io.Writer) io.Writer { return plain{w} }

type plain struct{ w io.Writer }

func (p plain) Write(text []byte) (int, error) {
	if bytes.ContainsFunc(text, drives) {
		var safe []byte
		for rest := text; len(rest) > 0; {
			c, n := utf8.DecodeRune(rest)
			if drives(c) {
				safe = fmt.Appendf(safe, `\u%04x`, c)
			} else {
				safe = append(safe, rest[:n]...)
			}
			rest = rest[n:]
		}
		_, err := p.w.Write(safe)
		return len(text), err
	}
	return p.w.Write(text)
}

// drives tells of control characters, and of those that turn the direction of writing.
func drives(c rune) bool {
	return c < ' ' && c != '\n' && c != '\t' || c >= 0x7f && c < 0xa0 || c >= 0x202a && c <= 0x202e || c >= 0x2066 && c <= 0x2069
}

// nameCell is a text from a scenario as a cell of a CSV file. One that a spreadsheet would work out as a formula, such as
// =1+1 or @SUM, gets an apostrophe before it, which says that it is text; a number is left alone.
func nameCell(text string) string {
	if _, err := strconv.ParseFloat(text, 64); err == nil || strings.IndexAny(text, "=+-@\t\r") != 0 {
		return text
	}
	return "'" + text
}
