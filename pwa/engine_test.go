package pwa_test

import (
	"bufio"
	"bytes"
	"encoding/base64"
	"encoding/json"
	"os"
	"os/exec"
	"slices"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"pintail"
	"pintail/api"
	"pintail/api/finding"
)

// call is one line to test/run-engine.mjs.
type call struct {
	name        string
	Operation   string `json:"operation,omitempty"`
	Edit        string `json:"edit,omitempty"`
	InputBase64 []byte `json:"input_base64"`
}

// answer is one line from it.
type answer struct {
	OK   bool   `json:"ok"`
	Body string `json:"body"`
}

// The built engine, as a phone runs it, gives the bytes that the core gives:
// for every example of the contract and every vector of refused input.
func TestEngineGivesTheSameBytes(t *testing.T) {
	needNode(t)
	_, err := os.Stat("src/generated/engine.wasm")
	need(t, err == nil, "the engine is not built: go generate ./pwa")

	calls := slices.Concat(examples(t), vectors(t), edits(t), []call{{name: "unknown operation", Operation: "no/such", InputBase64: []byte("{}")}})
	for i, got := range mustRunEngine(t, calls) {
		want, problem := core(calls[i])
		if problem != nil {
			want = problem.JSON()
		}
		if got.OK != (problem == nil) || got.Body != string(want) {
			t.Errorf("%s, %s: engine and core differ\nengine %t %.300s\ncore   %t %.300s", calls[i].Operation, calls[i].name, got.OK, got.Body, problem == nil, want)
		}
	}
}

// core is the answer of the core itself.
func core(c call) ([]byte, *finding.Error) {
	if c.Edit != "" {
		return api.RunEdit(c.Edit, c.InputBase64)
	}
	return api.Run(c.Operation, c.InputBase64)
}

// edits are the vectors of the journal's calls.
func edits(t *testing.T) (calls []call) {
	t.Helper()
	b, err := os.ReadFile("../api/testdata/edits.json")
	if err != nil {
		t.Fatal(err)
	}
	var all []struct {
		Name, Call string
		Input      json.RawMessage
	}
	if err := json.Unmarshal(b, &all); err != nil {
		t.Fatal(err)
	}
	for _, v := range all {
		calls = append(calls, call{name: v.Name, Edit: v.Call, InputBase64: v.Input})
	}
	return calls
}

func mustRunEngine(t *testing.T, calls []call) []answer {
	t.Helper()
	var in, stderr bytes.Buffer
	for _, c := range calls {
		if err := json.NewEncoder(&in).Encode(c); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command("node", "test/run-engine.mjs")
	cmd.Stdin, cmd.Stderr = &in, &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("run-engine: %v\n%s", err, &stderr)
	}
	var answers []answer
	lines := bufio.NewScanner(bytes.NewReader(out))
	lines.Buffer(nil, 16<<20)
	for lines.Scan() {
		var a answer
		if err := json.Unmarshal(lines.Bytes(), &a); err != nil {
			t.Fatal(err)
		}
		answers = append(answers, a)
	}
	if len(answers) != len(calls) {
		t.Fatalf("%d answers to %d calls\n%s", len(answers), len(calls), &stderr)
	}
	return answers
}

// examples are the example inputs of the contract's operations.
func examples(t *testing.T) (calls []call) {
	t.Helper()
	doc, err := openapi3.NewLoader().LoadFromData(pintail.Contract())
	if err != nil {
		t.Fatal(err)
	}
	for path, item := range doc.Paths.Map() {
		if item.Post == nil || item.Post.Extensions["x-operation"] != true {
			continue
		}
		for name, example := range item.Post.RequestBody.Value.Content["application/json"].Examples {
			b, err := json.Marshal(example.Value.Value)
			if err != nil {
				t.Fatal(err)
			}
			calls = append(calls, call{name: name, Operation: path[len("/v1/"):], InputBase64: b})
		}
	}
	if len(calls) < len(api.Operations()) {
		t.Fatalf("%d examples for %d operations", len(calls), len(api.Operations()))
	}
	return calls
}

// vectors are the inputs that every face refuses in the same words.
func vectors(t *testing.T) (calls []call) {
	t.Helper()
	b, err := os.ReadFile("../api/testdata/problems.json")
	if err != nil {
		t.Fatal(err)
	}
	var all []struct {
		Name, Operation, Body string
		BodyBase64            string `json:"body_base64"`
		Spaces                int    // that many spaces stand after the body
	}
	if err := json.Unmarshal(b, &all); err != nil {
		t.Fatal(err)
	}
	for _, v := range all {
		input := []byte(v.Body)
		if v.BodyBase64 != "" {
			if input, err = base64.StdEncoding.DecodeString(v.BodyBase64); err != nil {
				t.Fatal(err)
			}
		}
		input = append(input, bytes.Repeat([]byte(" "), v.Spaces)...)
		calls = append(calls, call{name: v.Name, Operation: v.Operation, InputBase64: input})
	}
	return calls
}
