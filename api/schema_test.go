//go:build !js

package api_test

import (
	"fmt"
	"path"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"pintail/api"
	"pintail/api/finding"
	"pintail/api/lamps"
	"pintail/api/lamps/lighttest"
	"pintail/api/lamps/pictures"
	"pintail/api/lamps/plan"
	"pintail/api/lamps/record"
	"pintail/api/lamps/survey"
	"pintail/api/lamps/trace"
	"pintail/api/lamps/wiring"
	"pintail/api/rules"
	"pintail/api/unit"
	"pintail/api/walkround"
)

// schemaNames are the types whose schema is not named like the Go type. The
// rule for the others: the schema has the name of the Go type, and Input and
// Report, which say nothing without their package, have its name before them.
var schemaNames = map[reflect.Type]string{
	reflect.TypeFor[unit.Mass]():               "Mass",
	reflect.TypeFor[unit.Length]():             "Length",
	reflect.TypeFor[unit.Speed]():              "Speed",
	reflect.TypeFor[unit.Temperature]():        "Temperature",
	reflect.TypeFor[finding.ParamForm]():       "Param",
	reflect.TypeFor[lamps.Count]():             "LampCount",
	reflect.TypeFor[plan.Point]():              "PlanPoint",
	reflect.TypeFor[plan.PointKind]():          "PlanPointKind",
	reflect.TypeFor[plan.Zone]():               "PlanZone",
	reflect.TypeFor[plan.Side]():               "PlanSide",
	reflect.TypeFor[plan.Function]():           "PlanFunction",
	reflect.TypeFor[plan.Link]():               "PlanLink",
	reflect.TypeFor[plan.Lit]():                "PlanLamp",
	reflect.TypeFor[plan.Lighting]():           "PlanLighting",
	reflect.TypeFor[plan.Reading]():            "PlanReading",
	reflect.TypeFor[plan.Gets]():               "PlanLight",
	reflect.TypeFor[plan.Heat]():               "DiodeHeat",
	reflect.TypeFor[plan.Fusing]():             "FuseCheck",
	reflect.TypeFor[plan.Stage]():              "WorkStage",
	reflect.TypeFor[plan.Fix]():                "PlanFix",
	reflect.TypeFor[plan.Standing]():           "PlanStanding",
	reflect.TypeFor[lighttest.Input]():         "LightTestInput",
	reflect.TypeFor[lighttest.Report]():        "LightTestReport",
	reflect.TypeFor[lighttest.By]():            "LightTestBy",
	reflect.TypeFor[lighttest.Step]():          "LightTestStep",
	reflect.TypeFor[lighttest.Expected]():      "ExpectedPicture",
	reflect.TypeFor[lighttest.CoverageInput](): "LampCoverageInput",
	reflect.TypeFor[lighttest.Coverage]():      "LampCoverage",
	reflect.TypeFor[lighttest.Split]():         "FaultReading",
	reflect.TypeFor[trace.Tools]():             "TraceTools",
	reflect.TypeFor[trace.Picture]():           "LampPicture",
	reflect.TypeFor[trace.Comparison]():        "LampComparison",
	reflect.TypeFor[trace.Brighter]():          "BrighterLamp",
	reflect.TypeFor[trace.Trust]():             "LookTrust",
	reflect.TypeFor[trace.Reading]():           "TraceReading",
	reflect.TypeFor[trace.Outcome]():           "TraceOutcome",
	reflect.TypeFor[trace.Limit]():             "SafetyLimit",
	reflect.TypeFor[trace.Group]():             "TraceGroup",
	reflect.TypeFor[trace.Cause]():             "TraceCause",
	reflect.TypeFor[trace.Kind]():              "TraceEvidenceKind",
	reflect.TypeFor[trace.Why]():               "TraceWhy",
	reflect.TypeFor[trace.Contradiction]():     "TraceContradiction",
	reflect.TypeFor[trace.Next]():              "TraceNext",
	reflect.TypeFor[trace.Expected]():          "TraceExpected",
	reflect.TypeFor[pictures.Pattern]():        "LightPattern",
	reflect.TypeFor[pictures.Phase]():          "LightPhase",
	reflect.TypeFor[wiring.Place]():            "FaultPlace",
	reflect.TypeFor[wiring.Step]():             "LightStep",
	reflect.TypeFor[wiring.Half]():             "FlashHalf",
	reflect.TypeFor[wiring.Job]():              "LampJob",
	reflect.TypeFor[wiring.How]():              "HowResolved",
	reflect.TypeFor[wiring.Value]():            "WiringValue",
	reflect.TypeFor[record.Record]():           "TestRecord",
	reflect.TypeFor[record.Kind]():             "TestKind",
	reflect.TypeFor[record.Result]():           "TestResult",
	reflect.TypeFor[record.Misfit]():           "LookMisfit",
	reflect.TypeFor[survey.Socket]():           "SocketSurvey",
	reflect.TypeFor[survey.Pin]():              "SocketPin",
	reflect.TypeFor[survey.Switches]():         "SwitchState",
	reflect.TypeFor[survey.Load]():             "TestLoad",
	reflect.TypeFor[survey.Meter]():            "MeterError",
	reflect.TypeFor[survey.Car]():              "CarLampSurvey",
	reflect.TypeFor[survey.Edit]():             "SurveyEdit",
	reflect.TypeFor[survey.Branch]():           "SocketBranch",
	reflect.TypeFor[survey.Job]():              "SocketJob",
	reflect.TypeFor[survey.Fault]():            "MotorhomeFault",
	reflect.TypeFor[survey.Where]():            "MotorhomePart",
	reflect.TypeFor[survey.Cost]():             "FaultCost",
	reflect.TypeFor[rules.Item]():              "LawItem",
	reflect.TypeFor[rules.Facts]():             "LawFacts",
	reflect.TypeFor[rules.Subject]():           "LawSubject",
	reflect.TypeFor[rules.RowRef]():            "LawRow",
	reflect.TypeFor[rules.Row]():               "RuleRow",
	reflect.TypeFor[rules.RowAt]():             "RuleRowAt",
	reflect.TypeFor[rules.Change]():            "RuleChange",
	reflect.TypeFor[rules.Seen]():              "SeenRuleChange",
	reflect.TypeFor[rules.Condition]():         "RuleCondition",
	reflect.TypeFor[rules.Edit]():              "RuleEdit",
	reflect.TypeFor[rules.Format]():            "RuleFormat",
	reflect.TypeFor[rules.ImportInput]():       "RuleImportInput",
	reflect.TypeFor[rules.Imported]():          "RulesImported",
	reflect.TypeFor[rules.ExportInput]():       "RuleExportInput",
	reflect.TypeFor[rules.Exported]():          "RulesExported",
	reflect.TypeFor[rules.Standing]():          "RuleStanding",
	reflect.TypeFor[rules.Weight]():            "LawWeight",
	reflect.TypeFor[rules.Says]():              "RuleSays",
	reflect.TypeFor[rules.Rows]():              "RuleRows",
	reflect.TypeFor[rules.RowsInput]():         "RuleRowsInput",
	reflect.TypeFor[rules.Definition]():        "TrailerDefinition",
	reflect.TypeFor[walkround.List]():          "WalkroundKind",
	reflect.TypeFor[walkround.Step]():          "WalkroundStep",
	reflect.TypeFor[walkround.Run]():           "WalkroundRun",
	reflect.TypeFor[walkround.RunInput]():      "WalkroundRunInput",
	reflect.TypeFor[walkround.RunReport]():     "WalkroundRunReport",
	reflect.TypeFor[walkround.State]():         "StepState",
	reflect.TypeFor[walkround.Record]():        "RunRecord",
	reflect.TypeFor[walkround.Count]():         "StepCount",
	reflect.TypeFor[walkround.Read]():          "StepReading",
	reflect.TypeFor[walkround.Part]():          "WalkroundPart",
	reflect.TypeFor[walkround.Quantity]():      "ReadQuantity",
}

