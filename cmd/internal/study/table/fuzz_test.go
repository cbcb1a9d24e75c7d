package table

import (
	"bytes"
	"encoding/binary"
	"slices"
	"testing"
)

// holds fails where a file is read as rows that do not come back when they are written again.
func holds(t *testing.T, data []byte) {
	h, rows, err := readAll(data)
	if err != nil {
		if err.Error() == "" {
			t.Error("an error without a word")
		}
		return
	}
	if len(rows) > 0 && len(data) < 1000 {
		t.Errorf("%d rows in %d bytes", len(rows), len(data))
	}
	again, got, err := readAll(written(t, h, rows))
	if err != nil || !slices.EqualFunc(got, rows, same) || !slices.Equal(again.Keys, h.Keys) {
		t.Errorf("%d rows were read, %d when written again: %v", len(rows), len(got), err)
	}
	f, err := Open(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	cases, err := f.Cases()
	if err != nil || !slices.EqualFunc(cases, rows, func(c int64, r Row) bool { return c == r.Case }) || f.Len() != int64(len(rows)) {
		t.Errorf("Cases and Rows do not tell the same: %v", err)
	}
}

// Whatever the bytes are, Open does not panic, and what it reads as rows are rows.
func FuzzOpen(f *testing.F) {
	h := testHead()
	f.Add([]byte{})
	f.Add([]byte("PAR1PAR1"))
	f.Add(written(f, Head{}, nil))
	f.Add(written(f, h, testRows(h, 3, 1)))
	f.Fuzz(holds)
}

// The same for files that someone changed and sealed again: bytes of the pages, and of the footer, are overwritten.
func FuzzSealedAgain(f *testing.F) {
	h := testHead()
	body, footer := parted(written(f, h, testRows(h, 5, 3)))
	f.Add(uint16(0), []byte{}, uint16(0), []byte{})
	for i := range 40 {
		f.Add(uint16(i*len(body)/40), []byte{byte(i)}, uint16(i*len(footer)/40), []byte{})
		f.Add(uint16(0), []byte{}, uint16(i*len(footer)/40), []byte{byte(i), 0xff})
	}
	f.Fuzz(func(t *testing.T, at uint16, with []byte, atFooter uint16, withFooter []byte) {
		b, e := bytes.Clone(body), bytes.Clone(footer)
		copy(b[int(at)%len(b):], with)
		copy(e[int(atFooter)%(len(e)-tailBytes):], withFooter)
		e = e[:len(footer)-tailBytes]
		e = append(binary.LittleEndian.AppendUint32(e, uint32(len(e))), parquetEnd...)
		holds(t, sealedAgain(t, b, e))
	})
}

// parted parts a file into its body and its footer to the end, without the seal.
func parted(data []byte) (body, footer []byte) {
	cut := len(data) - tailBytes - int(binary.LittleEndian.Uint32(data[len(data)-tailBytes:]))
	n := binary.LittleEndian.Uint64(data[cut-sealBytes:])
	return data[:n], data[cut:]
}

func sealedAgain(t testing.TB, body, footer []byte) []byte {
	var out bytes.Buffer
	s := newSealer(&out)
	s.Write(body)
	s.hold()
	s.Write(footer)
	if err := s.seal(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// Without a change, sealing again gives the same file: what the fuzzing above stands on.
func TestSealedAgain(t *testing.T) {
	t.Parallel()
	data := written(t, testHead(), testRows(testHead(), 200, 4))
	body, footer := parted(data)
	if !bytes.Equal(sealedAgain(t, body, footer), data) {
		t.Error("other bytes")
	}
}
