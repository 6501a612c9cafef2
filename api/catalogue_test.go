//go:build !js

package api_test

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pintail/api/finding"
)

// messageID is the shape of a message id. A finding's id has hyphens where a
// message id has underscores, and most have one.
var messageID = regexp.MustCompile(`^[a-z][a-z0-9]*(\.[a-z0-9_]+)+$`)

// parameter is a name in braces in a sentence.
var parameter = regexp.MustCompile(`\{([^{}]*)\}`)

// TestCatalogue holds the sentences and the code that says them together: what
// the code says is there, and what is there is said.
func TestCatalogue(t *testing.T) {
	catalogue := finding.Catalogue()
	s := &sayings{T: t, catalogue: catalogue, used: map[string]bool{}}
	for _, p := range mustList(t, nil, "./api/...") {
		for _, name := range p.GoFiles {
			s.source(filepath.Join(p.Dir, name))
		}
		for _, name := range p.EmbedFiles {
			if !strings.Contains(name, "catalogue") && strings.HasSuffix(name, ".json") {
				s.data(filepath.Join(p.Dir, name))
			}
		}
	}
	for id, sentence := range catalogue {
		if !s.used[id] && !slices.ContainsFunc(s.prefixes, func(p string) bool { return strings.HasPrefix(id, p) }) {
			t.Errorf("catalogue: %q is not used", id)
		}
		if !messageID.MatchString(id) {
			t.Errorf("catalogue: %q is not the shape of a message id", id)
		}
		if strings.TrimSpace(sentence) != sentence || sentence == "" || strings.Contains(sentence, "  ") {
			t.Errorf("catalogue: %q: stray spaces in %q", id, sentence)
		}
		for _, m := range parameter.FindAllStringSubmatch(sentence, -1) {
			if !regexp.MustCompile(`^[a-z][a-z0-9_]*$`).MatchString(m[1]) {
				t.Errorf("catalogue: %q: {%s} is not the name of a parameter", id, m[1])
			}
		}
		if strings.Count(sentence, "{") != len(parameter.FindAllString(sentence, -1)) || strings.Count(sentence, "{") != strings.Count(sentence, "}") {
			t.Errorf("catalogue: %q: a brace stands alone", id)
		}
	}
}

// No id stands in two files: the later would silently replace the earlier.
func TestCatalogueFiles(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("finding", "catalogue", "en", "*.json"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no catalogue: %v", err)
	}
	where := map[string]string{}
	total := 0
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		var part map[string]string
		if err := json.Unmarshal(b, &part); err != nil {
			t.Fatalf("%s: %v", f, err)
		}
		for id := range part {
			if other, stands := where[id]; stands {
				t.Errorf("%q stands in %s and in %s", id, other, f)
			}
			where[id] = f
			total++
		}
	}
	if total != len(finding.Catalogue()) {
		t.Errorf("%d sentences in the files, %d in the catalogue", total, len(finding.Catalogue()))
	}
}

type sayings struct {
	*testing.T
	catalogue map[string]string
	used      map[string]bool
	// prefixes are beginnings of ids that the code completes: "limit.part_" + kind.
	prefixes []string
}

func (s *sayings) source(path string) {
	fset := token.NewFileSet()
	f, err := parser.ParseFile(fset, path, nil, parser.SkipObjectResolution)
	if err != nil {
		s.Fatal(err)
	}
	// An id of a finding may look like that of a sentence; its place tells.
	skip := map[ast.Node]bool{}
	var stems, endings []string // of ids that the code puts together: t.says + "_remedy"
	for _, d := range f.Decls {
		given := parametersGiven(d)
		ast.Inspect(d, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.ImportSpec:
				return false
			case *ast.Field:
				if n.Tag != nil {
					skip[n.Tag] = true
				}
			case *ast.KeyValueExpr:
				if k, ok := n.Key.(*ast.Ident); ok && k.Name == "ID" {
					skip[n.Value] = true
				}
			case *ast.BinaryExpr:
				if l, ok := literal(n.X); ok && n.Op == token.ADD && strings.Contains(l, ".") && messageID.MatchString(l+"x") {
					s.prefixes = append(s.prefixes, l)
					skip[n.X] = true
				}
				if r, ok := literal(n.Y); ok && n.Op == token.ADD && messageID.MatchString("x.x"+r) {
					endings = append(endings, r)
				}
			case *ast.CallExpr:
				s.call(fset, n, given)
			case *ast.BasicLit:
				if l, ok := literal(n); ok && !skip[n] {
					stems = append(stems, l)
				}
			}
			return true
		})
	}
	for _, stem := range stems {
		for _, ending := range append(endings, "") {
			if _, stands := s.catalogue[stem+ending]; stands {
				s.used[stem+ending] = true
			}
		}
	}
}

