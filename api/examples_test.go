//go:build !js

package api_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"go.yaml.in/yaml/v4"

	"pintail/api"
)

// ask is one operation with one input.
type ask struct {
	Operation string          `json:"operation"`
	Input     json.RawMessage `json:"input"`
	name      string
}

// mustExamples returns every example of the contract, operation by operation.
func mustExamples(tb testing.TB) []ask {
	tb.Helper()
	var asks []ask
	for _, o := range contractOperations(tb) {
		examples := o.request(tb).Examples
		var names []string
		for name := range examples {
			names = append(names, name)
		}
		slices.Sort(names)
		for _, name := range names {
			b, err := json.Marshal(examples[name].Value.Value)
			if err != nil {
				tb.Fatal(err)
			}
			asks = append(asks, ask{Operation: o.name, Input: b, name: o.name + "/" + name})
		}
	}
	return asks
}

// mustTrips returns the golden trips of readiness.
func mustTrips(tb testing.TB) []ask {
	tb.Helper()
	files, err := filepath.Glob(filepath.Join("readiness", "testdata", "trips", "*.json"))
	if err != nil || len(files) == 0 {
		tb.Fatalf("no golden trips: %v", err)
	}
	var asks []ask
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			tb.Fatal(err)
		}
		var trip struct {
			Input json.RawMessage `json:"input"`
		}
		if err := json.Unmarshal(b, &trip); err != nil {
			tb.Fatalf("%s: %v", f, err)
		}
		asks = append(asks, ask{Operation: "readiness", Input: trip.Input, name: "trip/" + strings.TrimSuffix(filepath.Base(f), ".json")})
	}
	return asks
}

// TestExamples runs every example and golden trip: each is answered, and the
// answer is what the contract says it is.
func TestExamples(t *testing.T) {
	answers := map[string]*openapi3.SchemaRef{}
	for _, o := range contractOperations(t) {
		answers[o.name] = o.answer(t).Schema
	}
	for _, a := range append(mustExamples(t), mustTrips(t)...) {
		t.Run(a.name, func(t *testing.T) {
			b, problem := api.Run(a.Operation, a.Input)
			if problem != nil {
				t.Fatalf("refused: %v", problem)
			}
			var answer any
			if err := json.Unmarshal(b, &answer); err != nil {
				t.Fatal(err)
			}
			if err := answers[a.Operation].Value.VisitJSON(answer, openapi3.MultiErrors(), openapi3.VisitAsResponse()); err != nil {
				t.Errorf("the answer is not what the contract says: %v", err)
			}
			readable(t, "", answer)
		})
	}
}

// readable checks every text of an answer: its sentence is in the catalogue and
// every parameter was given.
func readable(tb testing.TB, at string, v any) {
	tb.Helper()
	switch v := v.(type) {
	case []any:
		for _, e := range v {
			readable(tb, at+"/*", e)
		}
	case map[string]any:
		if id, sentence := v["id"], v["sentence"]; id != nil && sentence != nil {
			if id == sentence {
				tb.Errorf("%s: the catalogue has no sentence %q", at, id)
			}
			if strings.ContainsAny(sentence.(string), "{}") {
				tb.Errorf("%s: %q: a parameter is missing: %s", at, id, sentence)
			}
		}
		for name, e := range v {
			readable(tb, at+"/"+name, e)
		}
	}
}

// A figure nobody entered is found out, never guessed: the thin example of each
// operation says so.
func TestThinExamples(t *testing.T) {
	for _, o := range contractOperations(t) {
		if len(o.request(t).Schema.Value.Properties) == 0 {
			continue // nothing to leave out
		}
		t.Run(o.name, func(t *testing.T) {
			e := o.request(t).Examples["thin"]
			if e == nil {
				t.Fatal("openapi.yaml: no example named thin")
			}
			in, err := json.Marshal(e.Value.Value)
			if err != nil {
				t.Fatal(err)
			}
			b, problem := api.Run(o.name, in)
			if problem != nil {
				t.Fatal(problem)
			}
			if !strings.Contains(string(b), `"verdict":`) {
				return // it lists, and judges nothing
			}
			if !strings.Contains(string(b), `"verdict":"find_out"`) {
				t.Errorf("nothing to find out:\n%s", b)
			}
		})
	}
}

// The first example of an operation, as written, is the complete one: it is
// what `pintail run <name> --example` prints. Maps of a parsed document have no
// order, so this reads the text.
func TestFirstExamples(t *testing.T) {
	b, err := os.ReadFile(contractPath)
	if err != nil {
		t.Fatal(err)
	}
	var doc yaml.Node
	if err := yaml.Unmarshal(b, &doc); err != nil {
		t.Fatal(err)
	}
	for _, o := range contractOperations(t) {
		examples := lookUp(&doc, "paths", o.path, "post", "requestBody", "content", "application/json", "examples")
		switch {
		case examples == nil || len(examples.Content) == 0:
			t.Errorf("%s: no examples", o.path)
		case examples.Content[0].Value != "complete":
			t.Errorf("%s: the first example is %q, want complete", o.path, examples.Content[0].Value)
		}
	}
}

func lookUp(n *yaml.Node, names ...string) *yaml.Node {
	if n.Kind == yaml.DocumentNode {
		n = n.Content[0]
	}
	for _, name := range names {
		i := -1
		for k := 0; k+1 < len(n.Content); k += 2 {
			if n.Content[k].Value == name {
				i = k
			}
		}
		if i < 0 {
			return nil
		}
		n = n.Content[i+1]
	}
	return n
}
