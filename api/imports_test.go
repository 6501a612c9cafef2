//go:build !js

package api_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// floors is the house: the ground floor imports the ground floor only, the
// first floor the ground floor only, the roof both, the façade everything.
var floors = map[string]int{
	"unit": ground, "finding": ground, "strictjson": ground, "rig": ground, "circuit": ground, "supply": ground, "sorting": ground,
	"coupling": first, "lamps": first, "brakes": first, "breakaway": first, "battery": first, "rules": first, "journal": first, "trouble": first,
	"readiness": roof, "walkround": roof,
	"": facade,
}

// Inside the room lamps: parts are the facts that everything else reads, wiring
// makes a circuit of a harness, and the operations stand on both.
const (
	partsPath  = "pintail/api/lamps/parts"
	wiringPath = "pintail/api/lamps/wiring"
)

const (
	ground = iota
	first
	roof
	facade
)

// denied are the packages the core must not import: input and output, clocks
// and chance, the machine, and what is too heavy for the browser's engine.
var denied = []string{
	"os", "io/fs", "io/ioutil", "net", "database", "syscall", "path/filepath", "log", "flag", "plugin", "unsafe", "runtime", "testing",
	"math/rand", "crypto", "html", "text/template", "regexp", "encoding/json", "encoding/gob", "encoding/xml", "go", "C",
}

// outside are the modules the core may rest on besides the standard library.
var outside = []string{"github.com/go-json-experiment/json"}

// pkg is what `go list` says of one package, tests left aside.
type pkg struct {
	ImportPath string
	Dir        string
	GoFiles    []string
	EmbedFiles []string
	Imports    []string
	Standard   bool
	Module     *struct{ Path string }
}

func mustList(t *testing.T, env []string, args ...string) []pkg {
	t.Helper()
	cmd := exec.Command("go", append([]string{"list", "-json=ImportPath,Dir,GoFiles,EmbedFiles,Imports,Standard,Module"}, args...)...)
	cmd.Dir = ".."
	cmd.Env = append(os.Environ(), env...)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list %v: %v\n%s", args, err, &stderr)
	}
	var pkgs []pkg
	for dec := json.NewDecoder(bytes.NewReader(out)); ; {
		var p pkg
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			return pkgs
		} else if err != nil {
			t.Fatal(err)
		}
		pkgs = append(pkgs, p)
	}
}

var targets = []struct {
	name string
	env  []string
}{
	{"native", nil},
	{"wasm", []string{"GOOS=js", "GOARCH=wasm"}},
}

func TestCoreImports(t *testing.T) {
	for _, target := range targets {
		t.Run(target.name, func(t *testing.T) {
			for _, p := range mustList(t, target.env, "./api/...") {
				for _, imported := range p.Imports {
					if why := mayNot(p.ImportPath, imported); why != "" {
						t.Errorf("%s imports %s: %s", p.ImportPath, imported, why)
					}
				}
			}
		})
	}
}

// mayNot says why a package of the core may not import another, "" if it may.
func mayNot(from, imported string) string {
	room, ours := roomOf(from)
	if !ours {
		return "not a package of the core"
	}
	floor, ok := floors[room]
	if !ok {
		return "the house has no room " + room + "; give it a floor in this test"
	}
	if other, ours := roomOf(imported); ours {
		f, ok := floors[other]
		switch {
		case !ok:
			return "the house has no room " + other
		case from == partsPath && room == other:
			return "what a harness is made of rests on nothing else of its room"
		case from == wiringPath && room == other && imported != partsPath:
			return "the circuit of a harness rests on its parts alone"
		case room == other, f < floor, f == ground && floor == ground:
			return ""
		}
		return "nothing imports upward or sideways"
	}
	if strings.HasPrefix(imported, "pintail") {
		return "the core imports nothing of ours but the core"
	}
	for _, d := range denied {
		if imported == d || strings.HasPrefix(imported, d+"/") {
			return d + " is denied to the core"
		}
	}
	return ""
}

