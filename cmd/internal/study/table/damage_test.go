package table

import (
	"bytes"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// A file with any one byte changed, in any of three ways, is refused or gives the rows that were written.
func TestAnyByteDamaged(t *testing.T) {
	t.Parallel()
	unraced(t)
	h := testHead()
	rows := testRows(h, 3, 5)
	data := written(t, h, rows)
	refused := 0
	for i := range data {
		for _, mask := range []byte{1, 0x80, 0xff} {
			data[i] ^= mask
			_, got, err := readAll(data)
			if err != nil {
				refused++
			} else if !slices.EqualFunc(got, rows, same) {
				t.Fatalf("byte %d of %d changed by %#x: other rows and no error", i, len(data), mask)
			}
			data[i] ^= mask
		}
	}
	t.Logf("%d of %d changes refused", refused, 3*len(data))
}

// The same for files that were cut, made longer, or hold a run of zeros.
func TestCutOrOverwritten(t *testing.T) {
	t.Parallel()
	h := testHead()
	rows := testRows(h, 30, 6)
	data := written(t, h, rows)
	rng := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		i, j := rng.IntN(len(data)), rng.IntN(len(data))
		i, j = min(i, j), max(i, j)+1
		zeroed := bytes.Clone(data)
		clear(zeroed[i:j])
		for what, hurt := range map[string][]byte{"cut at the end": data[:i], "cut at the start": data[j:], "cut out": slices.Delete(bytes.Clone(data), i, j),
			"twice": slices.Insert(bytes.Clone(data), i, data[i:j]...), "zeros": zeroed} {
			if _, got, err := readAll(hurt); err == nil && !slices.EqualFunc(got, rows, same) {
				t.Errorf("%s, bytes %d to %d: other rows and no error", what, i, j)
			}
		}
	}
}

func TestOpenRefuses(t *testing.T) {
	t.Parallel()
	data := written(t, testHead(), testRows(testHead(), 30, 6))
	hurt := func(i int) []byte {
		d := bytes.Clone(data)
		d[i] ^= 4
		return d
	}
	for _, c := range []struct {
		name string
		data []byte
		want string
	}{
		{"empty", nil, "does not end as a Parquet file does"},
		{"text", []byte(strings.Repeat("noonkeep_study: 1\n", 20)), "does not end as a Parquet file does"},
		{"half", data[:len(data)/2], "does not end as a Parquet file does"},
		{"length", hurt(len(data) - 5), "footer: its length of"},
		{"footer", hurt(len(data) - 100), "seal: is not that of the footer"},
		{"first byte", hurt(0), "bytes 0 to"},
	} {
		if _, _, err := readAll(c.data); err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%s: %v; want %q", c.name, err, c.want)
		}
	}
}
