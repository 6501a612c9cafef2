//go:build !js

package api_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"pintail/api"
	"pintail/api/finding"
)

// TestBounds takes every bound the contract states on an input and holds the
// core to it: the bound itself is accepted, the next value beyond is refused,
// at exactly that place.
func TestBounds(t *testing.T) {
	for _, o := range contractOperations(t) {
		t.Run(strings.ReplaceAll(o.name, "/", "_"), func(t *testing.T) {
			b := &bounds{T: t, operation: o.name, row: row(t, o.name)}
			b.visit(o.request(t).Schema, "", func(v any) any { return v })
			t.Logf("%d bounds", b.tried)
		})
	}
}

func row(tb testing.TB, name string) api.Operation {
	tb.Helper()
	all := api.Operations()
	i := slices.IndexFunc(all, func(o api.Operation) bool { return o.Name == name })
	if i < 0 {
		tb.Fatalf("the table has no %s", name)
	}
	return all[i]
}

// place wraps a value in the least input that holds it at one place.
type place func(v any) any

type bounds struct {
	*testing.T
	operation string
	row       api.Operation
	tried     int
}

// quantityRange is the extension x-range: the bounds of a quantity in one of
// its units.
type quantityRange struct {
	unit             string
	minimum, maximum float64
}

func rangeOf(s *openapi3.SchemaRef) (quantityRange, bool) {
	m, ok := s.Value.Extensions["x-range"].(map[string]any)
	if !ok {
		return quantityRange{}, false
	}
	return quantityRange{unit: fmt.Sprint(m["unit"]), minimum: number(m["minimum"]), maximum: number(m["maximum"])}, true
}

func number(v any) float64 {
	switch n := v.(type) {
	case float64:
		return n
	case int:
		return float64(n)
	case uint64:
		return float64(n)
	}
	panic(fmt.Sprintf("%v of type %T is no number", v, v))
}

func (b *bounds) visit(s *openapi3.SchemaRef, at string, in place) {
	r, ranged := rangeOf(s)
	name := strings.TrimPrefix(direct(s).Ref, "#/components/schemas/")
	s = direct(s)
	switch {
	case s.Value.Extensions["x-judged-whole"] != nil:
		// Its members are possible or not only together; its own room tests them.
		b.accepts(at, in(minimal(s.Value)))
		b.refuses(at, in([]any{}), at)
	case ranged && name == "Weight":
		b.quantity(r, at+"/weight", func(v any) any { return in(map[string]any{"weight": v}) })
	case ranged:
		b.quantity(r, at, in)
	case len(s.Value.Enum) > 0:
		for _, v := range s.Value.Enum {
			b.accepts(at, in(v))
		}
		b.refuses(at, in("no_such_word"), at)
		b.refuses(at, in(""), at)
	case name == "Date":
		b.dates(at, in)
	case s.Value.Type.Is("string"):
		b.text(s.Value, at, in)
	case s.Value.Type.Is("number"), s.Value.Type.Is("integer"):
		b.number(s.Value, at, in)
	case s.Value.Type.Is("boolean"):
		b.accepts(at, in(true))
		b.accepts(at, in(false))
		b.refuses(at, in("yes"), at)
	case s.Value.Type.Is("array"):
		b.list(s.Value, at, in)
	case s.Value.AdditionalProperties.Schema != nil:
		b.entries(s.Value, at, in)
	case slices.Contains([]string{"Mass", "Length", "Speed", "Temperature"}, name):
		// The weight of a Weight is bounded where the Weight is used.
		if !strings.HasSuffix(at, "/weight") {
			b.Errorf("%s: a quantity with no x-range", at)
		}
	default:
		b.object(s.Value, at, in)
	}
}

func (b *bounds) object(s *openapi3.Schema, at string, in place) {
	b.accepts(at, in(minimal(s)))
	b.refuses(at, in([]any{}), at)
	b.refuses(at, in(with(s, "no_such_member", 1)), at+"/no_such_member")
	for _, name := range slices.Sorted(maps.Keys(s.Properties)) {
		b.visit(s.Properties[name], at+"/"+name, func(v any) any { return in(with(s, name, v)) })
		if slices.Contains(s.Required, name) {
			m := minimal(s).(map[string]any)
			delete(m, name)
			b.refuses(at, in(m), at+"/"+name)
		}
	}
}

// with is the least object of a schema, with one member set.
func with(s *openapi3.Schema, name string, v any) any {
	m := minimal(s).(map[string]any)
	m[name] = v
	return m
}

// minimal is the least value of a schema.
func minimal(s *openapi3.Schema) any {
	switch {
	case len(s.Enum) > 0:
		return s.Enum[0]
	case s.Example != nil:
		if m, ok := s.Example.(map[string]any); ok {
			return maps.Clone(m)
		}
		return s.Example
	case s.Type.Is("object"):
		m := map[string]any{}
		for _, name := range s.Required {
			m[name] = minimal(direct(s.Properties[name]).Value)
		}
		return m
	case s.Type.Is("string"):
		return "x"
	}
	panic("no least value for a required " + fmt.Sprint(s.Type.Slice()))
}

