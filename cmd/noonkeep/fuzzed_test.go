package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// notFuzzed are readers without a target of their own, each with its reason.
var notFuzzed = map[string]string{
	"plant.ParseTracking":    "a list of four words",
	"plant.ParseFormula":     "a list of words",
	"clock.ParseWeek":        "ParseWhen, and a check of its length",
	"sky.ReadFiles":          "Read is it with one file, FuzzReadYears takes several",
	"scenarios.Read":         "Parse of what is read",
	"scenarios.ParseSetting": "the command line cut in two, whose parts FuzzRewrite takes",
	"report.ReadWords":       "a file that the command line names, of fixed keys",
	"crew.ReadState":         "a file of the program's own, of fixed keys",
	"report.ParseMarks":      "a list of samples",
}

// TestEveryReaderIsFuzzed: what reads a stranger's text has a target, which CI runs for some seconds and make fuzz for longer.
func TestEveryReaderIsFuzzed(t *testing.T) {
	reader := regexp.MustCompile(`^(Read|Parse)[A-Z]?`)
	readers, targets := map[string]bool{}, map[string]bool{}
	err := filepath.WalkDir(filepath.Join("..", ".."), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		in := strings.TrimSuffix(file.Name.Name, "_test") + "."
		for _, decl := range file.Decls {
			f, ok := decl.(*ast.FuncDecl)
			switch {
			case !ok:
			case strings.HasPrefix(f.Name.Name, "Fuzz") && strings.HasSuffix(path, "_test.go"):
				ast.Inspect(f, func(n ast.Node) bool {
					if id, ok := n.(*ast.Ident); ok {
						targets[in+id.Name] = true
					}
					return true
				})
			case f.Recv == nil && reader.MatchString(f.Name.Name) && !strings.HasSuffix(path, "_test.go"):
				readers[in+f.Name.Name] = true
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(readers) < 15 {
		t.Fatalf("only %d readers were found", len(readers))
	}
	for name := range readers {
		if _, why := notFuzzed[name]; !targets[name] && !why {
			t.Errorf("%s has no fuzz target that calls it; write one, or a reason into notFuzzed", name)
		}
	}
}