func schemaName(t reflect.Type) string {
	if n, ok := schemaNames[t]; ok {
		return n
	}
	if t.Name() == "Input" || t.Name() == "Report" {
		pkg := path.Base(t.PkgPath())
		return strings.ToUpper(pkg[:1]) + pkg[1:] + t.Name()
	}
	return t.Name()
}

// TestSchemasEqualTypes walks the Go types of every operation beside the
// contract's schemas: both say the same, member by member.
func TestSchemasEqualTypes(t *testing.T) {
	w := &typeWalk{TB: t, seen: map[reflect.Type]bool{}, named: map[string]reflect.Type{}}
	for _, o := range contractOperations(t) {
		i := slices.IndexFunc(api.Operations(), func(a api.Operation) bool { return a.Name == o.name })
		if i < 0 {
			continue // TestTableEqualsContract says so
		}
		op := api.Operations()[i]
		w.compare(o.path+" request", op.Input, o.request(t).Schema)
		w.compare(o.path+" answer", op.Output, o.answer(t).Schema)
		w.noNull(op.Output)
	}
	problems := mustContract(t).Components.Schemas["ProblemDetails"]
	if problems == nil {
		t.Fatal("openapi.yaml: no schema ProblemDetails")
	}
	w.compare("ProblemDetails", reflect.TypeFor[finding.ProblemDetails](),
		&openapi3.SchemaRef{Ref: "#/components/schemas/ProblemDetails", Value: problems.Value})
}

