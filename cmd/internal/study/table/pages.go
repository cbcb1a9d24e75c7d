package table

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"github.com/parquet-go/parquet-go"
	"github.com/parquet-go/parquet-go/encoding/thrift"
	"github.com/parquet-go/parquet-go/format"
)

// maxListValues is more than the lists of a group hold.
const maxListValues = (groupBytes+maxRowBytes)/32 + groupRows

// eachValue hands on the values of a column in a group, some at a time. They are good until do returns.
func (f *File) eachValue(g, i int, w window, do func([]parquet.Value) error) error {
	if err := f.checkPages(g, i, w); err != nil {
		return err
	}
	chunk := f.file.RowGroups()[g].ColumnChunks()[i].(*parquet.FileColumnChunk)
	pages := chunk.PagesFrom(w)
	defer pages.Close()
	buf := make([]parquet.Value, 256)
	for {
		page, err := pages.ReadPage()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		values := page.Values()
		for err == nil {
			var n int
			if n, err = values.ReadValues(buf); n > 0 {
				if failed := do(buf[:n]); failed != nil {
					err = failed
				}
			} else if err == nil {
				err = io.ErrNoProgress
			}
		}
		parquet.Release(page)
		if !errors.Is(err, io.EOF) {
			return err
		}
	}
}

// checkPages walks over the heads of a column's pages before the library unpacks them, which takes the sizes in them on
// trust: a few bytes could ask for gigabytes.
func (f *File) checkPages(g, i int, w window) error {
	off, n := extent(&f.groups[g], i)
	rest := w.data[off-w.at:][:n]
	mostValues := int32(groupRows)
	if f.cols[i].kind == list {
		mostValues = maxListValues
	}
	unpacked := int64(0)
	for len(rest) > 0 {
		reader := new(thrift.CompactProtocol).NewReaderFromBytes(rest)
		var head format.PageHeader
		if err := thrift.NewDecoder(reader).Decode(&head); err != nil {
			return fmt.Errorf("head of a page: %w", err)
		}
		rest = rest[reader.BytesRead():]
		values := max(head.DataPageHeader.V.NumValues, head.DictionaryPageHeader.V.NumValues)
		if head.Type != format.DataPage && head.Type != format.DictionaryPage || values < 0 || values > mostValues {
			return fmt.Errorf("a page of kind %s with %d values; want at most %d", head.Type, values, mostValues)
		}
		size := int64(head.CompressedPageSize)
		if size < 0 || size > int64(len(rest)) {
			return fmt.Errorf("a page of %d bytes; want at most %d", size, len(rest))
		}
		want := int64(head.UncompressedPageSize)
		if is, _ := binary.Uvarint(rest[:size]); want < 0 || is != uint64(want) {
			return fmt.Errorf("a page that unpacks to %d bytes; want %d", is, want)
		}
		if unpacked += want; unpacked > maxGroupBytes {
			return fmt.Errorf("pages unpack to more than %d bytes", maxGroupBytes)
		}
		rest = rest[size:]
	}
	return nil
}
