package demand

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"unicode/utf8"
)

// sheetXML walks through the XML of a sheet or of shared texts, a tag at a time and the text before it. It knows the XML that
// spreadsheets write: no entity declarations, and UTF-8. It is several times as fast as encoding/xml, whose tokens each
// allocate, and no token may be longer than its buffer.
type sheetXML struct {
	in     *bufio.Reader
	text   []byte // before the tag, unescaped
	name   []byte // of the tag, without prefix
	attrs  []byte
	closes bool // </name>
	alone  bool // <name/>
}

const mostXMLToken = 256 << 10

// bounded reads so many bytes and then fails.
type bounded struct {
	r    io.Reader
	left int64
}

func (b *bounded) Read(p []byte) (int, error) {
	if b.left <= 0 {
		return 0, fmt.Errorf("it unpacks to over %d MB", mostUnpacked>>20)
	}
	n, err := b.r.Read(p[:min(int64(len(p)), b.left)])
	b.left -= int64(n)
	return n, err
}

func newSheetXML(r io.Reader) *sheetXML {
	return &sheetXML{in: bufio.NewReaderSize(r, mostXMLToken)}
}

// next reads to the end of the next tag; io.EOF after the last.
func (x *sheetXML) next() error {
	x.text = x.text[:0]
	for {
		text, err := x.in.ReadSlice('<')
		if err != nil {
			return x.broken(err, io.EOF)
		}
		x.text = append(x.text, text[:len(text)-1]...)
		if len(x.text) > mostXMLToken {
			return x.broken(bufio.ErrBufferFull, nil)
		}
		tag, err := x.in.ReadSlice('>')
		if err != nil {
			return x.broken(err, io.ErrUnexpectedEOF)
		}
		switch tag = tag[:len(tag)-1]; {
		case bytes.HasPrefix(tag, []byte("!--")):
			if err := x.pass(tag); err != nil {
				return err
			}
		case len(tag) > 0 && (tag[0] == '?' || tag[0] == '!'):
			if bytes.HasPrefix(tag, []byte("![CDATA[")) {
				return errors.New("it has a CDATA section, which no spreadsheet writes")
			}
		default:
			x.open(tag)
			if bytes.IndexByte(x.text, '&') >= 0 {
				x.text = unescape(x.text)
			}
			return nil
		}
	}
}

func (x *sheetXML) broken(err, atEnd error) error {
	switch {
	case errors.Is(err, bufio.ErrBufferFull):
		return fmt.Errorf("a text or a tag has more than %d bytes", mostXMLToken)
	case err == io.EOF && atEnd != nil:
		return atEnd
	}
	return err
}

// pass goes to the end of a comment.
func (x *sheetXML) pass(tag []byte) error {
	for ends := len(tag) > 4; !ends || !bytes.HasSuffix(tag, []byte("--")); ends = true {
		more, err := x.in.ReadSlice('>')
		if err != nil {
			return x.broken(err, io.ErrUnexpectedEOF)
		}
		tag = more[:len(more)-1]
	}
	return nil
}

// open takes a tag apart.
func (x *sheetXML) open(tag []byte) {
	x.closes = len(tag) > 0 && tag[0] == '/'
	if x.closes {
		tag = tag[1:]
	}
	x.alone = len(tag) > 0 && tag[len(tag)-1] == '/'
	if x.alone {
		tag = tag[:len(tag)-1]
	}
	end := bytes.IndexAny(tag, " \t\r\n")
	if end < 0 {
		end = len(tag)
	}
	x.name, x.attrs = tag[:end], tag[end:]
	if i := bytes.IndexByte(x.name, ':'); i >= 0 {
		x.name = x.name[i+1:]
	}
}

// attr gives an attribute's value, nil for none. The values that are asked for have nothing escaped.
func (x *sheetXML) attr(name string) []byte {
	rest := x.attrs
	for {
		rest = bytes.TrimLeft(rest, " \t\r\n")
		key, after, ok := bytes.Cut(rest, []byte{'='})
		after = bytes.TrimLeft(after, " \t\r\n")
		if !ok || len(after) == 0 || after[0] != '"' && after[0] != '\'' {
			return nil
		}
		end := bytes.IndexByte(after[1:], after[0])
		if end < 0 {
			return nil
		}
		if string(bytes.TrimRight(key, " \t\r\n")) == name {
			return after[1 : 1+end]
		}
		rest = after[end+2:]
	}
}

// unescape puts the five named entities and the numbered ones in place; what is none stays.
func unescape(b []byte) []byte {
	out := b[:0]
	for len(b) > 0 {
		end := bytes.IndexByte(b, ';')
		if b[0] != '&' || end < 2 || end > 10 {
			out, b = append(out, b[0]), b[1:]
			continue
		}
		name, after := string(b[1:end]), b[end+1:]
		r := rune(-1)
		switch name {
		case "amp":
			r = '&'
		case "lt":
			r = '<'
		case "gt":
			r = '>'
		case "quot":
			r = '"'
		case "apos":
			r = '\''
		default:
			base, digits := 10, name[1:]
			if len(digits) > 0 && digits[0]|0x20 == 'x' {
				base, digits = 16, digits[1:]
			}
			if n, err := strconv.ParseUint(digits, base, 21); err == nil && name[0] == '#' {
				r = rune(n)
			}
		}
		if r < 0 {
			out, b = append(out, b[0]), b[1:]
			continue
		}
		out, b = utf8.AppendRune(out, r), after
	}
	return out
}