// roomOf returns the room of the core a package is in: "" is the façade.
func roomOf(importPath string) (room string, ours bool) {
	if importPath == "pintail/api" {
		return "", true
	}
	rest, ours := strings.CutPrefix(importPath, "pintail/api/")
	room, _, _ = strings.Cut(rest, "/")
	return room, ours
}

// The matrix itself is tried: each of these would break the house.
func TestMayNot(t *testing.T) {
	for _, tt := range []struct {
		from, imported string
		may            bool
	}{
		{"pintail/api/unit", "pintail/api/rig", true}, // ground to ground; Go itself refuses a circle
		{"pintail/api/rig", "pintail/api/coupling", false},
		{"pintail/api/coupling", "pintail/api/lamps", false},
		{"pintail/api/coupling", "pintail/api", false},
		{"pintail/api/coupling", "pintail/api/rig", true},
		{"pintail/api/lamps", partsPath, true},
		{partsPath, "pintail/api/lamps", false},
		{partsPath, "pintail/api/rig", true},
		{"pintail/api/lamps", wiringPath, true},
		{wiringPath, partsPath, true},
		{wiringPath, "pintail/api/circuit", true},
		{wiringPath, "pintail/api/lamps", false},
		{wiringPath, "pintail/api/lamps/plan", false},
		{"pintail/api/coupling", partsPath, false},
		{"pintail/api/readiness", "pintail/api/walkround", false},
		{"pintail/api/readiness", "pintail/api/rules", true},
		{"pintail/api", "pintail/api/readiness", true},
		{"pintail/api", "pintail/storage", false},
		{"pintail/api/unit", "pintail", false},
		{"pintail/api/attic", "fmt", false},
		{"pintail/api/unit", "os", false},
		{"pintail/api/unit", "net/http", false},
		{"pintail/api/unit", "math/rand/v2", false},
		{"pintail/api/unit", "math/bits", true},
	} {
		if got := mayNot(tt.from, tt.imported) == ""; got != tt.may {
			t.Errorf("%s imports %s: may is %t, want %t", tt.from, tt.imported, got, tt.may)
		}
	}
}

// Everything the core rests on, however far down, is the standard library or a
// named module.
func TestCoreModules(t *testing.T) {
	for _, target := range targets {
		t.Run(target.name, func(t *testing.T) {
			for _, p := range mustList(t, target.env, "-deps", "./api/...") {
				if p.Standard || p.Module != nil && (p.Module.Path == "pintail" || slices.Contains(outside, p.Module.Path)) {
					continue
				}
				t.Errorf("the core rests on %s, which is neither the standard library nor one of %v", p.ImportPath, outside)
			}
		})
	}
}

// What stands on the core: who may import whom above it. A prefix ending in /
// is everything under it.
var above = map[string][]string{
	"pintail":         {},
	"pintail/storage": {"pintail/api/", "pintail/storage/"},
	// Rows of law are kept as journal documents and shown as they stand: the server hands them to rules.
	"pintail/server":     {"pintail", "pintail/api", "pintail/api/finding", "pintail/api/strictjson", "pintail/api/journal", "pintail/api/rules", "pintail/api/unit", "pintail/server/", "pintail/storage", "pintail/pwa"},
	"pintail/pwa":        {},
	"pintail/pwa/engine": {"pintail/api", "pintail/api/finding", "pintail/api/strictjson", "pintail/api/journal"},
	"pintail/cmd":        {"pintail", "pintail/"},
}

func TestImportsAboveTheCore(t *testing.T) {
	pkgs := mustList(t, nil, "-e", "./...")
	pkgs = append(pkgs, mustList(t, []string{"GOOS=js", "GOARCH=wasm"}, "-e", "./pwa/...")...)
	for _, p := range pkgs {
		if _, core := roomOf(p.ImportPath); core {
			continue
		}
		may, ok := allowedAbove(p.ImportPath)
		if !ok {
			t.Errorf("%s is no room of the house; give it a row in this test", p.ImportPath)
		}
		for _, imported := range p.Imports {
			if (imported == "pintail" || strings.HasPrefix(imported, "pintail/")) && !allows(may, imported) {
				t.Errorf("%s imports %s, may import %v", p.ImportPath, imported, may)
			}
		}
	}
}

