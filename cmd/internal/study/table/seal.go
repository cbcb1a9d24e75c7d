package table

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
)

// A sealed file is
//
//	body     all of a Parquet file before its footer
//	seal     CRC-32C of each block of the body, length of the body, SHA-256 of all that is not body, sealMark
//	footer   of the Parquet file, its length and "PAR1"
//
// A Parquet file is read from its end by offsets, so readers pass over what stands between body and footer.
const (
	blockBytes = 1 << 16
	sealMark   = "noonkeep table 1"
	parquetEnd = "PAR1"
	tailBytes  = 4 + len(parquetEnd) // length of the footer, mark
	sealBytes  = 8 + sha256.Size + len(sealMark)

	maxFooterBytes = 1 << 26
)

func castagnoli() *crc32.Table { return crc32.MakeTable(crc32.Castagnoli) } // made once by the library

// sealer passes on what it is given and sums it. From hold on it keeps it back, until seal.
type sealer struct {
	out   *bufio.Writer
	n     uint64 // bytes passed on
	crc   uint32 // of the block that is not full
	sums  []byte
	held  bytes.Buffer
	holds bool
}

func newSealer(w io.Writer) *sealer { return &sealer{out: bufio.NewWriterSize(w, blockBytes)} }

func (s *sealer) Write(p []byte) (int, error) {
	if s.holds {
		return s.held.Write(p)
	}
	for rest := p; len(rest) > 0; {
		part := rest[:min(len(rest), blockBytes-int(s.n%blockBytes))]
		s.crc = crc32.Update(s.crc, castagnoli(), part)
		s.n += uint64(len(part))
		if s.n%blockBytes == 0 {
			s.endBlock()
		}
		rest = rest[len(part):]
	}
	return s.out.Write(p)
}

func (s *sealer) endBlock() {
	s.sums = binary.LittleEndian.AppendUint32(s.sums, s.crc)
	s.crc = 0
}

// hold begins the end of the file, which must hold the footer.
func (s *sealer) hold() { s.holds = true }

// seal ends the file: what was held back, with the seal before the footer.
func (s *sealer) seal() error {
	end := bytes.Clone(s.held.Bytes())
	footerBytes := int(binary.LittleEndian.Uint32(end[len(end)-tailBytes:]))
	if footerBytes > maxFooterBytes {
		return fmt.Errorf("footer: %d bytes; want at most %d: split the study", footerBytes, maxFooterBytes)
	}
	cut := len(end) - tailBytes - footerBytes
	s.holds = false
	if _, err := s.Write(end[:cut]); err != nil {
		return err
	}
	if s.n%blockBytes != 0 {
		s.endBlock()
	}
	seal := binary.LittleEndian.AppendUint64(s.sums, s.n)
	sum := sealSum(seal, end[cut:])
	seal = append(append(seal, sum[:]...), sealMark...)
	s.out.Write(seal)
	s.out.Write(end[cut:])
	return s.out.Flush()
}

// sealSum is over the sums and the length of the body, and the footer to the end of the file.
func sealSum(sums, footer []byte) [sha256.Size]byte {
	h := sha256.New()
	h.Write(sums)
	h.Write(footer)
	return [sha256.Size]byte(h.Sum(nil))
}

// sealed reads a sealed file: only bytes that the seal vouches for.
type sealed struct {
	r      io.ReaderAt
	size   int64
	body   int64
	sums   []byte
	footer []byte // to the end of the file
}

var errCut = errors.New("does not end as a Parquet file does: it was cut, or is of another kind; restore it or run the study again")

// unseal reads the end of a file and checks it.
func unseal(r io.ReaderAt, size int64) (*sealed, error) {
	if size < int64(tailBytes+sealBytes) {
		return nil, errCut
	}
	tail := make([]byte, tailBytes)
	if err := readFull(r, tail, size-int64(tailBytes)); err != nil {
		return nil, err
	}
	footerBytes := int64(binary.LittleEndian.Uint32(tail))
	if string(tail[4:]) != parquetEnd {
		return nil, errCut
	}
	rest := size - int64(tailBytes) - footerBytes - int64(sealBytes)
	if rest < 0 || footerBytes > maxFooterBytes {
		return nil, fmt.Errorf("footer: its length of %d bytes is wrong: the file is damaged; restore it or run the study again", footerBytes)
	}
	end := make([]byte, size-rest)
	if err := readFull(r, end, rest); err != nil {
		return nil, err
	}
	seal, footer := end[:sealBytes], end[sealBytes:]
	if string(seal[sealBytes-len(sealMark):]) != sealMark {
		return nil, errors.New("has no seal of noonkeep: another program wrote or changed it, or it is damaged; want the file as the study left it")
	}
	s := &sealed{r: r, size: size, footer: footer}
	return s, s.check(seal, rest)
}

// check reads the sums, which end at sumsEnd, and compares them with the seal.
func (s *sealed) check(seal []byte, sumsEnd int64) error {
	n := binary.LittleEndian.Uint64(seal)
	if n > uint64(sumsEnd) || int64(n)+4*blocksIn(int64(n)) != sumsEnd {
		return fmt.Errorf("seal: a body of %d bytes does not go with a file of %d: the file is damaged; restore it or run the study again", n, s.size)
	}
	s.body = int64(n)
	sums := make([]byte, sumsEnd-s.body, sumsEnd-s.body+8)
	if err := readFull(s.r, sums, s.body); err != nil {
		return err
	}
	if sealSum(append(sums, seal[:8]...), s.footer) != [sha256.Size]byte(seal[8:]) {
		return errors.New("seal: is not that of the footer: the file is damaged; restore it or run the study again")
	}
	s.sums = sums
	return nil
}

func blocksIn(n int64) int64 { return (n + blockBytes - 1) / blockBytes }

// span reads n bytes of the body from off on, after the sums of all blocks they lie in were found to be right. Both must
// lie in the body. The result is good until the next call with the same buf.
func (s *sealed) span(off, n int64, buf []byte) (window, error) {
	from := off / blockBytes * blockBytes
	to := min(blocksIn(off+n)*blockBytes, s.body)
	if int64(cap(buf)) < to-from {
		buf = make([]byte, to-from)
	}
	buf = buf[:to-from]
	if err := readFull(s.r, buf, from); err != nil {
		return window{}, err
	}
	for at := from; at < to; at += blockBytes {
		block := buf[at-from : min(at-from+blockBytes, to-from)]
		if crc32.Checksum(block, castagnoli()) != binary.LittleEndian.Uint32(s.sums[at/blockBytes*4:]) {
			return window{}, fmt.Errorf("bytes %d to %d: are not as they were written: the file is damaged; restore it or run the study again", at, at+int64(len(block))-1)
		}
	}
	return window{data: buf, at: from}, nil
}

// window is a part of a file in memory.
type window struct {
	data []byte
	at   int64 // place of its first byte in the file
}

// ReadAt reads at a place of the file.
func (w window) ReadAt(p []byte, off int64) (int, error) {
	if off < w.at || off > w.at+int64(len(w.data)) {
		return 0, io.ErrUnexpectedEOF
	}
	n := copy(p, w.data[off-w.at:])
	if n < len(p) {
		return n, io.EOF
	}
	return n, nil
}

func readFull(r io.ReaderAt, p []byte, off int64) error {
	if n, err := r.ReadAt(p, off); n < len(p) {
		if err == nil || errors.Is(err, io.EOF) {
			return errors.New("ends before its length: it is being written or was cut; restore it or run the study again")
		}
		return err
	}
	return nil
}