type typeWalk struct {
	testing.TB
	seen  map[reflect.Type]bool
	named map[string]reflect.Type
	nulls map[reflect.Type]bool
}

// differ reports one difference: where, what Go says and what the contract says.
func (w *typeWalk) differ(at, format string, args ...any) {
	w.Helper()
	w.Errorf("%s: %s", at, fmt.Sprintf(format, args...))
}

// direct follows an allOf with one entry, which is how OpenAPI 3.0 puts a
// description beside a $ref.
func direct(s *openapi3.SchemaRef) *openapi3.SchemaRef {
	if s.Ref == "" && len(s.Value.AllOf) == 1 && s.Value.Type == nil && len(s.Value.Properties) == 0 {
		return s.Value.AllOf[0]
	}
	return s
}

// forms are the types that write themselves in another form.
var forms = map[reflect.Type]reflect.Type{
	reflect.TypeFor[finding.Param]():  reflect.TypeFor[finding.ParamForm](),
	reflect.TypeFor[finding.Values](): reflect.TypeFor[finding.Params](),
}

// written is the type whose members JSON shows.
func written(t reflect.Type) reflect.Type {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if form, ok := forms[t]; ok {
		return form
	}
	return t
}

func (w *typeWalk) compare(at string, t reflect.Type, s *openapi3.SchemaRef) {
	t = written(t)
	s = direct(s)
	if needsName(t) && !w.name(at, t, s) {
		return
	}
	if s.Value.Nullable {
		w.differ(at, "nullable, the core refuses null")
	}
	switch {
	case isQuantity(t):
		w.quantity(at, t, s.Value)
	case t == reflect.TypeFor[unit.Date]():
		w.kind(at, t, s.Value, "string")
		if s.Value.Format != "date" {
			w.differ(at, "format is %q, want date", s.Value.Format)
		}
	case t.Kind() == reflect.String:
		w.kind(at, t, s.Value, "string")
		w.enum(at, t, s.Value)
	case t.Kind() == reflect.Bool:
		w.kind(at, t, s.Value, "boolean")
	case t.Kind() == reflect.Float64:
		w.kind(at, t, s.Value, "number")
	case t.Kind() >= reflect.Int && t.Kind() <= reflect.Uint64:
		w.kind(at, t, s.Value, "integer")
	case t.Kind() == reflect.Slice:
		w.kind(at, t, s.Value, "array")
		if s.Value.Items == nil {
			w.differ(at, "no items")
			return
		}
		w.compare(at+"/0", t.Elem(), s.Value.Items)
	case t.Kind() == reflect.Map:
		w.kind(at, t, s.Value, "object")
		w.entries(at, t, s.Value)
	case t.Kind() == reflect.Struct:
		w.kind(at, t, s.Value, "object")
		w.members(at, t, s.Value)
	default:
		w.differ(at, "Go type %s has no form in JSON here", t)
	}
}

// needsName: structs, quantities, dates and closed lists of words are schemas of
// their own; plain strings, numbers, lists and maps need not be.
func needsName(t reflect.Type) bool {
	return t.Kind() == reflect.Struct || t.Kind() == reflect.String && t.Name() != "string"
}

// name checks that s is a $ref to the schema named after t, and that no other
// type claims that schema. It reports whether to go on inside.
func (w *typeWalk) name(at string, t reflect.Type, s *openapi3.SchemaRef) bool {
	want := schemaName(t)
	if s.Ref != "#/components/schemas/"+want {
		w.differ(at, "Go type %s wants $ref: #/components/schemas/%s, the contract has %s", t, want, orInline(s.Ref))
		return false
	}
	if other, ok := w.named[want]; ok && other != t {
		w.differ(at, "schema %s stands for Go type %s and for %s; name one of them in schemaNames", want, other, t)
		return false
	}
	w.named[want] = t
	first := !w.seen[t]
	w.seen[t] = true
	return first
}

func orInline(ref string) string {
	if ref == "" {
		return "a schema in place"
	}
	return "$ref: " + ref
}

func (w *typeWalk) kind(at string, t reflect.Type, s *openapi3.Schema, want string) {
	if s.Type == nil || !s.Type.Is(want) {
		w.differ(at, "Go type %s wants type: %s, the contract has %v", t, want, s.Type)
	}
}

func (w *typeWalk) enum(at string, t reflect.Type, s *openapi3.Schema) {
	var contract []string
	for _, v := range s.Enum {
		contract = append(contract, fmt.Sprint(v))
	}
	var code []string
	if list, ok := reflect.Zero(t).Interface().(interface{ Values() []string }); ok {
		code = list.Values()
	}
	if !slices.Equal(code, contract) {
		w.differ(at, "Go type %s has the words %v, the contract's enum %v", t, code, contract)
	}
}

