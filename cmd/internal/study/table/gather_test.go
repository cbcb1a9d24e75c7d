package table

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"testing"
)

// partOf is a part in memory. opens, if not nil, counts how often it is opened.
func partOf(name string, data []byte, opens *int) Part {
	return Part{Name: name, Open: func() (io.ReaderAt, int64, func() error, error) {
		if opens != nil {
			*opens++
		}
		return bytes.NewReader(data), int64(len(data)), func() error { return nil }, nil
	}}
}

// cutInto deals rows out to parts, and some of them to two.
func cutInto(t testing.TB, h Head, rows []Row, rng *rand.Rand, n int) []Part {
	dealt := make([][]Row, n)
	for _, r := range rows {
		i := rng.IntN(n)
		dealt[i] = append(dealt[i], r)
		if rng.IntN(4) == 0 {
			j := rng.IntN(n)
			dealt[j] = append(dealt[j], r)
		}
	}
	var parts []Part
	for i, of := range dealt {
		rng.Shuffle(len(of), func(a, b int) { of[a], of[b] = of[b], of[a] })
		parts = append(parts, partOf(fmt.Sprint("part ", i), written(t, h, of), nil))
	}
	return parts
}

// However rows are cut and dealt out, and in whatever order, they make the bytes of all rows written at once.
func TestGatherAnyCut(t *testing.T) {
	t.Parallel()
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 2))
		h := testHead()
		rows := testRows(h, rng.IntN(300), seed)
		parts := cutInto(t, h, rows, rng, 1+rng.IntN(9))
		var out bytes.Buffer
		if err := Gather(t.Context(), &out, h, parts, int64(len(rows))); err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if !bytes.Equal(out.Bytes(), written(t, h, rows)) {
			t.Errorf("seed %d: %d rows in %d parts make other bytes", seed, len(rows), len(parts))
		}
	}
}

// The same over several groups of rows, and windows of them; parts of neighbours are not opened again and again.
func TestGatherManyGroups(t *testing.T) {
	t.Parallel()
	unraced(t)
	h, rows := studyRows(3*groupRows + 17)
	opens := 0
	var parts []Part
	for from := 0; from < len(rows); from += 1000 {
		parts = append(parts, partOf(fmt.Sprint("from ", from), written(t, h, rows[from:min(from+1000, len(rows))]), &opens))
	}
	var out bytes.Buffer
	if err := Gather(t.Context(), &out, h, parts, int64(len(rows))); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(out.Bytes(), written(t, h, rows)) {
		t.Error("other bytes than written at once")
	}
	if opens > 3*len(parts) {
		t.Errorf("%d parts were opened %d times; want at most 3 times each", len(parts), opens)
	}
	opens = 0
	again := []Part{partOf("whole", out.Bytes(), &opens)}
	out.Reset()
	if err := Gather(t.Context(), &out, h, again, int64(len(rows))); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(out.Bytes(), written(t, h, rows)) {
		t.Error("one large part makes other bytes")
	}
}

// Of a case in two parts, and twice in one, the first row is taken.
func TestGatherTakesTheFirst(t *testing.T) {
	t.Parallel()
	row := func(n int64, name string) Row {
		r := Blank(n)
		r.Scenario = name
		return r
	}
	a := written(t, Head{}, []Row{row(1, "first"), row(1, "again")})
	b := written(t, Head{}, []Row{row(1, "late"), row(0, "only")})
	var out bytes.Buffer
	if err := Gather(t.Context(), &out, Head{}, []Part{partOf("a", a, nil), partOf("b", b, nil)}, 2); err != nil {
		t.Fatal(err)
	}
	_, got, err := readAll(out.Bytes())
	if err != nil || len(got) != 2 || got[0].Scenario != "only" || got[1].Scenario != "first" {
		t.Errorf("got %v, %v", got, err)
	}
}

func TestGatherRefuses(t *testing.T) {
	t.Parallel()
	h := testHead()
	rows := testRows(h, 40, 1)
	all := written(t, h, rows)
	other := h
	other.Meta = map[string]string{"study": "another"}
	hurt := bytes.Clone(all)
	hurt[len(hurt)/3] ^= 1
	for _, c := range []struct {
		name  string
		parts []Part
		n     int64
		want  string
	}{
		{"missing", []Part{partOf("a", written(t, h, append(rows[:7:7], rows[9:]...)), nil)}, 41, "3 of 41 cases are in no part, the first is 7"},
		{"no parts", nil, 5, "5 of 5 cases"},
		{"too many", []Part{partOf("a", all, nil)}, 39, "a: holds case 39; want 0 to 38"},
		{"other study", []Part{partOf("a", written(t, other, rows), nil)}, 40, "a: holds rows of another study"},
		{"other keys", []Part{partOf("a", written(t, Head{Meta: h.Meta}, nil), nil)}, 40, "a: holds rows of another study"},
		{"damaged", []Part{partOf("a", hurt, nil)}, 40, "a: bytes 0 to"},
		{"away", []Part{{Name: "a", Open: func() (io.ReaderAt, int64, func() error, error) { return nil, 0, nil, io.ErrNoProgress }}}, 40, "a: multiple Read"},
	} {
		err := Gather(t.Context(), io.Discard, h, c.parts, c.n)
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%s: %v; want %q", c.name, err, c.want)
		}
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if err := Gather(ctx, io.Discard, h, []Part{partOf("a", all, nil)}, 40); !errors.Is(err, context.Canceled) {
		t.Errorf("interrupted: %v", err)
	}
}
