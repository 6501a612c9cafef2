//go:build !js

package api_test

import (
	"encoding/json"
	"slices"

	"github.com/getkin/kin-openapi/openapi3"

	"pintail/api"
)

// contractAgrees checks that the contract takes every input that the core takes,
// and every answer it gives.
func contractAgrees(t checks, op api.Operation, in, answer []byte) {
	t.Helper()
	ops := contractOperations(t)
	i := slices.IndexFunc(ops, func(o contractOperation) bool { return o.name == op.Name })
	if i < 0 {
		t.Fatalf("%s is not in the contract", op.Name)
	}
	visit := func(what string, b []byte, s *openapi3.SchemaRef, option openapi3.SchemaValidationOption) {
		var v any
		if err := json.Unmarshal(b, &v); err != nil {
			t.Fatal(err)
		}
		if err := s.Value.VisitJSON(v, option); err != nil {
			t.Errorf("%s: the core takes this %s, the contract does not: %v\n%.1000s", op.Name, what, err, b)
		}
	}
	visit("input", in, ops[i].request(t).Schema, openapi3.VisitAsRequest())
	visit("answer", answer, ops[i].answer(t).Schema, openapi3.VisitAsResponse())
}