// allowedAbove finds the row of the nearest room that holds the package.
func allowedAbove(importPath string) ([]string, bool) {
	for at := importPath; at != "."; at = filepath.ToSlash(filepath.Dir(at)) {
		if may, ok := above[at]; ok {
			return may, at != "pintail" || importPath == "pintail"
		}
	}
	return nil, false
}

func allows(may []string, imported string) bool {
	return slices.ContainsFunc(may, func(m string) bool {
		return imported == m || strings.HasSuffix(m, "/") && (strings.HasPrefix(imported, m) || imported+"/" == m)
	})
}

// TestCoreIsPure looks for what an import list cannot show: the clock, and
// package variables that a function changes.
func TestCoreIsPure(t *testing.T) {
	clock := []string{"Now", "Since", "Until", "After", "AfterFunc", "Tick", "Sleep", "NewTimer", "NewTicker", "Local", "LoadLocation"}
	for _, p := range mustList(t, nil, "./api/...") {
		variables := map[string]bool{}
		var files []*ast.File
		fset := token.NewFileSet()
		for _, name := range p.GoFiles {
			f, err := parser.ParseFile(fset, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, f)
			for _, v := range packageVariables(f) {
				variables[v] = true
			}
		}
		for _, f := range files {
			for _, d := range f.Decls {
				fn, ok := d.(*ast.FuncDecl)
				if !ok {
					continue
				}
				if fn.Name.Name == "init" && fn.Recv == nil {
					t.Errorf("%s: func init: the core computes on demand", fset.Position(fn.Pos()))
				}
				local := localNames(fn)
				changes := func(at token.Pos, e ast.Expr) {
					if v := root(e); variables[v] && !local[v] {
						t.Errorf("%s: %s is a package variable and is changed", fset.Position(at), v)
					}
				}
				ast.Inspect(fn, func(n ast.Node) bool {
					switch n := n.(type) {
					case *ast.SelectorExpr:
						if x, ok := n.X.(*ast.Ident); ok && x.Name == "time" && slices.Contains(clock, n.Sel.Name) {
							t.Errorf("%s: time.%s: the core has no clock", fset.Position(n.Pos()), n.Sel.Name)
						}
					case *ast.AssignStmt:
						for _, l := range n.Lhs {
							changes(n.Pos(), l)
						}
					case *ast.IncDecStmt:
						changes(n.Pos(), n.X)
					}
					return true
				})
			}
		}
	}
}

// localNames are the names a function declares anywhere inside.
func localNames(fn *ast.FuncDecl) map[string]bool {
	local := map[string]bool{}
	add := func(e ast.Expr) {
		if n, ok := e.(*ast.Ident); ok {
			local[n.Name] = true
		}
	}
	ast.Inspect(fn, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.AssignStmt:
			for _, l := range n.Lhs {
				if n.Tok == token.DEFINE {
					add(l)
				}
			}
		case *ast.RangeStmt:
			if n.Tok == token.DEFINE {
				add(n.Key)
				add(n.Value)
			}
		case *ast.ValueSpec:
			for _, name := range n.Names {
				add(name)
			}
		case *ast.Field:
			for _, name := range n.Names {
				add(name)
			}
		}
		return true
	})
	return local
}

func packageVariables(f *ast.File) []string {
	var names []string
	for _, d := range f.Decls {
		g, ok := d.(*ast.GenDecl)
		if !ok || g.Tok != token.VAR {
			continue
		}
		for _, s := range g.Specs {
			for _, n := range s.(*ast.ValueSpec).Names {
				names = append(names, n.Name)
			}
		}
	}
	return names
}

// root is the name an assignment's left side starts with: x of x.a[i].
func root(e ast.Expr) string {
	for {
		switch x := e.(type) {
		case *ast.Ident:
			return x.Name
		case *ast.SelectorExpr:
			e = x.X
		case *ast.IndexExpr:
			e = x.X
		case *ast.StarExpr:
			e = x.X
		default:
			return fmt.Sprintf("%T", e)
		}
	}
}