func isQuantity(t reflect.Type) bool {
	_, ok := reflect.Zero(t).Interface().(interface{ Units() []string })
	return ok && t.Kind() == reflect.Struct
}

func (w *typeWalk) quantity(at string, t reflect.Type, s *openapi3.Schema) {
	w.kind(at, t, s, "object")
	units := reflect.Zero(t).Interface().(interface{ Units() []string }).Units()
	w.sameNames(at, "unit", units, names(s.Properties))
	w.sealed(at, s)
	if s.MinProps != 1 || s.MaxProps == nil || *s.MaxProps != 1 || len(s.Required) != 0 {
		w.differ(at, "a quantity has exactly one unit: minProperties 1, maxProperties 1, nothing required")
	}
	for _, u := range units {
		p := s.Properties[u]
		if p == nil {
			continue
		}
		w.kind(at+"/"+u, reflect.TypeFor[float64](), p.Value, "number")
	}
}

func (w *typeWalk) sealed(at string, s *openapi3.Schema) {
	if s.AdditionalProperties.Has == nil || *s.AdditionalProperties.Has || s.AdditionalProperties.Schema != nil {
		w.differ(at, "additionalProperties is not false")
	}
}

func (w *typeWalk) entries(at string, t reflect.Type, s *openapi3.Schema) {
	if t.Key().Kind() != reflect.String || s.AdditionalProperties.Schema == nil || len(s.Properties) != 0 {
		w.differ(at, "Go type %s wants additionalProperties with a schema and no properties", t)
		return
	}
	if s.Extensions["x-key-pattern"] == nil {
		w.differ(at, "x-key-pattern says which keys are possible; it is missing")
	}
	w.compare(at+"/*", t.Elem(), s.AdditionalProperties.Schema)
}

// member is one member of a Go struct as JSON.
type member struct {
	name     string
	required bool
	typ      reflect.Type
}

func (w *typeWalk) membersOf(at string, t reflect.Type) []member {
	var ms []member
	for f := range fields(t) {
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case !f.IsExported():
			w.differ(at, "%s has the unexported field %s, which JSON drops", t, f.Name)
		case name == "" && options == "inline":
			ms = append(ms, w.membersOf(at, written(f.Type))...)
		case name == "" || options != "" && options != "omitzero":
			w.differ(at, "%s.%s: the tag is %q, want a name and at most omitzero", t, f.Name, f.Tag.Get("json"))
		default:
			ms = append(ms, member{name: name, required: options == "", typ: f.Type})
		}
	}
	return ms
}

func fields(t reflect.Type) func(func(reflect.StructField) bool) {
	return func(yield func(reflect.StructField) bool) {
		for i := range t.NumField() {
			if !yield(t.Field(i)) {
				return
			}
		}
	}
}

func (w *typeWalk) members(at string, t reflect.Type, s *openapi3.Schema) {
	w.sealed(at, s)
	var all, required []string
	for _, m := range w.membersOf(at, t) {
		all = append(all, m.name)
		if m.required {
			required = append(required, m.name)
		}
		if p := s.Properties[m.name]; p != nil {
			w.compare(at+"/"+m.name, m.typ, p)
			if d := p.Value.Description; d == "" && direct(p).Value.Description == "" {
				w.differ(at+"/"+m.name, "no description")
			}
		}
	}
	w.sameNames(at, "member", all, names(s.Properties))
	w.sameNames(at, "required member", required, s.Required)
}

func names(m openapi3.Schemas) []string {
	var ns []string
	for n := range m {
		ns = append(ns, n)
	}
	return ns
}

func (w *typeWalk) sameNames(at, what string, code, contract []string) {
	slices.Sort(contract)
	for _, n := range code {
		if !slices.Contains(contract, n) {
			w.differ(at, "%s %q is in Go and not in the contract", what, n)
		}
	}
	for _, n := range contract {
		if !slices.Contains(code, n) {
			w.differ(at, "%s %q is in the contract and not in Go", what, n)
		}
	}
}

// noNull checks that an answer never holds null: a pointer that may be nil is
// left out.
func (w *typeWalk) noNull(t reflect.Type) {
	if w.nulls == nil {
		w.nulls = map[reflect.Type]bool{}
	}
	switch t = written(t); t.Kind() {
	case reflect.Slice, reflect.Map:
		w.noNull(t.Elem())
	case reflect.Struct:
		if w.nulls[t] || isQuantity(t) {
			return
		}
		w.nulls[t] = true
		for f := range fields(t) {
			if f.Type.Kind() == reflect.Pointer && !f.Anonymous && !strings.HasSuffix(f.Tag.Get("json"), ",omitzero") {
				w.Errorf("%s.%s: an answer's pointer without omitzero would be written as null", t, f.Name)
			}
			w.noNull(f.Type)
		}
	}
}