func (b *bounds) quantity(r quantityRange, at string, in place) {
	const step = 0.001 // a quantity has at most three decimals
	q := func(v float64) any { return in(map[string]any{r.unit: v}) }
	b.accepts(at, q(r.minimum))
	b.accepts(at, q(r.maximum))
	b.refuses(at, q(r.minimum-step), at)
	b.refuses(at, q(r.maximum+step), at)
	b.refuses(at, in(map[string]any{}), at)
	b.refuses(at, in(r.maximum), at)
	b.refuses(at, q(500_000.001), at)
}

func (b *bounds) dates(at string, in place) {
	for _, day := range []string{"1900-01-01", "2024-02-29", "2199-12-31"} {
		b.accepts(at, in(day))
	}
	for _, day := range []string{"1899-12-31", "2200-01-01", "2023-02-29", "2023-6-01", "2023-06-01T00:00:00Z", ""} {
		b.refuses(at, in(day), at)
	}
}

func (b *bounds) text(s *openapi3.Schema, at string, in place) {
	b.refuses(at, in(""), at)
	b.refuses(at, in(7), at)
	if s.MaxLength == nil {
		return // a code of a list that the core holds
	}
	// Characters are counted, not bytes.
	b.accepts(at, in(strings.Repeat("é", int(*s.MaxLength))))
	b.refuses(at, in(strings.Repeat("é", int(*s.MaxLength)+1)), at)
}

func (b *bounds) number(s *openapi3.Schema, at string, in place) {
	if s.Min == nil || s.Max == nil {
		b.Errorf("%s: a number with no bounds", at)
		return
	}
	step := 0.001
	if s.Type.Is("integer") {
		step = 1
		b.refuses(at, in(*s.Min+0.5), at)
	}
	b.accepts(at, in(*s.Min))
	b.accepts(at, in(*s.Max))
	b.refuses(at, in(*s.Min-step), at)
	b.refuses(at, in(*s.Max+step), at)
	b.refuses(at, in("1"), at)
}

func (b *bounds) list(s *openapi3.Schema, at string, in place) {
	if s.MaxItems == nil {
		b.Errorf("%s: a list with no bound", at)
		return
	}
	one := minimal(s).([]any)[0]
	b.accepts(at, in(slices.Repeat([]any{one}, int(*s.MaxItems))))
	b.refuses(at, in(slices.Repeat([]any{one}, int(*s.MaxItems)+1)), at)
	if s.MinItems == 1 {
		b.refuses(at, in([]any{}), at)
	}
	b.visit(s.Items, at+"/0", func(v any) any { return in([]any{v}) })
}

func (b *bounds) entries(s *openapi3.Schema, at string, in place) {
	if s.MaxProps == nil {
		b.Errorf("%s: a map with no bound", at)
		return
	}
	entry := minimal(direct(s.AdditionalProperties.Schema).Value)
	many := map[string]any{}
	for i := range int(*s.MaxProps) {
		many[fmt.Sprint("k", i)] = entry
	}
	b.accepts(at, in(many))
	longest := strings.Repeat("k", 64)
	b.accepts(at, in(map[string]any{longest: entry}))
	many = maps.Clone(many)
	many["one-more"] = entry
	b.refuses(at, in(many), at)
	for _, key := range []string{"", "a b", "a/b", "a~b", "ä", longest + "k"} {
		token := strings.ReplaceAll(strings.ReplaceAll(key, "~", "~0"), "/", "~1")
		b.refuses(at, in(map[string]any{key: entry}), at+"/"+token)
	}
	b.visit(s.AdditionalProperties.Schema, at+"/a", func(v any) any { return in(map[string]any{"a": v}) })
}

func (b *bounds) run(input any) ([]byte, *finding.Error) {
	b.Helper()
	b.tried++
	body, err := json.Marshal(input)
	if err != nil {
		b.Fatal(err)
	}
	if slices.Contains([]string{"lamps/test", "lamps/trace", "lamps/coverage"}, b.operation) {
		// These solve the circuit thousands of times for every value, of a rig whose
		// every value lamps/plan and lamps/netlist are run with.
		return body, b.row.Check(body)
	}
	_, e := b.row.Run(body)
	return body, e
}

func (b *bounds) accepts(at string, input any) {
	b.Helper()
	if body, err := b.run(input); err != nil {
		b.Errorf("%s: refused: %v\n%.300s", at, err, body)
	}
}

func (b *bounds) refuses(at string, input any, pointer string) {
	b.Helper()
	body, err := b.run(input)
	switch {
	case err == nil:
		b.Errorf("%s: accepted, the contract does not:\n%.300s", at, body)
	case err.Problems[0].Pointer != pointer:
		b.Errorf("%s: refused at %q, want %q: %v\n%.300s", at, err.Problems[0].Pointer, pointer, err, body)
	}
}