// call checks one call of Say, Advise or Word with an id written out.
func (s *sayings) call(fset *token.FileSet, c *ast.CallExpr, given map[string]bool) {
	name := called(c)
	if name != "Say" && name != "Advise" && name != "Word" || len(c.Args) == 0 {
		return
	}
	at := fset.Position(c.Pos())
	if b, ok := c.Args[0].(*ast.BinaryExpr); ok {
		if l, ok := literal(b.X); ok && !s.begins(l) {
			s.Errorf("%s: no sentence of the catalogue begins with %q", at, l)
		}
		return
	}
	id, ok := literal(c.Args[0])
	if !ok {
		return
	}
	sentence, stands := s.catalogue[id]
	if !stands {
		s.Errorf("%s: the catalogue has no sentence %q", at, id)
		return
	}
	for _, m := range parameter.FindAllStringSubmatch(sentence, -1) {
		switch {
		case name == "Word":
			s.Errorf("%s: %q is used as a word and has the parameter {%s}", at, id, m[1])
		case len(c.Args) < 2 || isNil(c.Args[1]):
			s.Errorf("%s: %q has the parameter {%s} and none is given", at, id, m[1])
		case isLiteral(c.Args[1]) && !keysOf(c.Args[1])[m[1]]:
			s.Errorf("%s: %q has the parameter {%s}, which is not given", at, id, m[1])
		case isName(c.Args[1]) && !given[m[1]]:
			s.Errorf("%s: %q has the parameter {%s}, which this function never sets", at, id, m[1])
		}
	}
}

func (s *sayings) begins(prefix string) bool {
	for id := range s.catalogue {
		if strings.HasPrefix(id, prefix) {
			return true
		}
	}
	return false
}

// data marks what a data file names. A string there with the shape of an id and
// the first part of one is taken for one.
func (s *sayings) data(path string) {
	b, err := os.ReadFile(path)
	if err != nil {
		s.Fatal(err)
	}
	var v any
	if err := json.Unmarshal(b, &v); err != nil {
		s.Fatalf("%s: %v", path, err)
	}
	var walk func(any)
	walk = func(v any) {
		switch v := v.(type) {
		case string:
			if _, stands := s.catalogue[v]; stands {
				s.used[v] = true
			}
		case []any:
			for _, e := range v {
				walk(e)
			}
		case map[string]any:
			for _, e := range v {
				walk(e)
			}
		}
	}
	walk(v)
}

func called(c *ast.CallExpr) string {
	switch f := c.Fun.(type) {
	case *ast.Ident:
		return f.Name
	case *ast.SelectorExpr:
		return f.Sel.Name
	}
	return ""
}

func literal(e ast.Node) (string, bool) {
	l, ok := e.(*ast.BasicLit)
	if !ok || l.Kind != token.STRING {
		return "", false
	}
	v, err := strconv.Unquote(l.Value)
	return v, err == nil
}

func isNil(e ast.Expr) bool {
	n, ok := e.(*ast.Ident)
	return ok && n.Name == "nil"
}

func isLiteral(e ast.Expr) bool {
	_, ok := e.(*ast.CompositeLit)
	return ok
}

func isName(e ast.Expr) bool {
	_, ok := e.(*ast.Ident)
	return ok && !isNil(e)
}

func keysOf(e ast.Expr) map[string]bool {
	keys := map[string]bool{}
	for _, element := range e.(*ast.CompositeLit).Elts {
		if kv, ok := element.(*ast.KeyValueExpr); ok {
			if k, ok := literal(kv.Key); ok {
				keys[k] = true
			}
		}
	}
	return keys
}

// parametersGiven are the names that a declaration sets in any Params: as keys
// of a literal, or by index. A function that is handed its Params gives all.
func parametersGiven(d ast.Decl) map[string]bool {
	given := map[string]bool{}
	ast.Inspect(d, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CompositeLit:
			for k := range keysOf(n) {
				given[k] = true
			}
		case *ast.IndexExpr:
			if k, ok := literal(n.Index); ok {
				given[k] = true
			}
		}
		return true
	})
	return given
}
