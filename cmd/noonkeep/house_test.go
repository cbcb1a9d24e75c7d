package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// rooms is the plan of the house: which of our packages each may import, and why no more.
// A package that is not listed fails the test, and so does an import that its row does not name.
var rooms = map[string]struct {
	may []string
	why string
}{
	"plant/clock":                {nil, "everything stands on the time axis, so it stands on nothing"},
	"plant/steam":                {nil, "pure functions of pressure and temperature"},
	"plant/sky":                  {[]string{"plant/clock"}, "weather knows time and place, no equipment"},
	"demand":                     {[]string{"plant/clock", "plant/steam"}, "a load needs no sun and no collector"},
	"plant":                      {[]string{"plant/clock", "plant/steam", "plant/sky"}, "collectors and boilers know neither load nor store"},
	"storage":                    {[]string{"plant/steam"}, "a vessel is water and steel; hours and money come from outside"},
	"optimize":                   {[]string{"optimize/internal/clp", "optimize/internal/onestore"}, "the program is numbers: written by hand, solved elsewhere, read as mathematics"},
	"optimize/replay":            {[]string{"plant/steam", "plant", "storage"}, "physics by the minute knows no program and no plan"},
	"optimize/worth":             {nil, "money is numbers by year; what they are of, the answer says"},
	"optimize/internal/clp":      {nil, "a binding knows its library alone"},
	"optimize/internal/onestore": {nil, "an engine knows numbers alone"},
	"scenarios": {[]string{"plant/clock", "plant/steam", "plant/sky", "demand", "plant", "storage", "optimize", "optimize/worth"},
		"the only room that opens a scenario's files, and the only place where plant becomes numbers"},
	"cmd/internal/answer": {[]string{"plant/clock", "plant/steam", "plant/sky", "demand", "plant", "storage", "optimize", "optimize/replay", "optimize/worth", "scenarios"},
		"the pipeline once; it prints nothing"},
	"cmd/internal/study/table": {nil, "rows in files; what they mean, the study says"},
	"cmd/internal/study/queue": {nil, "messages of bytes; what stands in them, the crew says"},
	"cmd/internal/study": {[]string{"plant/sky", "optimize", "scenarios", "cmd/internal/answer", "cmd/internal/study/table"},
		"which cases there are, one case solved, and what all come to; on which machine, it does not know"},
	"cmd/internal/study/crew": {[]string{"cmd/internal/study", "cmd/internal/study/queue", "cmd/internal/study/table"},
		"who does which cases, and that each is there once; what a case is, it does not know"},
	"cmd/internal/chart":       {nil, "pictures of plain xs and ys"},
	"cmd/internal/report":      {[]string{"cmd/internal/answer", "cmd/internal/chart", "cmd/internal/study"}, "it prints what an answer holds and computes nothing"},
	"cmd/internal/desk/sketch": {[]string{"cmd/internal/chart"}, "a page's pictures of plain numbers; what they are of, the desk says"},
	"cmd/internal/desk": {[]string{"plant/clock", "optimize", "scenarios", "cmd/internal/answer", "cmd/internal/chart", "cmd/internal/report", "cmd/internal/desk/sketch"},
		"a face on the pipeline: it asks what the commands ask, and works nothing out"},
	"cmd/noonkeep": {[]string{"plant/clock", "plant/steam", "plant/sky", "demand", "plant", "storage", "optimize", "scenarios",
		"cmd/internal/answer", "cmd/internal/chart", "cmd/internal/report", "cmd/internal/desk",
		"cmd/internal/study", "cmd/internal/study/crew", "cmd/internal/study/queue", "cmd/internal/study/table"}, "commands only read, call and print"},
}

// folders are the only ones at the top, besides dot folders and the ignored bin.
var folders = []string{"bin", "cmd", "demand", "optimize", "plant", "scenarios", "storage"}

func TestHouseImportsAsPlanned(t *testing.T) {
	list := exec.Command("go", "list", "-json=ImportPath,Imports,TestImports,XTestImports", "noonkeep/...")
	list.Dir = filepath.Join("..", "..")
	out, err := list.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	for dec := json.NewDecoder(bytes.NewReader(out)); ; {
		var p struct {
			ImportPath                         string
			Imports, TestImports, XTestImports []string
		}
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		name := strings.TrimPrefix(p.ImportPath, "noonkeep/")
		room, ok := rooms[name]
		if !ok {
			t.Errorf("%s is not in the plan of the house; give it a row with its reason, or put the code in a room that stands there", name)
			continue
		}
		for _, imp := range p.Imports {
			if ours, is := strings.CutPrefix(imp, "noonkeep/"); is && !slices.Contains(room.may, ours) {
				t.Errorf("%s imports %s; it may import %v: %s", name, ours, room.may, room.why)
			}
		}
	}
}

func TestHouseTopFolders(t *testing.T) {
	entries, err := os.ReadDir(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if e.IsDir() && !strings.HasPrefix(e.Name(), ".") && !slices.Contains(folders, e.Name()) {
			t.Errorf("folder %s stands at the top; the rooms are %v", e.Name(), folders)
		}
	}
}
