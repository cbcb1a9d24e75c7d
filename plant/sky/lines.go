package sky

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"
)

// longestLine bounds what one line may take, so that a file without line ends cannot fill the memory. The longest
// real header line seen has 4 kB.
const longestLine = 64 << 10

// lines hands out a text file line by line from one buffer, which each call overwrites.
type lines struct {
	name string
	in   *bufio.Reader
	at   int // number of the line last handed out, from 1
}

func newLines(r io.Reader, name string) *lines {
	return &lines{name: name, in: bufio.NewReaderSize(r, longestLine)}
}

// next gives the following line without its end; io.EOF after the last.
func (l *lines) next() ([]byte, error) {
	line, err := l.in.ReadSlice('\n')
	switch {
	case errors.Is(err, bufio.ErrBufferFull):
		l.at++
		return nil, l.fail("line: is over %d bytes long; want a text file with line ends", longestLine)
	case errors.Is(err, io.EOF) && len(line) == 0:
		return nil, io.EOF
	case err != nil && !errors.Is(err, io.EOF):
		return nil, fmt.Errorf("%s: after line %d: %w", l.name, l.at, err)
	}
	l.at++
	if l.at == 1 {
		line = bytes.TrimPrefix(line, []byte("\xef\xbb\xbf"))
		if bytes.HasPrefix(line, []byte("\xff\xfe")) || bytes.HasPrefix(line, []byte("\xfe\xff")) {
			return nil, l.fail("encoding: is UTF-16; save the file as plain text (UTF-8)")
		}
	}
	return bytes.TrimRight(line, "\r\n"), nil
}

// startsWith tells whether the file's first sign, after blanks and a byte order mark, is c. It takes nothing.
func (l *lines) startsWith(c byte) bool {
	head, _ := l.in.Peek(64)
	head = bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\xef\xbb\xbf")), " \t\r\n")
	return len(head) > 0 && head[0] == c
}

// must is next, where the end of the file is a fault.
func (l *lines) must(what string) ([]byte, error) {
	line, err := l.next()
	if errors.Is(err, io.EOF) {
		return nil, fmt.Errorf("%s:%d: file: ends before %s; want a whole weather file", l.name, l.at, what)
	}
	return line, err
}

// fail makes an error that begins with the file and the line last handed out.
func (l *lines) fail(format string, a ...any) error {
	return fmt.Errorf("%s:%d: %s", l.name, l.at, fmt.Sprintf(format, a...))
}

// cells cuts a line at its commas into the given slice; quotes are left alone, so it is for rows of numbers.
func cells(line []byte, into [][]byte) [][]byte { return cutBytes(line, ',', into) }

func cutBytes(line []byte, at byte, into [][]byte) [][]byte {
	into = into[:0]
	for {
		i := bytes.IndexByte(line, at)
		if i < 0 {
			return append(into, line)
		}
		into = append(into, line[:i])
		line = line[i+1:]
	}
}

// words cuts a header line at its commas, but not inside quotes, and takes quotes and outer blanks off.
func words(line []byte) []string { return cutWords(text(line), ',') }

func cutWords(line string, at rune) []string {
	var all []string
	var word strings.Builder
	quoted := false
	for _, c := range line {
		switch {
		case c == '"':
			quoted = !quoted
		case c == at && !quoted:
			all = append(all, strings.TrimSpace(word.String()))
			word.Reset()
		default:
			word.WriteRune(c)
		}
	}
	return append(all, strings.TrimSpace(word.String()))
}

// text is a line as UTF-8; what is not is taken for Latin-1, in which every byte is a letter.
func text(line []byte) string {
	if utf8.Valid(line) {
		return string(line)
	}
	runes := make([]rune, len(line))
	for i, c := range line {
		runes[i] = rune(c)
	}
	return string(runes)
}

// number reads a plain decimal number: no NaN, no infinity, no hexadecimal, and in the range of float64.
func number(cell []byte) (float64, bool) {
	cell = bytes.TrimSpace(cell)
	for _, c := range cell {
		if (c < '0' || c > '9') && !bytes.ContainsRune([]byte("+-.eE"), rune(c)) {
			return 0, false
		}
	}
	v, err := strconv.ParseFloat(string(cell), 64)
	return v, err == nil
}

// whole reads a whole number of at most four digits.
func whole(cell []byte) (int, bool) {
	cell = bytes.TrimSpace(cell)
	if len(cell) == 0 || len(cell) > 4 {
		return 0, false
	}
	n := 0
	for _, c := range cell {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = n*10 + int(c-'0')
	}
	return n, true
}

// shown shortens what a file says for an error message.
func shown(cell []byte) string {
	const most = 40
	s := strings.ToValidUTF8(string(cell), "?")
	if len(s) > most {
		s = strings.ToValidUTF8(s[:most], "") + "..."
	}
	return strconv.Quote(s)
}

// wrap puts file and line before an error.
func (l *lines) wrap(err error) error { return fmt.Errorf("%s:%d: %w", l.name, l.at, err) }
