package scenarios

import (
	"errors"
	"strings"
	"testing"
)

// Whatever the text and the change: the text that comes back holds what was asked for at its place and else what it held, or the
// change is refused with faults of the file.
func FuzzRewrite(f *testing.F) {
	for _, tt := range layoutTests {
		f.Add(tt.src, tt.change.Key, tt.change.Value, tt.change.Remove)
	}
	for _, tt := range rewriteFaults {
		f.Add(small+tt.src, tt.change.Key, tt.change.Value, tt.change.Remove)
	}
	for _, example := range examples(f) {
		src := example[1]
		f.Add(src, "store.volume", "60 m3", false)
		f.Add(src, `loads["stenter and dryers"]`, "{name: a, heat: 3 kW}", false)
		f.Add(src, "time", "{year: 2027}", false)
		f.Add(src, "fields[dishes]", "", true)
	}
	f.Fuzz(func(t *testing.T, src, key, value string, remove bool) {
		if len(src) > 20_000 || len(value) > 2000 || len(key) > 500 {
			return
		}
		c := Setting{Key: key, Value: value, Remove: remove}
		out, err := Rewrite("f.yaml", []byte(src), c)
		if err != nil {
			for _, e := range faultsOf(err) {
				if e.File != "f.yaml" || e.Text == "" || strings.ContainsAny(e.Error(), "\r\n") {
					t.Fatalf("a poor fault: %#v", e)
				}
			}
			return
		}
		checkRewritten(t, src, string(out), c)
	})
}

func checkRewritten(t *testing.T, src, out string, c Setting) {
	t.Helper()
	edits, err := Changes([]byte(src), []byte(out))
	if err != nil {
		t.Fatalf("it does not read back: %v\n%s", err, out)
	}
	w := &rewriter{name: "f.yaml"}
	if err := w.take([]byte(out)); err != nil {
		t.Fatal(err)
	}
	steps, err := stepsOf(c.Key)
	if err != nil {
		t.Fatal(err)
	}
	if last := steps[len(steps)-1]; len(edits) == 0 || last.word == newEntry {
		return
	}
	w.removing = c.Remove
	s, err := w.find(steps)
	switch {
	case c.Remove:
		var gone *Error
		if err == nil && !steps[len(steps)-1].inside || err != nil && !errors.As(err, &gone) {
			t.Fatalf("%s is still there, %v", c.Key, err)
		}
	case (err != nil || len(s.missing) > 0) && (strings.Contains(c.Value, "name") || steps[len(steps)-1].word == "name"):
		return // it is called otherwise now
	case err != nil || len(s.missing) > 0:
		t.Fatalf("%s is not there: %v\n%s", c.Key, err, out)
	default:
		want, bad := w.valueOf(c.Value, s.shape, at{})
		if bad != nil {
			t.Fatal(bad)
		}
		got := nodeAt(w.root, s.path)
		if steps[len(steps)-1].inside && valueOf(want, "name") == nil && valueOf(got, "name") != nil {
			want.Content = append(want.Content, scalarOf("name"), scalarOf(nameOf(got)))
		}
		if !means(got, want) {
			t.Fatalf("%s is %s; want %s", c.Key, inLine(got), c.Value)
		}
	}
	// What differs lies on the way, or below its end.
	for _, e := range edits {
		top := steps[0].word
		if e.Key != top && !strings.HasPrefix(e.Key, top+".") && !strings.HasPrefix(e.Key, top+"[") && !strings.HasPrefix(e.Key, top+" (") {
			t.Fatalf("%s changed %s: %q to %q", c.Key, e.Key, e.From, e.To)
		}
	}
}
