// Package internal_test keeps the arrows between the packages one way.
package internal_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// allowed says which packages of this module each package may import, and
// which modules from outside. Tests may import more.
var allowed = map[string]struct{ ours, others string }{
	"cmd/saltline":         {"*", "github.com/spf13/pflag golang.org/x/term"},
	"fonts":                {},
	"templates":            {},
	"samples":              {},
	"internal/memory":      {},
	"internal/diag":        {},
	"internal/crew":        {},
	"internal/photo":       {},
	"internal/keep":        {},
	"internal/unit":        {"", "golang.org/x/text"},
	"internal/stat":        {"", "gonum.org/v1/gonum"},
	"internal/frame":       {"truetype", "golang.org/x/text"},
	"internal/table":       {"crew diag memory", "github.com/xuri/excelize/v2 golang.org/x/text"},
	"internal/pattern":     {},
	"internal/heading":     {"crew diag pattern table", "golang.org/x/text"},
	"internal/salt":        {"unit", ""},
	"internal/record":      {"crew diag heading memory pattern salt table unit", "golang.org/x/text"},
	"internal/slip":        {"crew salt unit", ""},
	"internal/assess":      {"crew diag record salt slip stat unit", ""},
	"internal/check":       {"assess diag papers record salt stat stock unit", ""},
	"internal/stock":       {"assess record unit", ""},
	"internal/trend":       {"assess record salt stat unit", ""},
	"internal/wording":     {"diag unit", ""},
	"internal/plot":        {"frame", "github.com/wcharczuk/go-chart/v2 github.com/golang/freetype"},
	"internal/doc":         {"frame", ""},
	"internal/layout":      {"crew doc frame", ""},
	"internal/objects":     {},
	"internal/truetype":    {},
	"internal/pdf":         {"frame objects truetype", "github.com/go-pdf/fpdf"},
	"internal/pdf/judge":   {"objects", ""},
	"internal/readback":    {"objects", ""},
	"internal/cms":         {"", "software.sslmate.com/src/go-pkcs12"},
	"internal/seal":        {"cms objects", ""},
	"internal/audit":       {"assess check crew diag record salt slip unit", ""},
	"internal/workbook":    {"assess audit check diag record salt slip table unit wording", ""},
	"internal/report":      {"assess audit certificate check code diag doc dossier frame papers plot record salt slip stat stock trend unit wording", ""},
	"internal/code":        {"frame", "github.com/boombuler/barcode"},
	"internal/papers":      {"assess crew pattern record unit", ""},
	"internal/certificate": {"assess crew papers record unit", ""},
	"internal/dossier":     {"assess certificate papers record stock unit", ""},
	"internal/export":      {"assess audit certificate check crew diag dossier papers record salt unit wording", ""},
}

// folders are the only ones that may stand at the top.
const folders = "cmd internal templates fonts testdata samples .ci .git"

// The imports are parsed here: a test that asked the go command for them would
// be answered from the cache after a forbidden one was added.
func TestImports(t *testing.T) {
	const root, module = "..", "saltline/"
	fset := token.NewFileSet()
	seen := map[string]bool{}
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(root, name)
		rel = filepath.ToSlash(rel)
		if d.IsDir() {
			if top, _, deeper := strings.Cut(rel, "/"); rel != "." && !deeper && !slices.Contains(strings.Fields(folders), top) {
				t.Errorf("%s: no such folder stands at the top", rel)
			}
			if d.Name() == ".git" || d.Name() == "testdata" {
				return fs.SkipDir
			}
			return nil
		}
		if path.Ext(rel) != ".go" || strings.HasSuffix(rel, "_test.go") {
			return nil
		}
		pkg := path.Dir(rel)
		row, ok := allowed[pkg]
		if !ok {
			t.Errorf("%s: package %s has no row in the table of allowed imports", rel, pkg)
			return nil
		}
		seen[pkg] = true
		f, err := parser.ParseFile(fset, name, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, imp := range f.Imports {
			full, _ := strconv.Unquote(imp.Path.Value)
			if dep, local := strings.CutPrefix(full, module); local {
				dep = strings.TrimPrefix(dep, "internal/")
				if row.ours != "*" && !slices.Contains(strings.Fields(row.ours), dep) {
					t.Errorf("%s: %s may not import %s", rel, pkg, dep)
				}
			} else if first, _, _ := strings.Cut(full, "/"); strings.Contains(first, ".") {
				if !slices.ContainsFunc(strings.Fields(row.others), func(m string) bool { return full == m || strings.HasPrefix(full, m+"/") }) {
					t.Errorf("%s: %s may not import %s", rel, pkg, full)
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for pkg := range allowed {
		if !seen[pkg] {
			t.Errorf("the table of allowed imports has a row for %s, which is not there", pkg)
		}
	}
}

// The table of packages in DEVELOPERS.md says the same.
func TestDevelopersTable(t *testing.T) {
	data, err := os.ReadFile("../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	said := map[string]string{}
	for line := range strings.Lines(string(data)) {
		cells := strings.Split(strings.TrimSpace(line), " | ")
		if len(cells) == 5 && strings.HasPrefix(cells[0], "| `") {
			name := strings.Trim(cells[0], "| `")
			said[name] = strings.Trim(strings.TrimSuffix(cells[4], " |"), "–")
		}
	}
	for pkg, row := range allowed {
		name, internal := strings.CutPrefix(pkg, "internal/")
		if !internal {
			continue
		}
		if got, ok := said[name]; !ok || got != row.ours {
			t.Errorf("DEVELOPERS.md says that %s may import %q (row found: %v), and the test allows %q", name, got, ok, row.ours)
		}
		delete(said, name)
	}
	for name := range said {
		t.Errorf("DEVELOPERS.md has a row for %s, which is not there", name)
	}
}
