//go:build !js

package api_test

import (
	"context"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"pintail/api"
)

// contractPath is the contract as a test in this directory sees it.
var contractPath = filepath.Join("..", "openapi.yaml")

var loadContract = sync.OnceValues(func() (*openapi3.T, error) {
	return openapi3.NewLoader().LoadFromFile(contractPath)
})

func mustContract(tb checks) *openapi3.T {
	tb.Helper()
	doc, err := loadContract()
	if err != nil {
		tb.Fatalf("openapi.yaml: %v", err)
	}
	return doc
}

// contractOperation is one table operation as the contract describes it.
type contractOperation struct {
	name string // without /v1/
	path string
	post *openapi3.Operation
}

// contractOperations returns the paths marked x-operation, in order.
func contractOperations(tb checks) []contractOperation {
	tb.Helper()
	var ops []contractOperation
	for path, item := range mustContract(tb).Paths.Map() {
		for method, op := range item.Operations() {
			marked, stands := op.Extensions["x-operation"]
			if !stands {
				continue
			}
			if marked != true || method != "POST" || !strings.HasPrefix(path, "/v1/") {
				tb.Fatalf("openapi.yaml: %s %s: x-operation: true belongs on a POST under /v1/", method, path)
			}
			ops = append(ops, contractOperation{name: strings.TrimPrefix(path, "/v1/"), path: path, post: op})
		}
	}
	slices.SortFunc(ops, func(a, b contractOperation) int { return strings.Compare(a.path, b.path) })
	return ops
}

func (o contractOperation) request(tb checks) *openapi3.MediaType {
	tb.Helper()
	if o.post.RequestBody == nil || !o.post.RequestBody.Value.Required {
		tb.Fatalf("openapi.yaml: %s: a request body is required", o.path)
	}
	m := o.post.RequestBody.Value.Content["application/json"]
	if m == nil || len(o.post.RequestBody.Value.Content) != 1 {
		tb.Fatalf("openapi.yaml: %s: the request is application/json and nothing else", o.path)
	}
	return m
}

func (o contractOperation) answer(tb checks) *openapi3.MediaType {
	tb.Helper()
	r := o.post.Responses.Value("200")
	if r == nil || r.Value.Content["application/json"] == nil {
		tb.Fatalf("openapi.yaml: %s: no 200 answer in application/json", o.path)
	}
	return r.Value.Content["application/json"]
}

func TestContractIsValid(t *testing.T) {
	doc := mustContract(t)
	if err := doc.Validate(context.Background(), openapi3.EnableExamplesValidation()); err != nil {
		t.Error(err)
	}
	if doc.OpenAPI != "3.0.3" {
		t.Errorf("openapi is %q, want 3.0.3", doc.OpenAPI)
	}
	if doc.Info.Version != api.EngineVersion {
		t.Errorf("info.version is %q, the engine's is %q", doc.Info.Version, api.EngineVersion)
	}
}

func TestTableEqualsContract(t *testing.T) {
	var inTable, inContract []string
	for _, o := range api.Operations() {
		inTable = append(inTable, o.Name)
	}
	for _, o := range contractOperations(t) {
		inContract = append(inContract, o.name)
	}
	for _, n := range inTable {
		if !slices.Contains(inContract, n) {
			t.Errorf("%s is in api.Operations and not an x-operation of openapi.yaml", n)
		}
	}
	for _, n := range inContract {
		if !slices.Contains(inTable, n) {
			t.Errorf("%s is an x-operation of openapi.yaml and not in api.Operations", n)
		}
	}
	slices.Sort(inTable)
	if len(slices.Compact(inTable)) != len(api.Operations()) {
		t.Error("a name stands twice in api.Operations")
	}
}

// An operation's id is its name in camel case: coupling/check, couplingCheck.
func TestOperationIDs(t *testing.T) {
	for _, o := range contractOperations(t) {
		words := regexp.MustCompile(`[/_-]`).Split(o.name, -1)
		want := words[0]
		for _, w := range words[1:] {
			want += strings.ToUpper(w[:1]) + w[1:]
		}
		if o.post.OperationID != want {
			t.Errorf("%s: operationId is %q, want %q", o.path, o.post.OperationID, want)
		}
		if o.post.Summary == "" || o.post.Description == "" || len(o.post.Tags) != 1 {
			t.Errorf("%s: wants a summary, a description and one tag", o.path)
		}
	}
}

// Everything under components is there for a path: a schema that no request or
// answer reaches is a leftover.
func TestNothingUnused(t *testing.T) {
	doc := mustContract(t)
	reached := map[string]bool{}
	var schema func(*openapi3.SchemaRef)
	schema = func(s *openapi3.SchemaRef) {
		if s == nil || s.Ref != "" && reached[s.Ref] {
			return
		}
		reached[s.Ref] = true
		for _, p := range s.Value.Properties {
			schema(p)
		}
		for _, p := range s.Value.AllOf {
			schema(p)
		}
		schema(s.Value.Items)
		schema(s.Value.AdditionalProperties.Schema)
	}
	content := func(c openapi3.Content) {
		for _, m := range c {
			schema(m.Schema)
		}
	}
	for _, item := range doc.Paths.Map() {
		for _, op := range item.Operations() {
			if op.RequestBody != nil {
				content(op.RequestBody.Value.Content)
			}
			for _, r := range op.Responses.Map() {
				reached[r.Ref] = true
				content(r.Value.Content)
				for _, h := range r.Value.Headers {
					reached[h.Ref] = true
				}
			}
		}
	}
	for name := range doc.Components.Schemas {
		if !reached["#/components/schemas/"+name] {
			t.Errorf("openapi.yaml: schema %s is not used", name)
		}
	}
	for name := range doc.Components.Responses {
		if !reached["#/components/responses/"+name] {
			t.Errorf("openapi.yaml: response %s is not used", name)
		}
	}
	for name := range doc.Components.Headers {
		if !reached["#/components/headers/"+name] {
			t.Errorf("openapi.yaml: header %s is not used", name)
		}
	}
}

// The file is plain YAML that any reader of OpenAPI takes: no anchors, aliases
// or merge keys.
func TestContractIsPlain(t *testing.T) {
	b, err := os.ReadFile(contractPath)
	if err != nil {
		t.Fatal(err)
	}
	anchor := regexp.MustCompile(`(^|[\s:\[,-])([&*][A-Za-z]\w*|<<:)(\s|$)`)
	for i, line := range strings.Split(string(b), "\n") {
		if anchor.MatchString(line) {
			t.Errorf("openapi.yaml:%d: an anchor, alias or merge key: %s", i+1, strings.TrimSpace(line))
		}
		if strings.Contains(line, "\t") || strings.TrimRight(line, " ") != line {
			t.Errorf("openapi.yaml:%d: a tab or a space at the end", i+1)
		}
	}
}
